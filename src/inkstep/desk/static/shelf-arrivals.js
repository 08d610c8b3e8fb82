// Files that are brought in: each is sent by itself, and what came of it is listed.

import {Refusal, say} from "./asking.js";
import {button, el} from "./board/elements.js";

const MB = 2 ** 20;
/** how many megabytes the desk takes in: of a whole archive, of anything else */
const MOST = {archive: 4096, other: 64};
/** how many lines of damage are shown at once */
const MOST_SHOWN = 4;

/**
 * @typedef {{name: string, key?: string, title?: string, strokes?: number, damage?: string[], complete?: boolean,
 *            twins?: number, added?: number, skipped?: number, faults?: string[], needs?: string}} Arrival
 */

/** @param {() => void} onChange called when something new stands on the shelf */
export function openArrivals(onChange) {
  const section = /** @type {HTMLElement} */ (document.getElementById("arrivals"));
  const list = /** @type {HTMLElement} */ (document.getElementById("arrived"));
  const picked = /** @type {HTMLInputElement} */ (document.getElementById("files"));
  const drop = /** @type {HTMLElement} */ (document.getElementById("drop"));

  /** @param {Iterable<File>} files */
  async function bring(files) {
    const each = [...files];
    if (!each.length) return;
    say("");
    section.hidden = false;
    document.getElementById("arrivals-head")?.focus();
    for (const file of each) await bringOne(file);
    onChange();
  }

  /** @param {File} file */
  async function bringOne(file) {
    const row = el("li", {}, el("span", {class: "mono", text: file.name}), " ", el("span", {class: "quiet", text: "is being read"}));
    list.prepend(row);
    await tell(row, file, "");
  }

  /** Send the file, and show in its row what came of it. @param {HTMLElement} row @param {File} file @param {string} puzzle */
  async function tell(row, file, puzzle) {
    try {
      const arrival = await send(file, puzzle);
      row.replaceChildren(...(arrival.needs ? asking(row, file, arrival) : words(arrival)));
    } catch (fault) {
      const why = fault instanceof Error ? fault.message : String(fault);
      const form = puzzle ? asking(row, file, {name: file.name}, puzzle) : [el("span", {class: "mono", text: file.name})];
      row.replaceChildren(...form, el("p", {class: "problem small", text: why}));
    }
  }

  /** A table of strokes says nothing of its puzzle. @param {HTMLElement} row @param {File} file @param {Arrival} arrival @param {string} [puzzle] */
  function asking(row, file, arrival, puzzle = "") {
    const typed = el("textarea", {class: "mono", rows: 3, spellcheck: "false"});
    typed.value = puzzle;
    const take = () => tell(row, file, typed.value).then(onChange);
    return [
      el("span", {class: "mono", text: arrival.name}),
      el("label", {class: "field"}, el("span", {text: "is a table of strokes. Of which puzzle? 81 characters, nine lines, or a candidate grid"}), typed),
      button("Bring it in", take, {class: "boxed"}),
    ];
  }

  section.querySelector("#arrivals-close")?.addEventListener("click", () => {
    section.hidden = true;
    list.replaceChildren();
    document.getElementById("bring")?.focus();
  });
  picked.addEventListener("change", () => {
    const files = [...(picked.files ?? [])];
    picked.value = "";
    bring(files);
  });
  document.getElementById("bring")?.addEventListener("click", () => picked.click());

  addEventListener("dragover", (event) => {
    if (!event.dataTransfer?.types.includes("Files")) return;
    event.preventDefault();
    drop.hidden = false;
  });
  addEventListener("dragleave", (event) => {
    if (!event.relatedTarget) drop.hidden = true;
  });
  addEventListener("drop", (event) => {
    if (!event.dataTransfer?.files.length) return;
    event.preventDefault();
    drop.hidden = true;
    bring(event.dataTransfer.files);
  });
  return {pick: () => picked.click(), bring};
}

/** @param {File} file @param {string} puzzle @returns {Promise<Arrival>} */
async function send(file, puzzle) {
  const most = /\.zip$/i.test(file.name) ? MOST.archive : MOST.other;
  if (file.size > most * MB) throw new Refusal(`The file has ${Math.ceil(file.size / MB)} MB; at most ${most} can be taken in.`, 400, {});
  const asked = new URLSearchParams({name: file.name, puzzle});
  let answer;
  try {
    answer = await fetch(`/shelf/arrive?${asked}`, {method: "POST", body: file, headers: {accept: "application/json", "content-type": "application/octet-stream"}});
  } catch {
    throw new Refusal("The file could not be read, or the desk does not answer. Nothing of it was taken in.", 0, {});
  }
  const said = answer.headers.get("content-type")?.includes("json") ? await answer.json() : {error: await answer.text()};
  if (!answer.ok) throw new Refusal(said.error, answer.status, said);
  return said;
}

/** What became of a file, in words. @param {Arrival} arrival */
function words(arrival) {
  const name = el("span", {class: "mono", text: arrival.name});
  if (arrival.added !== undefined) {
    const {added, skipped = 0, faults = []} = arrival;
    const told = `${counted(added, "solve")} put on the shelf${skipped ? `, ${skipped} left: they are here already` : ""}`;
    return [name, " ", el("span", {text: told}), ...listed(faults, "could not be taken in")];
  }
  const {key, title, strokes = 0, damage = [], complete, twins = 0} = arrival;
  const link = el("a", {href: `/solve/${key}/logging`, text: title || "a solve without a title"});
  const about = [counted(strokes, "stroke")];
  if (twins) about.push(`the same puzzle as ${counted(twins, "other")}`);
  return [
    name, " ", link, " ", el("span", {class: "quiet", text: about.join(", ")}),
    ...(complete === false ? [el("p", {class: "problem small", text: "Not everything in the file could be read; keep the file."})] : []),
    ...listed(damage, "in the sheet"),
  ];
}

/** @param {string[]} lines @param {string} what */
function listed(lines, what) {
  if (!lines.length) return [];
  const items = lines.map((line) => el("li", {class: "small", text: line}));
  if (lines.length <= MOST_SHOWN) return [el("ul", {class: "damage"}, items)];
  const summary = el("summary", {class: "small", text: `${lines.length} things ${what}`});
  return [el("details", {}, summary, el("ul", {class: "damage"}, items))];
}

/** @param {number} number @param {string} what */
function counted(number, what) {
  return `${number} ${what}${number === 1 ? "" : "s"}`;
}
