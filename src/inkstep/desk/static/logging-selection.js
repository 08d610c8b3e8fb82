// Where the hand is: a cell, several cells, or a place outside the frame. Moving knows nothing of what is written there.

const SIDE = 9;
const BOX = 3;

/**
 * @typedef {{where: string, house: number | null}} Place a place outside the frame, as the server names it
 * @typedef {{cell: number, place: null} | {cell: null, place: Place}} Spot
 * @typedef {ReturnType<typeof createSelection>} Selection
 */

const rowOf = (/** @type {number} */ cell) => Math.floor(cell / SIDE);
const columnOf = (/** @type {number} */ cell) => cell % SIDE;

/** @param {(selection: {cells: number[], place: Place | null}) => void} onChange */
export function createSelection(onChange) {
  /** @type {number[]} */
  let kept = [];
  /** @type {number[]} */
  let range = [0];
  let anchor = 0;
  /** @type {Spot} */
  let spot = {cell: 0, place: null};

  function tell() {
    onChange({cells: cells(), place: spot.place});
  }

  function cells() {
    return spot.place ? [...kept] : [...new Set([...kept, ...range])];
  }

  /** @param {Spot} to */
  function goTo(to) {
    spot = to;
    if (to.cell !== null) {
      anchor = to.cell;
      range = [to.cell];
    }
    tell();
  }

  return {
    get spot() {
      return spot;
    },
    cells,
    get keeps() {
      return kept.length > 0;
    },
    goTo,
    /** One step; over the edge lies the place beside the row or column, and beyond it that beside the box. @param {number} down @param {number} right */
    step(down, right) {
      goTo(next(spot, down, right));
    },
    /** Take in the cells as far as the next one. @param {number} down @param {number} right */
    reach(down, right) {
      if (spot.cell === null) return;
      const [row, column] = [rowOf(spot.cell) + down, columnOf(spot.cell) + right];
      if (row < 0 || row >= SIDE || column < 0 || column >= SIDE) return;
      spot = {cell: row * SIDE + column, place: null};
      range = between(anchor, spot.cell);
      tell();
    },
    /** Take in the cells as far as this one. @param {number} cell */
    reachTo(cell) {
      spot = {cell, place: null};
      range = between(anchor, cell);
      tell();
    },
    /** Take in this cell, too, in the order in which the hand comes by. @param {number} cell */
    take(cell) {
      spot = {cell, place: null};
      range = [...new Set([...range, cell])];
      tell();
    },
    /** Put a cell to those selected, or out of them. @param {number} cell */
    toggle(cell) {
      const all = cells();
      const others = all.filter((each) => each !== cell);
      kept = [];
      range = all.includes(cell) && others.length ? others : [...others, cell];
      anchor = cell;
      spot = {cell, place: null};
      tell();
    },
    /** Keep what is selected while moving on. */
    keep() {
      kept = cells();
      tell();
    },
    /** Only the cell under the hand. */
    alone() {
      kept = [];
      goTo(spot);
    },
    /** The stroke is done: what was kept is let go with the next move. */
    release() {
      range = cells();
      kept = [];
    },
  };
}

/** The rectangle between two cells, from the upper left. @param {number} a @param {number} b */
function between(a, b) {
  const rows = [rowOf(a), rowOf(b)].sort((x, y) => x - y);
  const columns = [columnOf(a), columnOf(b)].sort((x, y) => x - y);
  const found = [];
  for (let row = rows[0]; row <= rows[1]; row += 1) {
    for (let column = columns[0]; column <= columns[1]; column += 1) found.push(row * SIDE + column);
  }
  return found;
}

/** @param {Spot} spot @param {number} down @param {number} right @returns {Spot} */
function next(spot, down, right) {
  return spot.place ? outsideStep(spot.place, down, right) ?? spot : insideStep(spot.cell ?? 0, down, right);
}

/** @param {number} cell @param {number} down @param {number} right @returns {Spot} */
function insideStep(cell, down, right) {
  const [row, column] = [rowOf(cell) + down, columnOf(cell) + right];
  if (row < 0) return out("above", SIDE + column);
  if (row >= SIDE) return out("below", SIDE + column);
  if (column < 0) return out("left", row);
  if (column >= SIDE) return out("right", row);
  return {cell: row * SIDE + column, place: null};
}

/** @param {string} where @param {number} house @returns {Spot} */
function out(where, house) {
  return {cell: null, place: {where, house}};
}

/**
 * A step outside the frame: outwards from a line to its box, inwards from the box to its middle line and on to the cell,
 * or along the frame.
 * @param {Place} place @param {number} down @param {number} right @returns {Spot | null}
 */
function outsideStep({where, house}, down, right) {
  const level = where === "above" || where === "below";
  const outwards = {above: -down, below: down, left: -right, right}[where] ?? 0;
  const along = level ? right : down;
  const isBox = (house ?? 0) >= 2 * SIDE;
  const index = (house ?? 0) % SIDE;
  const line = isBox ? BOX * (level ? index % BOX : Math.floor(index / BOX)) + 1 : index;
  const box = Math.floor(line / BOX);
  if (outwards > 0) return isBox ? null : out(where, boxBeside(where, box));
  if (outwards < 0) return isBox ? out(where, lineHouse(level, line)) : {cell: edgeCell(where, line), place: null};
  const to = isBox ? box + along : line + along;
  if (to < 0 || to >= (isBox ? BOX : SIDE)) return null;
  return out(where, isBox ? boxBeside(where, to) : lineHouse(level, to));
}

const lineHouse = (/** @type {boolean} */ level, /** @type {number} */ line) => (level ? SIDE + line : line);

/** @param {string} where @param {number} box the how manieth along that side */
function boxBeside(where, box) {
  const index = {above: box, below: 2 * BOX + box, left: BOX * box, right: BOX * box + 2}[where] ?? 0;
  return 2 * SIDE + index;
}

/** @param {string} where @param {number} line */
function edgeCell(where, line) {
  const last = SIDE - 1;
  return {above: line, below: SIDE * last + line, left: SIDE * line, right: SIDE * line + last}[where] ?? 0;
}

/** `above column 5`, `left of box 4` @param {Place} place */
export function placeWords({where, house}) {
  const side = {above: "above", below: "below", left: "left of", right: "right of", border: "across the border"}[where] ?? "";
  if (house === null) return side;
  const kind = ["row", "column", "box"][Math.floor(house / SIDE)];
  return `${side} ${kind} ${(house % SIDE) + 1}`;
}

/** `r5c1 r5c2` @param {number[]} cells */
export function cellNames(cells) {
  return cells.map((cell) => `r${rowOf(cell) + 1}c${columnOf(cell) + 1}`).join(" ");
}

/** Every place outside the frame, in the order of reading. @returns {Place[]} */
export function placesOutside() {
  const numbers = (/** @type {number} */ count) => Array.from({length: count}, (_, index) => index);
  return ["above", "left", "right", "below"].flatMap((where) => {
    const level = where === "above" || where === "below";
    const lines = numbers(SIDE).map((line) => ({where, house: lineHouse(level, line)}));
    return [...lines, ...numbers(BOX).map((box) => ({where, house: boxBeside(where, box)}))];
  });
}
