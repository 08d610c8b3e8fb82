// The tour: at most six small notes, one after another, beside the things they speak of. It begins where the address says
// `?tour`, and goes on working while one tries what it says.

import {ask} from "./asking.js";
import {button, el} from "./board/elements.js";
import {filmActions} from "./film-keys.js";
import {createKeys, keptKeys, keyNames} from "./keys.js";
import {loggingActions} from "./logging-keys.js";

const GAP = 14;
const EDGE = 8;
/** a focus that moves so soon after a key or a click was moved by the user */
const OWN_MS = 250;

/**
 * A note: `at` are selectors, of which the first that the page has is meant; in its words, `{film-play}` stands for the key
 * of that action, as it is now.
 * @typedef {{at: string[], head: string, words: string}} Note
 */

/** @type {Note[]} */
const NOTES = [
  {
    at: ["#board .board", "#board"],
    head: "The paper",
    words: "Arrows or a click choose a cell; with Shift, or by dragging, several. Try it now, if you like: whatever is written can be undone.",
  },
  {
    at: ["#board .board", "#board"],
    head: "Typing is writing",
    words: "A digit typed on one cell is written there; two digits, or several cells, make a mark. {log-other} first says it the other way: one digit as a mark. The time is the film's at the first key.",
  },
  {
    at: ["#film"],
    head: "The film",
    words: "{film-play} stops and goes, {film-again} shows the last moment again, slowed, {film-frame-back} and {film-frame-on} step a frame. The file stays where it is. Without one, log from memory.",
  },
  {
    at: ["#strip .strip", "#strip", ".strip"],
    head: "Time, to scale",
    words: "Every stroke in its place: tall for a digit, short for a mark, a bar under a long rest of the hand. Choose one, and the page shows how it stood.",
  },
  {
    at: ["#list"],
    head: "The strokes",
    words: "Each is kept before it is shown. {log-repair} repairs the one chosen: its time, its place, its order. {log-undo} takes back the last edit, and the one before, without end.",
  },
  {
    at: [".ways"],
    head: "From here",
    words: "Reading says why each stroke was possible, lesson plans how it is told, press makes the files. {keys-sheet} shows every key there is; there they can be changed, too.",
  },
];

/** Show the notes from the first; the promise is kept when the tour was done or left. @returns {Promise<"done" | "left">} */
export async function startTour() {
  const notes = NOTES.filter((note) => anchorOf(note));
  const keys = createKeys([...filmActions, ...loggingActions], {overrides: await keptKeys()});
  const before = document.activeElement;
  const end = await new Promise((resolve) => showNotes(notes, (name) => keyNames(keys.keyOf(name)), resolve));
  if (before instanceof HTMLElement && before !== document.body) before.focus();
  else /** @type {HTMLElement | null} */ (document.querySelector("#board [tabindex='0']"))?.focus();
  return end;
}

/** @param {Note} note */
function anchorOf(note) {
  const shown = note.at.map((selector) => document.querySelector(selector)).find((each) => each && each.getClientRects().length);
  return shown ?? null;
}

/** The words of a note with its keys in them. @param {string} words @param {(name: string) => Node[]} namesOf @returns {(string | Node)[]} */
function withKeys(words, namesOf) {
  return words.split(/\{([a-z-]+)\}/).flatMap((part, index) => /** @type {(string | Node)[]} */ (index % 2 ? namesOf(part) : [part]));
}

/** @param {Note[]} notes @param {(name: string) => Node[]} namesOf @param {(end: "done" | "left") => void} onEnd */
function showNotes(notes, namesOf, onEnd) {
  let at = 0;
  const head = el("h2", {id: "tour-head"});
  const words = el("p", {id: "tour-words"});
  const count = el("span", {class: "quiet"});
  const back = button("Back", () => go(-1));
  const next = button("Next", () => go(1), {class: "boxed"});
  const leave = button("Leave", () => close("left"));
  const note = el("div", {class: "tour-note", role: "dialog", "aria-labelledby": "tour-head", "aria-describedby": "tour-words"},
    head, words,
    el("p", {class: "tour-ways"}, next, back, leave, count),
    el("p", {class: "quiet tour-keys"}, el("kbd", {text: "→"}), " next ", el("kbd", {text: "←"}), " back ", el("kbd", {text: "Esc"}), " leave"));
  const ring = el("div", {class: "tour-ring", "aria-hidden": "true"});
  document.body.append(ring, note);

  function show() {
    const {head: title, words: told} = notes[at];
    head.textContent = title;
    words.replaceChildren(...withKeys(told, namesOf));
    count.textContent = `${at + 1} of ${notes.length}`;
    back.disabled = at === 0;
    next.textContent = at === notes.length - 1 ? "Done" : "Next";
    anchorOf(notes[at])?.scrollIntoView({block: "nearest"});
    place();
    next.focus({preventScroll: true});
  }

  function place() {
    const anchor = anchorOf(notes[at]);
    if (anchor) placeBeside(note, ring, anchor.getBoundingClientRect());
  }

  /** @param {number} step */
  function go(step) {
    at += step;
    if (at >= notes.length) close("done");
    else show();
  }

  /** @param {"done" | "left"} end */
  function close(end) {
    removeEventListener("resize", place);
    removeEventListener("scroll", place, true);
    watch.disconnect();
    stay.abort();
    note.remove();
    ring.remove();
    onEnd(end);
  }

  note.addEventListener("keydown", (event) => {
    // the keys that are pressed in the note are the note's own, and no strokes
    event.stopPropagation();
    if (event.ctrlKey || event.altKey || event.metaKey) return;
    if (event.key === "ArrowRight") go(1);
    else if (event.key === "ArrowLeft") at > 0 && go(-1);
    else if (event.key === "Escape") close("left");
    else return;
    event.preventDefault();
  });
  const stay = new AbortController();
  let touched = 0;
  addEventListener("keydown", (event) => {
    // wherever the focus went meanwhile, Escape leaves the tour
    if (event.key !== "Escape" || note.contains(/** @type {Node} */ (event.target))) return;
    event.preventDefault();
    event.stopPropagation();
    close("left");
  }, {capture: true, signal: stay.signal});
  for (const kind of ["pointerdown", "keydown"]) addEventListener(kind, () => (touched = performance.now()), {capture: true, signal: stay.signal});
  addEventListener("focusin", (event) => {
    // a page that is still being built takes the focus for itself; the user may take it anywhere
    const taken = event.target instanceof Node && !note.contains(event.target);
    if (taken && performance.now() - touched > OWN_MS) next.focus({preventScroll: true});
  }, {signal: stay.signal});
  addEventListener("resize", place);
  addEventListener("scroll", place, true);
  const watch = new ResizeObserver(place);
  watch.observe(document.body);
  show();
}

/** The note goes where there is room for it: beside the thing, else below, above, or over its lower edge. @param {HTMLElement} note @param {HTMLElement} ring @param {DOMRect} thing */
function placeBeside(note, ring, thing) {
  const {offsetWidth: width, offsetHeight: height} = note;
  const middle = clamp(thing.top + (thing.height - height) / 2, height, innerHeight);
  const along = clamp(thing.left, width, innerWidth);
  const spots = [
    {left: thing.right + GAP, top: middle, fits: thing.right + GAP + width + EDGE <= innerWidth},
    {left: thing.left - GAP - width, top: middle, fits: thing.left - GAP - width >= EDGE},
    {left: along, top: thing.bottom + GAP, fits: thing.bottom + GAP + height + EDGE <= innerHeight},
    {left: along, top: thing.top - GAP - height, fits: thing.top - GAP - height >= EDGE},
    {left: along, top: innerHeight - height - EDGE, fits: true},
  ];
  const spot = spots.find(({fits}) => fits) ?? spots[0];
  note.style.setProperty("left", `${spot.left}px`);
  note.style.setProperty("top", `${spot.top}px`);
  const box = {left: thing.left - 5, top: thing.top - 5, width: thing.width + 10, height: thing.height + 10};
  for (const [name, value] of Object.entries(box)) ring.style.setProperty(name, `${value}px`);
}

/** A place along the window in which something of a size fits. @param {number} at @param {number} size @param {number} room */
function clamp(at, size, room) {
  return Math.max(EDGE, Math.min(at, room - size - EDGE));
}

if (new URLSearchParams(location.search).has("tour")) {
  // the page is built first: its own modules come before this one, or need a moment
  if (document.readyState !== "complete") await new Promise((resolve) => addEventListener("load", resolve, {once: true}));
  const ended = await startTour();
  history.replaceState(null, "", location.pathname);
  await ask("/tour", {ended}).catch(() => null);
}
