// The thin bar under the picture: where the film is, its loop, and the moment at which the clock starts.

import {el} from "/static/board/elements.js";
import {timeWords} from "./film-words.js";

/** @typedef {{now: number, end: number, loop: [number, number | null] | null, clock: number | null}} Places in seconds of the film */

/**
 * @param {(moment: number) => void} seek asked for a moment, in seconds
 */
export function createBar(seek) {
  const spot = el("span", {class: "film-bar-now"});
  const loop = el("span", {class: "film-bar-loop", hidden: true});
  const clock = el("span", {class: "film-bar-clock", hidden: true});
  const line = el("span", {class: "film-bar-line"}, loop, clock, spot);
  const element = el("div", {
    class: "film-bar", role: "slider", tabindex: "0", "aria-label": "where the film is", "aria-valuemin": "0",
  }, line);
  let end = 0;
  let now = 0;

  /** @param {PointerEvent} event */
  function drag(event) {
    const box = line.getBoundingClientRect();
    seek(Math.max(0, Math.min(1, (event.clientX - box.left) / box.width)) * end);
  }
  element.addEventListener("pointerdown", (/** @type {PointerEvent} */ event) => {
    if (event.button !== 0) return;
    event.preventDefault();
    element.setPointerCapture(event.pointerId);
    drag(event);
  });
  element.addEventListener("pointermove", (/** @type {PointerEvent} */ event) => element.hasPointerCapture(event.pointerId) && drag(event));
  element.addEventListener("keydown", (/** @type {KeyboardEvent} */ event) => {
    if (event.ctrlKey || event.altKey || event.metaKey || event.shiftKey) return;
    /** @type {Record<string, number>} */
    const ways = {
      ArrowLeft: now - 1, ArrowDown: now - 1, ArrowRight: now + 1, ArrowUp: now + 1, PageDown: now - 10, PageUp: now + 10, Home: 0, End: end,
    };
    if (!(event.key in ways)) return;
    event.preventDefault();
    event.stopPropagation();
    seek(Math.max(0, Math.min(end, ways[event.key])));
  });

  /** @param {Places} places @param {string} words the time in words */
  function show(places, words) {
    end = places.end;
    now = places.now;
    spot.style.insetInlineStart = share(places.now);
    element.setAttribute("aria-valuemax", String(Math.round(end)));
    element.setAttribute("aria-valuenow", String(Math.round(places.now)));
    element.setAttribute("aria-valuetext", words);
    clock.hidden = places.clock === null;
    clock.style.insetInlineStart = share(places.clock ?? 0);
    loop.hidden = places.loop === null;
    if (!places.loop) return;
    const [from, to] = places.loop;
    loop.classList.toggle("is-open", to === null);
    loop.style.insetInlineStart = share(from);
    loop.style.width = to === null ? "" : `calc(${share(to)} - ${share(from)})`;
    loop.title = to === null ? `the loop starts at ${timeWords(from * 1000)}` : `the loop, ${timeWords(from * 1000)} to ${timeWords(to * 1000)}`;
  }

  /** @param {number} moment */
  const share = (moment) => `${end ? (100 * Math.max(0, Math.min(1, moment / end))).toFixed(3) : 0}%`;

  return {element, show};
}
