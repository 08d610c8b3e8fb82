// One pause of the plan as a card: the question, graded hints, the answer, and how long viewers are left to try.

import {button, el} from "./board/elements.js";
import {createField} from "./lesson-field.js";
import {dots, lengthWords} from "./lesson-segment.js";

const GRIP = "move the pause; the arrow keys move it to the passage before or behind";

/**
 * @param {import("./lesson-store.js").Store} store
 * @param {import("./lesson-store.js").Pause} first
 * @param {import("./lesson-segment.js").Ways} ways
 */
export function createPause(store, first, ways) {
  const id = first.id;
  const where = {pause: id};
  /** @type {import("./lesson-store.js").Pause} */
  let pause = first;
  const grip = el("button", {type: "button", class: "grip", "aria-label": GRIP}, dots());
  const kicker = el("p", {class: "kicker"});
  const question = createField(store, {where, field: "question", label: "Question", className: "question",
    placeholder: "what viewers are asked"});
  const answer = createField(store, {where, field: "answer", label: "Answer", className: "answer", placeholder: "the answer, said after the rest"});
  const rest = createField(store, {where, field: "rest_ms", label: "Rest in seconds", single: true, className: "rest",
    read: (text) => Math.round(Math.max(0, Math.min(600, Number(text.replace(",", ".")) || 0)) * 1000),
    shown: (ms) => String(ms / 1000)});
  const hints = createHints();
  const here = button("move it here", () => ways.send({edit: "shift", pause: id, stroke: ways.chosen()}));
  const drop = button("drop", () => (pause.own ? ways.send({edit: "remove", pause: id})
    : ways.send({edit: "show", pause: id, shown: !pause.shown})));
  const see = button("see it", () => ways.preview(pause.scene ?? 0), {title: "the lesson page at this pause"});
  const lacks = el("p", {class: "lacks small", hidden: true});
  const length = el("p", {class: "spoken"});
  const element = el("article", {class: "passage pause", tabindex: -1, "data-card": `pause:${id}`},
    grip, el("header", {class: "passage-head"}, kicker, el("span", {class: "tools"}, here, drop, see)), length,
    el("div", {class: "passage-words"}, lacks, question.element, hints.element,
      el("div", {class: "answered"}, el("span", {class: "label", text: "answer, after"}), rest.element,
        el("span", {class: "label", text: "s"}), answer.element)));

  function createHints() {
    const list = el("ol", {class: "hints"});
    const add = button("add a hint", () => put((hints) => [...hints, ""], pause.hints.length), {class: "add"});
    const back = button("as the program says", () => store.send({edit: "leave", ...where, field: "hints"}), {class: "back",
      "aria-label": "Hints: as the program says"});
    const element = el("div", {class: "field hints-field"}, list, el("p", {class: "hints-foot"}, add, back));
    let drawn = "";

    /** @param {(hints: string[]) => string[]} change @param {number} [focus] the hint to go to */
    async function put(change, focus) {
      await keepAll();
      const made = await store.send(() => ({edit: "write", ...where, field: "hints", was: pause.hints, now: change(pause.hints)}));
      if (made === null) return;
      const rows = list.querySelectorAll("textarea");
      if (focus !== undefined && rows.length) rows[Math.min(focus, rows.length - 1)].focus();
    }

    /** @type {ReturnType<typeof createField<string>>[]} */
    let fields = [];
    const keepAll = () => Promise.all(fields.map((field) => field.keep()));

    /** @param {number} index */
    function row(index) {
      // one hint is a part of the whole list, which is what the server keeps
      const part = {...store, send: (edit, how) => store.send(() => {
        const asked = edit();
        if (!asked) return null;
        const was = [...pause.hints];
        const now = was.map((hint, at) => (at === index ? asked.now : hint));
        return {...asked, was, now};
      }, how)};
      const field = createField(/** @type {any} */ (part), {where, field: "hints", label: `Hint ${index + 1}`, single: true, className: "one-hint"});
      fields.push(field);
      field.update(pause.hints[index]);
      const moved = (by) => put((hints) => {
        const now = [...hints];
        now.splice(index + by, 0, ...now.splice(index, 1));
        return now;
      }, index + by);
      const last = index === pause.hints.length - 1;
      return el("li", {}, field.element, el("span", {class: "hint-tools"},
        button("↑", () => moved(-1), {"aria-label": `hint ${index + 1} sooner`, title: "sooner", disabled: index === 0}),
        button("↓", () => moved(1), {"aria-label": `hint ${index + 1} later`, title: "later", disabled: last}),
        button("✕", () => put((hints) => hints.filter((_, at) => at !== index), index), {"aria-label": `take hint ${index + 1} away`, title: "take away"})));
    }

    return {
      element,
      keep: keepAll,
      update(mine) {
        back.hidden = !mine;
        element.classList.toggle("mine", mine);
        add.disabled = pause.hints.length >= 12;
        const shape = String(pause.hints.length);
        if (shape === drawn && fields.length === pause.hints.length) {
          fields.forEach((field, index) => field.update(pause.hints[index]));
          return;
        }
        drawn = shape;
        fields = [];
        list.replaceChildren(...pause.hints.map((_, index) => row(index)));
      },
    };
  }

  const card = {
    key: `pause:${id}`,
    kind: "pause",
    id,
    element,
    grip,
    get item() {
      return pause;
    },
    keep: () => Promise.all([question.keep(), answer.keep(), rest.keep(), hints.keep()]),
    /** @param {string} part */
    part: (part) => (part === "grip" ? grip : question.input),
    /** @param {any} next */
    update(next) {
      pause = next;
      const dropped = pause.shown ? "" : " · dropped";
      kicker.textContent = `pause before stroke ${pause.before}${dropped}`;
      kicker.title = ways.labelOf(pause.before);
      element.classList.toggle("dropped", !pause.shown);
      element.setAttribute("aria-label", `pause before stroke ${pause.before}${pause.shown ? "" : ", dropped"}`);
      question.update(pause.question, pause.edited.includes("question"));
      hints.update(pause.edited.includes("hints"));
      answer.update(pause.answer, pause.edited.includes("answer"));
      rest.update(pause.rest_ms, pause.edited.includes("rest_ms"));
      lacks.hidden = pause.follows && pause.question !== "";
      lacks.textContent = pause.follows ? "Without a question the pause is passed over."
        : "No argument leads to this stroke: question, hints and answer are yours to write.";
      drop.textContent = pause.own ? "take away" : pause.shown ? "drop" : "bring back";
      see.disabled = pause.scene === null;
      length.replaceChildren(...lengthWords(pause));
    },
    /** @param {?number} stroke */
    mark(stroke) {
      here.disabled = stroke === null || stroke === pause.before;
      here.title = here.disabled ? "choose another stroke on the strip first" : `before stroke ${stroke}: ${ways.labelOf(/** @type {number} */ (stroke))}`;
    },
  };
  ways.grip(card, grip);
  return card;
}
