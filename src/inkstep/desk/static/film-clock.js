// The moment of the film at which the clock starts: kept in the sheet's head, asked about where strokes have times already.

import {button, el} from "/static/board/elements.js";
import {ask} from "./asking.js";
import {timeWords} from "./film-words.js";

/**
 * Keep the clock's start. Gives the change of the solve, or null where the user left it as it was.
 * @param {string} key @param {number} now @param {number | null} was milliseconds of the film
 * @returns {Promise<any>}
 */
export async function keepClockStart(key, now, was) {
  const path = `/solve/${key}/clock`;
  const answer = await ask(path, {start_ms: now, was});
  if (!answer.timed) return answer;
  const strokes = await whatOfStrokes(answer.timed, now, was);
  return strokes === null ? null : ask(path, {start_ms: now, was, strokes});
}

/** @param {number} timed @param {number} now @param {number | null} was @returns {Promise<string | null>} */
function whatOfStrokes(timed, now, was) {
  return new Promise((resolve) => {
    /** @param {string | null} answer */
    const choose = (answer) => {
      resolve(answer);
      dialog.close();
    };
    const strokes = timed === 1 ? "One stroke has a time" : `${timed} strokes have times`;
    const shift = timeWords((was ?? 0) - now);
    const dialog = el("dialog", {class: "film-ask", "aria-labelledby": "film-ask-title"},
      el("h2", {id: "film-ask-title", text: `The clock is to start at ${timeWords(now)} of the film`}),
      el("p", {text: `${strokes}, counted from ${was === null ? "the film's beginning, or from a clock that was not in the film" : timeWords(was)}.`}),
      el("p", {class: "film-answers"},
        button(`each stays at its frame (times change by ${shift})`, () => choose("follow"), {class: "boxed"}),
        button("the times stay as they are", () => choose("stay"), {class: "boxed"}),
        button("leave the clock's start", () => choose(null))));
    dialog.addEventListener("close", () => {
      resolve(null);
      dialog.remove();
    });
    document.body.append(dialog);
    dialog.showModal();
  });
}
