// Both logs in time, to one scale: ours above, theirs hanging below, and a line between the two times of every stroke that
// differs. A ring stands at the tip of what only one log has. It is also a slider over the rows.

import {clockWords, timesOf} from "./board/replay.js";
import {svgEl} from "./board/elements.js";
import {differs} from "./compare-types.js";

/** @typedef {import("./compare-types.js").Row} Row */
/** @typedef {import("./compare-types.js").Stroke} Stroke */

const UPPER = 34;
const LOWER = 58;
const HEIGHT = 104;
const TALL = 23;
const SHORT = 12;
const RING = 3;
const NAMES = 54;
const STEPS_S = [1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 1200, 3600, 7200];

/** @param {HTMLElement} host @param {(index: number) => void} onMove */
export function createBothStrip(host, onMove) {
  const svg = svgEl("svg", {class: "strip both-strip", role: "slider", tabindex: 0, "aria-label": "where you are in the two logs",
    "aria-valuemin": 1, "aria-orientation": "horizontal"});
  /** @type {Row[]} */
  let rows = [];
  /** @type {{ours: Map<number, number>, theirs: Map<number, number>}} time by the stroke's id */
  let times = {ours: new Map(), theirs: new Map()};
  let end = 1000;
  let width = Math.max(260, Math.round(host.clientWidth));
  let at = 0;
  host.append(svg);

  /** @param {number} ms */
  const x = (ms) => NAMES + ((width - NAMES - 2) * ms) / end;

  function draw() {
    svg.setAttribute("viewBox", `0 0 ${width} ${HEIGHT}`);
    svg.setAttribute("height", String(HEIGHT));
    svg.replaceChildren(...axes(), ...links(), ...ticks("ours"), ...ticks("theirs"), hand());
    place();
  }

  function axes() {
    const most = Math.max(3, Math.floor((width - NAMES) / 70));
    const step = 1000 * (STEPS_S.find((seconds) => end / (1000 * seconds) <= most) ?? 14400);
    const marks = [];
    for (let ms = 0; ms <= end; ms += step) {
      const anchor = ms === 0 ? "start" : x(ms) > width - 20 ? "end" : "middle";
      marks.push(svgEl("text", {x: x(ms), y: HEIGHT - 4, "text-anchor": anchor, class: "strip-time", text: clockWords(ms).replace(/\.0$/, "")}));
    }
    const line = svgEl("path", {d: `M${NAMES} ${UPPER}H${width}M${NAMES} ${LOWER}H${width}`, class: "strip-axis"});
    return [line, svgEl("text", {x: 0, y: UPPER + 4, class: "strip-time", text: "ours"}),
      svgEl("text", {x: 0, y: LOWER + 4, class: "strip-time", text: "theirs"}), ...marks];
  }

  /** The ticks of one log: a path for each way of looking. @param {"ours" | "theirs"} side */
  function ticks(side) {
    const [base, up] = side === "ours" ? [UPPER, -1] : [LOWER, 1];
    /** @type {Record<string, string[]>} */
    const paths = {};
    for (const row of rows) {
      const stroke = row[side];
      if (!stroke) continue;
      const left = x(timeOf(side, stroke));
      const tall = stroke.kind === "digit" ? TALL : SHORT;
      const look = `tick tick-${stroke.kind === "digit" ? "digit" : "mark"}${stroke.at_ms === null ? " tick-unknown" : ""}`;
      (paths[look] ??= []).push(`M${left.toFixed(1)} ${base}v${up * tall}`);
      if (row.sort === side) (paths["tick-alone"] ??= []).push(ring(left, base + up * (tall + RING + 0.5)));
    }
    return Object.entries(paths).map(([look, parts]) => svgEl("path", {d: parts.join(""), class: look}));
  }

  /** @param {number} left @param {number} top */
  function ring(left, top) {
    return `M${(left - RING).toFixed(1)} ${top}a${RING} ${RING} 0 1 0 ${2 * RING} 0a${RING} ${RING} 0 1 0 ${-2 * RING} 0`;
  }

  function links() {
    const lines = rows.flatMap((row) => (row.ours && row.theirs && differs(row)
      ? [`M${x(timeOf("ours", row.ours)).toFixed(1)} ${UPPER}L${x(timeOf("theirs", row.theirs)).toFixed(1)} ${LOWER}`] : []));
    return [svgEl("path", {d: lines.join(""), class: "strip-link"})];
  }

  function hand() {
    return svgEl("path", {class: "strip-now"});
  }

  /** @param {"ours" | "theirs"} side @param {Stroke} stroke */
  function timeOf(side, stroke) {
    return times[side].get(stroke.id) ?? 0;
  }

  function place() {
    const row = rows[at];
    if (!row) return;
    const ours = row.ours ? timeOf("ours", row.ours) : null;
    const theirs = row.theirs ? timeOf("theirs", row.theirs) : null;
    const [upper, lower] = [x(ours ?? theirs ?? 0).toFixed(1), x(theirs ?? ours ?? 0).toFixed(1)];
    svg.querySelector(".strip-now")?.setAttribute("d", `M${upper} 2V${UPPER}L${lower} ${LOWER}V${HEIGHT - 20}`);
    svg.setAttribute("aria-valuenow", String(at + 1));
    svg.setAttribute("aria-valuetext", `row ${at + 1} of ${rows.length}, ${clockWords(ours ?? theirs ?? 0)}: ${row.says}`);
  }

  /** The row nearest to a place on the strip: by our times in the upper half, by theirs in the lower. @param {MouseEvent} event */
  function nearest(event) {
    const box = svg.getBoundingClientRect();
    const ms = ((((event.clientX - box.left) / box.width) * width - NAMES) / (width - NAMES - 2)) * end;
    const side = event.clientY - box.top < (UPPER + LOWER) / 2 ? "ours" : "theirs";
    const away = (/** @type {Row} */ row) => (row[side] ? Math.abs(timeOf(side, row[side]) - ms) : Infinity);
    return rows.reduce((best, row) => (away(row) < away(best) ? row : best), rows[0]);
  }

  svg.addEventListener("click", (event) => rows.length && onMove(nearest(/** @type {MouseEvent} */ (event)).index));
  svg.addEventListener("keydown", (event) => {
    const steps = {ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1, PageUp: 10, PageDown: -10};
    const {key} = /** @type {KeyboardEvent} */ (event);
    if (key in steps) onMove(Math.min(rows.length - 1, Math.max(0, at + steps[key])));
    else if (key === "Home") onMove(0);
    else if (key === "End") onMove(rows.length - 1);
    else return;
    event.preventDefault();
  });
  new ResizeObserver(([{contentRect}]) => {
    width = Math.max(260, Math.round(contentRect.width));
    draw();
  }).observe(host);

  return {
    /** @param {Row[]} now @param {Stroke[]} ours @param {Stroke[]} theirs */
    take(now, ours, theirs) {
      rows = now;
      at = 0;
      times = {ours: byId(ours), theirs: byId(theirs)};
      end = Math.max(1000, ...times.ours.values(), ...times.theirs.values()) * 1.015;
      svg.setAttribute("aria-valuemax", String(Math.max(1, rows.length)));
      draw();
    },
    /** @param {number} index */
    moveTo(index) {
      at = index;
      place();
    },
  };
}

/** @param {Stroke[]} strokes @returns {Map<number, number>} */
function byId(strokes) {
  const {times} = timesOf(strokes);
  return new Map(strokes.map((stroke, index) => [stroke.id, times[index]]));
}
