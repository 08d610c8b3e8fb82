// Two bands under the strip, to the same scale of time: the pace (digits written over time, flat where the hand rested) and
// the map of chances (how many digits lay open at each stroke, and which of them was written). Each is a slider, too.

import {clockWords} from "./board/replay.js";
import {svgEl} from "./board/elements.js";
import {seconds} from "./reading-words.js";

/** @typedef {import("./reading-types.js").Row} Row */
/** @typedef {import("./reading-types.js").Study} Study */

const PACE = {height: 66, top: 12, base: 60};
const MAP = {height: 62, top: 10, base: 56, most: 9};
const TAKEN = 4.6;
/** pixels of a third that is named */
const NAMED = 56;

/**
 * What both bands are drawn from; `end` is the strip's, in milliseconds.
 * @typedef {{study: Study, times: number[], end: number, onMove: (n: number) => void, onHover: (n: number | null) => void}} Chart
 */

/** What the signs of the bands mean. */
export function signs() {
  const sign = (/** @type {SVGElement} */ shape, /** @type {string} */ words) =>
    [svgEl("svg", {viewBox: "0 0 10 10", width: 10, height: 10, "aria-hidden": "true"}, shape), ` ${words}  `];
  return [
    ...sign(svgEl("path", {d: "M1 5h8", class: "pace-rest"}), "the hand rests"),
    ...sign(svgEl("path", {d: "M5 10V1M2.5 1h5M2.5 5h5", class: "map-open"}), "lay open"),
    ...sign(svgEl("rect", {x: 2.5, y: 2.5, width: 5, height: 5, class: "map-taken"}), "was written"),
    ...sign(svgEl("circle", {cx: 5, cy: 5, r: 3, class: "map-far"}), "written from further away"),
  ];
}

/** What a stroke's place in the charts says, in words. @param {Row} row @param {number} count */
export function rowWords(row, count) {
  const time = row.at_ms === null ? "time unknown" : clockWords(row.at_ms);
  const after = row.wait_ms === null ? "" : `, ${seconds(row.wait_ms)} after the stroke before`;
  return `stroke ${row.n} of ${count}, ${time}: ${row.label}${after}; ${chanceWords(row)}`;
}

/** @param {Row} row */
export function chanceWords(row) {
  const open = row.open === 0 ? "nothing lay open" : row.open === 1 ? "one digit lay open" : `${row.open} digits lay open`;
  if (row.kind !== "digit") return open;
  if (row.rank === null) return `${open}, and this one was further away`;
  return row.open === 1 ? `${open}, and it was written` : `${open}, and the ${ordinal(row.rank)} was written`;
}

/** @param {number} rank */
function ordinal(rank) {
  const ending = rank % 10 === 1 && rank !== 11 ? "st" : rank % 10 === 2 && rank !== 12 ? "nd" : rank % 10 === 3 && rank !== 13 ? "rd" : "th";
  return rank === 1 ? "nearest" : `${rank}${ending} nearest`;
}

/** The pace. @param {HTMLElement} host @param {Chart} chart */
export function createPace(host, chart) {
  const {study, times} = chart;
  const rows = study.strokes;
  const total = Math.max(1, rows.filter((row) => row.kind === "digit").length);
  const digits = rows.map((_, index) => rows.slice(0, index + 1).filter((row) => row.kind === "digit").length);
  /** @param {number} count */
  const y = (count) => PACE.base - ((PACE.base - PACE.top) * count) / total;

  return createBand(host, chart, PACE, "pace: digits written over time", (x) => {
    const steps = times.map((time, index) => `H${x(time).toFixed(1)}V${y(digits[index]).toFixed(1)}`).join("");
    const line = svgEl("path", {d: `M${x(0).toFixed(1)} ${y(0)}${steps}`, class: "pace-line"});
    return [
      ...thirds(x),
      line,
      ...study.waits.flatMap(({before, from_ms, ms}) => rest(x(from_ms), x(from_ms + ms), y(digits[before - 2] ?? 0), ms)),
      ...rows.map((row, index) => (row.kind === "digit"
        ? svgEl("circle", {cx: x(times[index]).toFixed(1), cy: y(digits[index]).toFixed(1), r: 2.1, class: "pace-digit"})
        : svgEl("path", {d: `M${x(times[index]).toFixed(1)} ${(y(digits[index]) + 2).toFixed(1)}v5`, class: "pace-mark"}))),
    ];
  });

  /** @param {(ms: number) => number} x */
  function thirds(x) {
    return study.phases.flatMap((phase, index) => {
      const [from, to] = [index ? x(times[phase.first - 2]) : x(0), x(times[phase.last - 1])];
      if (to - from < NAMED) return [];
      const name = svgEl("text", {x: (from + 5).toFixed(1), y: 9, class: "band-words", text: phase.name});
      return index ? [svgEl("path", {d: `M${from.toFixed(1)} 2V${PACE.base}`, class: "band-part"}), name] : [name];
    });
  }

  /** @param {number} from @param {number} to @param {number} at @param {number} ms */
  function rest(from, to, at, ms) {
    const line = svgEl("path", {d: `M${from.toFixed(1)} ${at.toFixed(1)}H${to.toFixed(1)}`, class: "pace-rest"});
    if (to - from < 34) return [line];
    return [line, svgEl("text", {x: ((from + to) / 2).toFixed(1), y: (at - 5).toFixed(1), "text-anchor": "middle", class: "band-words", text: seconds(ms)})];
  }
}

/** The map of chances. @param {HTMLElement} host @param {Chart} chart */
export function createMap(host, chart) {
  const {study, times} = chart;
  const most = Math.max(1, ...study.strokes.map((row) => row.open));
  const step = Math.min(MAP.most, (MAP.base - MAP.top) / (most + 1));

  return createBand(host, chart, MAP, "chances: digits that lay open at each stroke", (x) => [
    svgEl("path", {d: `M0 ${MAP.base}H${x(chart.end).toFixed(1)}`, class: "band-base"}),
    ...study.strokes.flatMap((row, index) => column(row, x(times[index]))),
  ]);

  /** @param {Row} row @param {number} at */
  function column(row, at) {
    const isDigit = row.kind === "digit";
    const height = MAP.base - step * row.open;
    const parts = [svgEl("path", {d: `M${at.toFixed(1)} ${MAP.base}V${height.toFixed(1)}`, class: isDigit ? "map-open" : "map-open is-mark"})];
    for (let rank = 1; rank <= row.open; rank += 1) {
      if (isDigit && rank === row.rank) continue;
      parts.push(svgEl("path", {d: `M${(at - 1.7).toFixed(1)} ${(MAP.base - step * rank).toFixed(1)}h3.4`, class: isDigit ? "map-open" : "map-open is-mark"}));
    }
    if (isDigit && row.rank !== null) {
      const top = MAP.base - step * row.rank - TAKEN / 2;
      parts.push(svgEl("rect", {x: (at - TAKEN / 2).toFixed(1), y: top.toFixed(1), width: TAKEN, height: TAKEN, class: "map-taken"}));
    } else if (isDigit) {
      parts.push(svgEl("circle", {cx: at.toFixed(1), cy: Math.max(3.6, height - 5).toFixed(1), r: 2.7, class: "map-far"}));
    }
    return parts;
  }
}

/**
 * A band to the strip's scale with a red line where you are: a slider over the strokes.
 * @param {HTMLElement} host @param {Chart} chart @param {{height: number}} form @param {string} name
 * @param {(x: (ms: number) => number) => SVGElement[]} draw
 */
function createBand(host, {study, times, end, onMove, onHover}, form, name, draw) {
  const count = study.strokes.length;
  const svg = svgEl("svg", {class: "band", role: "slider", tabindex: 0, "aria-label": name, "aria-orientation": "horizontal",
    "aria-valuemin": 0, "aria-valuemax": count});
  const hand = svgEl("path", {d: `M0 0V${form.height}`, class: "strip-now"});
  let width = 600;
  let at = {ms: 0, n: 0};
  host.replaceChildren(svg);

  const x = (/** @type {number} */ ms) => 2 + ((width - 4) * ms) / end;

  function redraw() {
    width = Math.max(200, Math.round(host.clientWidth || 600));
    svg.setAttribute("viewBox", `0 0 ${width} ${form.height}`);
    svg.setAttribute("height", String(form.height));
    svg.replaceChildren(...draw(x), hand);
    place();
  }

  function place() {
    hand.setAttribute("transform", `translate(${x(at.ms).toFixed(1)} 0)`);
    svg.setAttribute("aria-valuenow", String(at.n));
    svg.setAttribute("aria-valuetext", at.n ? rowWords(study.strokes[at.n - 1], count) : "before the first stroke");
  }

  /** @param {MouseEvent} event */
  function nearest(event) {
    const box = svg.getBoundingClientRect();
    const ms = (((event.clientX - box.left) / box.width) * width - 2) / (width - 4) * end;
    return times.reduce((best, time, index) => (Math.abs(time - ms) < Math.abs(times[best] - ms) ? index : best), 0) + 1;
  }

  svg.addEventListener("click", (event) => onMove(nearest(event)));
  svg.addEventListener("pointermove", (event) => onHover(nearest(event)));
  svg.addEventListener("pointerleave", () => onHover(null));
  svg.addEventListener("keydown", (event) => {
    /** @type {Record<string, number>} */
    const steps = {ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1, PageUp: 10, PageDown: -10};
    if (event.key in steps) onMove(at.n + steps[event.key]);
    else if (event.key === "Home") onMove(0);
    else if (event.key === "End") onMove(count);
    else return;
    event.preventDefault();
    event.stopPropagation();
  });
  new ResizeObserver(redraw).observe(host);
  redraw();

  return {
    /** Set the red line. @param {number} ms @param {number} n */
    moveTo(ms, n) {
      at = {ms, n};
      place();
    },
  };
}
