// The shapes a page is drawn with, in the order they are painted: the browser's copy of press/shape.py and
// press/shapes.py (a test holds the two side by side). No DOM in here.

import {SIDE, BOX, boxOf, digitX, gridSide, isStruck, layOut, middleOf, shownText, stateAt} from "./layout.js";
import {aboveInk, belowInk, tints} from "./evidence.js";
import {lineShape, num, pathShape, penDigit, printedDigit, rectShape, textShape, tiltOf} from "./lines.js";

/**
 * @typedef {{ink: import("./layout.js").Ink[], evidence: import("./evidence.js").Evidence, title: string}} Drawing
 *            ink as wholeInk gives it
 */

const DIGIT_PAINTS = {crossed: "crossed", over: "overpen"};
const LAYERS = ["mark", "note", "pen", "given"];

/**
 * The whole picture without its ground; `share` from 0 to 1 is how much of the digits of evidence.written is written. `spots`
 * are those of the drawing's ink, where they are known already.
 * @param {Drawing} drawing
 * @param {import("./layout.js").Way} way
 * @param {number} [share]
 * @param {import("./layout.js").Spot[]} [spots]
 * @returns {import("./lines.js").Shape[]}
 */
export function shapesOf(drawing, way, share = 1, spots = layOut(drawing.ink, way)) {
  const evidence = drawing.evidence;
  const writing = new Set((evidence.written ?? []).map(([cell, digit]) => `${cell} ${digit}`));
  const standing = spots.filter((spot) => !writing.has(keyOf(spot)));
  return [
    ...sheetShapes(evidence, way),
    ...labelShapes(way),
    ...belowInk(evidence, way),
    ...inkShapes(standing, way),
    ...writtenShapes(evidence, share, way),
    ...aboveInk(evidence, spots, way),
  ];
}

/**
 * Left, top, width and height of the picture in units.
 * @param {import("./layout.js").Margins} margins
 * @param {import("./layout.js").Way} way
 */
export function viewBoxOf(margins, way) {
  const grid = gridSide(way);
  return [-margins.left, -margins.top, margins.left + grid + margins.right, margins.top + grid + margins.bottom];
}

function sheetShapes(evidence, way) {
  const grid = gridSide(way);
  const every = Array.from({length: SIDE + 1}, (_, index) => index);
  return [
    rectShape("sheet", 0, 0, grid, grid),
    ...tints(evidence, way),
    pathShape("thin", rules(every.filter((index) => index % BOX), 0, way)),
    pathShape("box", rules(every.filter((index) => !(index % BOX)), way.overshoot, way)),
  ];
}

function rules(indices, over, way) {
  const [from, to] = [num(-over), num(gridSide(way) + over)];
  const at = indices.map((index) => num(index * way.cell));
  return at.map((y) => `M${from} ${y}H${to}`).join("") + at.map((x) => `M${x} ${from}V${to}`).join("");
}

function labelShapes(way) {
  const shapes = [];
  for (let index = 0; index < SIDE; index += 1) {
    const centre = (index + 0.5) * way.cell;
    shapes.push(textShape("label", centre, -21, String(index + 1)));
    shapes.push(textShape("label", -25, centre + 6, String(index + 1)));
  }
  return shapes;
}

function keyOf(spot) {
  const {kind, state, digits} = spot.ink;
  return kind === "pen" && state === "standing" && spot.cell !== null ? `${spot.cell} ${digits[0]}` : "";
}

function inkShapes(spots, way) {
  return LAYERS.flatMap((layer) =>
    spots.filter((spot) => spot.ink.kind === layer).flatMap((spot) => keptShapes(spot, way)));
}

/** The same spot always gives the very same shapes. @type {WeakMap<import("./layout.js").Spot, import("./lines.js").Shape[]>} */
const shapesOfSpot = new WeakMap();

function keptShapes(spot, way) {
  const shapes = shapesOfSpot.get(spot) ?? pieceShapes(spot, way);
  shapesOfSpot.set(spot, shapes);
  return shapes;
}

/** One piece of ink where it lies. */
function pieceShapes(spot, way) {
  const ink = spot.ink;
  let shapes;
  if (ink.kind === "given") {
    shapes = [printedDigit(ink.digits[0], spot.x, spot.y, spot.size, way)];
  } else if (ink.kind === "pen") {
    shapes = digitShapes(spot, way);
  } else if (ink.text && !ink.digits.length) {
    const size = {"font-size": num(spot.size), "text-anchor": "middle"};
    const written = textShape("note", spot.x, spot.y + spot.size * 0.3, shownText(ink), size);
    shapes = [{...written, stroke: ink.stroke}];
  } else {
    shapes = smallShapes(spot, way);
  }
  if (stateAt(ink, spot.cell) === "struck") shapes.push(lineThrough(spot, 3));
  return shapes;
}

function digitShapes(spot, way) {
  const ink = spot.ink;
  const paint = DIGIT_PAINTS[ink.state] ?? "pen";
  const hand = {paint, size: spot.size, weight: way.weight[paint], lean: tiltOf(spot.cell ?? 0, ink.digits[0], way)};
  const shapes = penDigit(ink.digits[0], spot.x, spot.y, hand, way, ink.stroke);
  if (ink.state === "crossed") shapes.push(slashShape(spot.x, spot.y, 9.5, ink.stroke));
  return shapes;
}

/** A mark or a noted row of digits. */
function smallShapes(spot, way) {
  const ink = spot.ink;
  const state = stateAt(ink, spot.cell);
  const style = ink.where === "cell" || ink.where === "border" ? "mark" : "outside";
  const weight = (way.weight[style] * spot.size) / way.size[style];
  return ink.digits.flatMap((digit, index) => {
    const struck = isStruck(ink, spot.cell, digit);
    const paint = state === "standing" && !struck ? "mark" : "faded";
    const hand = {paint, size: spot.size, weight, lean: tiltOf(index, digit, way)};
    const lines = penDigit(digit, digitX(spot, index), spot.y, hand, way, ink.stroke);
    if (struck && state !== "struck") lines.push(slashShape(digitX(spot, index), spot.y, 7, ink.stroke));
    return lines;
  });
}

function lineThrough(spot, rise) {
  const [left, , right] = boxOf(spot);
  return {...lineShape("strike", left - 3, spot.y + rise, right + 3, spot.y - rise), stroke: spot.ink.stroke};
}

/** A stroke through one digit. */
function slashShape(x, y, half, stroke) {
  return {...lineShape("strike", x - half, y + half, x + half, y - half), stroke};
}

/** The digits being written, as far as `share`. */
function writtenShapes(evidence, share, way) {
  return (evidence.written ?? []).flatMap(([cell, digit]) => {
    const [x, y] = middleOf(cell, way);
    const hand = {paint: "pen", size: way.size.pen, weight: way.weight.pen, lean: tiltOf(cell, digit, way), share};
    return penDigit(digit, x, y + 1, hand, way, -1);
  });
}
