// Logging: see docs/desk.md. Here the parts of the page are put together; what is shown follows from the log, the film's
// moment, the chosen stroke and what is being typed.

import {listen, say, sentWith, showState} from "./asking.js";
import {manner} from "./manner.js";
import {createKeys, keptKeys} from "./keys.js";
import {filmActions} from "./film-keys.js";
import {loggingActions, loggingHand} from "./logging-keys.js";
import {createStore} from "./logging-store.js";
import {createQueue} from "./logging-queue.js";
import {createSelection} from "./logging-selection.js";
import {createEntry} from "./logging-entry.js";
import {createPage} from "./logging-page.js";
import {createTimeline} from "./logging-strip.js";
import {createList} from "./logging-list.js";
import {createSaid} from "./logging-said.js";
import {createCue, createDoubts} from "./logging-doubts.js";
import {createRepairs} from "./logging-repairs.js";
import {createWatch} from "./logging-watch.js";
import {askClash} from "./logging-forms.js";
import {tellHere} from "./here.js";

const OUTSIDE = ["above", "below", "left", "right"];
const {key} = sentWith("solve");
const sent = sentWith("logging");
const find = (/** @type {string} */ id) => /** @type {HTMLElement} */ (document.getElementById(id));

const store = createStore(sentWith("change"));
const keys = createKeys([...filmActions, ...loggingActions], {overrides: await keptKeys(), where: document, fixed: loggingHand});
/** @type {number | null} */
let chosen = null;
/** @type {number | null} */
let jump = null;
let drawing = 0;
let keyAt = 0;
let savedFor = 0;

const queue = createQueue(key, store, {
  onTaken,
  onState: showQueue,
  onClash: (refusal) => askClash(refusal.body),
  onRefused: say,
});
const selection = createSelection(({cells, place}) => {
  page.choose(cells, place);
  draw();
});
const watch = createWatch(find("film"), {
  key, keys, store, queue, say,
  onMoved() {
    chosen = null;
    before0 = false;
    list.mark(null);
    list.reveal(shownCount() - 1);
    draw();
  },
  onSettled: draw,
});
const entry = createEntry({
  store, queue, selection, watch, say,
  before: () => store.strokes[shownCount()]?.id ?? null,
  onChange: draw,
  onWritten,
});
const page = createPage(find("board"), manner, selection, {
  keys,
  onDigit(digit) {
    keyAt = performance.now();
    say("");
    entry.digit(digit);
  },
  onPlace: entry.place,
  onMove: entry.end,
  onDone() {
    if (!entry.typing) return false;
    entry.end();
    return true;
  },
  onLeave() {
    entry.end();
    entry.disarm();
    selection.alone();
    choose(null);
    say("");
  },
  onJump(row) {
    jump = row;
    draw();
  },
});
const timeline = createTimeline(find("strip"), store, {
  restMs: sent.rest_ms,
  onMove: (n) => choose(store.strokes[n - 1]?.id ?? null, n),
});
const list = createList(find("list"), {
  onChoose: (id) => choose(id),
  onOpen: (id) => repairs.open(id),
  onOut: (id) => repairs.takeOut(id),
  onLeave: () => page.focus(),
});
const said = createSaid(find("said"), {
  keyOf: keys.keyOf,
  act: (name) => keys.act(name),
  onSuggestion: suggested,
});
const doubts = createDoubts(key, store, (from) => {
  list.doubt(doubts.has, from);
  draw();
});
const cue = createCue(key, sent.cue, draw);
const repairs = createRepairs({
  store, queue, entry, keys, watch, say, host: said.form,
  present: () => presentId(),
  chosen: () => chosen,
  choose,
  toBoard: () => page.focus(),
  inList,
  focusList: () => list.focus(),
  toList: () => (inList() ? page.focus() : list.focus()),
  keep: () => selection.keep(),
  suggested,
  toggleCue: () => cue.toggle(shownCount()).then(draw),
});

/** How many strokes are on the page that is shown. */
function shownCount() {
  if (chosen !== null) return store.indexOf(chosen) + 1;
  if (before0) return 0;
  const ms = watch.shownMs();
  return ms === null ? store.count : Math.max(store.standingAt(ms), typedCount());
}

function inList() {
  return list.element.contains(document.activeElement);
}

/** A stroke being typed is on the page, even where the film has gone on without it. */
function typedCount() {
  return Math.max(0, ...(entry.typing?.made ?? []).map(([id]) => store.indexOf(id) + 1));
}

/** The page before the first stroke was asked for. */
let before0 = false;

function presentId() {
  const made = entry.typing?.made;
  return (made ? made[made.length - 1][0] : chosen) ?? store.strokes[shownCount() - 1]?.id ?? null;
}

/** Choose a stroke: the page is shown as it stood with it, and the film goes there. @param {number | null} id @param {number} [count] */
function choose(id, count) {
  entry.end();
  before0 = id === null && count === 0;
  chosen = id !== null && store.indexOf(id) >= 0 ? id : null;
  list.mark(chosen);
  if (chosen === null) list.reveal(shownCount() - 1);
  else watch.goTo(store.byId(chosen)?.at_ms ?? null);
  draw();
}

/** @param {number} from */
function onTaken(from) {
  if (chosen !== null && store.indexOf(chosen) < 0) chosen = null;
  if (store.strokes.slice(from).some((stroke) => stroke.add.some((ink) => OUTSIDE.includes(ink.where)))) page.reserve(store.page(store.count));
  list.show(store.strokes, from);
  if (chosen === null) list.reveal(shownCount() - 1);
  watch.headChanged(store.head);
  timeline.changed();
  doubts.changed(from);
  cue.changed(shownCount(), true);
  if (!queue.waiting || queue.waiting === 1) showQueue({waiting: 0, slow: false, trouble: ""});
  draw();
}

/** @param {import("./logging-entry.js").Typing} typing */
function onWritten(typing) {
  const ids = (typing.made ?? []).map(([id]) => id);
  const last = ids[ids.length - 1];
  if (chosen !== null) chosen = typing.gesture.at_ms !== null && watch.shownMs() !== null ? null : last;
  before0 = false;
  list.mark(chosen);
  list.reveal(store.indexOf(last));
  find("told").textContent = `${ids.map((id) => store.byId(id)?.action).join("; ")}: written`;
  savedFor = keyAt;
}

/** @param {{waiting: number, slow: boolean, trouble: string}} state */
function showQueue({waiting, slow, trouble}) {
  const many = (/** @type {number} */ count, /** @type {string} */ what) => `${count} ${what}${count === 1 ? "" : "s"}`;
  const place = find("state");
  place.classList.toggle("is-trouble", trouble !== "");
  const words = trouble ? `not saved${waiting ? `: ${many(waiting, "edit")} wait${waiting === 1 ? "s" : ""}` : ""}`
    : slow && waiting ? `saving, ${many(waiting, "edit")}` : `saved, ${many(store.count, "stroke")}`;
  if (place.textContent !== words) showState(words);
  if (trouble) say(trouble);
  else if (wasTrouble) say("");
  wasTrouble = trouble !== "";
}

/** @param {number} index */
function suggested(index) {
  const offer = cue.of(shownCount())?.likely[index];
  if (offer) entry.suggested(offer);
  return Boolean(offer);
}

/** Draw once before the next frame. */
function draw() {
  drawing = drawing || requestAnimationFrame(drawNow);
}

function drawNow() {
  drawing = 0;
  const count = shownCount();
  const present = presentId();
  const {typing} = entry;
  const numbers = (typing?.made ?? []).map(([id]) => store.indexOf(id) + 1);
  const doubted = store.strokes.slice(0, count).flatMap((stroke, index) => (stroke.kind === "mark" && doubts.has(stroke.id) ? [index + 1] : []));
  page.show({ink: store.page(count), typing, waiting: entry.waiting, numbers, present: chosen === null ? 0 : store.indexOf(chosen) + 1, doubted});
  timeline.moveTo(chosen === null ? watch.shownMs() : null, count);
  list.here(chosen === null ? count : store.count);
  cue.changed(count);
  said.show({
    cells: selection.cells(), place: selection.spot.place, typing, armed: entry.armed,
    putBefore: store.byId(entry.armed.before)?.action ?? "", jump, shown: shownWords(count), stroke: store.byId(present ?? -1),
    number: store.indexOf(present ?? -1) + 1, chosen: chosen !== null && chosen === present, doubts: doubts.of(present ?? -1),
    only: doubts.only, cue: cue.of(count), cueOn: cue.on,
  });
  list.settle();
  measure();
  tellHere(key, {stroke: count, evidence: false});
}

/** @param {number} count */
function shownWords(count) {
  return count < store.count ? `the page after ${count} of ${store.count} strokes` : "";
}

/** For whoever measures: from a digit's key to the page with its ghost, and to the page with the committed stroke. */
function measure() {
  if (!keyAt) return;
  performance.measure(savedFor === keyAt ? "key to committed page" : "key to page", {start: keyAt});
  if (savedFor === keyAt) keyAt = savedFor = 0;
}

let wasTrouble = false;
said.nameKeys();
keys.onChange(said.nameKeys);
list.show(store.strokes, 0);
list.reveal(store.count - 1);
page.reserve(store.page(store.count));
page.choose(selection.cells(), selection.spot.place);
doubts.changed(0);
// the tour is taken in the middle of a solve, where there is room to try
if (new URLSearchParams(location.search).has("tour") && store.count > 20) choose(store.strokes[Math.floor(store.count / 3)].id);
draw();
page.focus();
document.addEventListener("keydown", () => doubts.wait(), true);
window.addEventListener("beforeunload", (event) => {
  if (queue.waiting) event.preventDefault();
});

function hearServer() {
  const source = listen(key, {
    changed: ({revision}) => queue.heard(revision),
    behind: () => queue.heard(Infinity),
  });
  source.onopen = () => queue.back();
  source.onerror = () => {
    queue.lost();
    if (source.readyState === EventSource.CLOSED) setTimeout(hearServer, 1500);
  };
}

hearServer();
