// Frames of a film, exactly: which one is shown, and how to get to the next, the one before, or the one of a moment.
//
// A video element is only asked for times, and says afterwards which frame it shows (requestVideoFrameCallback, its
// mediaTime). Where it shows a frame from its moment to the next one's ("exact": MP4, whose samples have durations), the
// frame before is just before this one's moment. Other files name no durations (WebM), and a browser takes a frame to
// last some usual time: there, the times that lead to a frame are searched for. What was found is remembered.

import {createRate} from "./film-rate.js";

/** Seconds after a frame's moment that are asked for: past what was rounded to milliseconds, within any frame. */
const INSIDE_S = 0.0006;
const BEFORE_S = 0.0004;
/** Two frames are never closer than this, in seconds. */
const CLOSEST_S = 0.002;
/** Milliseconds that a frame may take to be shown after the browser has it. */
const PAINT_MS = 600;
/** Steps that wait for their turn while the key is held down. */
const MOST_STEPS = 3;

/**
 * @param {HTMLVideoElement} video
 * @param {() => void} onFrame called whenever a frame is shown
 */
export function createFrames(video, onFrame) {
  let rate = createRate();
  /** @type {number | null} the moment in seconds of the frame shown */
  let shown = null;
  /** @type {number | null} the same, but for frames that only flit by while another is searched for */
  let settled = null;
  let searching = false;
  /** @type {number | null} of the film's first frame */
  let first = null;
  let count = 0;
  let exact = true;
  /** Seconds from a frame's moment to where the browser lets it end, in a file that names no durations. */
  let lasts = 0;
  /** @type {Map<number, number>} a time that leads to a frame */
  const ways = new Map();
  /** @type {Map<number, number>} the frame after a frame */
  const after = new Map();
  /** @type {Map<number, number>} the frame before a frame */
  const before = new Map();
  /** @type {{steps: number} | {moment: number} | null} */
  let wanted = null;
  /** @type {Promise<void> | null} */
  let moving = null;

  /** @param {number} moment */
  function show(moment) {
    if (first === null && video.currentTime < 0.0001) first = moment;
    shown = moment;
    count += 1;
    rate.hear(moment);
    if (!searching) tell();
  }

  /** What is shown now is what was looked for. */
  function tell() {
    settled = shown;
    onFrame();
  }

  watchFrames(video, show);

  /** Forget the film: another begins. @param {boolean} isExact */
  function begin(isExact) {
    exact = isExact;
    shown = settled = first = null;
    lasts = 0;
    wanted = null;
    rate = createRate();
    for (const map of [ways, after, before]) map.clear();
  }

  /** Stop, and wait until the frame shown is certain. */
  async function settle() {
    const played = !video.paused;
    video.pause();
    if (!played && !video.seeking) return;
    if (video.seeking) await oneOf(video, ["seeked", "error", "emptied"], 4000);
    await painted();
    await painted();
  }

  /** Ask for a time; gives the moment of the frame that is shown then. @param {number} time @returns {Promise<number>} */
  async function at(time) {
    const asked = Math.max(0, Math.min(time, end()));
    if (asked !== video.currentTime || shown === null) {
      const had = count;
      video.currentTime = asked;
      await oneOf(video, ["seeked", "error", "emptied"], 10_000);
      for (const until = performance.now() + PAINT_MS; count === had && performance.now() < until; ) await painted();
      if (count !== had && shown !== null) ways.set(shown, asked);
    }
    return shown ?? 0;
  }

  const end = () => (Number.isFinite(video.duration) ? Math.max(0, video.duration - 0.001) : 1e9);
  /** @param {number} moment */
  const way = (moment) => ways.get(moment) ?? moment + INSIDE_S;

  /** Show the frame after a frame that is shown; gives its moment, or null at the end. @param {number} from @returns {Promise<number | null>} */
  async function next(from) {
    const known = after.get(from);
    if (known !== undefined && (await at(way(known))) === known) return known;
    const even = rate.period;
    if (even !== null && Math.abs((await at(from + 1.5 * even)) - from - even) < CLOSEST_S) return linked(from, shown ?? 0);
    let low = Math.max(ways.get(from) ?? 0, from);
    let high = low;
    let found = from;
    for (let reach = 1.5 * (even ?? 1 / 30); found <= from; reach *= 2) {
      if (high >= end()) return null;
      low = high;
      high = Math.min(end(), low + reach);
      found = await at(high);
    }
    const border = await narrowed(low, high, found, from, exact ? [found - BEFORE_S] : [from + lasts - 0.0018, from + lasts]);
    if (!exact) lasts = lasts ? Math.min(lasts, border.high - from) : border.high - from;
    if (shown !== border.found) await at(border.high);
    return linked(from, border.found);
  }

  /**
   * Between a time that leads to `from` or before it and one that leads past it, the border at which `from` ends.
   * @param {number} low @param {number} high @param {number} found what `high` leads to
   * @param {number} from @param {number[]} guesses times that are tried first
   */
  async function narrowed(low, high, found, from, guesses) {
    while (high - low > CLOSEST_S) {
      let guess = guesses.shift() ?? NaN;
      if (exact && Number.isNaN(guess)) guess = found - BEFORE_S;
      const time = guess > low && guess < high ? guess : (low + high) / 2;
      const seen = await at(time);
      if (seen > from) [high, found] = [time, seen];
      else low = time;
      if (exact && seen <= from && time === guess) break;
    }
    return {low, high, found};
  }

  /** Show the frame before a frame that is shown; gives its moment, or null at the beginning. @param {number} from @returns {Promise<number | null>} */
  async function previous(from) {
    const known = before.get(from);
    if (known !== undefined && (await at(way(known))) === known) return known;
    const even = rate.period;
    if (!exact && even !== null && Math.abs((await at(from - even / 2)) - from + even) < CLOSEST_S) return linked(shown ?? 0, from, true);
    if (exact) return (await at(from - BEFORE_S)) < from ? linked(shown ?? 0, from, true) : null;
    let high = way(from);
    while (!ways.has(from) && (await at(high)) < from) high += 0.01;
    let low = high;
    let seen = from;
    for (let reach = 1 / 30; seen >= from; reach *= 2) {
      if (low <= 0) return null;
      high = low;
      low = Math.max(0, high - reach);
      seen = await at(low);
    }
    while (high - low > CLOSEST_S) {
      const middle = (low + high) / 2;
      if ((await at(middle)) < from) low = middle;
      else high = middle;
    }
    return linked(await at(low), from, true);
  }

  /** @param {number} one @param {number} other @param {boolean} [back] give the one, not the other */
  function linked(one, other, back = false) {
    after.set(one, other);
    before.set(other, one);
    return back ? one : other;
  }

  /** Show the frame that stands at a moment of the film, in seconds. @param {number} moment */
  async function goTo(moment) {
    const even = rate.period;
    const last = moment + INSIDE_S;
    if (even !== null && first !== null) {
      const start = first + Math.floor((last - first) / even) * even;
      const seen = await at(start + even / 2);
      if (Math.abs(seen - start) < CLOSEST_S) return;
    }
    let seen = await at(ways.get(moment) ?? last);
    if (exact) return;
    for (let earlier; seen > last && (earlier = await previous(seen)) !== null; ) seen = earlier;
    for (let later; (later = await next(seen)) !== null; seen = later) {
      if (later > last) return void (await at(way(seen)));
    }
  }

  /** Wait for a search, and tell only what it ends with. @template T @param {Promise<T>} search @returns {Promise<T>} */
  async function found(search) {
    searching = true;
    try {
      return await search;
    } finally {
      searching = false;
      tell();
    }
  }

  async function move() {
    await settle();
    while (wanted) {
      if ("moment" in wanted) {
        const {moment} = wanted;
        wanted = null;
        await found(goTo(moment));
      } else {
        const forward = wanted.steps > 0;
        const left = wanted.steps - Math.sign(wanted.steps);
        wanted = left ? {steps: left} : null;
        if ((await found((forward ? next : previous)(shown ?? 0))) === null) wanted = null;
      }
    }
  }

  /** @param {{steps: number} | {moment: number}} wish @returns {Promise<void>} */
  function want(wish) {
    if ("steps" in wish && wanted && "steps" in wanted) {
      const steps = Math.max(-MOST_STEPS, Math.min(MOST_STEPS, wanted.steps + wish.steps));
      wanted = steps ? {steps} : null;
    } else {
      wanted = wish;
    }
    moving ??= move().finally(() => (moving = null));
    return moving;
  }

  return {
    begin,
    /** The moment of the frame shown, in seconds; null while none is. */
    get shown() {
      return settled;
    },
    /** The number of the frame shown, from 0; null while it is not certain. */
    get number() {
      return rate.period === null || first === null || settled === null ? null : Math.round((settled - first) / rate.period);
    },
    /** Whether frames are on their way. */
    get moving() {
      return moving !== null;
    },
    /** Stop, wherever it is; fulfilled once the frame shown is certain. */
    async stop() {
      wanted = null;
      await moving;
      await settle();
    },
    /** Some frames on, or back. @param {number} steps */
    step: (steps) => want({steps}),
    /** Stop at the frame of a moment in seconds. @param {number} moment */
    seek: (moment) => want({moment: Math.max(0, moment)}),
  };
}

/** Hear the moment of every frame that is shown. @param {HTMLVideoElement} video @param {(moment: number) => void} hear */
function watchFrames(video, hear) {
  if (!("requestVideoFrameCallback" in video)) return watchTimes(video, hear);
  const again = (/** @type {number} */ _now, /** @type {VideoFrameCallbackMetadata} */ frame) => {
    hear(frame.mediaTime);
    video.requestVideoFrameCallback(again);
  };
  video.requestVideoFrameCallback(again);
}

/** The same where the browser does not say which frame it shows: right to about a frame. @param {any} video @param {(moment: number) => void} hear */
function watchTimes(video, hear) {
  let last = -1;
  const look = () => {
    if (video.readyState >= 2 && !video.seeking && video.currentTime !== last) hear((last = video.currentTime));
    requestAnimationFrame(look);
  };
  look();
}

/** @param {EventTarget} target @param {string[]} names @param {number} most milliseconds */
function oneOf(target, names, most) {
  return new Promise((resolve) => {
    const done = () => {
      clearTimeout(timer);
      for (const name of names) target.removeEventListener(name, done);
      resolve(undefined);
    };
    const timer = setTimeout(done, most);
    for (const name of names) target.addEventListener(name, done);
  });
}

/** The browser has painted; in a tab that is not seen, a moment later. */
function painted() {
  return new Promise((resolve) => {
    const timer = setTimeout(resolve, 60);
    requestAnimationFrame(() => {
      clearTimeout(timer);
      resolve(undefined);
    });
  });
}
