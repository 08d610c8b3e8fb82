// What the reading page asks of the desk: the study, when it is made, and each stroke as it is chosen.

import {ask} from "./asking.js";

/** milliseconds for which the desk may keep a question after the study waiting */
const PATIENCE_MS = 400;

/** @typedef {import("./reading-types.js").Reading} Reading */
/** @typedef {import("./reading-types.js").Study} Study */

/** @param {string} key the solve's */
export function createReadings(key) {
  /** @type {Map<number, Reading>} */
  const kept = new Map();
  let asked = new AbortController();

  return {
    /**
     * The study of the log as it stands; onShare(0 to 1) hears how far its review is.
     * @param {(share: number) => void} onShare
     * @returns {Promise<Study>}
     */
    async study(onShare) {
      for (;;) {
        const study = await ask(`/solve/${key}/study?patience=${PATIENCE_MS}`);
        if (study.ready) return study;
        onShare(study.share);
      }
    },
    /** Forget every stroke: something changed. */
    forget() {
      kept.clear();
    },
    /** The stroke if it is at hand. @param {number} n @returns {Reading | undefined} */
    atHand: (n) => kept.get(n),
    /**
     * Stroke n of a revision; asking for another one ends an earlier question.
     * @param {number} n @param {number} revision @returns {Promise<Reading>}
     */
    async stroke(n, revision) {
      const known = kept.get(n);
      if (known) return known;
      asked.abort();
      asked = new AbortController();
      const found = await ask(`/solve/${key}/reading/${n}?have=${revision}`, undefined, {signal: asked.signal});
      kept.set(n, found);
      return found;
    },
    /** Have a stroke at hand before it is asked for. @param {number} n @param {number} revision */
    async foresee(n, revision) {
      if (kept.has(n)) return;
      const found = await ask(`/solve/${key}/reading/${n}?have=${revision}`).catch(() => null);
      if (found?.revision === revision) kept.set(n, found);
    },
    /**
     * Keep a choice for a stroke in place of what the page had shown; gives the stroke as it is told now.
     * @param {Reading} reading @param {{argument?: string, words?: string}} choice @param {{argument?: string, words?: string}} [was]
     * @returns {Promise<Reading>}
     */
    async choose(reading, choice, was = reading.choice) {
      const found = await ask(`/solve/${key}/choice`, {stroke: reading.id, was: {...reading.choice, ...was}, ...choice});
      kept.clear();
      kept.set(found.n, found);
      return found;
    },
  };
}
