// Edits go to the server one after another, in the order in which they were made. What the server did not take stays in
// the queue until it answers again; what it refuses is said, and nothing typed is lost.

import {ask} from "./asking.js";

/**
 * An edit that waits. `body` makes it when its turn has come (null: there is nothing left to do). `landed` says, after the
 * server had gone, whether it was done before that. `insist` puts the edit over what was changed meanwhile (empty: taken
 * out), where that can be.
 * @typedef {object} Job
 * @property {() => any} body
 * @property {(change: import("./logging-store.js").Change) => void} [done]
 * @property {(refusal: import("./asking.js").Refusal) => void} [refused]
 * @property {(knownBefore: Set<number>) => boolean} [landed]
 * @property {(theirs: string) => boolean} [insist]
 */

const ANEW = "The desk was started anew: open its new address once in this browser, and this page goes on by itself.";

/** Whether the server is gone, or does not know this page any more. @param {import("./asking.js").Refusal} refusal */
const isAway = ({status}) => status === 0 || status === 401 || status === 403;

/** @param {import("./asking.js").Refusal} refusal */
const sentenceOf = (refusal) => (refusal.status === 0 ? refusal.message : ANEW);

const RETRY_MS = 1000;
const SLOW_MS = 300;

/**
 * @param {string} key the solve's
 * @param {import("./logging-store.js").Store} store
 * @param {{onTaken: (from: number) => void, onState: (state: {waiting: number, slow: boolean, trouble: string}) => void,
 *          onClash: (refusal: import("./asking.js").Refusal) => Promise<"theirs" | "ours" | "neither">,
 *          onRefused: (sentence: string) => void}} hear
 */
export function createQueue(key, store, hear) {
  /** @type {Job[]} */
  const jobs = [];
  let busy = false;
  let trouble = "";
  let slow = 0;
  /** @type {(() => void) | null} */
  let wake = null;
  let heard = store.revision;

  /** @param {Job} job */
  function add(job) {
    jobs.push(job);
    if (!busy) run();
  }

  async function run() {
    busy = true;
    slow = window.setTimeout(tellState, SLOW_MS);
    while (jobs.length) {
      await settle(jobs[0]);
      jobs.shift();
    }
    clearTimeout(slow);
    slow = 0;
    busy = false;
    tellState();
    if (heard > store.revision) await refresh();
  }

  /** Do one edit, however long the server is away. @param {Job} job */
  async function settle(job) {
    for (;;) {
      const body = job.body();
      if (body === null) return;
      const before = new Set(store.strokes.map((stroke) => stroke.id));
      try {
        taken(await ask(`/solve/${key}/edit`, {...body, have: store.revision}), job);
        return;
      } catch (fault) {
        const refusal = /** @type {import("./asking.js").Refusal} */ (fault);
        if (isAway(refusal)) {
          await untilBack(sentenceOf(refusal));
          if (job.landed?.(before)) return;
        } else if (refusal.status === 503) {
          await pause(refusal.message);
        } else if (refusal.status === 409) {
          if (!(await clashed(refusal, job))) return;
        } else {
          if (refusal.status !== 400) await refresh();
          (job.refused ?? ((/** @type {Error} */ said) => hear.onRefused(said.message)))(refusal);
          return;
        }
      }
    }
  }

  /** @param {import("./logging-store.js").Change} change @param {Job} [job] */
  function taken(change, job) {
    const wasTrouble = trouble;
    trouble = "";
    const from = store.take(change);
    if (from !== null) hear.onTaken(from);
    job?.done?.(change);
    if (wasTrouble) tellState();
  }

  /** Both versions are shown; true when the edit is to be tried again. @param {import("./asking.js").Refusal} refusal @param {Job} job */
  async function clashed(refusal, job) {
    await refresh();
    const {theirs, ours} = refusal.body;
    const choice = theirs === ours ? "theirs" : await hear.onClash(refusal);
    if (choice === "ours" && job.insist?.(theirs)) return true;
    if (choice !== "theirs") job.refused?.(refusal);
    return false;
  }

  /** Wait until the server answers, and learn what stands there now. @param {string} sentence */
  async function untilBack(sentence) {
    for (;;) {
      await pause(sentence);
      if (await refresh()) return;
    }
  }

  /** @param {string} sentence */
  async function pause(sentence) {
    trouble = sentence;
    tellState();
    await new Promise((resolve) => {
      wake = () => resolve(undefined);
      setTimeout(wake, RETRY_MS);
    });
    wake = null;
  }

  /** Ask for the present state; false where there is no answer. */
  async function refresh() {
    try {
      heard = 0;
      taken(await ask(`/solve/${key}/change?have=${store.revision}`));
      return true;
    } catch (fault) {
      const refusal = /** @type {import("./asking.js").Refusal} */ (fault);
      if (isAway(refusal)) trouble = sentenceOf(refusal);
      return false;
    }
  }

  function tellState() {
    hear.onState({waiting: jobs.length, slow: slow !== 0, trouble});
  }

  return {
    add,
    /** Something was changed, perhaps by another page. @param {number} revision */
    heard(revision) {
      heard = Math.max(heard, revision);
      if (!busy && heard > store.revision) refresh();
    },
    /** The server is there again. */
    async back() {
      if (wake) wake();
      else if (!busy && (await refresh())) tellState();
    },
    /** The stream of events broke off: perhaps the server is gone. */
    async lost() {
      if (!busy && !(await refresh())) tellState();
    },
    /** Whether an edit is not known to be committed. */
    get waiting() {
      return jobs.length;
    },
  };
}
