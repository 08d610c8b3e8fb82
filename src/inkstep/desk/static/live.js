// The live page: follows the desk by its events, or a clock from its start.

import {ask, listen, sentWith} from "./asking.js";
import {strokesBy} from "./board/replay.js";
import {createShow} from "./live-show.js";

/** @type {{key: string, follow: string, start: ?number, here: any, change: any}} */
const live = sentWith("live");
/** An element of live.html. @param {string} id @returns {any} */
const find = (id) => document.getElementById(id);

let strokes = live.change.strokes;
let puzzle = live.change.head.puzzle;
let revision = live.change.revision;
let here = live.here;
/** @type {Promise<void>} */
let asked = Promise.resolve();
const show = createShow(find, {puzzle, strokes});

/** Bring the strokes up to date, one question after another. */
function renew() {
  asked = asked.then(async () => {
    const change = await ask(`/solve/${live.key}/change?have=${revision}`);
    strokes = [...strokes.slice(0, change.from), ...change.strokes];
    ({revision} = change);
    puzzle = change.head.puzzle;
    show.take(puzzle, strokes);
  }).catch(() => {});
  return asked;
}

// Following the desk

/** @param {any} next */
async function go(next) {
  if (next.number < here.number) return;
  here = next;
  if (next.revision > revision) await renew();
  if (here === next) show.show(next);
}

async function changed() {
  const before = show.count;
  const atEnd = show.page === before;
  await renew();
  if (live.follow !== "desk") return;
  const bare = !here.headline && !Object.keys(here.evidence).length;
  // who watches the end of the page sees what is added there; any other page is drawn anew, as its ink may have changed
  if (bare && atEnd && show.count > before) here = {...here, page: show.count};
  show.show(here);
}

// Following a clock

/** @type {Record<string, any>} */
let reasons = {};
/** @type {?number} */
let start = live.start;
let frame = 0;

async function fetchReasons() {
  try {
    const found = await ask(`/solve/${live.key}/live/evidence`);
    reasons = found.revision === revision ? found.strokes : {};
  } catch {
    reasons = {};
  }
}

/** @param {?number} at */
function run(at) {
  start = at;
  cancelAnimationFrame(frame);
  show.time(null);
  if (start === null) show.show({page: 0, evidence: {}, kicker: "", headline: "", words: []});
  else tick();
}

function tick() {
  const ms = Date.now() - /** @type {number} */ (start);
  const page = ms < 0 ? 0 : strokesBy(show.times, ms);
  if (page !== show.page) show.show(reasons[page] ?? {page, evidence: {}, kicker: "", headline: "", words: []});
  show.time(Math.max(0, ms));
  frame = requestAnimationFrame(tick);
}

if (live.follow === "desk") {
  show.show(here);
  listen(live.key, {here: go, changed, behind: changed});
} else {
  fetchReasons();
  run(start);
  listen(live.key, {clock: (data) => run(data.start), changed: () => renew().then(fetchReasons), behind: () => renew()});
}
document.documentElement.dataset.ready = "yes";
