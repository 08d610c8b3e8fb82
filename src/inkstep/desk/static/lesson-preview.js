// The lesson page as viewers get it, in a window of its own over the plan, opened at one of its scenes.

import {button, el} from "./board/elements.js";

/**
 * @param {HTMLDialogElement} dialog
 * @param {string} key
 * @param {{before: () => Promise<unknown>}} ways `before` keeps what is being written
 */
export function createPreview(dialog, key, {before}) {
  const path = `/solve/${key}/preview`;

  /** @param {?number} scene where to begin; null: at the top */
  async function open(scene) {
    await before();
    const frame = el("iframe", {src: path, title: "the lesson page"});
    frame.addEventListener("load", () => goTo(frame, scene));
    dialog.replaceChildren(
      el("p", {class: "preview-head"}, el("span", {class: "label", text: "as viewers get it"}),
        el("a", {href: path, target: "_blank", rel: "noopener", text: "open it in a tab"}),
        button("close", () => dialog.close(), {autofocus: true})),
      frame);
    dialog.showModal();
  }

  dialog.addEventListener("close", () => dialog.replaceChildren());
  return {open};
}

/**
 * Show a scene of the lesson page: the pauses before it are opened first, since what follows a closed one is hidden.
 * @param {HTMLIFrameElement} frame
 * @param {?number} scene
 */
function goTo(frame, scene) {
  const page = frame.contentDocument;
  if (!page || scene === null) return;
  const card = page.getElementById(`scene-${scene}`)?.closest("article");
  if (!card) return;
  if (card.hidden) /** @type {?HTMLButtonElement} */ (page.querySelector("#scenes .more button"))?.click();
  card.scrollIntoView({block: "center"});
  card.click();
}
