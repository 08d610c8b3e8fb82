// Where ink lies on the drawn page: the browser's copy of press/layout.py (a test holds the two side by side).
//
// Everything is placed in the order in which it was written, each at the first of its preferred spots that is still
// free: so nothing collides, and nothing moves when more is written.

/**
 * @typedef {{kind: string, cells: number[], digits: number[], where: string, house: ?number, state: string,
 *            text: string, stroke: number, covered: number[], struck: [number, number][]}} Ink
 * @typedef {Partial<Ink> & {kind: string}} BriefInk  ink whose fields may be left at their defaults
 * @typedef {{ink: Ink, cell: ?number, x: number, y: number, size: number, pitch: number, width: number}} Spot
 * @typedef {[number, number, number, number]} Box  left, top, right, bottom
 * @typedef {{ink: Ink[], spots: Spot[][], taken: Box[], ends: number[]}} Layout  the spots of each piece of ink, the room that is
 *            taken, and how much of it was taken after each piece
 * @typedef {{left: number, top: number, right: number, bottom: number}} Margins
 * @typedef {{cell: number, overshoot: number, tilt: number, margin: Margins, size: Record<string, number>,
 *            pitch: Record<string, number>, weight: Record<string, number>, colours: Record<string, Record<string, string>>,
 *            paints: Record<string, Record<string, string | number>>, pen: Record<string, {d: string, length: number}[]>,
 *            printed: Record<string, string>}} Way  the manner of drawing, as press/manner.py gives it
 */

export const SIDE = 9;
export const BOX = 3;
export const DIGITS = [1, 2, 3, 4, 5, 6, 7, 8, 9];

const LINES = [15, 35, 55, 75];
const EDGE = 7;
const SCALES = [1, 0.75, 0.55, 0.4];
const NARROW = 0.6;
const TEXT_MOST = {cell: 9, border: 9, left: 12, right: 12, above: 28, below: 28};
const MARGIN_PAD = 14;
const PLAIN_INK = {
  cells: [], digits: [], where: "cell", house: null, state: "standing", text: "", stroke: 0, covered: [], struck: [],
};

/** Ink with the fields that were left at their defaults. @param {BriefInk} ink @returns {Ink} */
export function wholeInk(ink) {
  return {...PLAIN_INK, ...ink};
}

/** Whether one digit of a mark was crossed out, in a cell or (null) in all of its cells. */
export function isStruck(ink, cell, digit) {
  const cells = cell === null ? ink.cells : [cell];
  return cells.some((each) => ink.struck.some(([at, what]) => at === each && what === digit));
}

/** What became of the ink in one of its cells; null for ink that is written once for all of them. */
export function stateAt(ink, cell) {
  if (cell !== null && ink.covered.includes(cell)) return "over";
  if (ink.digits.length && ink.digits.every((digit) => isStruck(ink, cell, digit))) return "struck";
  return ink.state;
}

/** The side of the whole grid in units. @param {Way} way */
export function gridSide(way) {
  return SIDE * way.cell;
}

/** The upper left corner of a cell. @param {number} cell @param {Way} way */
export function cornerOf(cell, way) {
  return [(cell % SIDE) * way.cell, Math.floor(cell / SIDE) * way.cell];
}

/** The middle of a cell. @param {number} cell @param {Way} way */
export function middleOf(cell, way) {
  const [x, y] = cornerOf(cell, way);
  return [x + way.cell / 2, y + way.cell / 2];
}

/** Left, top, right and bottom of a spot. @param {Spot} spot @returns {Box} */
export function boxOf(spot) {
  const [w, h] = [spot.width / 2, spot.size / 2];
  return [spot.x - w, spot.y - h, spot.x + w, spot.y + h];
}

/** The middle of the digit at an index. @param {Spot} spot @param {number} index */
export function digitX(spot, index) {
  return spot.x + (index - (spot.ink.digits.length - 1) / 2) * spot.pitch;
}

/** A note's text, shortened to what fits where it stands. */
export function shownText(ink) {
  const most = TEXT_MOST[ink.where] ?? 9;
  const signs = [...ink.text];
  return signs.length <= most ? ink.text : signs.slice(0, most - 1).join("") + "…";
}

/** Where each piece of ink lies, in the order given. @param {Ink[]} ink @param {Way} way @returns {Spot[]} */
export function layOut(ink, way) {
  return layOutFrom(NO_LAYOUT, ink, way).spots.flat();
}

/** @type {Layout} */
export const NO_LAYOUT = {ink: [], spots: [], taken: [], ends: []};

/**
 * The same, going on from an earlier layout: as nothing moves when more is written, what begins alike is taken over, and ink
 * that is the very same object keeps its very same spots.
 * @param {Layout} earlier
 * @param {Ink[]} ink
 * @param {Way} way
 * @returns {Layout}
 */
export function layOutFrom(earlier, ink, way) {
  let same = 0;
  while (same < Math.min(ink.length, earlier.ink.length) && liesAlike(earlier.ink[same], ink[same])) same += 1;
  const spots = earlier.spots.slice(0, same).map((each, index) =>
    (earlier.ink[index] === ink[index] ? each : each.map((spot) => ({...spot, ink: ink[index]}))));
  const ends = earlier.ends.slice(0, same);
  const taken = earlier.taken.slice(0, ends.at(-1) ?? 0);
  for (const item of ink.slice(same)) {
    const here = [];
    for (const cell of item.where === "cell" ? item.cells : [null]) {
      const spot = spotFor(item, cell, taken, way);
      here.push(spot);
      if (!isLarge(item)) taken.push(boxOf(spot));
    }
    spots.push(here);
    ends.push(taken.length);
  }
  return {ink, spots, taken, ends};
}

/** Whether two pieces of ink lie at the same place, whatever became of them. @param {Ink} a @param {Ink} b */
function liesAlike(a, b) {
  return a === b || (a.kind === b.kind && a.where === b.where && a.house === b.house && a.text === b.text
    && (a.state === "crossed") === (b.state === "crossed") && alike(a.cells, b.cells) && alike(a.digits, b.digits));
}

function alike(a, b) {
  return a === b || (a.length === b.length && a.every((each, index) => each === b[index]));
}

function isLarge(ink) {
  return (ink.kind === "given" || ink.kind === "pen") && ink.state !== "crossed";
}

function spotFor(ink, cell, taken, way) {
  if (cell !== null && isLarge(ink)) {
    const [x, y] = middleOf(cell, way);
    const size = way.size[ink.kind];
    return {ink, cell, x, y: y + 1, size, pitch: 0, width: size * NARROW};
  }
  return firstFree(candidatesFor(ink, cell, way), taken);
}

function firstFree(candidates, taken) {
  let last = null;
  for (const spot of candidates) {
    last = spot;
    if (!taken.some((box) => meet(boxOf(spot), box))) return spot;
  }
  return last;
}

function meet(a, b) {
  return a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3];
}

function candidatesFor(ink, cell, way) {
  if (cell !== null) return inside(ink, cell, way);
  if (ink.where === "border" && ink.cells.length) return across(ink, way);
  return outside(ink, way);
}

function* inside(ink, cell, way) {
  const [left, top] = cornerOf(cell, way);
  const crossed = ink.state === "crossed";
  const upper = crossed || (ink.digits.length === 1 && ink.cells.length > 1);
  for (const scale of SCALES) {
    const [size, pitch, width] = measure(ink, scale, way.cell - 2 * EDGE, way);
    const lines = upper ? linesAt(scale) : linesAt(scale).reverse();
    for (const line of lines) {
      for (const offset of offsetsFor(width, way.cell, !upper || crossed)) {
        yield {ink, cell, x: left + offset, y: top + line, size, pitch, width};
      }
    }
  }
}

function linesAt(scale) {
  if (scale === 1) return [...LINES];
  const count = Math.floor(80 / (20 * scale));
  return Array.from({length: count}, (_, index) => 5 + ((index + 0.5) * 80) / count);
}

/** Middles of a mark from both edges of the cell inwards, in turn. */
function* offsetsFor(width, cell, rightFirst) {
  for (let step = 0; step <= cell - 2 * EDGE - width; step += 8.5) {
    const left = EDGE + width / 2 + step;
    const right = cell - EDGE - width / 2 - step;
    yield* rightFirst ? [right, left] : [left, right];
  }
}

/** A free spot for small digits drawn in by evidence: the middle of the cell where it is free. @returns {Spot} */
export function freeInside(ink, cell, style, taken, way) {
  const [x, y] = middleOf(cell, way);
  const [size, pitch, width] = measure(ink, 1, way.cell - 2 * EDGE, way, style);
  const first = {ink, cell, x, y, size, pitch, width};
  return firstFree([first, ...inside(ink, cell, way)], taken);
}

/** Height, pitch and width of ink written small; digits close up where there is no room. */
function measure(ink, scale, room, way, style = "") {
  const within = ink.where === "cell" || ink.where === "border";
  if (ink.text && !ink.digits.length) {
    const size = (within ? 15 : 19) * scale;
    return [size, 0, Math.min(room, [...shownText(ink)].length * size * 0.5)];
  }
  style = style || (within ? "mark" : "outside");
  const size = (ink.state === "crossed" ? way.size.crossed : way.size[style]) * scale;
  const pitch = way.pitch[style] * scale;
  const count = Math.max(1, ink.digits.length);
  const squeeze = Math.min(1, room / (count * pitch));
  return [size * squeeze, pitch * squeeze, count * pitch * squeeze];
}

/** Across the border of the first and the last of the cells. */
function* across(ink, way) {
  const xs = ink.cells.map((cell) => middleOf(cell, way)[0]);
  const ys = ink.cells.map((cell) => middleOf(cell, way)[1]);
  const x = (Math.min(...xs) + Math.max(...xs)) / 2;
  const y = (Math.min(...ys) + Math.max(...ys)) / 2;
  for (const scale of SCALES) {
    const [size, pitch, width] = measure(ink, scale, way.cell, way);
    for (const [dx, dy] of new Set(ys).size === 1 ? upright(scale) : level(scale, (way.cell - width) / 2)) {
      yield {ink, cell: null, x: x + dx, y: y + dy, size, pitch, width};
    }
  }
}

/** Spots on an upright border: at its foot, at its head, towards its middle; then the same a little aside. */
function* upright(scale) {
  const lines = linesAt(scale);
  const count = Math.floor((lines.length + 1) / 2);
  for (const dx of [0, 12, -12]) {
    for (let index = 0; index < count; index += 1) {
      yield [dx, lines[lines.length - 1 - index] - 45];
      yield [dx, lines[index] - 45];
    }
  }
}

/** Spots on a level border: its middle, beside that, then a line below and above. */
function* level(scale, aside) {
  for (const line of [0, 1, -1, 2, -2]) {
    for (const dx of [0, aside, -aside]) yield [dx, line * 20 * scale];
  }
}

/** Outside the frame beside the house, each further one farther out. */
function* outside(ink, way) {
  const [x, y] = anchorOf(ink, way);
  const grid = gridSide(way);
  const [size, pitch, width] = measure(ink, 1, grid, way);
  const spot = (sx, sy) => ({ink, cell: null, x: sx, y: sy, size, pitch, width});
  for (let step = 0; step < 40; step += 1) {
    if (ink.where === "below") yield spot(x, grid + 28 + step * 7);
    else if (ink.where === "left") yield spot(-40 - width / 2 - step * 9, y);
    else if (ink.where === "right") yield spot(grid + 22 + width / 2 + step * 9, y);
    else yield spot(x, -52 - step * 7);
  }
}

function anchorOf(ink, way) {
  const grid = gridSide(way);
  if (ink.house !== null) {
    const index = ink.house % SIDE;
    const half = way.cell / 2;
    if (ink.house < SIDE) return [grid / 2, index * way.cell + half];
    if (ink.house < 2 * SIDE) return [index * way.cell + half, grid / 2];
    const [across_, down] = [(index % BOX) * BOX + 1, Math.floor(index / BOX) * BOX + 1];
    return [across_ * way.cell + half, down * way.cell + half];
  }
  if (ink.cells.length) {
    const spots = ink.cells.map((cell) => middleOf(cell, way));
    const sum = spots.reduce(([sx, sy], [x, y]) => [sx + x, sy + y], [0, 0]);
    return [sum[0] / spots.length, sum[1] / spots.length];
  }
  return [grid / 2, grid / 2];
}

/**
 * The usual margins, widened for what was written outside the frame.
 * @param {Spot[]} spots
 * @param {Way} way
 * @returns {Margins}
 */
export function marginsFor(spots, way) {
  const grid = gridSide(way);
  const boxes = spots.map(boxOf);
  return {
    left: Math.max(way.margin.left, ...boxes.map((box) => MARGIN_PAD - box[0])),
    top: Math.max(way.margin.top, ...boxes.map((box) => MARGIN_PAD - box[1])),
    right: Math.max(way.margin.right, ...boxes.map((box) => box[2] - grid + MARGIN_PAD)),
    bottom: Math.max(way.margin.bottom, ...boxes.map((box) => box[3] - grid + MARGIN_PAD)),
  };
}
