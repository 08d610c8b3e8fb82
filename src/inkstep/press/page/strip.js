// The time strip: one line to scale, a tall tick a digit, a short one a mark, a flag a pause, a bar a long rest, and a
// red line where you are. It is also a slider over the strokes.

import {clockWords} from "./replay.js";
import {svgEl} from "./elements.js";

const FULL = {height: 74, axis: 42, top: 6, flag: 12, time: 25};
const SLIM = {height: 46, axis: 27, top: 1, flag: 2, time: 17};
const SLIM_BELOW = 480;
const STEPS_S = [1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 1200, 3600];
const TALL = {digit: 23, mark: 12, strike: 12, note: 12};

/**
 * A strip inside `host` for strokes at `times` (ms; `known` says which the sheet gives), `waits` and `flags`.
 * onMove(n) asks for the page after n strokes, onFlag(index) for a pause.
 */
export function createStrip(host, {strokes, times, known, waits, flags, onMove, onFlag}) {
  const end = Math.max(1000, ...times, ...waits.map((wait) => wait[1])) * 1.015;
  const svg = svgEl("svg", {class: "strip", role: "slider", tabindex: 0, "aria-label": "where you are in the solve",
    "aria-valuemin": 0, "aria-valuemax": strokes.length, "aria-orientation": "horizontal"});
  const hasClock = known.some(Boolean);
  let width = 600;
  let form = FULL;
  let at = {ms: 0, n: 0};
  host.append(svg);

  const x = (ms) => 2 + ((width - 4) * ms) / end;

  function draw() {
    width = Math.max(200, Math.round(host.clientWidth || 600));
    form = width < SLIM_BELOW ? SLIM : FULL;
    svg.setAttribute("viewBox", `0 0 ${width} ${form.height}`);
    svg.setAttribute("height", String(form.height));
    svg.replaceChildren(...axis(), ...strokes.map(tick), ...waits.map(rest), ...flags.map(flag), hand());
    place();
  }

  function axis() {
    const most = Math.max(3, Math.floor(width / 62));
    const step = 1000 * (STEPS_S.find((seconds) => end / (1000 * seconds) <= most) ?? 3600);
    const marks = [];
    for (let ms = 0; ms <= end; ms += step) {
      const anchor = ms === 0 ? "start" : x(ms) > width - 20 ? "end" : "middle";
      marks.push(svgEl("text", {x: ms === 0 ? 0 : x(ms), y: form.axis + form.time, "text-anchor": anchor, class: "strip-time",
        text: clockWords(ms).replace(/\.0$/, "")}));
    }
    const line = svgEl("path", {d: `M0 ${form.axis}H${width}`, class: "strip-axis"});
    return hasClock ? [line, ...marks] : [line];
  }

  function tick(stroke, index) {
    const tall = (TALL[stroke.kind] ?? 12) * (form === SLIM ? 0.8 : 1);
    const kind = `tick ${stroke.kind === "digit" ? "tick-digit" : "tick-mark"}${known[index] ? "" : " tick-unknown"}`;
    return svgEl("path", {d: `M${x(times[index]).toFixed(1)} ${form.axis}v${-tall}`, class: kind});
  }

  function rest([from, to]) {
    return svgEl("path", {d: `M${x(from).toFixed(1)} ${form.axis + (form === SLIM ? 4 : 7)}H${x(to).toFixed(1)}`, class: "strip-rest"},
      svgEl("title", {text: `a rest of ${((to - from) / 1000).toFixed(1)} s`}));
  }

  function flag(each, index) {
    const left = x(each.ms) - 6;
    const shape = svgEl("path", {d: `M${left} ${form.flag}h12v11l-6 6l-6-6z`, class: `strip-flag ${each.open ? "is-open" : ""}`},
      svgEl("title", {text: hasClock ? `pause at ${clockWords(each.ms)}` : "pause"}));
    shape.addEventListener("click", (event) => {
      event.stopPropagation();
      onFlag(index);
    });
    return shape;
  }

  function hand() {
    return svgEl("path", {d: `M0 ${form.top}V${form.axis + (form === SLIM ? 8 : 12)}`, class: "strip-now"});
  }

  function place() {
    svg.querySelector(".strip-now")?.setAttribute("transform", `translate(${x(at.ms).toFixed(1)} 0)`);
    svg.setAttribute("aria-valuenow", String(at.n));
    const count = `${at.n} of ${strokes.length} strokes`;
    svg.setAttribute("aria-valuetext", hasClock ? `${clockWords(at.ms)}, ${count}` : count);
  }

  svg.addEventListener("click", (event) => {
    const box = svg.getBoundingClientRect();
    const ms = ((event.clientX - box.left) / box.width) * end;
    const nearest = [0, ...times].reduce((best, time, n, all) =>
      (Math.abs(time - ms) < Math.abs(all[best] - ms) ? n : best), 0);
    onMove(nearest);
  });
  svg.addEventListener("keydown", (event) => {
    const steps = {ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1, PageUp: 10, PageDown: -10};
    if (event.key in steps) onMove(at.n + steps[event.key]);
    else if (event.key === "Home") onMove(0);
    else if (event.key === "End") onMove(strokes.length);
    else return;
    event.preventDefault();
  });
  new ResizeObserver(draw).observe(host);
  draw();

  return {
    end,
    /** Set the red line at a time, with n strokes made. */
    moveTo(ms, n) {
      at = {ms, n};
      place();
    },
    /** Say which pauses are open. */
    setOpen(open) {
      flags.forEach((each, index) => {
        each.open = open[index];
      });
      draw();
    },
  };
}
