// The two pages as they stand at a row, with the cells framed in which they differ. It compares ink, and knows no rules.

import {createBoard} from "./board/board.js";
import {stateAt, wholeInk} from "./board/layout.js";
import {pagesOf} from "./board/replay.js";
import {manner} from "./manner.js";

/** @typedef {import("./compare-types.js").Row} Row */
/** @typedef {import("./compare-types.js").Stroke} Stroke */
/** @typedef {import("./board/layout.js").BriefInk} BriefInk */

/** a drawing that takes longer than a frame (ms) waits until the keys rest for so long (ms) */
const SLOW_MS = 16;
const REST_MS = 90;

/**
 * @param {{ours: HTMLElement, theirs: HTMLElement}} hosts
 */
export function createBoards(hosts) {
  const boards = {
    ours: createBoard(hosts.ours, manner, {label: "the page by our log"}),
    theirs: createBoard(hosts.theirs, manner, {label: "the page by their log"}),
  };
  /** @type {{ours: BriefInk[][], theirs: BriefInk[][]}} */
  let pages = {ours: [[]], theirs: [[]]};
  let waiting = 0;
  let took = 0;

  return {
    /** @param {string} puzzle @param {Stroke[]} ours @param {Stroke[]} theirs */
    take(puzzle, ours, theirs) {
      pages = {ours: pagesOf(puzzle, ours), theirs: pagesOf(puzzle, theirs)};
      const all = [...(pages.ours.at(-1) ?? []), ...(pages.theirs.at(-1) ?? [])];
      const beside = all.filter((ink) => !isWithin(wholeInk(ink).where));
      for (const board of Object.values(boards)) board.reserve(beside);
    },
    /** Show both pages at a row, as soon as there is time for it; without one, before the first. @param {Row | null} row */
    show(row) {
      clearTimeout(waiting);
      waiting = setTimeout(() => {
        const start = performance.now();
        draw(row);
        took = performance.now() - start;
      }, took > SLOW_MS ? REST_MS : 0);
    },
  };

  /** @param {Row | null} row */
  function draw(row) {
    const [mine, others] = [row?.oursCount ?? 0, row?.theirsCount ?? 0];
    const [ours, theirs] = [pages.ours[mine] ?? [], pages.theirs[others] ?? []];
    const cells = differingCells(ours, theirs);
    boards.ours.show({ink: ours, evidence: evidenceFor(row?.ours ?? null, mine, cells, ours, theirs)});
    boards.theirs.show({ink: theirs, evidence: evidenceFor(row?.theirs ?? null, others, cells, theirs, ours)});
  }
}

/**
 * What is pointed out on a page: the row's own stroke ringed, the cells that differ framed, ink outside the frame
 * that the other page lacks underlined.
 * @param {Stroke | null} stroke @param {number} number @param {number[]} cells @param {BriefInk[]} ink @param {BriefInk[]} other
 * @returns {import("./board/evidence.js").Evidence}
 */
function evidenceFor(stroke, number, cells, ink, other) {
  const elsewhere = new Set(outside(other).map(([, print]) => print));
  const doubt = outside(ink).flatMap(([written, print]) => (elsewhere.has(print) ? [] : [written]));
  const ring = stroke && (stroke.kind === "digit" || stroke.kind === "strike");
  return {goal: cells, doubt, seen: ring ? stroke.cells : [], read: stroke && !ring ? [number] : []};
}

/** The cells in which two pages differ. @param {BriefInk[]} ours @param {BriefInk[]} theirs */
export function differingCells(ours, theirs) {
  const [one, other] = [printsOf(ours), printsOf(theirs)];
  return one.flatMap((print, cell) => (print === other[cell] ? [] : [cell]));
}

/** What stands in each cell, as text to compare. @param {BriefInk[]} ink */
function printsOf(ink) {
  /** @type {string[][]} */
  const prints = Array.from({length: 81}, () => []);
  for (const item of ink.map(wholeInk)) {
    if (!isWithin(item.where)) continue;
    for (const cell of item.cells) prints[cell].push(printOf(item, cell));
  }
  return prints.map((all) => all.sort().join(";"));
}

/** @param {import("./board/layout.js").Ink} item @param {number} cell */
function printOf(item, cell) {
  const struck = item.struck.filter(([at]) => at === cell).map(([, digit]) => digit).sort();
  const state = stateAt(item, item.where === "border" ? null : cell);
  return [item.kind, digitsOf(item), item.text, item.where, state, struck.join("")].join(" ");
}

/** Marks say the same in whatever order they were written. @param {import("./board/layout.js").Ink} item */
function digitsOf(item) {
  return (item.kind === "note" ? item.digits : [...item.digits].sort()).join("");
}

/** The ink outside the frame: its stroke, and what it says as text to compare. @param {BriefInk[]} ink @returns {[number, string][]} */
function outside(ink) {
  return ink.map(wholeInk).filter((item) => !isWithin(item.where) || (item.kind === "note" && !item.cells.length))
    .map((item) => [item.stroke, [item.kind, digitsOf(item), item.text, item.where, item.house, item.state].join(" ")]);
}

/** @param {string} where */
function isWithin(where) {
  return where === "cell" || where === "border";
}
