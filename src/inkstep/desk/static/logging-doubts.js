// What is softly said about strokes: asked for while the hand rests, kept by stroke, never in the way.

import {ask} from "./asking.js";

const REST_MS = 350;

/** @typedef {{role: string, text: string}[]} Lines */

/**
 * @param {string} key
 * @param {import("./logging-store.js").Store} store
 * @param {(from: number) => void} onFound
 */
export function createDoubts(key, store, onFound) {
  /** @type {Map<number, Lines>} */
  let known = new Map();
  let from = 0;
  let timer = 0;
  let only = "";
  let asking = false;

  function rest() {
    clearTimeout(timer);
    timer = window.setTimeout(look, REST_MS);
  }

  async function look() {
    if (asking || from >= store.count && store.count > 0) return;
    asking = true;
    const [first, revision] = [from, store.revision];
    try {
      const found = await ask(`/solve/${key}/doubts?from=${first}`);
      if (found.revision === revision && store.revision === revision && from === first) take(found);
    } catch {
      // the desk does not answer just now: the queue says so, and the next stroke asks again
    } finally {
      asking = false;
      if (from < store.count) rest();
    }
  }

  /** @param {{from: number, upto: number, doubts: [number, Lines][], only: string}} found */
  function take(found) {
    for (const stroke of store.strokes.slice(found.from, found.upto)) known.delete(stroke.id);
    for (const [id, lines] of found.doubts) known.set(id, lines);
    only = found.only;
    from = found.upto;
    onFound(found.from);
  }

  return {
    /** Strokes from an index on have changed. @param {number} index */
    changed(index) {
      from = Math.min(from, index);
      rest();
    },
    /** A key was pressed: nothing is asked until the hand rests. */
    wait() {
      if (timer) rest();
    },
    /** @param {number} id @returns {Lines} */
    of(id) {
      return known.get(id) ?? [];
    },
    /** @param {number} id */
    has(id) {
      return known.has(id);
    },
    /** Why strokes are not held against a solution; empty where they are. */
    get only() {
      return only;
    },
  };
}

/**
 * The next likely strokes, when somebody asked for the cue.
 * @param {string} key
 * @param {boolean} on
 * @param {() => void} onFound
 */
export function createCue(key, on, onFound) {
  let timer = 0;
  /** @type {{number: number, likely: {cells: number[], digits: number[], action: string, words: string}[], why: string}} */
  let found = {number: -1, likely: [], why: ""};

  /** @param {number} number the page that is shown */
  async function look(number) {
    try {
      found = await ask(`/solve/${key}/likely?number=${number}`);
      if (on) onFound();
    } catch {
      // as with doubts
    }
  }

  return {
    get on() {
      return on;
    },
    /** Suggestions for a page; none while they are being made. @param {number} number */
    of(number) {
      return on && found.number === number ? found : null;
    },
    /** The page has changed, or what stands on it. @param {number} number @param {boolean} [anew] */
    changed(number, anew = false) {
      clearTimeout(timer);
      if (anew) found = {...found, number: -1};
      if (on && found.number !== number) timer = window.setTimeout(() => look(number), REST_MS);
    },
    /** @param {number} number */
    async toggle(number) {
      on = !on;
      found = {...found, number: -1};
      this.changed(number);
      await ask("/logging/cue", {on}, {method: "PUT"});
    },
  };
}
