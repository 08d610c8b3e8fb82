// What is said of the whole lesson: its title, for whom, at what pace, how long it should be; undo and redo.

import {button, el} from "./board/elements.js";
import {createField, minutes} from "./lesson-field.js";

/** Milliseconds of "12", "12:30" or "1:02:30" (minutes first); null of nothing. @param {string} text */
export function lengthOf(text) {
  const parts = text.trim().split(":").map((part) => Number(part.replace(",", ".")));
  if (!text.trim() || parts.some((part) => !Number.isFinite(part) || part < 0)) return null;
  const [hours, mins, seconds] = parts.length > 2 ? parts : [0, parts[0], parts[1] ?? 0];
  return Math.min(36000, Math.round(hours * 3600 + mins * 60 + seconds)) * 1000 || null;
}

/**
 * @param {HTMLElement} host
 * @param {import("./lesson-store.js").Store} store
 * @param {{before: () => Promise<unknown>}} ways `before` keeps what is being written
 */
export function createFrame(host, store, {before}) {
  const title = createField(store, {where: {}, field: "title", label: "Title of the lesson", single: true, className: "title"});
  const pace = createField(store, {where: {}, field: "words_per_minute", label: "Words a minute", single: true, className: "number",
    read: (text) => Math.round(Math.max(40, Math.min(400, Number(text) || 145)))});
  const length = createField(store, {where: {}, field: "planned_ms", label: "Planned length in minutes", single: true, className: "number",
    placeholder: "any", read: lengthOf, shown: (ms) => (ms === null ? "" : minutes(ms))});
  const audience = el("select", {"aria-label": "Audience"});
  const back = button("as the program says", () => store.send({edit: "leave", field: "audience"}), {class: "back", hidden: true,
    "aria-label": "Audience: as the program says"});
  audience.addEventListener("change", () => store.send({edit: "write", field: "audience", was: store.plan.audience, now: audience.value}));
  const undo = button("undo", () => step("undo"));
  const redo = button("redo", () => step("redo"));
  const anew = button("choose cut and pauses anew", () => store.send({edit: "anew"}),
    {title: "the program cuts the solve and chooses its pauses again, around everything that you edited"});
  host.append(el("div", {class: "title-row"}, title.element, el("span", {class: "frame-tools"}, undo, redo)),
    el("div", {class: "frame-row"},
      el("label", {}, el("span", {class: "label", text: "for"}), audience), back,
      el("div", {class: "pair"}, pace.element, el("span", {class: "label", text: "words a minute"})),
      el("div", {class: "pair"}, el("span", {class: "label", text: "planned"}), length.element, el("span", {class: "label", text: "min"})),
      anew));

  /** @param {"undo" | "redo"} which */
  async function step(which) {
    await before();
    return store.send(() => (store.plan[which] ? {edit: which} : null));
  }

  return {
    undo: () => step("undo"),
    redo: () => step("redo"),
    keep: () => Promise.all([title.keep(), pace.keep(), length.keep()]),
    /** @param {import("./lesson-store.js").Plan} plan */
    show(plan) {
      title.update(plan.title, plan.edited.includes("title"));
      pace.update(plan.words_per_minute, plan.edited.includes("words_per_minute"));
      length.update(plan.planned_ms);
      audience.replaceChildren(...plan.audiences.map((name) => el("option", {value: name, text: name === "newcomer" ? "newcomers" : name === "club" ? "a club" : "contestants", selected: name === plan.audience})));
      back.hidden = !plan.edited.includes("audience");
      for (const [each, words, name] of [[undo, plan.undo, "undo"], [redo, plan.redo, "redo"]]) {
        each.disabled = !words;
        each.title = words ? `${name}: ${words}` : "";
      }
    },
  };
}
