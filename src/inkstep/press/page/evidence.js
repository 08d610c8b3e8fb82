// Evidence drawn on a page, shape first and colour second: the browser's copy of press/evidence.py.

import {SIDE, BOX, boxOf, cornerOf, digitX, freeInside, gridSide, middleOf, wholeInk} from "./layout.js";
import {lineShape, num, pathShape, penDigit, rectShape} from "./lines.js";

/**
 * @typedef {{seen?: number[], read?: number[], reach?: [number, number][], houses?: number[], goal?: number[],
 *            held?: [number[], number[]][], removed?: [number, number][], doubt?: number[],
 *            written?: [number, number][]}} Evidence
 *            what is pointed out, as press/drawing.py names it
 */

const RING = 34;
const RING_FROM = -54;
const RING_TO = -74;
const ROOM = 4.5;
const BAR_BEFORE = 14;
const BAR_HALF = 11;
const CLOUD_INSET = 8;

/**
 * What lies under the ink: brackets of the houses, frames of the cells being settled, reach lines, threads.
 * @param {Evidence} evidence
 * @param {import("./layout.js").Way} way
 */
export function belowInk(evidence, way) {
  return [
    ...(evidence.houses ?? []).map((house) => pathShape("house", bracket(house, way))),
    ...(evidence.goal ?? []).map((cell) => {
      const [x, y] = cornerOf(cell, way);
      return rectShape("goal", x + 8, y + 8, way.cell - 16, way.cell - 16, 3);
    }),
    ...(evidence.held ?? []).flatMap(([cells]) => threads(clusters(cells), way)),
    ...(evidence.reach ?? []).flatMap(([start, end]) => reachShapes(start, end, way)),
  ];
}

/**
 * The lightest tint over each house in question, under the rules.
 * @param {Evidence} evidence
 * @param {import("./layout.js").Way} way
 */
export function tints(evidence, way) {
  return (evidence.houses ?? []).map((house) => rectShape("tint", ...extent(house, way)));
}

/**
 * What is drawn over the ink: rings, clouds, slashes, wavy lines.
 * @param {Evidence} evidence
 * @param {import("./layout.js").Spot[]} spots
 * @param {import("./layout.js").Way} way
 */
export function aboveInk(evidence, spots, way) {
  const taken = spots.map(boxOf);
  return [
    ...(evidence.seen ?? []).map((cell) => pathShape("ring", ringPath(...middleOf(cell, way), RING, RING))),
    ...(evidence.read ?? []).flatMap((stroke) =>
      spots.filter((spot) => spot.ink.stroke === stroke).map((spot) => pathShape("markring", ringRound(boxOf(spot))))),
    ...(evidence.held ?? []).flatMap(([cells, digits]) => heldShapes(cells, digits, taken, way)),
    ...(evidence.removed ?? []).flatMap(([cell, digit]) => removedShapes(cell, digit, spots, taken, way)),
    ...(evidence.doubt ?? []).flatMap((stroke) =>
      spots.filter((spot) => spot.ink.stroke === stroke).map((spot) => pathShape("wave", wave(boxOf(spot))))),
  ];
}

/** Left, top, width and height of a house. */
function extent(house, way) {
  const index = house % SIDE;
  const side = way.cell;
  const grid = gridSide(way);
  if (house < SIDE) return [0, index * side, grid, side];
  if (house < 2 * SIDE) return [index * side, 0, side, grid];
  return [(index % BOX) * BOX * side, Math.floor(index / BOX) * BOX * side, BOX * side, BOX * side];
}

function bracket(house, way) {
  const [x, y, width, height] = extent(house, way);
  const [right, foot, grid, out] = [num(x + width), num(y + height), gridSide(way), 9];
  if (house < SIDE) {
    return `M0 ${num(y)}H${-out}V${foot}H0M${grid} ${num(y)}H${grid + out}V${foot}H${grid}`;
  }
  if (house < 2 * SIDE) {
    return `M${num(x)} 0V${-out}H${right}V0M${num(x)} ${grid}V${grid + out}H${right}V${grid}`;
  }
  return elbows(x, y, x + width, y + height);
}

/** The four corners of a box's bracket, a little outside its rules. */
function elbows(left, top, right, foot) {
  const [out, arm] = [7, 30];
  const corners = [[left, top, 1, 1], [right, top, -1, 1], [right, foot, -1, -1], [left, foot, 1, -1]];
  return corners.map(([x, y, dx, dy]) => {
    const [cx, cy] = [x - dx * out, y - dy * out];
    return `M${num(cx)} ${num(cy + dy * arm)}V${num(cy)}H${num(cx + dx * arm)}`;
  }).join("");
}

function ringPath(x, y, across, down) {
  const at = (degrees) => {
    const angle = (degrees * Math.PI) / 180;
    return `${num(x + across * Math.cos(angle))} ${num(y + down * Math.sin(angle))}`;
  };
  return `M${at(RING_FROM)}A${num(across)} ${num(down)} 0 1 1 ${at(RING_TO)}`;
}

/** An open ring round a mark. */
function ringRound([left, top, right, foot]) {
  return ringPath((left + right) / 2, (top + foot) / 2, (right - left) / 2 + ROOM, (foot - top) / 2 + ROOM);
}

function reachShapes(start, end, way) {
  const [x1, y1] = middleOf(start, way);
  const [x2, y2] = middleOf(end, way);
  const length = Math.hypot(x2 - x1, y2 - y1);
  if (length < 1) return [];
  const [ux, uy] = [(x2 - x1) / length, (y2 - y1) / length];
  const [bx, by] = [x2 - ux * BAR_BEFORE, y2 - uy * BAR_BEFORE];
  return [
    lineShape("reach", x1 + ux * (RING + 3), y1 + uy * (RING + 3), bx, by),
    lineShape("bar", bx - uy * BAR_HALF, by + ux * BAR_HALF, bx + uy * BAR_HALF, by - ux * BAR_HALF),
  ];
}

function heldShapes(cells, digits, taken, way) {
  const shapes = [];
  for (const group of clusters(cells)) {
    const [left, top, right, foot] = hull(group, way);
    shapes.push(rectShape("cloud", left, top, right - left, foot - top, 18));
  }
  for (const cell of cells) {
    const spot = freeInside(wholeInk({kind: "mark", cells: [cell], digits}), cell, "held", taken, way);
    taken.push(boxOf(spot));
    const hand = {paint: "held", size: spot.size, weight: way.weight.held};
    digits.forEach((digit, index) => shapes.push(...penDigit(digit, digitX(spot, index), spot.y, hand, way)));
  }
  return shapes;
}

/** The cells in runs that fill a rectangle; each remaining cell alone. */
function clusters(cells) {
  const ordered = [...cells].sort((a, b) => a - b);
  const rows = ordered.map((cell) => Math.floor(cell / SIDE));
  const columns = ordered.map((cell) => cell % SIDE);
  const span = (values) => Math.max(...values) - Math.min(...values) + 1;
  if (span(rows) * span(columns) === ordered.length) return [ordered];
  const runs = [];
  for (const cell of ordered) {
    const run = runs.find((earlier) => prolongs(earlier, cell));
    if (run) run.push(cell);
    else runs.push([cell]);
  }
  return runs;
}

/** Whether a cell lies straight on from the run's last one. */
function prolongs(run, cell) {
  const step = cell - run.at(-1);
  if ((step !== 1 && step !== SIDE) || (step === 1 && cell % SIDE === 0)) return false;
  return run.length === 1 || run.at(-1) - run.at(-2) === step;
}

function hull(cells, way) {
  const corners = cells.map((cell) => cornerOf(cell, way));
  const xs = corners.map(([x]) => x);
  const ys = corners.map(([, y]) => y);
  return [
    Math.min(...xs) + CLOUD_INSET,
    Math.min(...ys) + CLOUD_INSET,
    Math.max(...xs) + way.cell - CLOUD_INSET,
    Math.max(...ys) + way.cell - CLOUD_INSET,
  ];
}

function threads(groups, way) {
  return groups.slice(1).map((group, index) => thread(groups[index], group, way));
}

/** The dotted line that joins two clouds of one held fact, from edge to edge. */
function thread(before, after, way) {
  const [a, b] = [hull(before, way), hull(after, way)];
  const [x1, y1] = [(a[0] + a[2]) / 2, (a[1] + a[3]) / 2];
  const [x2, y2] = [(b[0] + b[2]) / 2, (b[1] + b[3]) / 2];
  return lineShape("cloud", ...edgeOf(a, x2 - x1, y2 - y1), ...edgeOf(b, x1 - x2, y1 - y2));
}

/** Where the ray from the middle of a box in a direction leaves it. */
function edgeOf(box, dx, dy) {
  const [halfWidth, halfHeight] = [(box[2] - box[0]) / 2, (box[3] - box[1]) / 2];
  const share = Math.min(dx ? halfWidth / Math.abs(dx) : Infinity, dy ? halfHeight / Math.abs(dy) : Infinity);
  return [(box[0] + box[2]) / 2 + dx * share, (box[1] + box[3]) / 2 + dy * share];
}

/** A slash through the candidate: through the mark that holds it, else through a digit pencilled in for the purpose. */
function removedShapes(cell, digit, spots, taken, way) {
  const shapes = [];
  let spot = spots.find((s) => s.cell === cell && s.ink.kind === "mark" && s.ink.digits.includes(digit));
  if (!spot) {
    spot = freeInside(wholeInk({kind: "mark", cells: [cell], digits: [digit]}), cell, "mark", taken, way);
    taken.push(boxOf(spot));
    const hand = {paint: "faded", size: spot.size, weight: way.weight.mark};
    shapes.push(...penDigit(digit, spot.x, spot.y, hand, way));
  }
  const x = digitX(spot, spot.ink.digits.indexOf(digit));
  shapes.push(lineShape("slash", x - 7, spot.y + 10, x + 7, spot.y - 10));
  return shapes;
}

/** A wavy line under a mark. */
function wave(box) {
  const [left, right, y] = [box[0] - 1, box[2] + 1, box[3] + 3 + (box[3] - box[1]) * 0.06];
  const waves = Math.max(2, Math.floor((right - left) / 8));
  const step = (right - left) / waves;
  const one = `q${num(step / 4)} -3.4 ${num(step / 2)} 0t${num(step / 2)} 0`;
  return `M${num(left)} ${num(y)}${one.repeat(waves)}`;
}
