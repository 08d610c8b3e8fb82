// Taking a solve off the shelf: asked first, with a file of it to keep.

import {ask, say, showState} from "./asking.js";

/** @param {HTMLElement} found where the solves stand @param {() => Promise<void>} onChange */
export function openRemoving(found, onChange) {
  const dialog = /** @type {HTMLDialogElement} */ (document.getElementById("remove"));
  const keep = /** @type {HTMLAnchorElement} */ (document.getElementById("remove-keep"));
  let key = "";
  let title = "";

  found.addEventListener("click", (event) => {
    const asked = event.target instanceof Element ? event.target.closest("[data-remove]") : null;
    if (!(asked instanceof HTMLElement)) return;
    key = asked.dataset.remove ?? "";
    title = asked.closest(".entry")?.querySelector(".entry-title")?.textContent ?? "";
    const name = document.getElementById("remove-name");
    if (name) name.textContent = title;
    keep.href = `/solve/${key}/keep.zip`;
    dialog.showModal();
    document.getElementById("remove-leave")?.focus();
  });

  async function remove() {
    dialog.close();
    const next = neighbour();
    try {
      say("");
      await ask(`/solve/${key}/remove`, {});
      await onChange();
      showState(`${title} is off the shelf`);
      titleIn(next)?.focus();
    } catch (fault) {
      say(fault instanceof Error ? fault.message : String(fault));
    }
  }

  /** The key of the solve that the focus goes to. */
  function neighbour() {
    const entry = found.querySelector(`.entry[data-key="${CSS.escape(key)}"]`);
    const other = entry?.nextElementSibling ?? entry?.previousElementSibling;
    return other instanceof HTMLElement ? other.dataset.key ?? "" : "";
  }

  /** @param {string} of @returns {HTMLElement | null} */
  function titleIn(of) {
    return found.querySelector(`.entry[data-key="${CSS.escape(of)}"] .entry-title`);
  }

  document.getElementById("remove-now")?.addEventListener("click", remove);
  document.getElementById("remove-leave")?.addEventListener("click", () => dialog.close());
}
