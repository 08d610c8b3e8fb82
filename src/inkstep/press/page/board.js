// The board: draws a page and takes gestures. It knows no rules; a drawing goes in, gestures come out.

import {SIDE, gridSide, layOut, marginsFor, stateAt, wholeInk} from "./layout.js";
import {shapesOf, viewBoxOf} from "./shapes.js";
import {calm, el, svgEl} from "./elements.js";

const ARROWS = {ArrowLeft: [0, -1], ArrowRight: [0, 1], ArrowUp: [-1, 0], ArrowDown: [1, 0]};
const MOVES = {
  Home: (cell) => cell - (cell % SIDE),
  End: (cell) => cell - (cell % SIDE) + SIDE - 1,
  PageUp: (cell) => cell % SIDE,
  PageDown: (cell) => (cell % SIDE) + SIDE * (SIDE - 1),
};

/** A drawing as JSON gives it, with what was left out filled in. @returns {import("./shapes.js").Drawing} */
export function wholeDrawing({ink = [], evidence = {}, title = ""}) {
  return {ink: ink.map(wholeInk), evidence, title};
}

/** The margins that hold all of this ink. */
export function marginsOf(ink, way) {
  return marginsFor(layOut(ink.map(wholeInk), way), way);
}

/** `row 5, column 7` */
export function cellWords(cell) {
  return `row ${Math.floor(cell / SIDE) + 1}, column ${(cell % SIDE) + 1}`;
}

/** A picture of a drawing, in the colours of the page it stands on. @returns {SVGElement} */
export function pictureOf(drawing, way, margins, attributes = {}) {
  const view = viewBoxOf(margins, way).join(" ");
  return svgEl("svg", {viewBox: view, class: "picture", ...attributes}, ...elementsOf(drawing, way));
}

function unheard() {}

function elementsOf(drawing, way) {
  return shapesOf(drawing, way).map((shape) => {
    const paint = Object.entries(way.paints[shape.paint]).map(([name, value]) => [name, painted(name, value, way)]);
    const stroke = shape.stroke ? {"data-stroke": shape.stroke} : {};
    const attributes = {...Object.fromEntries(paint), ...shape.attributes, ...stroke, "data-paint": shape.paint};
    return svgEl(shape.tag, shape.text ? {...attributes, text: shape.text} : attributes);
  });
}

function painted(name, value, way) {
  const isRole = (name === "fill" || name === "stroke") && value in way.colours.light;
  return isRole ? `var(--${value})` : value;
}

/** What stands in a cell, in words. */
function contentWords(ink, cell) {
  const here = ink.filter((item) => item.cells.includes(cell) && item.digits.length);
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
 * is typed on one, onErase(cell) for Backspace or Delete.
 * @param {{label: string, onCell?: (cell: number) => void, onDigit?: (cell: number, digit: number) => void,
 *          onErase?: (cell: number) => void}} gestures
 */
export function createBoard(host, way, gestures) {
  const {label, onCell, onDigit, onErase} = {onCell: unheard, onDigit: unheard, onErase: unheard, ...gestures};
  const cells = Array.from({length: SIDE * SIDE}, (_, cell) =>
    el("div", {role: "gridcell", class: "cell", tabindex: cell ? -1 : 0, "data-cell": cell}));
  const rows = Array.from({length: SIDE}, (_, row) =>
    el("div", {role: "row", class: "row"}, cells.slice(row * SIDE, (row + 1) * SIDE)));
  const grid = el("div", {role: "grid", class: "cells", "aria-label": label}, rows);
  const paper = el("div", {class: "paper", "aria-hidden": "true"});
  const board = el("div", {class: "board"}, paper, grid);
  let margins = marginsOf([], way);
  let shown = wholeDrawing({});
  host.append(board);

  function place() {
    const [left, top, width, height] = viewBoxOf(margins, way);
    const side = gridSide(way);
    const share = (part, whole) => `${(100 * part) / whole}%`;
    board.style.setProperty("aspect-ratio", `${width} / ${height}`);
    grid.style.setProperty("left", share(-left, width));
    grid.style.setProperty("top", share(-top, height));
    grid.style.setProperty("width", share(side, width));
    grid.style.setProperty("height", share(side, height));
  }

  function focusCell(cell) {
    cells.forEach((each, index) => each.setAttribute("tabindex", index === cell ? "0" : "-1"));
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
    cells.forEach((each, cell) => {
      const words = [contentWords(shown.ink, cell), ...evidenceWords(shown.evidence, cell)];
      each.setAttribute("aria-label", `${cellWords(cell)}: ${words.join("; ")}`);
    });
  }

  return {
    element: board,
    focusCell,
    /** Keep room for all of this ink, so that the board stays where it is while the page fills. */
    reserve(ink) {
      margins = marginsOf(ink, way);
      place();
    },
    /**
     * Draw; the ink of the strokes numbered in `writing` is written line by line in `ms` milliseconds.
     * @param {any} drawing
     * @param {{writing?: number[], ms?: number}} [how]
     */
    show(drawing, {writing = [], ms = 500} = {}) {
      shown = wholeDrawing(drawing);
      const picture = pictureOf(shown, way, margins);
      paper.replaceChildren(picture);
      nameCells();
      if (writing.length && ms > 60 && !calm()) write(picture, writing, ms);
    },
    /** Show which cells are chosen, for the eye and for screen readers. */
    choose(chosen) {
      cells.forEach((each, cell) => {
        each.classList.toggle("chosen", chosen.includes(cell));
        each.setAttribute("aria-selected", String(chosen.includes(cell)));
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

/** Draw the lines of some strokes one after the other. */
function write(picture, strokes, ms) {
  const lines = [...picture.querySelectorAll("path[data-stroke]")].filter((line) =>
    strokes.includes(Number(line.dataset.stroke)) && line.getAttribute("fill") === "none");
  const lengths = lines.map((line) => line.getTotalLength());
  const whole = lengths.reduce((sum, length) => sum + length, 0);
  let before = 0;
  lines.forEach((line, index) => {
    const length = lengths[index] + 1;
    const timing = {delay: (ms * before) / whole, duration: (ms * lengths[index]) / whole, fill: "backwards"};
    line.setAttribute("stroke-dasharray", `${length} ${length + 20}`);
    line.animate([{strokeDashoffset: length + 10}, {strokeDashoffset: 0}], timing)
      .finished.then(() => line.removeAttribute("stroke-dasharray"), () => {});
    before += lengths[index];
  });
}
