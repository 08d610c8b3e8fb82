// The film beside the page: createFilm shows a solve's recording, steps through it exactly, and tells its times.

import {el} from "/static/board/elements.js";
import {createBar} from "./film-bar.js";
import {keepClockStart} from "./film-clock.js";
import {createFrames} from "./film-frames.js";
import {filmActions} from "./film-keys.js";
import {createPanel} from "./film-panel.js";
import {paperIn} from "./film-paper.js";
import {createRecording} from "./film-recording.js";
import {createKeeping} from "./film-source.js";
import {createView} from "./film-view.js";
import {createWatch} from "./film-watch.js";
import {speedWords, timeWords} from "./film-words.js";
import {createKeys} from "./keys.js";

/**
 * What the page is given. Times are whole milliseconds after the clock's start, of the frame that is SHOWN.
 * @typedef {object} Film
 * @property {HTMLElement} element
 * @property {() => boolean} ready whether a frame of a recording is shown
 * @property {() => number | null} nowMs the time of the frame shown; of the film's own beginning while `clockKnown()` is
 *   false; null without a recording, and before the clock's start
 * @property {() => boolean} clockKnown whether the clock's start is set
 * @property {() => number | null} frame the number of the frame shown, from 0; null while it is not certain
 * @property {(ms: number) => Promise<void>} seekMs show the frame that stands at a time (and stop)
 * @property {() => Promise<void>} pause stop; fulfilled once the frame shown is certain
 * @property {() => void} play
 * @property {() => boolean} playing
 * @property {(count: number) => Promise<void>} stepFrames that many frames on (negative: back)
 * @property {(cb: (ms: number, change: any) => void) => void} onClockStart the film has set the clock's start in the
 *   sheet's head, and asked whether strokes that have times stay at their frames; `change` is what `GET change` answers now
 * @property {(ms: number | null) => void} setClockStart the head was changed elsewhere: count from there now
 * @property {() => void} choose show the choice of a recording
 */

/** Milliseconds of playing after which the place is kept. */
const KEEP_PLACE_MS = 5000;

/**
 * @param {HTMLElement} host an empty element that the film fills
 * @param {object} with_
 * @param {string} with_.key the solve's
 * @param {number | null} with_.clockStartMs from the head
 * @param {import("./keys.js").Keys} [with_.keys] with `filmActions` among its actions; the film says what they do.
 *   Without it, the film listens for its keys by itself
 * @param {(sentence: string) => void} [with_.say]
 * @param {(ms: number | null, frame: number | null) => void} [with_.onFrame] at every frame shown: `nowMs()` and `frame()`
 * @returns {Film}
 */
export function createFilm(host, {key, clockStartMs, keys = createKeys(filmActions, {where: document}), say = () => {}, onFrame = () => {}}) {
  const keeping = createKeeping(key);
  const panel = createPanel(keys, filmActions, {setClock: () => keys.act("film-clock-start"), choose});
  const {video, stage} = panel;
  const frames = createFrames(video, shown);
  const watch = createWatch(video, frames, watched);
  const view = createView(stage, video, {changed: () => keeping.watch({zoom: view.state.zoom, turn: view.state.turn}), clicked: () => open() && watch.toggle()});
  const bar = createBar(seek);
  const none = el("p", {class: "film-memory small", hidden: true}, "Logged without a video. ", el("button", {type: "button", text: "choose a recording", on: {click: choose}}));
  const parts = [stage, bar.element, panel.row, panel.clock];
  const recording = createRecording({key, keeping, video, stage, parts, none, say, begin, restore});
  host.classList.add("film");
  host.replaceChildren(...parts, none, panel.heard);

  let clock = clockStartMs;
  let restoring = true;
  let placeKept = 0;
  /** @type {((ms: number, change: any) => void)[]} */
  const clockHearers = [];

  const {open} = recording;
  const shownMs = () => (frames.shown === null ? null : Math.round(frames.shown * 1000));

  function nowMs() {
    const ms = shownMs();
    const after = ms === null || !open() ? null : ms - (clock ?? 0);
    return after !== null && after >= 0 ? after : null;
  }

  function shown() {
    watch.heed();
    draw();
    onFrame(nowMs(), frames.number);
    if (!video.paused && performance.now() - placeKept > KEEP_PLACE_MS) keepPlace();
  }

  function draw() {
    const ms = shownMs();
    panel.draw({ms: ms === null ? null : ms - (clock ?? 0), frame: frames.number, speed: watch.speed, again: watch.seesAgain});
    const words = ms === null ? "" : `${timeWords(ms - (clock ?? 0))}, of ${timeWords((video.duration || 0) * 1000)}`;
    bar.show({now: frames.shown ?? 0, end: video.duration || 0, loop: watch.loop, clock: clock === null ? null : clock / 1000}, words);
    stage.classList.toggle("plays", !video.paused);
  }

  function watched() {
    draw();
    const loop = watch.loop?.map((each) => (each === null ? null : Math.round(each * 1e6) / 1000)) ?? null;
    if (!restoring) keeping.watch({speed: watch.speed, loop});
  }

  function keepPlace() {
    placeKept = performance.now();
    if (open() && !restoring) keeping.watch({at_ms: shownMs()});
  }

  /** Another film begins. @param {import("./film-source.js").Source} source */
  function begin(source) {
    restoring = true;
    frames.begin(source.exact);
    watch.leaveAgain();
  }

  /** Watch it as it was watched last. @param {any} kept */
  async function restore(kept) {
    const ends = video.duration * 1000;
    view.restore(kept.zoom, kept.turn);
    const loop = kept.loop && kept.loop[0] < ends ? [kept.loop[0] / 1000, kept.loop[1] === null ? null : Math.min(kept.loop[1], ends) / 1000] : null;
    watch.setLoop(/** @type {[number, number | null] | null} */ (loop));
    watch.setSpeed(kept.speed ?? 1);
    video.muted = kept.quiet ?? false;
    if (kept.at_ms && kept.at_ms < ends && video.paused) await frames.seek(kept.at_ms / 1000);
    restoring = false;
    draw();
  }

  function choose() {
    void watch.pause();
    recording.choose();
  }

  for (const name of ["play", "pause", "durationchange"]) video.addEventListener(name, draw);
  video.addEventListener("pause", keepPlace);
  addEventListener("pagehide", keepPlace, {capture: true});

  // moving about

  /** @param {number} moment in seconds of the film */
  async function seek(moment) {
    watch.leaveAgain();
    await frames.seek(Math.min(moment, video.duration || moment));
    keepPlace();
  }

  /** @param {number} by seconds */
  function jump(by) {
    const plays = !video.paused && !watch.seesAgain;
    const from = frames.shown ?? 0;
    if (plays) video.currentTime = Math.max(0, Math.min(video.duration, from + by));
    else void seek(Math.max(0, from + by));
  }

  /** @param {number} count */
  async function step(count) {
    watch.leaveAgain();
    await frames.step(count);
    keepPlace();
  }

  async function setClock() {
    await watch.pause();
    const [now, was] = [shownMs(), clock];
    if (now === null || now === was) return;
    try {
      const change = await keepClockStart(key, now, was);
      if (change === null) return;
      setClockStart(now);
      panel.hear(`The clock starts at ${timeWords(now)} of the film.`);
      for (const hear of clockHearers) hear(now, change);
    } catch (fault) {
      say(fault instanceof Error ? fault.message : String(fault));
    }
  }

  /** @param {number | null} ms */
  function setClockStart(ms) {
    clock = ms;
    panel.drawClock(ms);
    draw();
    onFrame(nowMs(), frames.number);
  }

  function fillWithPaper() {
    const part = paperIn(video);
    if (part) view.fill(part);
    else say("No paper stands out in the picture; + and the pointer bring it nearer.");
  }

  function setLoopEnd() {
    if (!watch.loopToHere()) say("The loop must end after it starts.");
  }

  /** @param {() => void} act */
  function andSay(act) {
    act();
    panel.hear(speedWords(watch.speed));
  }

  /** @type {Record<string, () => unknown>} */
  const acts = {
    "film-play": watch.toggle,
    "film-play-anywhere": watch.toggle,
    "film-again": watch.seeAgain,
    "film-frame-back": () => step(-1),
    "film-frame-on": () => step(1),
    "film-second-back": () => jump(-1),
    "film-second-on": () => jump(1),
    "film-ten-back": () => jump(-10),
    "film-ten-on": () => jump(10),
    "film-slower": () => andSay(watch.slower),
    "film-faster": () => andSay(watch.faster),
    "film-loop-start": watch.loopFromHere,
    "film-loop-end": setLoopEnd,
    "film-loop-off": () => watch.setLoop(null),
    "film-clock-start": setClock,
    "film-sound": () => keeping.watch({quiet: (video.muted = !video.muted)}),
    "film-closer": view.closer,
    "film-farther": view.farther,
    "film-whole": view.whole,
    "film-paper": fillWithPaper,
    "film-turn": view.turn,
  };
  for (const [name, act] of Object.entries(acts)) keys.on(name, () => (open() ? void act() : false));

  stage.addEventListener("keydown", (event) => {
    const ways = {ArrowLeft: [60, 0], ArrowRight: [-60, 0], ArrowUp: [0, 60], ArrowDown: [0, -60]};
    const way = event.target === stage && !event.ctrlKey && !event.altKey && !event.shiftKey ? ways[event.key] : null;
    if (!way) return;
    event.preventDefault();
    event.stopPropagation();
    view.pan(way[0], way[1]);
  });

  panel.drawClock(clock);
  void recording.find();

  return {
    element: host,
    ready: () => open() && !restoring && frames.shown !== null,
    nowMs,
    clockKnown: () => clock !== null,
    frame: () => (open() ? frames.number : null),
    seekMs: (ms) => (open() ? seek((ms + (clock ?? 0)) / 1000) : Promise.resolve()),
    pause: watch.pause,
    play: () => open() && watch.play(),
    playing: () => !video.paused,
    stepFrames: step,
    onClockStart: (cb) => void clockHearers.push(cb),
    setClockStart,
    choose,
  };
}
