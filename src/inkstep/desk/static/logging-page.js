// The page at the right: the board with the places around it, what is typed but not yet written, and the hand's ways over it.

import {createBoard} from "./board/board.js";
import {digitOf} from "./keys.js";
import {createOutside} from "./logging-outside.js";

const SIDE = 9;
/** units of the drawing that stay free on each side, for what is written outside the frame */
const ROOM = 86;
/** @type {Record<string, [number, number]>} */
const ARROWS = {ArrowLeft: [0, -1], ArrowRight: [0, 1], ArrowUp: [-1, 0], ArrowDown: [1, 0]};
/** @type {Record<string, string>} */
const SIDES = {ArrowLeft: "left", ArrowRight: "right", ArrowUp: "above", ArrowDown: "below"};

/**
 * @typedef {import("./board/layout.js").BriefInk} BriefInk
 * @typedef {{ink: BriefInk[], typing: import("./logging-entry.js").Typing | null, waiting: import("./logging-entry.js").Typing[], numbers: number[], present: number,
 *            doubted: number[]}} Shown
 *            `numbers` are those of the strokes that are being typed on, `present` is that of the present stroke
 */

/**
 * @param {HTMLElement} host
 * @param {import("./board/layout.js").Way} way
 * @param {import("./logging-selection.js").Selection} selection
 * @param {{onDigit: (digit: number) => void, onPlace: (where: string) => void, onMove: () => void, onDone: () => boolean, onLeave: () => void,
 *          onJump: (row: number | null) => void, keys: {handle: (event: KeyboardEvent) => boolean}}} hear
 */
export function createPage(host, way, selection, hear) {
  /** @type {number | null} */
  let jump = null;
  let dragging = false;
  /** @type {{ink: BriefInk[] | null, also: string}} what was drawn last */
  let last = {ink: null, also: ""};
  const outside = createOutside((place) => moved(() => selection.goTo({cell: null, place})));
  const board = createBoard(host, way, {label: "the page", around: outside.element});
  const grid = /** @type {HTMLElement} */ (board.element.querySelector("[role=grid]"));
  grid.setAttribute("aria-multiselectable", "true");
  board.name("the page", true);

  /** Go where the hand goes; what was typed is done. @param {() => void} go */
  function moved(go) {
    hear.onMove();
    go();
    follow();
  }

  function follow() {
    const {spot} = selection;
    if (spot.cell !== null) board.focusCell(spot.cell);
    else outside.focus(spot.place);
  }

  /** @param {KeyboardEvent} event */
  function onKey(event) {
    if (event.isComposing || event.metaKey || !answer(event) && !hear.keys.handle(event)) return;
    event.preventDefault();
    event.stopPropagation();
  }

  /** The keys that stay as they are. @param {KeyboardEvent} event */
  function answer(event) {
    if (event.key === "Shift") return false;
    if (jumped(event)) return true;
    setJump(null);
    if (event.key in ARROWS) return arrow(event);
    const digit = digitOf(event);
    if (digit) {
      if (!event.repeat) hear.onDigit(digit);
      return true;
    }
    if (event.ctrlKey || event.altKey || event.shiftKey) return false;
    if (event.key === "Enter") return hear.onDone();
    if (event.key === "Escape") hear.onLeave();
    else if (event.key === "Home" || event.key === "End") rowEnd(event.key === "Home" ? 0 : SIDE - 1);
    else return false;
    return true;
  }

  /** @param {KeyboardEvent} event */
  function arrow(event) {
    const [down, right] = ARROWS[event.key];
    if (event.ctrlKey || event.altKey) hear.onPlace(SIDES[event.key]);
    else moved(() => (event.shiftKey ? selection.reach(down, right) : selection.step(down, right)));
    return true;
  }

  /** Shift with two digits goes to that row and column. @param {KeyboardEvent} event */
  function jumped(event) {
    const found = /^Digit([1-9])$/.exec(event.code);
    if (!found || !event.shiftKey || event.ctrlKey || event.altKey || /^[0-9]$/.test(event.key)) return false;
    const number = Number(found[1]);
    if (jump === null) {
      setJump(number);
    } else {
      const cell = (jump - 1) * SIDE + number - 1;
      setJump(null);
      moved(() => selection.goTo({cell, place: null}));
    }
    return true;
  }

  /** @param {number | null} row */
  function setJump(row) {
    if (row === jump) return;
    jump = row;
    hear.onJump(row);
  }

  /** @param {number} column */
  function rowEnd(column) {
    const {cell} = selection.spot;
    if (cell !== null) moved(() => selection.goTo({cell: cell - (cell % SIDE) + column, place: null}));
  }

  /** The cell at a point of the screen. @param {PointerEvent} event */
  function cellAt(event) {
    const found = document.elementFromPoint(event.clientX, event.clientY)?.closest("[data-cell]");
    return found && grid.contains(found) ? Number(found.getAttribute("data-cell")) : null;
  }

  board.element.addEventListener("keydown", onKey, true);
  document.addEventListener("keydown", (event) => {
    if (event.target !== document.body || event.defaultPrevented) return;
    onKey(event);
    if (event.defaultPrevented && document.activeElement === document.body) follow();
  });
  grid.addEventListener("pointerdown", (event) => {
    const cell = cellAt(event);
    if (cell === null || event.button !== 0) return;
    dragging = !event.shiftKey && !event.ctrlKey && !event.metaKey;
    moved(() => {
      if (event.shiftKey) selection.reachTo(cell);
      else if (event.ctrlKey || event.metaKey) selection.toggle(cell);
      else selection.goTo({cell, place: null});
    });
    event.preventDefault();
  });
  grid.addEventListener("pointermove", (event) => {
    const cell = dragging && event.buttons & 1 ? cellAt(event) : null;
    if (cell !== null && cell !== selection.spot.cell) moved(() => selection.take(cell));
  });
  window.addEventListener("pointerup", () => { dragging = false; });

  return {
    element: board.element,
    focus: follow,
    /** Keep room for the ink of the last page. @param {BriefInk[]} ink */
    reserve(ink) {
      board.reserve(ink, ROOM);
      last = {ink: null, also: ""};
    },
    /** @param {Shown} shown */
    show({ink, typing, waiting, numbers, present, doubted}) {
      const open = typing && typing.sent !== JSON.stringify(typing.gesture) || typing?.trouble ? ghostOf(typing) : [];
      const ghost = [...waiting.flatMap(ghostOf), ...open];
      const also = JSON.stringify([ghost, present, doubted, ghost.length ? numbers : []]);
      if (ink === last.ink && also === last.also) return;
      last = {ink, also};
      const standing = numbers.length ? ink.filter((each) => !numbers.includes(each.stroke ?? 0)) : ink;
      const drawn = ghost.length ? [...standing, ...ghost] : ink;
      board.show({ink: drawn, evidence: doubted.length ? {doubt: doubted} : {}});
      for (const line of board.element.querySelectorAll(".is-present")) line.classList.remove("is-present");
      if (present) for (const line of board.element.querySelectorAll(`[data-stroke="${present}"]`)) line.classList.add("is-present");
    },
    /** @param {number[]} cells @param {import("./logging-selection.js").Place | null} place */
    choose(cells, place) {
      board.choose(cells);
      outside.choose(place);
    },
  };
}

/** What is typed as ink that is not written yet. @param {import("./logging-entry.js").Typing} typing @returns {BriefInk[]} */
function ghostOf({gesture: {cells, digits, other, strike, note, place}}) {
  if (strike || !digits.length) return [];
  const ink = {digits: [...digits], where: place?.where ?? "cell", house: place?.house ?? null, stroke: -1};
  if (cells.length === 1 && digits.length === 1 && !other && !note && !place) return [{kind: "pen", cells, digits: [...digits], stroke: -1}];
  if (other && cells.length > 1) return cells.map((cell) => ({kind: "mark", cells: [cell], ...ink}));
  return [{kind: note ? "note" : "mark", cells, ...ink}];
}
