// Two logs of one recording side by side: rows, pages, times, and what is picked of each difference. See docs/desk.md.

import {listen, say, sentWith} from "./asking.js";
import {createBoards} from "./compare-boards.js";
import {compareActions} from "./compare-keys.js";
import {createPanel} from "./compare-panel.js";
import {createPicks, picksName, pickBy, tabStore, wayOf} from "./compare-picks.js";
import {createRows} from "./compare-rows.js";
import {createSource} from "./compare-source.js";
import {createBothStrip} from "./compare-strip.js";
import {showOpen, showSummary} from "./compare-summary.js";
import {differs, rowsOf} from "./compare-types.js";
import {createWriting} from "./compare-writing.js";
import {createKeys, keptKeys, keyNames} from "./keys.js";

/** @typedef {import("./compare-types.js").Row} Row */
/** @typedef {import("./compare-picks.js").Way} Way */

const {key, puzzle} = sentWith("solve");
const {other, file} = sentWith("compare");
const placeName = `inkstep-compare-row:${key}:${other}`;
const source = createSource(key, other, file);
const picks = createPicks(picksName(key, other));
const keys = createKeys(compareActions, {overrides: await keptKeys(), where: document});
const boards = createBoards({ours: byId("ours-board"), theirs: byId("theirs-board")});
const strip = createBothStrip(byId("strip"), choose);
const list = createRows(byId("rows"), {onChoose: choose, onPick: (index, pick) => decide([rows[index]], () => pick)});
const only = /** @type {HTMLInputElement} */ (byId("only"));
const panel = createPanel(byId("row"), {keys, onPick: (way) => pickHere(way, false), onNext: () => step(1), onBack: () => step(-1), onLeave: leave});
const writing = createWriting({key, other, asked, anew: lay, picks});
/** @type {Row[]} */
let rows = [];
/** @type {import("./compare-types.js").Sent | null} */
let shown = null;
let at = 0;
/** whose clock was asked for; empty: the desk decides */
let clock = "";
/** what was picked before each of the last picks, and where @type {{picks: ReturnType<typeof picks.snapshot>, at: number}[]} */
let earlier = [];

/** @param {string} id @returns {HTMLElement} */
function byId(id) {
  return /** @type {HTMLElement} */ (document.getElementById(id));
}

/** Lay the two logs side by side as they stand now. */
async function lay() {
  try {
    shown = await source.sent(clock);
  } catch (fault) {
    byId("summary").textContent = "";
    say(fault instanceof Error ? fault.message : String(fault));
    return;
  }
  const {ours, theirs} = shown;
  rows = rowsOf(shown);
  earlier = [];
  picks.take(rows);
  list.show(rows);
  showPicks();
  boards.take(puzzle, ours.strokes, theirs.strokes);
  strip.take(rows, ours.strokes, theirs.strokes);
  nameKeys();
  choose(Math.min(rows.length - 1, tabStore.read(placeName) ?? Math.max(0, rows.findIndex(differs))));
}

/** What the desk is told of the merge. */
function asked() {
  if (!shown) return {};
  return {have: shown.ours.revision, ...source.beside(shown), clock: shown.clock.taken_out ? "ours" : "theirs", picks: picks.sent()};
}

/** Choose a row: everything on the page follows. @param {number} index */
function choose(index) {
  at = Math.max(0, index);
  tabStore.write(placeName, at);
  const row = rows[at];
  list.choose(at);
  strip.moveTo(at);
  boards.show(row ?? null);
  byId("ours-count").textContent = row ? strokes(row.oursCount) : "";
  byId("theirs-count").textContent = row ? strokes(row.theirsCount) : "";
  showPanel();
}

/** @param {number} count */
function strokes(count) {
  return count === 1 ? "one stroke" : `${count} strokes`;
}

function showPanel() {
  const row = rows[at];
  panel.show(row, rows.length, row && differs(row) ? picks.of(row) : null, Boolean(row) && picks.isDecided(row));
  showOpen(picks.undecided(), rows.filter(differs).length);
}

function showPicks() {
  for (const row of rows.filter(differs)) list.showPick(row.index, picks.of(row), picks.isDecided(row));
}

/** @param {Row} row */
const isOpen = (row) => differs(row) && !picks.isDecided(row);

/** Pick for some rows. @param {Row[]} some @param {(row: Row) => import("./compare-types.js").Pick} how */
function decide(some, how) {
  earlier.push({picks: picks.snapshot(), at});
  const were = some.map((row) => picks.set(row, how(row)));
  if (were.includes(false)) say("The browser has no room to keep the picks: they are lost with a reload.");
  for (const row of some) list.showPick(row.index, picks.of(row), picks.isDecided(row));
  showPanel();
  const what = some.length === 1 ? `row ${some[0].index + 1}: ${wayOf(picks.of(some[0]))}` : `${some.length} rows picked`;
  byId("told").textContent = `${what}; ${picks.undecided()} undecided`;
}

/** Pick for the chosen row; with keys, go on to the next that is undecided. @param {Way} way @param {boolean} on */
function pickHere(way, on) {
  const row = rows[at];
  if (!row || !differs(row)) return false;
  decide([row], (each) => pickBy(each, way));
  const next = on ? nextAmong(isOpen, 1) : null;
  if (next) choose(next.index);
  return true;
}

/** Pick for all rows that are undecided. @param {Way} way */
function pickRest(way) {
  const open = rows.filter(isOpen);
  if (open.length) decide(open, (row) => pickBy(row, way));
}

function leave() {
  const row = rows[at];
  if (!row || !picks.isDecided(row)) return false;
  earlier.push({picks: picks.snapshot(), at});
  picks.clear(row);
  list.showPick(at, picks.of(row), false);
  showPanel();
  byId("told").textContent = `row ${at + 1}: undecided again`;
  return true;
}

/** Take back the last pick; with none, what was written. */
function takeBack() {
  const last = earlier.pop();
  if (!last) return void writing.takeBack();
  picks.restore(last.picks);
  showPicks();
  choose(last.at);
  byId("told").textContent = `taken back; ${picks.undecided()} undecided`;
}

/** The next row that is wanted, in either direction, from the start again past the end. @param {(row: Row) => boolean} wanted @param {number} by */
function nextAmong(wanted, by) {
  for (let away = 1; away <= rows.length; away += 1) {
    const row = rows[(at + by * away + rows.length) % rows.length];
    if (wanted(row)) return row;
  }
  return null;
}

/** To the next row that is wanted, or the one before. @param {number} by @param {(row: Row) => boolean} [wanted] */
function step(by, wanted = differs) {
  const row = nextAmong(wanted, by);
  if (row) choose(row.index);
}

/** So many of the rows that show on or back. @param {number} by */
function move(by) {
  const showing = only.checked ? rows.filter(differs) : rows;
  const place = showing.findIndex((row) => row.index >= at);
  const from = place < 0 ? showing.length : place;
  const to = showing[Math.min(showing.length - 1, Math.max(0, from + by))];
  if (to) choose(to.index);
}

function filter() {
  list.showDifferencesOnly(only.checked);
  if (only.checked && rows[at] && !differs(rows[at])) step(1);
}

function changeClock() {
  if (!shown?.clock.words) return false;
  clock = shown.clock.taken_out ? "theirs" : "ours";
  lay();
  return true;
}

const ways = {
  "compare-down": () => move(1),
  "compare-up": () => move(-1),
  "compare-ten-down": () => move(10),
  "compare-ten-up": () => move(-10),
  "compare-first": () => move(-rows.length),
  "compare-last": () => move(rows.length),
  "compare-next": () => step(1),
  "compare-back": () => step(-1),
  "compare-open-next": () => step(1, isOpen),
  "compare-ours": () => pickHere("ours", true),
  "compare-theirs": () => pickHere("theirs", true),
  "compare-both": () => pickHere("both", true),
  "compare-neither": () => pickHere("neither", true),
  "compare-rest-ours": () => pickRest("ours"),
  "compare-rest-theirs": () => pickRest("theirs"),
  "compare-leave": leave,
  "compare-undo": takeBack,
  "compare-only": () => {
    only.checked = !only.checked;
    filter();
  },
  "compare-clock": changeClock,
  "compare-write": () => void writing.write("this"),
  "compare-new": () => void writing.write("new"),
};

/** Show the keys as they are now. */
function nameKeys() {
  for (const place of /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll("[data-key]"))) {
    place.replaceChildren(...keyNames(keys.keyOf(place.dataset.key ?? "")));
  }
  if (shown) showSummary(shown, {title: source.title(shown), damage: source.damage, clockKey: keyNames(keys.keyOf("compare-clock"))});
  showPanel();
}

Object.entries(ways).forEach(([name, act]) => keys.on(name, act));
only.addEventListener("change", filter);
// a checkbox that has the focus keeps the arrow keys; after a click they belong to the rows again
only.addEventListener("click", (event) => event.detail && list.focus());
byId("clock-change").addEventListener("click", changeClock);
byId("rest-ours").addEventListener("click", () => pickRest("ours"));
byId("rest-theirs").addEventListener("click", () => pickRest("theirs"));
byId("next-open").addEventListener("click", () => step(1, isOpen));
byId("all-keys").addEventListener("click", keys.openSheet);
byId("write-this").addEventListener("click", () => writing.write("this"));
byId("write-new").addEventListener("click", () => writing.write("new"));
keys.onChange(nameKeys);
await lay();
list.focus();
document.body.dataset.ready = "yes";
listen(key, {
  changed: ({revision}) => shown && revision !== shown.ours.revision && writing.changed(),
});
