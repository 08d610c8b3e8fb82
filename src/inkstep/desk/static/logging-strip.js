// The strip of this page: the lesson's strip, made anew when the hand rests, as the log grows while one looks at it.

import {createStrip} from "./board/strip.js";
import {el} from "./board/elements.js";

const REST_MS = 500;

/**
 * @param {HTMLElement} host
 * @param {import("./logging-store.js").Store} store
 * @param {{restMs: number, onMove: (n: number) => void}} how `restMs`: a longer time between two strokes is drawn as a rest
 */
export function createTimeline(host, store, {restMs, onMove}) {
  /** @type {{moveTo: (ms: number, n: number) => void, end: number} | null} */
  let strip = null;
  let timer = 0;
  let at = {ms: 0, n: 0};

  function make() {
    timer = 0;
    const {times, known} = store.timeline();
    const place = el("div", {});
    const focused = host.contains(document.activeElement);
    host.replaceChildren(place);
    strip = createStrip(place, {strokes: store.strokes, times, known, waits: rests(), flags: [], onMove: moveTo, onFlag() {}});
    strip?.moveTo(at.ms, at.n);
    if (focused) /** @type {SVGElement | null} */ (place.querySelector(".strip"))?.focus();
  }

  /** @param {number} n */
  function moveTo(n) {
    onMove(Math.max(0, Math.min(n, store.count)));
  }

  /** Long times without a stroke. @returns {[number, number][]} */
  function rests() {
    const known = store.strokes.flatMap((stroke) => (stroke.at_ms === null ? [] : [stroke.at_ms]));
    return [0, ...known].flatMap((from, index) => {
      const to = known[index];
      return to !== undefined && to - from > restMs ? [/** @type {[number, number]} */ ([from, to])] : [];
    });
  }

  make();
  return {
    changed() {
      clearTimeout(timer);
      timer = window.setTimeout(make, REST_MS);
    },
    /** The red line: the film's moment, or that of the last stroke shown. @param {number | null} ms @param {number} n */
    moveTo(ms, n) {
      const to = ms ?? (n ? store.timeline().times[n - 1] : 0);
      if (to === at.ms && n === at.n) return;
      at = {ms: to, n};
      strip?.moveTo(to, n);
    },
  };
}
