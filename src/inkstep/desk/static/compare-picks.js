// What was picked of each difference. It is kept in the tab's own store, so that a reload loses nothing.

import {differs} from "./compare-types.js";

/** @typedef {import("./compare-types.js").Row} Row */
/** @typedef {import("./compare-types.js").Pick} Pick */
/** @typedef {ReturnType<typeof createPicks>} Picks */
/** @typedef {"ours" | "theirs" | "both" | "neither"} Way */

/** The strokes of a row that a way of picking takes. @param {Row} row @param {Way} way @returns {Pick} */
export function pickBy(row, way) {
  return {
    ours: row.ours !== null && (way === "ours" || way === "both"),
    theirs: row.theirs !== null && (way === "theirs" || way === "both"),
  };
}

/** The name of a pick, as the desk takes it. @param {Pick} pick @returns {Way} */
export function wayOf({ours, theirs}) {
  if (ours && theirs) return "both";
  if (ours) return "ours";
  return theirs ? "theirs" : "neither";
}

/** A store of the tab that may be missing or full. */
export const tabStore = {
  /** @param {string} name */
  read(name) {
    try {
      return JSON.parse(sessionStorage.getItem(name) ?? "null");
    } catch {
      return null;
    }
  },
  /** @param {string} name @param {any} value */
  write(name, value) {
    try {
      if (value === null) sessionStorage.removeItem(name);
      else sessionStorage.setItem(name, JSON.stringify(value));
      return true;
    } catch {
      return false;
    }
  },
};

/** Where the picks of two logs are kept. @param {string} key @param {string} other */
export const picksName = (key, other) => `inkstep-compare-picks:${key}:${other}`;

/** Where the file is kept that was laid beside a solve. @param {string} key */
export const fileName = (key) => `inkstep-compare-file:${key}`;

/**
 * The picks kept under a name. A pick holds only while both of its strokes say what they said when it was made.
 * @param {string} name
 */
export function createPicks(name) {
  /** @type {Map<string, {pick: Pick, print: string}>} */
  let made = new Map(Object.entries(tabStore.read(name) ?? {}));
  /** @type {Row[]} */
  let rows = [];

  function keep() {
    return tabStore.write(name, made.size ? Object.fromEntries(made) : null);
  }

  /** @param {Row} row */
  function isDecided(row) {
    return made.get(row.id)?.print === row.print;
  }

  return {
    isDecided,
    /** The rows that the picks are of from now on. @param {Row[]} now */
    take(now) {
      rows = now;
    },
    /** What goes into the merged log of a row: as picked, else as proposed, ours. @param {Row} row @returns {Pick} */
    of(row) {
      return (isDecided(row) && made.get(row.id)?.pick) || pickBy(row, "ours");
    },
    /** @param {Row} row @param {Pick} pick */
    set(row, pick) {
      made.set(row.id, {pick, print: row.print});
      return keep();
    },
    /** Leave a row open again. @param {Row} row */
    clear(row) {
      made.delete(row.id);
      return keep();
    },
    undecided: () => rows.filter((row) => differs(row) && !isDecided(row)).length,
    /** As the desk takes them: by the row's number. @returns {Record<number, Way>} */
    sent() {
      const decided = rows.filter((row) => differs(row) && isDecided(row));
      return Object.fromEntries(decided.map((row) => [row.index, wayOf(made.get(row.id)?.pick ?? {ours: true, theirs: false})]));
    },
    /** All of them, to be put back later. */
    snapshot: () => new Map(made),
    /** @param {Map<string, {pick: Pick, print: string}>} earlier */
    restore(earlier) {
      made = new Map(earlier);
      return keep();
    },
  };
}
