// What is seen of the film: the picture on its dark ground with time, frame and speed on it, the bar, and the keys in words.

import {button, el} from "/static/board/elements.js";
import {keyNames} from "./keys-names.js";
import {speedWords, timeWords} from "./film-words.js";

/** The keys below the picture: actions that stand together, and the words after them. @type {[string[], string][]} */
const ROW = [
  [["film-play"], "stop, go"],
  [["film-again"], "see that again"],
  [["film-frame-back", "film-frame-on"], "one frame"],
  [["film-second-back", "film-second-on"], "one second"],
  [["film-slower", "film-faster"], "slower, faster"],
  [["film-loop-start", "film-loop-end", "film-loop-off"], "loop: from, to, off"],
  [["film-paper"], "fill with the paper"],
  [["keys-sheet"], "all keys"],
];

/**
 * @param {import("./keys.js").Keys} keys
 * @param {import("./keys.js").Action[]} actions
 * @param {{setClock: () => void, choose: () => void}} act
 */
export function createPanel(keys, actions, act) {
  const video = el("video", {class: "film-video", preload: "auto", playsinline: true, tabindex: "-1", "aria-hidden": "true", disablepictureinpicture: true});
  const [time, frame, speed] = ["film-time", "film-frame", "film-speed"].map((name) => el("span", {class: name}));
  const now = el("p", {class: "film-now"}, time, frame, speed);
  const stage = el("div", {class: "film-stage", tabindex: "0", role: "group", "aria-label": "the picture; when it is enlarged, arrow keys move it"}, video, now);
  const row = el("div", {class: "film-keys keys"});
  const clockWords = el("span", {});
  const setClock = button("", act.setClock);
  const choose = button("another recording", act.choose);
  const clock = el("p", {class: "film-clock small"}, clockWords, setClock, choose);
  const heard = el("p", {class: "unseen", role: "status"});
  // a click on a button leaves the keys where they were: the space bar still stops and goes
  for (const each of [row, clock]) each.addEventListener("mousedown", (event) => event.preventDefault());

  function drawRow() {
    row.replaceChildren(...ROW.map(([names, words]) => (names.length > 1 ? several(names, words) : one(names[0], words))));
    const [key] = [keyNames(keys.keyOf("film-clock-start"))];
    setClock.replaceChildren(...key, el("span", {}));
    drawClock(clockMs);
  }
  /** @param {string} name @param {string} words */
  const one = (name, words) => el("button", {type: "button", class: "film-key", on: {click: () => keys.act(name)}}, ...keyNames(keys.keyOf(name)), el("span", {text: words}));
  /** @param {string[]} names @param {string} words */
  const several = (names, words) => el("span", {class: "film-key"}, ...names.map((name) => {
    const label = actions.find((action) => action.name === name)?.words;
    return el("button", {type: "button", "aria-label": label, title: label, on: {click: () => keys.act(name)}}, ...keyNames(keys.keyOf(name)));
  }), el("span", {text: words, "aria-hidden": "true"}));

  /** @type {number | null} */
  let clockMs = null;
  /** @param {number | null} ms */
  function drawClock(ms) {
    clockMs = ms;
    clockWords.textContent = ms === null
      ? "The clock's start is not set: times count from the film's beginning."
      : `The clock starts at ${timeWords(ms)} of the film.`;
    const words = setClock.querySelector("span");
    if (words) words.textContent = ms === null ? "it starts at this frame" : "it starts at this frame instead";
  }

  /** @param {{ms: number | null, frame: number | null, speed: number, again: boolean}} shown */
  function draw(shown) {
    time.textContent = shown.ms === null ? "" : timeWords(shown.ms);
    frame.textContent = shown.frame === null ? "" : `frame ${shown.frame}`;
    speed.textContent = shown.again ? "seen again, slowed" : speedWords(shown.speed);
  }

  keys.onChange(drawRow);
  drawRow();
  return {
    video, stage, row, clock, heard, draw, drawClock,
    /** Say a change aloud, for who does not see it. @param {string} words */
    hear(words) {
      heard.textContent = words;
    },
  };
}
