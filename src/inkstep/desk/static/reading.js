// Reading: a stroke is chosen; the page as it stood, its evidence and its words are shown. See docs/desk.md.

import {ask, listen, say, sentWith, showState} from "./asking.js";
import {tellHere} from "./here.js";
import {button, calm} from "./board/elements.js";
import {createKeys, keptKeys} from "./keys.js";
import {filmActions} from "./film-keys.js";
import {createBench} from "./reading-bench.js";
import {createChoosing} from "./reading-choosing.js";
import {createReadings} from "./reading-data.js";
import {findingsOf, inOrder, tableOf} from "./reading-found.js";
import {readingActions} from "./reading-keys.js";
import {createTime} from "./reading-time.js";
import {nothingOf, unreadOf, waitingOf, wholeOf} from "./reading-whole.js";
import {wordsOfStroke} from "./reading-words.js";

/** @typedef {import("./reading-types.js").Reading} Reading */
/** @typedef {import("./reading-types.js").Study} Study */

const WRITE_MS = 500;
/** milliseconds after which a stroke is asked for: one that is only passed by is not */
const SETTLE_MS = 70;

const solve = sentWith("solve");
const recording = sentWith("recording");
let change = sentWith("change");
/** @type {Study | null} */
let study = null;
/** @type {Reading | null} */
let reading = null;
/** @type {ReturnType<typeof wordsOfStroke>["looked"] | null} */
let looked = null;
/** the stroke that is shown, counted from 1; 0 before the first */
let n = 0;
/** counts what was asked for, so that the answer to an earlier question is let go */
let turn = 0;
/** @type {Set<string>} */
const opened = new Set();
/** @type {import("./film.js").Film | null} */
let film = null;

/** @param {string} id @returns {any} */
const find = (id) => document.getElementById(id);
/** @param {string} words */
const tell = (words) => {
  find("said").textContent = words;
};
const readings = createReadings(solve.key);
const time = createTime(find, goTo);
const bench = createBench(find, {step: (by) => goTo(n + by), cell: toCell});
const keys = createKeys([...readingActions, ...(recording.has ? filmActions : [])], {overrides: await keptKeys(), where: document});
const choosing = createChoosing({key: solve.key, readings, find, tell, say, refuse, onChosen: chosen, again});
let replayed = bench.replay(solve.puzzle, change.strokes);

n = placeIn(location.hash);
time.draw(replayed, null, n);
showStroke(n);
read();
listenToKeys();
hear();
openFilm();

/** @param {string} hash */
function placeIn(hash) {
  return Math.min(change.strokes.length, Number(/^#(\d{1,9})$/.exec(hash)?.[1] ?? 0));
}

// The study

/** Have the solve reviewed, then show what was found. */
async function read() {
  if (!change.strokes.length) return find("why").replaceChildren(...nothingOf(solve.key));
  const asked = (turn += 1);
  try {
    const found = await readings.study((share) => asked === turn && showShare(share));
    if (asked !== turn) return;
    if (found.revision !== change.revision) {
      await renew();
      if (found.revision !== change.revision) return void read();
    }
    showStudy(found);
    showStroke(n);
  } catch (fault) {
    if (asked === turn) refuse(fault);
  }
}

/** @param {Study} found */
function showStudy(found) {
  study = found;
  time.draw(replayed, study, n);
  find("found").hidden = false;
  find("found").replaceChildren(...findingsOf(study, opened, toFinding).flat());
  if (find("every").open) drawTable();
  showState(`reviewed, ${study.strokes.length} strokes, ${Math.round(study.heaviest)} looks at the heaviest`);
}

function drawTable() {
  if (study) find("table").replaceChildren(tableOf(study, (to) => goTo(to, true)));
}

/** @param {number} share */
function showShare(share) {
  const percent = Math.round(100 * share);
  showState(`reviewing, ${percent} of 100`);
  if (find("share")) find("share").value = percent;
}

/** @param {unknown} fault */
function refuse(fault) {
  if (fault instanceof DOMException && fault.name === "AbortError") return;
  const words = fault instanceof Error ? fault.message : String(fault);
  if (study) say(words);
  else find("why").replaceChildren(...unreadOf(words));
}

// Going from stroke to stroke

/** @param {number} wanted @param {boolean} [seen] bring the words into sight, too */
async function goTo(wanted, seen = false) {
  const to = Math.min(change.strokes.length, Math.max(0, wanted));
  const step = to === n + 1;
  n = to;
  time.moveTo(n);
  say("");
  const shown = showStroke(n, step ? WRITE_MS : 0);
  if (seen) find("why").scrollIntoView({block: "nearest", behavior: calm() ? "auto" : "smooth"});
  await shown;
}

/** @param {number} cell */
function toCell(cell) {
  const writer = bench.writerOf(cell);
  if (writer) goTo(writer);
  else tell(/[1-9]/.test(solve.puzzle[cell]) ? "That digit is printed." : "Nothing was written there.");
}

/** @param {import("./reading-types.js").Item} item */
async function toFinding(item) {
  await goTo(item.stroke, true);
  if (item.goal && reading?.n === item.stroke) looked?.chance(item.goal);
}

/** @param {number} by */
function toNextFinding(by) {
  const items = study ? inOrder(study) : [];
  const next = by > 0 ? items.find((item) => item.stroke > n) : items.filter((item) => item.stroke < n).at(-1);
  if (next) toFinding(next);
  else tell(by > 0 ? "No finding after this." : "No finding before this.");
}

/** @param {number} to @param {number} [ms] in how long the stroke is written */
async function showStroke(to, ms = 0) {
  history.replaceState(null, "", to ? `#${to}` : location.pathname);
  const at = study && to ? readings.atHand(to) : undefined;
  if (!at) bench.stand(to);
  if (!study) return showWaiting(to);
  const asked = (turn += 1);
  if (!to) return showWhole();
  if (!at) {
    find("why").setAttribute("aria-busy", "true");
    await new Promise((done) => setTimeout(done, SETTLE_MS));
    if (asked !== turn) return;
  }
  try {
    const found = at ?? await readings.stroke(to, change.revision);
    if (asked === turn) present(found, ms);
  } catch (fault) {
    if (asked === turn) refuse(fault);
  } finally {
    if (asked === turn) find("why").removeAttribute("aria-busy");
  }
}

/** @param {number} to */
function showWaiting(to) {
  if (change.strokes.length && !find("share")) find("why").replaceChildren(...waitingOf(change.strokes[to - 1]));
}

function showWhole() {
  if (!study) return;
  leaveStroke();
  document.title = `${solve.title || "A solve"} · Inkstep`;
  find("why").replaceChildren(...wholeOf(solve, study, keys.keyOf, goTo));
}

function leaveStroke() {
  reading = looked = null;
  choosing.turnTo(null);
  find("why").removeAttribute("aria-busy");
  delete find("why").dataset.stroke;
}

/** @param {Reading} found @param {number} ms */
function present(found, ms) {
  const inside = find("why").contains(document.activeElement);
  bench.stand(found.n);
  reading = found;
  const made = wordsOfStroke(found, {
    look: (argued) => bench.draw(found, argued, 0),
    go: goTo,
    pick: (argument) => choosing.pick(found, argument),
    edit: () => choosing.edit(found),
    restore: () => choosing.restore(found),
  });
  looked = made.looked;
  find("why").replaceChildren(made.element);
  find("why").dataset.stroke = String(found.n);
  bench.draw(found, null, ms);
  if (inside) find("title").focus({preventScroll: true});
  choosing.turnTo(found);
  tellHere(solve.key, {stroke: found.n, evidence: true, ms: found.at_ms});
  document.title = `${found.n}: ${found.title} · Inkstep`;
  tell(`${found.title}. Stroke ${found.n} of ${change.strokes.length}.`);
  if (film?.ready() && found.at_ms !== null && !film.playing()) film.seekMs(found.at_ms);
  if (found.n < change.strokes.length) readings.foresee(found.n + 1, change.revision);
}

// What changes

/** @param {Reading} found */
function chosen(found) {
  if (found.n === n) present(found, 0);
  renewStudy();
}

/** The stroke as the desk tells it now. */
async function again() {
  readings.forget();
  if (n && study) await showStroke(n);
}

/** Findings and charts after a choice; words that are being edited stay as they are. */
async function renewStudy() {
  const found = await readings.study(() => {}).catch(() => null);
  if (found && found.revision === change.revision) showStudy(found);
}

function hear() {
  listen(solve.key, {
    changed: ({revision}) => revision !== change.revision && showStale(),
    behind: showStale,
    chosen: ({stroke}) => chosenElsewhere(stroke),
  });
  document.addEventListener("visibilitychange", () => !document.hidden && !find("stale").hidden && !choosing.editing() && readAnew());
  addEventListener("hashchange", () => placeIn(location.hash) !== n && goTo(placeIn(location.hash)));
  find("every").addEventListener("toggle", () => find("every").open && drawTable());
}

/** A choice was kept, here or in another tab. @param {number} stroke */
async function chosenElsewhere(stroke) {
  if (choosing.editing() || !study) return;
  readings.forget();
  renewStudy();
  if (reading?.id !== stroke) return;
  const found = await readings.stroke(n, change.revision).catch(() => null);
  const differs = JSON.stringify(found?.choice) !== JSON.stringify(reading?.choice);
  if (found && found.n === n && reading?.id === found.id && differs && !choosing.editing()) present(found, 0);
}

/** The log was changed in another tab: it is read anew when this one is looked at again, or at once if asked. */
function showStale() {
  const stale = find("stale");
  if (!stale.hidden) return;
  stale.replaceChildren("The log was changed elsewhere; this is how it was. ", button("read it anew", readAnew, {class: "boxed", id: "anew"}));
  stale.hidden = false;
}

/** Read the log as it stands now, and stay at the stroke where the reader was. */
async function readAnew() {
  find("stale").hidden = true;
  await renew();
  leaveStroke();
  find("why").replaceChildren();
  showStroke(n);
  await read();
}

async function renew() {
  const id = change.strokes[n - 1]?.id;
  change = await ask(`/solve/${solve.key}/change`);
  study = null;
  Object.assign(solve, change.head);
  readings.forget();
  replayed = bench.replay(solve.puzzle, change.strokes);
  const at = change.strokes.findIndex((/** @type {any} */ stroke) => stroke.id === id);
  n = at >= 0 ? at + 1 : Math.min(n, change.strokes.length);
  time.draw(replayed, null, n);
}

// Keys and the film

function listenToKeys() {
  keys.on("read-next", () => goTo(n + 1));
  keys.on("read-back", () => goTo(n - 1));
  keys.on("read-ten-on", () => goTo(n + 10));
  keys.on("read-ten-back", () => goTo(n - 10));
  keys.on("read-first", () => goTo(0));
  keys.on("read-last", () => goTo(change.strokes.length));
  keys.on("read-finding", () => toNextFinding(1));
  keys.on("read-finding-back", () => toNextFinding(-1));
  keys.on("read-pause", () => goTo(study?.pauses.find(({before}) => before > n)?.before ?? n));
  keys.on("read-edit", () => (reading ? choosing.edit(reading) : false));
  keys.on("read-own", () => looked?.close() ?? false);
}

/** The recording, where there is one, jumps along. */
async function openFilm() {
  if (!recording.has) return;
  find("film").hidden = false;
  const {createFilm} = await import("./film.js");
  let opened = false;
  film = createFilm(find("film"), {key: solve.key, clockStartMs: solve.clock_start_ms, keys, say, onFrame: () => {
    if (opened) return;
    opened = true;
    if (reading?.at_ms) film?.seekMs(reading.at_ms);
  }});
  film.onClockStart(readAnew);
}
