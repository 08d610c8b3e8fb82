// Time on the reading page: the strip with pauses and rests, the two bands under it, and what the pointer is over, in words.

import {createStrip} from "./board/strip.js";
import {el, kept} from "./board/elements.js";
import {clockWords} from "./board/replay.js";
import {chanceWords, createMap, createPace, signs} from "./reading-charts.js";

/** @typedef {import("./reading-types.js").Study} Study */

const BANDS = "inkstep-bands";
/** narrower than this, the bands are closed until they are asked for, in pixels */
const ROOMY = 700;

/**
 * @typedef {{strokes: any[], times: number[], known: boolean[]}} Solve what the strip is drawn from before there is a study
 * @param {(id: string) => any} find an element of the page
 * @param {(n: number) => void} goTo
 */
export function createTime(find, goTo) {
  /** @type {Solve} */
  let solve = {strokes: [], times: [], known: []};
  /** @type {Study | null} */
  let study = null;
  /** @type {ReturnType<typeof createStrip> | null} */
  let strip = null;
  /** @type {{moveTo: (ms: number, n: number) => void}[]} */
  let bands = [];
  let n = 0;
  const details = find("bands");

  find("signs").replaceChildren(...signs());
  details.open = kept.read(BANDS) ?? innerWidth >= ROOMY;
  details.addEventListener("toggle", () => {
    kept.write(BANDS, details.open);
    drawBands();
    moveTo(n);
  });

  function drawStrip() {
    const host = el("div", {});
    find("strip").replaceChildren(host);
    const flags = (study?.pauses ?? []).map(({before}) => ({ms: before > 1 ? solve.times[before - 2] : 0, open: false, before}));
    strip = createStrip(host, {
      ...solve, flags,
      waits: (study?.waits ?? []).map(({from_ms, ms}) => [from_ms, from_ms + ms]),
      onMove: goTo,
      onFlag: (/** @type {number} */ index) => goTo(flags[index].before),
    });
  }

  function drawBands() {
    bands = [];
    details.hidden = !solve.strokes.length;
    if (!study || !details.open || !strip) return;
    const chart = {study, times: solve.times, end: strip.end, onMove: goTo, onHover: readOut};
    bands = [createPace(find("pace"), chart), createMap(find("map"), chart)];
  }

  /** @param {number | null} at the stroke under the pointer */
  function readOut(at) {
    const row = study?.strokes[(at ?? n) - 1];
    find("readout").textContent = row ? `${row.at_ms === null ? "" : `${clockWords(row.at_ms)} `}${row.label}: ${chanceWords(row)}` : "";
  }

  /** Set the red line at a stroke. @param {number} to */
  function moveTo(to) {
    n = to;
    const ms = n ? solve.times[n - 1] : 0;
    strip?.moveTo(ms, n);
    bands.forEach((band) => band.moveTo(ms, n));
    readOut(null);
  }

  return {
    moveTo,
    /** Draw everything anew; without a study only the strokes. @param {Solve} now @param {Study | null} found @param {number} at */
    draw(now, found, at) {
      solve = now;
      study = found;
      drawStrip();
      drawBands();
      moveTo(at);
    },
  };
}
