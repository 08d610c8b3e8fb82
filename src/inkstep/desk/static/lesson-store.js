// The plan as the server keeps it: edits go to it one after another, and what it answers is what the page shows.

import {ask, listen, Refusal} from "./asking.js";

/**
 * @typedef {{id: string, kind: string, first: ?number, last: ?number, headline: string, narration: string, shown: boolean,
 *   own: boolean, edited: string[], kicker: string, page: number, evidence: any, start_ms: ?number, length_ms: number,
 *   scene: ?number, joins: boolean}} Segment
 * @typedef {{id: string, before: number, stands_before: ?string, question: string, hints: string[], answer: string,
 *   rest_ms: number, shown: boolean, own: boolean, edited: string[], follows: boolean, at_ms: ?number, page: number,
 *   evidence: any, answer_evidence: any, start_ms: ?number, length_ms: number, scene: ?number}} Pause
 * @typedef {{id: string, kind: string, texts: string[], why: string}} Lost
 * @typedef {{puzzle: string, strokes: any[], waits: [number, number][]}} Solve
 * @typedef {{revision: ?number, log: number, title: string, audience: string, audiences: string[], words_per_minute: number,
 *   planned_ms: ?number, edited: string[], total_ms: number, rest_ms: number, undo: string, redo: string,
 *   segments: Segment[], pauses: Pause[], unplaced: Lost[], solve?: Solve}} Plan
 * @typedef {ReturnType<typeof createStore>} Store
 */

const POLL_MS = 250;
const SETTLE_MS = 900;

/**
 * The plan of a solve. onPlan(plan, solve, made) after every answer, onWait(share) while the review is made, onState(words),
 * onFault(refusal) for what was refused and nobody else answers for.
 * @param {string} key
 * @param {{onPlan: (plan: Plan, solve: Solve, made: string) => void, onWait: (share: number) => void,
 *          onState: (words: string) => void, onFault: (fault: Refusal) => void}} told
 */
export function createStore(key, {onPlan, onWait, onState, onFault}) {
  const path = `/solve/${key}/plan`;
  /** @type {Plan | null} */
  let plan = null;
  /** @type {Solve | null} */
  let solve = null;
  /** @type {Promise<unknown>} */
  let queue = Promise.resolve();
  let waiting = 0;
  let stale = false;
  let settle = 0;

  /** @param {Plan & {made?: string}} answer */
  function take(answer) {
    plan = answer;
    solve = answer.solve ?? solve;
    if (solve) onPlan(plan, solve, answer.made ?? "");
  }

  /** What can be said of the work while nothing is being written. */
  function settled() {
    return plan?.revision === null ? "not edited yet" : "saved";
  }

  /** Ask for the plan as it stands, waiting while the review is made. */
  async function load() {
    for (;;) {
      const answer = await ask(plan ? `${path}?log=${plan.log}` : path);
      if (answer.ready) return take(answer);
      onWait(answer.share);
      await new Promise((done) => setTimeout(done, POLL_MS));
    }
  }

  /**
   * Do something after everything that was asked before.
   * @template T
   * @param {() => Promise<T>} act
   * @returns {Promise<T>}
   */
  function inTurn(act) {
    waiting += 1;
    const turn = queue.then(act, act);
    queue = turn.catch(() => {}).finally(() => {
      waiting -= 1;
      if (!waiting && stale) refresh();
    });
    return turn;
  }

  /**
   * Make an edit; the fields are asked for when its turn comes (null: there is nothing to do any more). Resolves to the id
   * of what it made, null where it was refused: onFault has said so then, unless it was a clash that `onClash` takes.
   * @param {Record<string, any> | (() => Record<string, any> | null)} edit
   * @param {{onClash?: (fault: Refusal) => void}} [how]
   * @returns {Promise<?string>}
   */
  function send(edit, {onClash} = {}) {
    return inTurn(async () => {
      const fields = typeof edit === "function" ? edit() : edit;
      if (!fields) {
        onState(settled());
        return "";
      }
      onState("saving…");
      try {
        const answer = await ask(path, {...fields, log: plan?.log});
        take(answer);
        onState(settled());
        return answer.made;
      } catch (fault) {
        if (!(fault instanceof Refusal)) throw fault;
        onState("not saved");
        if (fault.status === 409 && onClash) {
          await load();
          onClash(fault);
        } else {
          onFault(fault);
        }
        return null;
      }
    });
  }

  function refresh() {
    stale = false;
    clearTimeout(settle);
    settle = window.setTimeout(() => inTurn(load).then(() => onState(settled()), onFault), waiting ? SETTLE_MS : 0);
  }

  /** Something changed that the plan is made from: ask again once it has come to rest, and somebody looks. */
  function changed() {
    stale = true;
    clearTimeout(settle);
    settle = window.setTimeout(() => {
      if (!waiting && document.visibilityState === "visible") refresh();
    }, SETTLE_MS);
  }

  /** @param {?number} revision */
  function planned(revision) {
    const known = () => plan !== null && plan.revision !== null && revision !== null && plan.revision >= revision;
    inTurn(async () => {
      if (known()) return;
      await load();
      onState(settled());
    }).catch(onFault);
  }

  function hear() {
    listen(key, {
      planned: (data) => planned(data.revision),
      changed,
      chosen: changed,
      behind: changed,
    });
    document.addEventListener("visibilitychange", () => {
      if (stale && document.visibilityState === "visible") refresh();
    });
  }

  return {
    load,
    send,
    hear,
    settled,
    /** Something was typed that is not kept yet. */
    touched: () => onState("writing…"),
    get plan() {
      return /** @type {Plan} */ (plan);
    },
    get solve() {
      return /** @type {Solve} */ (solve);
    },
    /** Whether something is on its way. */
    get busy() {
      return waiting > 0;
    },
    /** Once everything is done that was asked so far. */
    idle: () => queue,
  };
}
