// What stands in place of a stroke's words: the solve as a whole, the review on its way, and why there is nothing to read.

import {button, el} from "./board/elements.js";
import {clockWords} from "./board/replay.js";

/** @typedef {import("./reading-types.js").Study} Study */

/**
 * Before the first stroke: the solve in a few sentences.
 * @param {any} solve @param {Study} study @param {(action: string) => string} keyOf @param {(n: number) => void} goTo
 */
export function wholeOf(solve, study, keyOf, goTo) {
  const key = (/** @type {string} */ action) => el("kbd", {text: keyOf(action)});
  return [
    el("p", {class: "kicker"}, el("span", {class: "quiet", text: [solve.event, solve.solver].filter(Boolean).join(", ")})),
    el("h2", {tabindex: -1, id: "title", text: "The whole solve"}),
    ...study.overview.map((each) => el("p", {class: "words", text: each})),
    study.unmet.length ? el("p", {class: "unmet small"}, "Arguments that you picked are not found any more at ",
      study.unmet.map((each) => button(`stroke ${each.n}`, () => goTo(each.n), {title: each.words}))) : "",
    el("p", {class: "quiet hint"}, key("read-next"), " and ", key("read-back"), " go from stroke to stroke, ", key("read-finding"),
      " to the next finding, ", el("kbd", {text: "?"}), " shows all keys. Press a cell to read why its digit stands there."),
    el("p", {class: "ways"}, button("to the first stroke", () => goTo(1), {class: "boxed", id: "begin"})),
  ];
}

/** While the review is made. @param {any} stroke the one chosen, if any */
export function waitingOf(stroke) {
  return [
    el("p", {class: "kicker", text: stroke && stroke.at_ms !== null ? clockWords(stroke.at_ms) : ""}),
    el("h2", {text: "The review is being made"}),
    el("p", {}, el("progress", {id: "share", max: 100, value: 0, "aria-label": "how much of the review is made"})),
    el("p", {class: "quiet", text: "Each stroke is set against the lightest argument of the page before it."}),
  ];
}

/** Where no stroke is logged. @param {string} key the solve's */
export function nothingOf(key) {
  return [el("h2", {text: "Nothing is written yet"}),
    el("p", {class: "words"}, "Strokes come first: ", el("a", {href: `/solve/${key}/logging`, text: "log the solve"}), ".")];
}

/** Where the solve cannot be reviewed. @param {string} words */
export function unreadOf(words) {
  return [el("h2", {text: "This cannot be read yet"}), el("p", {class: "words", text: words})];
}
