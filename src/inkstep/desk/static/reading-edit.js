// Editing the words of a stroke. What is typed is kept in this browser until it is saved, whatever happens to the page.

import {Refusal} from "./asking.js";
import {button, el, kept} from "./board/elements.js";

/** @typedef {import("./reading-types.js").Reading} Reading */

/** characters, as the desk takes them */
const MOST = 4000;

/** @param {string} key the solve's @param {number} id the stroke's */
const draftOf = (key, id) => `inkstep-words:${key}:${id}`;

/** What was typed for a stroke and not saved; null for nothing. @param {string} key @param {number} id @returns {string | null} */
export function draft(key, id) {
  const found = kept.read(draftOf(key, id));
  return typeof found === "string" ? found : null;
}

/**
 * The form in place of a stroke's words. `save(words, was)` keeps them in place of what was there, and `saved` gets the
 * stroke as it is told then; `done()` closes the form.
 * @param {string} key @param {Reading} reading
 * @param {{save: (words: string, was: string) => Promise<Reading>, saved: (reading: Reading) => void, done: () => void,
 *          say: (words: string) => void}} acts
 */
export function editorOf(key, reading, {save, saved, done, say}) {
  const place = draftOf(key, reading.id);
  const start = reading.choice.words || reading.program;
  const field = el("textarea", {id: "words-field", rows: 6, maxlength: MOST, "aria-label": `the words for ${reading.label}`, spellcheck: "true"});
  const clash = el("div", {class: "clash", role: "alert"});
  const keep = button("keep these words", () => keepThem(reading.choice.words), {class: "boxed", id: "keep-words"});
  const form = el("form", {class: "editor", on: {submit: (/** @type {Event} */ event) => event.preventDefault()}},
    field, clash,
    el("p", {class: "ways"}, keep, button("leave them as they were", leave, {id: "leave-words"}),
      el("span", {class: "quiet"}, el("kbd", {text: "Ctrl"}), " ", el("kbd", {text: "Enter"}), " keeps, ", el("kbd", {text: "Esc"}), " leaves")),
    el("p", {class: "quiet", text: "They are read here, in the lesson plan and on the lesson page. A blank line begins a paragraph; "
      + "what the program names as seen, held or settled keeps its colour where you name it just so."}));
  field.value = draft(key, reading.id) ?? start;
  field.addEventListener("input", () => kept.write(place, field.value === start ? null : field.value));
  field.addEventListener("keydown", (/** @type {KeyboardEvent} */ event) => {
    if (event.key === "Escape") leave();
    else if (event.key === "Enter" && (event.ctrlKey || event.metaKey)) keepThem(reading.choice.words);
    else return;
    event.preventDefault();
    event.stopPropagation();
  });

  /** @param {string} was */
  async function keepThem(was) {
    keep.disabled = true;
    const typed = field.value.trim();
    try {
      // words that say what the program says are the program's
      const found = await save(typed === reading.program.trim() ? "" : typed, was);
      kept.write(place, null);
      saved(found);
    } catch (fault) {
      keep.disabled = false;
      if (!(fault instanceof Refusal)) throw fault;
      if (fault.status === 409 && "theirs" in fault.body) showClash(fault.body.theirs);
      else say(fault.message);
    }
  }

  /** @param {string} theirs */
  function showClash(theirs) {
    clash.replaceChildren(
      el("p", {}, "Meanwhile these words were changed elsewhere to:"),
      el("blockquote", {text: theirs || "what the program says"}),
      el("p", {class: "ways"},
        button("keep mine", () => keepThem(theirs), {class: "boxed", id: "keep-mine"}),
        button("take those", () => {
          kept.write(place, null);
          done();
        }, {id: "take-theirs"})));
  }

  function leave() {
    kept.write(place, null);
    done();
  }

  return {element: form, focus: () => field.focus()};
}
