// What the two logs come to, above their rows: the summary, the clocks, and what was wrong in a file.

import {el} from "./board/elements.js";

const find = (/** @type {string} */ id) => /** @type {HTMLElement} */ (document.getElementById(id));

/**
 * @param {import("./compare-types.js").Sent} shown
 * @param {{title: string, damage: string[], clockKey: HTMLElement[]}} beside
 */
export function showSummary({summary, clock}, {title, damage, clockKey}) {
  find("other-title").textContent = title;
  find("summary").replaceChildren(...summary.map((words) => el("span", {text: words})));
  find("clock").hidden = !clock.words;
  find("clock-words").textContent = clock.words;
  find("clock-change").replaceChildren(clock.taken_out ? "Leave their times as they stand" : "Take it out", " ", ...clockKey);
  showDamage(damage);
}

/** @param {string[]} damage */
function showDamage(damage) {
  const place = find("damage");
  const what = damage.length === 1 ? "One thing in the file is" : `${damage.length} things in the file are`;
  place.hidden = !damage.length;
  place.querySelector("summary")?.replaceChildren(`${what} not as a sheet has them`);
  place.querySelector("ul")?.replaceChildren(...damage.map((line) => el("li", {text: line})));
}

/** How many differences are open yet. @param {number} open @param {number} differing */
export function showOpen(open, differing) {
  find("still").textContent = differing ? `${open} of ${differing} undecided` : "nothing differs";
  find("undecided").textContent = openWords(open, differing);
}

/** @param {number} open @param {number} differing */
function openWords(open, differing) {
  if (!differing) return "The two logs agree: there is nothing to merge.";
  if (!open) return "Every difference is decided.";
  const what = open === 1 ? "One difference is" : `${open} differences are`;
  return `${what} undecided: ours stays, and what only theirs has is left out.`;
}
