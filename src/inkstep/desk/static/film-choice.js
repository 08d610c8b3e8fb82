// Which recording: a path on this computer, a file picked in the page, or none.

import {button, el} from "/static/board/elements.js";
import {sizeWords} from "./film-words.js";

/** What is known: `title` above it all, a sentence of trouble, and whether a film is there to go back to. @typedef {{title: string, path: string, trouble: string, picked: {name: string, size: number} | null, closable: boolean}} Facts */

/**
 * @param {{path: (path: string) => Promise<void>, pick: (file: File) => void, memory: () => void, close: () => void}} chosen `path`
 *   is refused with an error whose message is the sentence to show
 */
export function createChoice(chosen) {
  const title = el("h2", {});
  const trouble = el("p", {class: "film-trouble role-doubt", role: "alert"});
  const path = el("input", {
    id: "film-path", type: "text", name: "path", spellcheck: "false", autocomplete: "off", "aria-describedby": "film-path-how",
  });
  const use = el("button", {type: "submit", class: "boxed", text: "use this file"});
  const form = el("form", {class: "film-path"},
    el("label", {for: "film-path", text: "The file's path on this computer"}),
    el("span", {class: "film-path-line"}, path, use),
    el("span", {class: "quiet", id: "film-path-how", text: "As copied from the file manager or a terminal. The next visit opens it by itself."}));
  const file = el("input", {type: "file", accept: "video/*,.mkv,.mov", class: "unseen", tabindex: "-1", "aria-hidden": "true"});
  const pick = button("pick a file", () => file.click(), {class: "boxed"});
  const picked = el("p", {class: "quiet", text: "It stays in this browser and is not copied anywhere; the next visit asks to pick it again."});
  const memory = button("no video: log from memory", () => chosen.memory());
  const close = button("leave it as it is", () => chosen.close());
  const element = el("div", {class: "film-choice card"}, title, trouble, form,
    el("div", {class: "film-pick"}, pick, file, picked), el("p", {class: "film-none"}, memory, close));

  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    trouble.textContent = "";
    if (!path.value.trim()) {
      trouble.textContent = "Type or paste the path of the file first.";
      return void path.focus();
    }
    use.disabled = true;
    try {
      await chosen.path(path.value);
    } catch (fault) {
      trouble.textContent = fault instanceof Error ? fault.message : String(fault);
      path.focus();
    }
    use.disabled = false;
  });
  file.addEventListener("change", () => {
    if (file.files[0]) chosen.pick(file.files[0]);
    file.value = "";
  });

  /** @param {Facts} facts */
  function show(facts) {
    const again = facts.picked !== null && !facts.path;
    title.textContent = facts.title;
    trouble.textContent = facts.trouble;
    path.value = facts.path;
    pick.textContent = again && facts.picked ? `pick ${facts.picked.name} again` : "pick a file";
    picked.textContent = again && facts.picked
      ? `It had ${sizeWords(facts.picked.size)}. A page may not open a file by itself; a path it may.`
      : "It stays in this browser and is not copied anywhere; the next visit asks to pick it again.";
    element.insertBefore(again ? pick.parentElement : form, again ? form : pick.parentElement);
    close.hidden = !facts.closable;
    memory.hidden = facts.closable;
  }

  return {element, show, focus: () => path.focus()};
}
