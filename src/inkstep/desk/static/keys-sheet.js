// The sheet of keys: every action of the page by its group, and a way to give it another key.

import {button, el} from "/static/board/elements.js";
import {Refusal} from "./asking.js";
import {keyInWords, keyNames} from "./keys-names.js";
import {reserved, spellings, unfinished} from "./keys-spelling.js";

/**
 * @typedef {object} Table
 * @property {import("./keys.js").Action[]} actions
 * @property {import("./keys.js").Fixed[]} fixed what stays as it is
 * @property {(name: string) => string} keyOf
 * @property {(name: string, key: string) => import("./keys.js").Action | null} clash which other action has a key
 * @property {(name: string, key: string) => Promise<void>} change
 * @property {(name: string) => Promise<void>} reset
 * @property {() => Promise<void>} resetAll
 * @property {(name: string) => boolean} isChanged
 */

/** Open the sheet, once. @param {Table} table */
export function openSheetOfKeys(table) {
  if (document.querySelector(".keys-sheet")) return;
  const told = el("p", {class: "keys-told", role: "status"});
  const list = el("div", {class: "keys-groups"});
  const title = el("h2", {text: "Keys", id: "keys-title"});
  const all = button("every key as at first", () => keep(table.resetAll(), "Every key is as it was at first."));
  const close = button("close", () => dialog.close(), {class: "boxed"});
  const foot = el("div", {class: "keys-foot"}, told, el("span", {class: "keys-ways"}, el("a", {href: "/tour", class: "small", text: "the tour"}), all, close));
  const how = el("p", {class: "quiet", text: "To give an action another key, choose its key here and press the new one. Keys are kept for every solve."});
  const dialog = el("dialog", {class: "keys-sheet", "aria-labelledby": "keys-title"}, title, how, list, foot);
  /** @type {string | null} the action whose new key is awaited */
  let waiting = null;

  function draw(focus = "") {
    const groups = grouped(table.actions).map(([name, actions]) => section(name, actions));
    list.replaceChildren(...(table.fixed.length ? [fixedSection()] : []), ...groups);
    const chosen = [...list.querySelectorAll("[data-action]")].find((each) => /** @type {HTMLElement} */ (each).dataset.action === focus);
    if (chosen instanceof HTMLElement) chosen.focus();
  }

  /** What the page is made of: it cannot be changed, and is what a hand does most. */
  function fixedSection() {
    const rows = table.fixed.map(({keys, words}) => el("li", {},
      el("span", {class: "keys-fixed"}, ...keys.map((key) => el("kbd", {text: key}))), el("span", {class: "keys-words", text: words})));
    return el("section", {"aria-labelledby": "keys-fixed"}, el("h3", {id: "keys-fixed", text: "what stays as it is"}), el("ul", {}, ...rows));
  }

  function section(name, actions) {
    const id = `keys-${name.replace(/\W+/g, "-")}`;
    const rows = actions.map((action) => el("li", {}, keyButton(action), el("span", {class: "keys-words", text: action.words}), resetButton(action)));
    return el("section", {"aria-labelledby": id}, el("h3", {id, text: name}), el("ul", {}, ...rows));
  }

  function keyButton(action) {
    const spelled = table.keyOf(action.name);
    const names = waiting === action.name ? ["press a key"] : spelled ? keyNames(spelled) : ["none"];
    const label = waiting === action.name ? `press the new key for ${action.words}` : `${action.words}: ${keyInWords(spelled)}. Change it`;
    return el("button", {
      type: "button", class: "keys-key", "data-action": action.name, "aria-label": label, "aria-pressed": String(waiting === action.name),
      on: {click: () => expect(waiting === action.name ? null : action.name)},
    }, ...names);
  }

  function resetButton(action) {
    if (!table.isChanged(action.name)) return null;
    return button("as at first", () => reset(action), {"aria-label": `${action.words}: as at first`, class: "keys-reset"});
  }

  /** @param {string | null} name */
  function expect(name) {
    const was = waiting;
    waiting = name;
    told.textContent = name ? "Press the new key, or Esc to leave it." : "";
    draw(name ?? was ?? "");
  }

  /** @param {KeyboardEvent} event */
  function pressed(event) {
    if (!waiting) return;
    if (unfinished(event)) return;
    event.preventDefault();
    event.stopPropagation();
    if (event.key === "Escape" && !event.ctrlKey && !event.shiftKey && !event.altKey) return expect(null);
    const action = table.actions.find((each) => each.name === waiting);
    const key = spellings(event)[0];
    if (!action || !key) return;
    const other = table.clash(action.name, key);
    if (reserved(key)) told.textContent = `The browser keeps ${keyInWords(key)} for itself. Press another key.`;
    else if (other) told.textContent = `${keyInWords(key)} is taken: ${other.words} (${other.group}). Press another key, or change that one first.`;
    else set(action, key);
  }

  function set(action, key) {
    waiting = null;
    keep(table.change(action.name, key), `${action.words}: ${keyInWords(key)} from now on.`, action.name);
  }

  function reset(action) {
    const other = table.clash(action.name, action.key);
    if (other) told.textContent = `${keyInWords(action.key)} is taken now: ${other.words} (${other.group}). Change that one first.`;
    else keep(table.reset(action.name), `${action.words}: as at first.`, action.name);
  }

  /** @param {Promise<void>} kept @param {string} words @param {string} [focus] */
  async function keep(kept, words, focus) {
    try {
      await kept;
      told.textContent = words;
    } catch (fault) {
      told.textContent = fault instanceof Refusal ? `Changed on this page, but not kept: ${fault.message}` : String(fault);
    }
    draw(focus);
  }

  const before = document.activeElement;
  dialog.addEventListener("keydown", pressed);
  dialog.addEventListener("cancel", (event) => waiting && event.preventDefault());
  dialog.addEventListener("click", (event) => event.target === dialog && dialog.close());
  dialog.addEventListener("close", () => {
    dialog.remove();
    if (before instanceof HTMLElement) before.focus();
  });
  draw();
  document.body.append(dialog);
  dialog.showModal();
  close.focus();
}

/** Actions under the headings of their groups, in order. @param {import("./keys.js").Action[]} actions @returns {[string, import("./keys.js").Action[]][]} */
function grouped(actions) {
  /** @type {Map<string, import("./keys.js").Action[]>} */
  const groups = new Map();
  for (const action of actions) groups.set(action.group, [...(groups.get(action.group) ?? []), action]);
  return [...groups];
}
