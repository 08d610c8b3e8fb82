// The log as this page has it: strokes, pages and times, brought up to date by what the server answers.

import {givensOf, strokesBy, timesOf} from "./board/replay.js";

/**
 * @typedef {{id: number, kind: string, at_ms: number | null, action: string, was: string, cells: number[], digits: number[],
 *            place: {where: string, house: number | null}, text: string, comment: string, add: any[], change: any[]}} Row
 *            a stroke as the server gives it (docs/desk.md)
 * @typedef {{revision: number, head: any, from: number, strokes: Row[], undo: string, redo: string, made?: number[]}} Change
 * @typedef {ReturnType<typeof createStore>} Store
 */

/** @param {Change} first what the page was sent with */
export function createStore(first) {
  /** @type {Row[]} */
  let strokes = [];
  /** @type {import("./board/layout.js").BriefInk[][]} */
  let pages = [givensOf(first.head.puzzle)];
  /** @type {Map<number, number>} */
  const places = new Map();
  /** @type {{times: number[], known: boolean[]} | null} */
  let clock = null;
  let known = {...first, revision: -1};

  /**
   * Take an answer of the server; gives the index of the first stroke that changed, or null where it tells nothing new.
   * @param {Change} change
   * @returns {number | null}
   */
  function take(change) {
    if (change.revision <= known.revision) return null;
    const anew = change.head.puzzle !== known.head.puzzle || known.revision < 0;
    const from = anew ? 0 : change.from;
    for (const stroke of strokes.slice(from)) places.delete(stroke.id);
    strokes = [...strokes.slice(0, from), ...change.strokes];
    pages = anew ? [givensOf(change.head.puzzle)] : pages.slice(0, from + 1);
    for (const stroke of change.strokes) pages.push(pageAfter(pages[pages.length - 1], stroke));
    change.strokes.forEach((stroke, index) => places.set(stroke.id, from + index));
    clock = null;
    known = change;
    return from;
  }

  function timeline() {
    clock = clock ?? timesOf(strokes);
    return clock;
  }

  take(first);
  return {
    take,
    timeline,
    get revision() {
      return known.revision;
    },
    get head() {
      return known.head;
    },
    get undo() {
      return known.undo;
    },
    get redo() {
      return known.redo;
    },
    get count() {
      return strokes.length;
    },
    get strokes() {
      return strokes;
    },
    /** The ink after n strokes. @param {number} n */
    page(n) {
      return pages[Math.min(n, pages.length - 1)];
    },
    /** @param {number | null | undefined} id @returns {Row | undefined} */
    byId(id) {
      return strokes[indexOf(id)];
    },
    indexOf,
    /** How many strokes stand at a time of the film. @param {number} ms */
    standingAt(ms) {
      return strokesBy(timeline().times, ms);
    },
  };

  /** Where in the log a stroke stands; -1 for one that does not. @param {number | null | undefined} id */
  function indexOf(id) {
    return (id === null || id === undefined ? undefined : places.get(id)) ?? -1;
  }
}

/**
 * The ink after one more stroke.
 * @param {import("./board/layout.js").BriefInk[]} ink @param {Row} stroke
 * @returns {import("./board/layout.js").BriefInk[]}
 */
function pageAfter(ink, stroke) {
  const became = new Map(stroke.change.map(([number, state, covered = [], struck = []]) => [number, {state, covered, struck}]));
  const before = became.size ? ink.map((each) => ({...each, ...became.get(each.stroke)})) : ink;
  return [...before, ...stroke.add];
}
