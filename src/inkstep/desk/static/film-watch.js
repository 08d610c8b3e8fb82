// Ways of watching: at a speed, again and slowed, round and round between two moments.

import {SPEEDS} from "./film-words.js";

/** "See that again": how far back, and how much slower. */
const AGAIN_S = 2;
const AGAIN_SLOWER = 3;
/** The slowest that browsers play. */
const SLOWEST = 0.0625;

/**
 * @param {HTMLVideoElement} video
 * @param {ReturnType<typeof import("./film-frames.js").createFrames>} frames
 * @param {() => void} changed the speed, the loop, or whether it plays was changed
 */
export function createWatch(video, frames, changed) {
  let speed = 1;
  /** @type {[number, number | null] | null} in seconds */
  let loop = null;
  /** @type {{to: number, plays: boolean} | null} what is being seen again, up to which moment, and how it went on before */
  let again = null;
  let last = 0;

  function play() {
    again = null;
    video.playbackRate = speed;
    start();
  }

  function start() {
    video.play().catch(() => changed());
  }

  async function pause() {
    leaveAgain();
    await frames.stop();
  }

  function leaveAgain() {
    again = null;
    video.playbackRate = speed;
  }

  /** See the last two seconds again, slowed, then go on as before. */
  async function seeAgain() {
    const mine = {to: again?.to ?? frames.shown ?? 0, plays: again?.plays ?? !video.paused};
    again = mine;
    await frames.stop();
    await frames.seek(mine.to - AGAIN_S);
    if (again !== mine) return;
    video.playbackRate = Math.max(SLOWEST, speed / AGAIN_SLOWER);
    changed();
    start();
  }

  async function endAgain() {
    const mine = again;
    again = null;
    if (!mine) return;
    await frames.stop();
    video.playbackRate = speed;
    await frames.seek(mine.to);
    if (mine.plays) start();
    changed();
  }

  /** A frame is shown: has what is seen again, or the loop, come to its end? */
  function heed() {
    const now = frames.shown ?? 0;
    if (again && !video.paused && now >= again.to) void endAgain();
    else if (loop && loop[1] !== null && !again && !video.paused && last < loop[1] && now >= loop[1]) goRound();
    last = now;
  }

  function goRound() {
    if (loop) video.currentTime = loop[0] + 0.0006;
  }

  video.addEventListener("ended", () => {
    if (again) return void endAgain();
    if (!loop || loop[1] === null) return;
    goRound();
    start();
  });

  /** @param {[number, number | null] | null} now */
  function setLoop(now) {
    loop = now;
    changed();
  }

  /** @param {number} now */
  function setSpeed(now) {
    speed = now;
    video.playbackRate = again ? Math.max(SLOWEST, now / AGAIN_SLOWER) : now;
    changed();
  }

  return {
    play,
    pause,
    seeAgain,
    heed,
    leaveAgain,
    setLoop,
    setSpeed,
    toggle: () => (again || !video.paused ? void pause() : play()),
    slower: () => setSpeed(SPEEDS.filter((each) => each < speed).at(-1) ?? speed),
    faster: () => setSpeed(SPEEDS.find((each) => each > speed) ?? speed),
    loopFromHere() {
      const now = frames.shown ?? 0;
      setLoop([now, loop && loop[1] !== null && loop[1] > now ? loop[1] : null]);
    },
    /** Whether there is a loop now: it ends after it starts. */
    loopToHere() {
      const now = frames.shown ?? 0;
      const from = loop ? loop[0] : 0;
      if (now > from) setLoop([from, now]);
      return now > from;
    },
    get speed() {
      return speed;
    },
    get loop() {
      return loop;
    },
    get seesAgain() {
      return again !== null;
    },
  };
}
