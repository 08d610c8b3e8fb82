// Choosing what to lay beside: another solve by its link, or a file, which the tab keeps and the desk does not.

import {say, sentWith, showState} from "./asking.js";
import {fileName, picksName, tabStore} from "./compare-picks.js";
import {sendFile} from "./compare-source.js";

const {key} = sentWith("solve");
const field = /** @type {HTMLInputElement} */ (document.getElementById("file"));
const drop = /** @type {HTMLElement} */ (document.getElementById("drop"));
/** bytes of a file; no sheet is longer, and a table of its strokes little more */
const MOST = 8_000_000;

/** @param {File} file */
async function layBeside(file) {
  say("");
  if (file.size > MOST) {
    say(`${file.name} is longer than any log: nothing was read of it.`);
    return;
  }
  showState("reading the file …");
  const said = await sent(file);
  showState("");
  if (!said) return;
  tabStore.write(picksName(key, "file"), null);
  if (!tabStore.write(fileName(key), {name: file.name, text: said.text, damage: said.damage})) {
    say("The browser has no room to keep the file while it is compared.");
    return;
  }
  location.assign(`/solve/${key}/compare/file`);
}

/** @param {File} file @returns {Promise<import("./compare-types.js").Sent | null>} */
async function sent(file) {
  try {
    return await sendFile(`/solve/${key}/compare/file/rows?name=${encodeURIComponent(file.name)}`, file);
  } catch (fault) {
    say(fault instanceof Error ? fault.message : String(fault));
    return null;
  }
}

field.addEventListener("change", () => {
  const [file] = field.files ?? [];
  if (file) layBeside(file);
  field.value = "";
});
document.addEventListener("dragover", (event) => {
  event.preventDefault();
  drop.classList.add("is-over");
});
document.addEventListener("dragleave", (event) => event.relatedTarget || drop.classList.remove("is-over"));
document.addEventListener("drop", (event) => {
  event.preventDefault();
  drop.classList.remove("is-over");
  const [file] = event.dataTransfer?.files ?? [];
  if (file) layBeside(file);
});
