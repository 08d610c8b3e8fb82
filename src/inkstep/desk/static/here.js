// Telling the desk where its user is, so that the live page can follow: at most twenty times a second, the latest last.

import {ask} from "./asking.js";

/**
 * Where the user is. `stroke`: the stroke that is chosen or was just written (0: before the first); with `evidence` the live
 * page shows the page before it, with its reasons, else the page with it written. `segment` or `pause` (an id of the plan)
 * in place of a stroke: a passage of the lesson. `ms`: the time of the clock, where it is known.
 * @typedef {{stroke?: number, evidence?: boolean, ms?: ?number, segment?: string, pause?: string}} Here
 */

const PACE_MS = 50;
let last = "";
let timer = 0;
/** @type {(() => void) | null} */
let waiting = null;

/** Tell the desk where its user is in a solve. @param {string} key @param {Here} here */
export function tellHere(key, here) {
  const text = JSON.stringify([key, here]);
  if (text === last) return;
  last = text;
  // that nobody hears it is no matter of the page that tells it
  waiting = () => ask(`/solve/${key}/here`, here).catch(() => {});
  if (timer) return;
  send();
}

function send() {
  timer = 0;
  if (!waiting) return;
  waiting();
  waiting = null;
  timer = window.setTimeout(send, PACE_MS);
}

/** Start or stop the clock of the live pages that follow one. @param {string} key @param {"start" | "stop"} clock */
export function tellClock(key, clock) {
  return ask(`/solve/${key}/here`, {clock});
}
