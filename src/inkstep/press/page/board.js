// The board: draws a page and takes gestures. It knows no rules; a drawing goes in, gestures come out.

import {NO_LAYOUT, SIDE, gridSide, layOut, layOutFrom, marginsFor, stateAt, wholeInk} from "./layout.js";
import {shapesOf, viewBoxOf} from "./shapes.js";
import {calm, el, svgEl} from "./elements.js";

const ARROWS = {ArrowLeft: [0, -1], ArrowRight: [0, 1], ArrowUp: [-1, 0], ArrowDown: [1, 0]};
const MOVES = {
  Home: (cell) => cell - (cell % SIDE),
  End: (cell) => cell - (cell % SIDE) + SIDE - 1,
  PageUp: (cell) => cell % SIDE,
  PageDown: (cell) => (cell % SIDE) + SIDE * (SIDE - 1),
};

/**
 * @typedef {{ink?: import("./layout.js").BriefInk[], evidence?: import("./evidence.js").Evidence, title?: string}} Shown
 *            a drawing as JSON gives it
 * @typedef {{element: HTMLElement, focusCell: (cell: number) => void,
 *            reserve: (ink: import("./layout.js").BriefInk[], least?: number) => void,
 *            show: (drawing: Shown, how?: {writing?: number[], ms?: number}) => void,
 *            choose: (chosen: number[]) => void, name: (words: string, takes: boolean) => void}} Board
 */

/**
 * A drawing as JSON gives it, with what was left out filled in.
 * @param {Shown} drawing
 * @returns {import("./shapes.js").Drawing}
 */
export function wholeDrawing({ink = [], evidence = {}, title = ""}) {
  return {ink: ink.map(wholeInk), evidence, title};
}

/**
 * The margins that hold all of this ink.
 * @param {import("./layout.js").BriefInk[]} ink
 * @param {import("./layout.js").Way} way
 */
export function marginsOf(ink, way) {
  return marginsFor(layOut(ink.map(wholeInk), way), way);
}

/** `row 5, column 7` @param {number} cell */
export function cellWords(cell) {
  return `row ${Math.floor(cell / SIDE) + 1}, column ${(cell % SIDE) + 1}`;
}

/**
 * A picture of a drawing, in the colours of the page it stands on.
 * @param {import("./shapes.js").Drawing} drawing
 * @param {import("./layout.js").Way} way
 * @param {import("./layout.js").Margins} margins
 * @param {Record<string, string>} [attributes]
 * @returns {SVGElement}
 */
export function pictureOf(drawing, way, margins, attributes = {}) {
  const view = viewBoxOf(margins, way).join(" ");
  return svgEl("svg", {viewBox: view, class: "picture", ...attributes}, ...elementsOf(drawing, way));
}

function unheard() {}

function elementsOf(drawing, way) {
  return shapesOf(drawing, way).map((shape) => elementOf(shape, way));
}

/** @param {import("./lines.js").Shape} shape @param {import("./layout.js").Way} way */
function elementOf(shape, way) {
  const paint = Object.entries(way.paints[shape.paint]).map(([name, value]) => [name, painted(name, value, way)]);
  const stroke = shape.stroke ? {"data-stroke": shape.stroke} : {};
  const attributes = {...Object.fromEntries(paint), ...shape.attributes, ...stroke, "data-paint": shape.paint};
  return svgEl(shape.tag, shape.text ? {...attributes, text: shape.text} : attributes);
}

/**
 * A picture that is drawn again and again: of what stays the same, spots, shapes and elements are kept, so that a stroke
 * more costs as much as that stroke, however full the page is.
 * @param {import("./layout.js").Way} way
 */
function livingPicture(way) {
  const picture = svgEl("svg", {class: "picture"});
  /** @type {WeakMap<import("./layout.js").BriefInk, import("./layout.js").Ink>} */
  const whole = new WeakMap();
  /** @type {WeakMap<import("./lines.js").Shape, SVGElement>} */
  const made = new WeakMap();
  /** @type {(() => void)[]} what ends the writing of lines */
  const stops = [];
  let layout = NO_LAYOUT;

  function wholeOf(brief) {
    const ink = whole.get(brief) ?? wholeInk(brief);
    whole.set(brief, ink);
    return ink;
  }

  function elementKept(shape) {
    const element = made.get(shape) ?? elementOf(shape, way);
    made.set(shape, element);
    return element;
  }

  return {
    /** Write the lines of some strokes one after the other. @param {number[]} strokes @param {number} ms */
    write(strokes, ms) {
      stops.push(...writeLines(picture, strokes, ms));
    },
    picture,
    /** The margins that hold all of this ink. @param {import("./layout.js").BriefInk[]} ink */
    margins(ink) {
      layout = layOutFrom(layout, ink.map(wholeOf), way);
      return marginsFor(layout.spots.flat(), way);
    },
    /** Show a drawing; gives it with its ink whole. @param {Shown} drawing @param {import("./layout.js").Margins} margins */
    show({ink = [], evidence = {}, title = ""}, margins) {
      const drawing = {ink: ink.map(wholeOf), evidence, title};
      layout = layOutFrom(layout, drawing.ink, way);
      picture.setAttribute("viewBox", viewBoxOf(margins, way).join(" "));
      for (const stop of stops.splice(0)) stop();
      putInOrder(picture, shapesOf(drawing, way, 1, layout.spots.flat()).map(elementKept));
      return drawing;
    },
  };
}

/** Make these the children of an element, touching only what is not in its place. */
function putInOrder(parent, children) {
  const wanted = new Set(children);
  for (const child of [...parent.childNodes]) if (!wanted.has(child)) child.remove();
  let next = parent.firstChild;
  for (const child of children) {
    if (child === next) next = next.nextSibling;
    else parent.insertBefore(child, next);
  }
}

function painted(name, value, way) {
  const isRole = (name === "fill" || name === "stroke") && value in way.colours.light;
  return isRole ? `var(--${value})` : value;
}

/** The ink with digits in each cell. @returns {import("./layout.js").Ink[][]} */
function inkByCell(ink) {
  /** @type {import("./layout.js").Ink[][]} */
  const found = Array.from({length: SIDE * SIDE}, () => []);
  for (const item of ink) if (item.digits.length) item.cells.forEach((cell) => found[cell].push(item));
  return found;
}

/** What stands in a cell, in words. */
function contentWords(here, cell) {
  const digit = here.find((item) => (item.kind === "given" || item.kind === "pen") && item.state === "standing");
  const marks = here.filter((item) => item.kind === "mark" && stateAt(item, cell) === "standing");
  const words = [];
  if (digit) words.push(`${digit.digits[0]}, ${digit.kind === "given" ? "printed" : "written"}`);
  if (marks.length) words.push(`marked ${marks.map((item) => item.digits.join(" ")).join("; ")}`);
  return words.length ? words.join("; ") : "empty";
}

function evidenceWords(evidence, cell) {
  const words = [];
  if (evidence.seen?.includes(cell)) words.push("to be seen");
  if (evidence.goal?.includes(cell)) words.push("to be settled");
  for (const [cells, digits] of evidence.held ?? []) {
    if (cells.includes(cell)) words.push(`held in mind: ${digits.join(" ")}`);
  }
  return words;
}

/**
 * A board inside `host`. Gestures: onCell(cell) when a cell is pressed or entered, onDigit(cell, digit) when a digit
 * is typed on one, onErase(cell) for Backspace or Delete. `around` is laid exactly over the grid, for what a page puts
 * beside it.
 * @param {HTMLElement} host
 * @param {import("./layout.js").Way} way
 * @param {{label: string, onCell?: (cell: number) => void, onDigit?: (cell: number, digit: number) => void,
 *          onErase?: (cell: number) => void, around?: HTMLElement}} gestures
 * @returns {Board}
 */
export function createBoard(host, way, gestures) {
  const {label, onCell, onDigit, onErase, around} = {onCell: unheard, onDigit: unheard, onErase: unheard, ...gestures};
  const cells = Array.from({length: SIDE * SIDE}, (_, cell) =>
    el("div", {role: "gridcell", class: "cell", tabindex: cell ? -1 : 0, "data-cell": cell}));
  const rows = Array.from({length: SIDE}, (_, row) =>
    el("div", {role: "row", class: "row"}, cells.slice(row * SIDE, (row + 1) * SIDE)));
  const grid = el("div", {role: "grid", class: "cells", "aria-label": label}, rows);
  const paper = el("div", {class: "paper", "aria-hidden": "true"});
  const board = el("div", {class: "board"}, paper, grid, around ?? "");
  let margins = marginsOf([], way);
  let shown = wholeDrawing({});
  let stop = 0;
  /** @type {string[]} what each cell is called */
  const names = [];
  const living = livingPicture(way);
  paper.append(living.picture);
  host.append(board);

  function place() {
    const [left, top, width, height] = viewBoxOf(margins, way);
    const side = gridSide(way);
    const share = (part, whole) => `${(100 * part) / whole}%`;
    board.style.setProperty("aspect-ratio", `${width} / ${height}`);
    for (const each of around ? [grid, around] : [grid]) {
      each.style.setProperty("left", share(-left, width));
      each.style.setProperty("top", share(-top, height));
      each.style.setProperty("width", share(side, width));
      each.style.setProperty("height", share(side, height));
    }
  }

  function focusCell(cell) {
    cells[stop].setAttribute("tabindex", "-1");
    cells[cell].setAttribute("tabindex", "0");
    stop = cell;
    cells[cell].focus({preventScroll: true});
    const {top, bottom} = cells[cell].getBoundingClientRect();
    if (top < 0 || bottom > innerHeight) cells[cell].scrollIntoView({block: "nearest"});
  }

  function onKey(event) {
    const cell = Number(event.target.dataset?.cell);
    if (Number.isNaN(cell) || event.ctrlKey || event.metaKey || event.altKey) return;
    const answer = keyAnswer(event, cell);
    if (!answer) return;
    event.preventDefault();
    event.stopPropagation();
    answer();
  }

  function keyAnswer(event, cell) {
    const {key} = event;
    if (key in ARROWS) {
      const [down, right] = ARROWS[key];
      const [row, column] = [Math.floor(cell / SIDE) + down, (cell % SIDE) + right];
      const within = row >= 0 && row < SIDE && column >= 0 && column < SIDE;
      return () => within && focusCell(row * SIDE + column);
    }
    if (key in MOVES) return () => focusCell(MOVES[key](cell));
    if (key === "Enter" || key === " ") return () => onCell(cell);
    if (/^[1-9]$/.test(key)) return () => onDigit(cell, Number(key));
    if (key === "Backspace" || key === "Delete") return () => onErase(cell);
    return null;
  }

  grid.addEventListener("keydown", onKey);
  grid.addEventListener("click", (event) => {
    const cell = event.target.closest("[data-cell]");
    if (!cell) return;
    focusCell(Number(cell.dataset.cell));
    onCell(Number(cell.dataset.cell));
  });

  function nameCells() {
    const ink = inkByCell(shown.ink);
    cells.forEach((each, cell) => {
      const words = [contentWords(ink[cell], cell), ...evidenceWords(shown.evidence, cell)];
      const name = `${cellWords(cell)}: ${words.join("; ")}`;
      if (names[cell] !== name) each.setAttribute("aria-label", name);
      names[cell] = name;
    });
  }

  return {
    element: board,
    focusCell,
    /** Keep room for all of this ink, so that the board stays where it is while the page fills; `least` units on each side. */
    reserve(ink, least = 0) {
      const {left, top, right, bottom} = living.margins(ink);
      const room = (/** @type {number} */ side) => Math.max(side, least);
      margins = {left: room(left), top: room(top), right: room(right), bottom: room(bottom)};
      place();
    },
    /** Draw; the ink of the strokes numbered in `writing` is written line by line in `ms` milliseconds. */
    show(drawing, {writing = [], ms = 500} = {}) {
      shown = living.show(drawing, margins);
      nameCells();
      if (writing.length && ms > 60 && !calm()) living.write(writing, ms);
    },
    /** Show which cells are chosen, for the eye and for screen readers. */
    choose(chosen) {
      cells.forEach((each, cell) => {
        const is = chosen.includes(cell);
        if (each.getAttribute("aria-selected") === String(is)) return;
        each.classList.toggle("chosen", is);
        each.setAttribute("aria-selected", String(is));
      });
    },
    /** What the board is called, and whether it takes gestures now. */
    name(words, takes) {
      grid.setAttribute("aria-label", words);
      grid.setAttribute("aria-readonly", String(!takes));
      board.classList.toggle("takes", takes);
    },
  };
}

/** Draw the lines of some strokes one after the other; gives what stops each at its end. @returns {(() => void)[]} */
function writeLines(picture, strokes, ms) {
  const lines = [...picture.querySelectorAll("path[data-stroke]")].filter((line) =>
    strokes.includes(Number(line.dataset.stroke)) && line.getAttribute("fill") === "none");
  const lengths = lines.map((line) => line.getTotalLength());
  const whole = lengths.reduce((sum, length) => sum + length, 0);
  let before = 0;
  return lines.map((line, index) => {
    const length = lengths[index] + 1;
    const timing = {delay: (ms * before) / whole, duration: (ms * lengths[index]) / whole, fill: "backwards"};
    line.setAttribute("stroke-dasharray", `${length} ${length + 20}`);
    const running = line.animate([{strokeDashoffset: length + 10}, {strokeDashoffset: 0}], timing);
    const end = () => line.removeAttribute("stroke-dasharray");
    running.finished.then(end, () => {});
    before += lengths[index];
    return () => {
      running.cancel();
      end();
    };
  });
}
