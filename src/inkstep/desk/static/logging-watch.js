// The film beside the page, as logging needs it: the moment of the frame that is shown, going to a stroke's moment, and the
// clock's start.

import {createFilm} from "./film.js";

/** a further digit belongs to the same stroke while a playing film has gone on no longer than this since the last */
const SAME_STROKE_MS = 1500;
/** the length of a frame while it is not known */
const FRAME_MS = 40;

/**
 * @param {HTMLElement} host
 * @param {object} with_
 * @param {string} with_.key
 * @param {import("./keys.js").Keys} with_.keys
 * @param {import("./logging-store.js").Store} with_.store
 * @param {{heard: (revision: number) => void}} with_.queue
 * @param {(sentence: string) => void} with_.say
 * @param {() => void} with_.onMoved the film shows another frame, not by `goTo`
 * @param {() => void} with_.onSettled the frame that `goTo` asked for is shown
 */
export function createWatch(host, {key, keys, store, queue, say, onMoved, onSettled}) {
  let clockStart = store.head.clock_start_ms;
  let going = 0;
  /** @type {number | null} */
  let settled = null;
  /** @type {{ms: number, playing: boolean} | null} */
  let touch = null;
  const film = createFilm(host, {key, clockStartMs: clockStart, keys, say, onFrame});

  /** @param {number | null} ms */
  function onFrame(ms) {
    if (!going && ms !== settled) onMoved();
  }

  function shownMs() {
    const ms = film.ready() ? film.nowMs() : null;
    return ms === null ? null : Math.max(0, Math.round(ms));
  }

  film.onClockStart((ms, change) => {
    clockStart = ms;
    queue.heard(change.revision);
  });

  return {
    shownMs,
    nowMs: shownMs,
    /** A key of a stroke was pressed at this frame. */
    touched() {
      const ms = shownMs();
      touch = ms === null ? null : {ms, playing: film.playing()};
    },
    /** Whether the film has gone on since, or was moved while it stood, so that what is typed now is another stroke. */
    movedOn() {
      const ms = shownMs();
      if (ms === null || touch === null) return false;
      const away = Math.abs(ms - touch.ms);
      return touch.playing || film.playing() ? away > SAME_STROKE_MS : away > 0;
    },
    /** Show the frame of a moment. @param {number | null} ms */
    async goTo(ms) {
      if (ms === null || !film.ready()) return;
      going += 1;
      try {
        await film.seekMs(ms);
      } finally {
        going -= 1;
        settled = film.nowMs();
        onSettled();
      }
    },
    /** The moment some frames after a moment: of the film's own frames, or of usual ones where none is shown. @param {number} ms @param {number} frames */
    async framesFrom(ms, frames) {
      if (!film.ready()) return Math.max(0, ms + frames * FRAME_MS);
      going += 1;
      try {
        await film.seekMs(ms);
        await film.stepFrames(frames);
        return shownMs() ?? ms;
      } finally {
        going -= 1;
        settled = film.nowMs();
        onSettled();
      }
    },
    /** The sheet's head may have changed. @param {{clock_start_ms: number | null}} head */
    headChanged(head) {
      if (head.clock_start_ms === clockStart) return;
      clockStart = head.clock_start_ms;
      film.setClockStart(clockStart);
    },
  };
}
