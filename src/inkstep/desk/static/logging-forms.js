// The places in which words are typed: one line for a note, a comment or a stroke as a sheet has it; the repair of a stroke;
// what is known about the solve; and the choice between two versions of what two pages changed.

import {button, el} from "./board/elements.js";
import {timeWords} from "./logging-list.js";

/**
 * A field in `host` that is there until it is left. Enter gives the words to `onDone`, Escape leaves; when `onDone` calls its
 * second argument, the field stays open with what was typed, and says why.
 * @param {HTMLElement} host
 * @param {{label: string, value?: string, hint?: string, lines?: boolean, onDone: (words: string, refused: (why: Error) => void) => void,
 *          onLeave: () => void}} how
 */
export function openLine(host, {label, value = "", hint = "", lines = false, onDone, onLeave}) {
  const field = el(lines ? "textarea" : "input", {id: "line-field", rows: lines ? 2 : null, autocomplete: "off", spellcheck: lines ? "true" : "false",
    class: lines ? "" : "mono"});
  const trouble = el("p", {class: "role-doubt small", role: "alert"});
  const form = el("form", {class: "line"}, el("label", {for: "line-field", text: label}), field,
    el("p", {class: "quiet small", text: hint}), trouble);
  field.value = value;

  function close() {
    host.replaceChildren();
    onLeave();
  }

  field.addEventListener("keydown", (/** @type {KeyboardEvent} */ event) => {
    if (event.isComposing) return;
    if (event.key === "Escape") close();
    else if (event.key === "Enter" && !event.shiftKey) {
      const words = field.value;
      let stays = false;
      onDone(words, (why) => {
        stays = true;
        if (!form.isConnected) {
          host.replaceChildren(form);
          field.focus();
        }
        trouble.textContent = why.message;
      });
      if (!stays) close();
    } else return;
    event.preventDefault();
    event.stopPropagation();
  });
  form.addEventListener("submit", (/** @type {Event} */ event) => event.preventDefault());
  host.replaceChildren(form);
  field.focus();
  field.select();
}

/**
 * The repair of a stroke: Enter in a field changes it.
 * @param {HTMLElement} host
 * @param {import("./logging-store.js").Row} stroke
 * @param {{onChange: (field: "action" | "time" | "comment", words: string, hear: {done: () => void, refused: (why: Error) => void}) => void, onLeave: () => void,
 *          ways: [words: string, key: string, act: () => void][]}} how
 */
export function openRepair(host, stroke, {onChange, onLeave, ways}) {
  const fields = /** @type {const} */ ([
    ["action", "what was inked", stroke.action], ["time", "time", stroke.at_ms === null ? "" : timeWords(stroke.at_ms)],
    ["comment", "comment", stroke.comment],
  ]);
  const trouble = el("p", {class: "role-doubt small repair-ways", role: "alert"});
  const form = el("form", {class: "repair", "aria-label": `repair ${stroke.action}`}, fields.map(([name, label, value]) => {
    const lines = name === "comment";
    const field = el(lines ? "textarea" : "input", {id: `repair-${name}`, rows: lines ? 1 : null, autocomplete: "off", class: lines ? "" : "mono"});
    field.value = value;
    field.addEventListener("keydown", (/** @type {KeyboardEvent} */ event) => {
      if (event.key !== "Enter" || event.shiftKey || event.isComposing) return;
      event.preventDefault();
      event.stopPropagation();
      if (field.value === value) leave();
      else onChange(name, field.value, {done: leave, refused: (why) => { trouble.textContent = why.message; }});
    });
    return el("div", {class: `repair-field repair-${name}`}, el("label", {for: `repair-${name}`, text: label}), field);
  }), trouble, el("p", {class: "repair-ways"}, ways.map(([words, key, act]) => button(words, () => {
    leave();
    act();
  }, {title: key}))));

  function leave() {
    host.replaceChildren();
    onLeave();
  }

  form.addEventListener("keydown", (/** @type {KeyboardEvent} */ event) => {
    if (event.key !== "Escape") return;
    event.preventDefault();
    event.stopPropagation();
    leave();
  });
  form.addEventListener("submit", (/** @type {Event} */ event) => event.preventDefault());
  host.replaceChildren(form);
  form.addEventListener("focusin", (/** @type {Event} */ event) => /** @type {HTMLInputElement} */ (event.target).select?.());
  form.querySelector("input").focus();
}

/** @type {[name: string, label: string, hint: string][]} */
const HEAD = [
  ["title", "title", ""], ["event", "event", "the occasion"], ["solver", "solver", "who solved it"], ["date", "date", "in your own words, or year-month-day"],
  ["source", "source", "where the puzzle comes from"], ["recording", "recording", "from which the strokes were taken"],
  ["permission", "permission", "what solver and makers have allowed"], ["credit", "credit", "whom to name when it is published"],
];
const AUDIENCES = [["", "not said"], ["newcomer", "newcomer: knows the rules"], ["club", "club: knows the usual techniques"],
  ["contest", "contest: solves against the clock"]];

/**
 * What is known about the solve.
 * @param {any} head
 * @param {(now: Record<string, string>, was: Record<string, string>) => void} onDone
 */
export function openHead(head, onDone) {
  const texts = [...HEAD, ["language", "language", "of the comments, such as en"]].map(([name, label, hint]) => {
    const field = el("input", {id: `head-${name}`, name, autocomplete: "off", "aria-describedby": hint ? `hint-${name}` : null});
    field.value = head[name];
    return el("p", {}, el("label", {for: `head-${name}`, text: label}), field, el("span", {class: "small quiet", id: `hint-${name}`, text: hint}));
  });
  const audience = el("select", {id: "head-audience", name: "audience"},
    AUDIENCES.map(([value, words]) => el("option", {value, selected: value === head.audience, text: words})));
  texts.splice(-1, 0, el("p", {}, el("label", {for: "head-audience", text: "audience"}), audience));
  const form = el("form", {method: "dialog"}, el("h2", {text: "About this solve"}), el("div", {class: "head-fields"}, texts),
    el("p", {class: "dialog-ways"}, el("button", {class: "boxed", value: "keep", text: "Keep"}),
      el("button", {value: "leave", formnovalidate: true, text: "Leave as it was"})));
  const dialog = showDialog(form, "about this solve");
  dialog.addEventListener("close", () => {
    if (dialog.returnValue !== "keep") return;
    /** @type {Record<string, string>} */
    const now = {};
    for (const [name, value] of new FormData(form)) if (value !== head[name]) now[name] = String(value);
    if (Object.keys(now).length) onDone(now, Object.fromEntries(Object.keys(now).map((name) => [name, head[name]])));
  });
}

/**
 * Two pages changed the same thing: both versions, and the choice.
 * @param {{was: string, theirs: string, ours: string}} versions
 * @returns {Promise<"theirs" | "ours" | "neither">}
 */
export function askClash({was, theirs, ours}) {
  const part = (/** @type {string} */ label, /** @type {string} */ text) => [el("dt", {class: "small quiet", text: label}), el("dd", {class: "mono", text: text || "taken out"})];
  const form = el("form", {method: "dialog"}, el("h2", {text: "Changed in another window meanwhile"}),
    el("dl", {class: "versions"}, part("as you saw it", was), part("as it stands now", theirs), part("as you want it", ours)),
    el("p", {class: "dialog-ways"}, el("button", {class: "boxed", value: "theirs", text: "Keep what stands now"}),
      el("button", {value: "ours", text: "Put mine over it"}), el("button", {value: "neither", text: "Cancel"})));
  const dialog = showDialog(form, "two versions");
  return new Promise((resolve) => dialog.addEventListener("close", () => {
    const choice = dialog.returnValue;
    resolve(choice === "theirs" || choice === "ours" ? choice : "neither");
  }));
}

/** @param {HTMLElement} content @param {string} label @returns {HTMLDialogElement} */
function showDialog(content, label) {
  const dialog = el("dialog", {class: "logging-dialog", "aria-label": label}, content);
  dialog.addEventListener("close", () => dialog.remove());
  document.body.append(dialog);
  dialog.showModal();
  return dialog;
}
