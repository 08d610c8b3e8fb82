// Keys and what they do: one table of actions a page, which the user can change on the sheet of keys (`?`).

import {ask} from "./asking.js";
import {openSheetOfKeys} from "./keys-sheet.js";
import {respelled, reserved, spellings, unfinished} from "./keys-spelling.js";

export {digitOf} from "./keys-spelling.js";
export {keyInWords, keyNames} from "./keys-names.js";

/**
 * Something that a key does. `key` is spelled as in keys-spelling.js; `also` are further keys that stay as they are;
 * `group` is the heading on the sheet of keys. With `once`, holding the key down does it once; with `everywhere`, it
 * works while the user types in a field, too (so its key writes nothing there).
 * @typedef {{name: string, key: string, words: string, group: string, also?: string[], once?: boolean, everywhere?: boolean}} Action
 */

/** Keys that cannot be changed, for the sheet of keys: their names, and what they do. @typedef {{keys: string[], words: string}} Fixed */

/**
 * What an action does; to answer `false` says that it is not meant just now: the key then goes to the next action that
 * has it, or to the browser.
 * @typedef {(event: KeyboardEvent | null) => unknown} Act
 */

/** @typedef {ReturnType<typeof createKeys>} Keys */

const SHEET = "keys-sheet";
/** @type {Action} */
const sheetAction = {name: SHEET, key: "?", words: "all keys", group: "everywhere", once: true};

/** The keys that the user changed, by the action's name; none where the desk does not answer. @returns {Promise<Record<string, string>>} */
export async function keptKeys() {
  try {
    return (await ask("/settings/keys")).keys;
  } catch {
    return {};
  }
}

/**
 * A table of keys. `overrides` are the keys that the user changed (`await keptKeys()`); with `where` it listens for keys
 * there by itself (`document`, as a rule), else the page hands its keydown events to `handle`.
 * @param {Action[]} actions
 * @param {{overrides?: Record<string, string>, where?: EventTarget, fixed?: Fixed[]}} [how]
 */
export function createKeys(actions, {overrides = {}, where, fixed = []} = {}) {
  const all = [...actions, sheetAction];
  if (new Set(all.map((action) => action.name)).size < all.length) throw new Error("two actions have the same name");
  /** @type {Map<string, string>} */
  const changed = new Map(Object.entries(overrides).filter(([, key]) => !reserved(respelled(key))));
  /** @type {Map<string, Act[]>} */
  const acts = new Map([[SHEET, [openSheet]]]);

  /** The key of an action as it is now; "" for one that has none. @param {string} name */
  function keyOf(name) {
    const action = all.find((each) => each.name === name);
    return action ? respelled(changed.get(name) ?? action.key) : "";
  }

  /** Say what an action does; gives a function that takes it back. @param {string} name @param {Act} act */
  function on(name, act) {
    if (!all.some((action) => action.name === name)) throw new Error(`no action has the name ${name}`);
    acts.set(name, [act, ...(acts.get(name) ?? [])]);
    return () => acts.set(name, (acts.get(name) ?? []).filter((each) => each !== act));
  }

  /** Do an action as if its key had been pressed. @param {string} name @param {KeyboardEvent | null} [event] */
  function act(name, event = null) {
    return (acts.get(name) ?? []).some((each) => each(event) !== false);
  }

  /** Do what a key press asks for, where an action has the key; true when one took it. @param {KeyboardEvent} event */
  function handle(event) {
    if (event.defaultPrevented || unfinished(event)) return false;
    for (const spelled of spellings(event)) {
      if (reserved(spelled)) return false;
      for (const action of all.filter((each) => hasKey(each, spelled) && mayAct(each, event))) {
        if ((event.repeat && action.once && acts.has(action.name)) || act(action.name, event)) {
          event.preventDefault();
          return true;
        }
      }
    }
    return false;
  }

  /** @param {Action} action @param {string} spelled */
  function hasKey(action, spelled) {
    return keyOf(action.name) === spelled || (action.also ?? []).some((key) => respelled(key) === spelled);
  }

  /** Open the sheet of keys. */
  function openSheet() {
    openSheetOfKeys({
      actions: all,
      fixed,
      keyOf,
      clash: (name, key) => all.find((each) => each.name !== name && hasKey(each, key)) ?? null,
      change: (name, key) => keep(() => changed.set(name, key)),
      reset: (name) => keep(() => changed.delete(name)),
      resetAll: () => keep(() => all.forEach((action) => changed.delete(action.name))),
      isChanged: (name) => changed.has(name),
    });
  }

  /** Change the table and keep it: of other pages' actions, what is kept stays. @param {() => void} alter */
  async function keep(alter) {
    alter();
    const others = Object.entries(await keptKeys()).filter(([name]) => all.every((action) => action.name !== name));
    const own = [...changed].filter(([name]) => all.some((action) => action.name === name));
    await ask("/settings/keys", {keys: Object.fromEntries([...others, ...own])}, {method: "PUT"});
    for (const hear of hearers) hear();
  }

  /** @type {Set<() => void>} */
  const hearers = new Set();
  /** Hear that a key was changed, to show its new name. @param {() => void} hear */
  function onChange(hear) {
    hearers.add(hear);
  }

  where?.addEventListener("keydown", (event) => handle(/** @type {KeyboardEvent} */ (event)));
  return {on, act, handle, keyOf, openSheet, onChange};
}

/** Whether an action may act on a key pressed where the event comes from. @param {Action} action @param {KeyboardEvent} event */
function mayAct(action, event) {
  const target = event.composedPath()[0];
  if (!(target instanceof Element)) return true;
  if (target.closest(".keys-sheet")) return false;
  if (action.everywhere) return true;
  if (document.querySelector("dialog:modal")) return false;
  return !isTyping(target) && !isItsOwn(target, event);
}

/** @param {Element} target */
function isTyping(target) {
  if (target instanceof HTMLInputElement) return !["button", "submit", "reset", "checkbox", "radio", "range", "file", "color"].includes(target.type);
  return target instanceof HTMLTextAreaElement || target instanceof HTMLSelectElement || (target instanceof HTMLElement && target.isContentEditable);
}

/** A key that works the very thing that has the focus: a button reached with Tab, a choice, a summary. @param {Element} target @param {KeyboardEvent} event */
function isItsOwn(target, event) {
  const works = target.matches("input:is([type=checkbox], [type=radio], [type=range], [type=file])");
  if (works && /^(Arrow|Home$|End$|Page| $|Enter$)/.test(event.key)) return true;
  if (event.key !== " " && event.key !== "Enter") return false;
  // an option of a list is chosen by going to it: Space is free there
  if (event.key === "Enter" && target.matches("[role=option]")) return true;
  return target.matches("button, a[href], summary, input, [role=button], [role=link], [role=menuitem]") && target.matches(":focus-visible");
}
