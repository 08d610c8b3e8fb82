// How long the lesson is, drawn to scale: a slice a passage, green for pauses, and a mark at the planned length.

import {el, svgEl} from "./board/elements.js";
import {minutes} from "./lesson-field.js";

const [WIDTH, HEIGHT, TOP] = [1000, 40, 12];

/**
 * @param {HTMLElement} host
 * @param {{go: (card: string) => void}} ways
 */
export function createLength(host, {go}) {
  const words = el("p", {class: "length-words"});
  const detail = el("p", {class: "quiet"});
  const bar = svgEl("svg", {viewBox: `0 0 ${WIDTH} ${HEIGHT}`, class: "length-bar", preserveAspectRatio: "none", role: "img"});
  host.append(words, bar, detail);

  /** @param {import("./lesson-store.js").Plan} plan @param {?string} current */
  function show(plan, current) {
    const {total_ms: total, planned_ms: planned} = plan;
    const whole = Math.max(total, planned ?? 0, 1);
    const x = (ms) => (WIDTH * ms) / whole;
    const parts = [...plan.segments.map((item) => ({key: `segment:${item.id}`, item, kind: "said"})),
      ...plan.pauses.map((item) => ({key: `pause:${item.id}`, item, kind: "asked"}))].filter(({item}) => item.start_ms !== null);
    const slices = parts.map(({key, item, kind}) => {
      const shape = svgEl("rect", {x: x(item.start_ms).toFixed(1), y: TOP, width: Math.max(1, x(item.length_ms) - 2).toFixed(1), height: HEIGHT - TOP,
        class: `slice is-${kind}${key === current ? " is-current" : ""}`, "data-slice": key},
      svgEl("title", {text: `${minutes(item.length_ms)}: ${"headline" in item ? item.headline || "an aside" : item.question}`}));
      shape.addEventListener("click", () => go(key));
      return shape;
    });
    const over = planned !== null && total > planned
      ? [svgEl("rect", {x: x(planned).toFixed(1), y: 0, width: (x(total) - x(planned)).toFixed(1), height: 5, class: "length-over"})] : [];
    const mark = planned === null ? [] : [svgEl("path", {d: `M${Math.min(WIDTH - 2, x(planned)).toFixed(1)} 0V${HEIGHT}`, class: "length-mark"})];
    bar.replaceChildren(svgEl("rect", {x: 0, y: TOP, width: WIDTH, height: HEIGHT - TOP, class: "length-ground"}), ...slices, ...over, ...mark);
    const sentence = lengthWords(total, planned);
    bar.setAttribute("aria-label", sentence);
    words.replaceChildren(...wordsOf(total, planned));
    host.classList.toggle("is-over", planned !== null && total > planned);
    detail.textContent = `${minutes(total - plan.rest_ms)} said, ${minutes(plan.rest_ms)} of rests for viewers to try`;
  }

  return {show};
}

/** @param {number} total @param {?number} planned */
function lengthWords(total, planned) {
  if (planned === null) return `The lesson takes ${minutes(total)}.`;
  const by = Math.abs(total - planned);
  if (Math.round(by / 1000) === 0) return `The lesson takes ${minutes(total)}, as planned.`;
  return `The lesson takes ${minutes(total)}, ${minutes(by)} ${total > planned ? "over" : "under"} the ${minutes(planned)} planned.`;
}

function wordsOf(total, planned) {
  const sentence = lengthWords(total, planned);
  const match = /^(.*?)(\d[\d:]* (?:over|under))(.*)$/.exec(sentence.replace("The lesson takes ", ""));
  if (!match) return [sentence];
  return [`The lesson takes ${match[1]}`, el("strong", {text: match[2]}), match[3]];
}
