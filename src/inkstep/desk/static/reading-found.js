// What was found in the solve, each finding leading to its stroke; and all strokes as a table.

import {clockWords} from "./board/replay.js";
import {button, el} from "./board/elements.js";
import {chanceWords} from "./reading-charts.js";
import {seconds} from "./reading-words.js";

/** @typedef {import("./reading-types.js").Study} Study */
/** @typedef {import("./reading-types.js").Item} Item */

/**
 * The findings, a line for each kind, which opens to its items.
 * @param {Study} study @param {Set<string>} opened the kinds that are open @param {(item: Item) => void} onGo
 */
export function findingsOf(study, opened, onGo) {
  const every = study.findings.map(({kind, title, items}) => {
    const found = el("details", {class: "finding", open: opened.has(kind)},
      el("summary", {text: title[0].toUpperCase() + title.slice(1)}),
      el("ul", {class: "rows"}, items.map((item) => el("li", {}, button(item.words, () => onGo(item), {"data-stroke": item.stroke})))));
    found.addEventListener("toggle", () => (found.open ? opened.add(kind) : opened.delete(kind)));
    return found;
  });
  return [el("h2", {class: "label", text: "found in this solve"}),
    every.length ? every : el("p", {text: "Nothing to find fault with: no chance left lying, no long rest, no idle mark."})];
}

/** Every finding in the order of the solve, each stroke once. @param {Study} study @returns {Item[]} */
export function inOrder(study) {
  const items = study.findings.flatMap((finding) => finding.items).sort((a, b) => a.stroke - b.stroke);
  return items.filter((item, index) => item.stroke !== items[index - 1]?.stroke);
}

/** The table behind strip and charts. @param {Study} study @param {(n: number) => void} onGo */
export function tableOf(study, onGo) {
  const heads = ["stroke", "time", "after", "what", "looks", "chances", "verdict"];
  return el("table", {},
    el("caption", {class: "unseen", text: "Every stroke: when, how long after the one before, how many looks it took, and what lay open"}),
    el("thead", {}, el("tr", {}, heads.map((head) => el("th", {scope: "col", text: head})))),
    el("tbody", {}, study.strokes.map((row) => el("tr", {},
      el("th", {scope: "row"}, button(String(row.n), () => onGo(row.n), {"aria-label": `to stroke ${row.n}`})),
      el("td", {text: row.at_ms === null ? "-" : clockWords(row.at_ms)}),
      el("td", {text: row.wait_ms === null ? "-" : seconds(row.wait_ms)}),
      el("td", {text: row.label}),
      el("td", {text: row.effort === null ? "-" : row.effort.toFixed(1)}),
      el("td", {text: chanceWords(row)}),
      el("td", {text: row.verdict})))));
}
