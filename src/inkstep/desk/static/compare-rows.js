// The rows of both logs: ours, what the row says, theirs. They are made once; picks and filters only change what shows.

import {el} from "./board/elements.js";
import {clockWords} from "./board/replay.js";
import {differs} from "./compare-types.js";

/** @typedef {import("./compare-types.js").Row} Row */
/** @typedef {import("./compare-types.js").Stroke} Stroke */
/** @typedef {import("./compare-types.js").Pick} Pick */

/**
 * @param {HTMLElement} host
 * @param {{onChoose: (index: number) => void, onPick: (index: number, pick: Pick) => void}} told
 */
export function createRows(host, {onChoose, onPick}) {
  const grid = el("div", {role: "grid", class: "pairs", "aria-label": "the strokes of both logs"});
  /** @type {HTMLElement[]} */
  let made = [];
  let chosen = -1;
  let focusNext = false;
  host.append(grid);

  grid.addEventListener("click", (event) => {
    const row = rowOf(event);
    if (!row) return;
    // a checkbox would keep the arrow keys for itself
    row.focus({preventScroll: true});
    onChoose(Number(row.dataset.index));
  });
  grid.addEventListener("change", (event) => {
    const row = rowOf(event);
    if (row) onPick(Number(row.dataset.index), {ours: isChecked(row, "ours"), theirs: isChecked(row, "theirs")});
  });
  grid.addEventListener("focusin", (event) => {
    const row = rowOf(event);
    if (row && Number(row.dataset.index) !== chosen) onChoose(Number(row.dataset.index));
  });

  return {
    /** @param {Row[]} rows */
    show(rows) {
      focusNext = grid.contains(document.activeElement);
      made = rows.map(rowElement);
      chosen = -1;
      grid.setAttribute("aria-rowcount", String(rows.length));
      grid.replaceChildren(...made);
      if (made.length) made[0].tabIndex = 0;
    },
    /** Choose a row; it takes the focus where a row had it. @param {number} index */
    choose(index) {
      const held = focusNext || grid.contains(document.activeElement);
      focusNext = false;
      mark(chosen, false);
      chosen = index;
      mark(chosen, true);
      const row = made[index];
      if (!row) return;
      if (held) row.focus({preventScroll: true});
      bringIntoView(row);
    },
    /** Show what is picked of a row. @param {number} index @param {Pick} pick @param {boolean} decided */
    showPick(index, pick, decided) {
      const row = made[index];
      row.classList.toggle("is-open", !decided);
      const state = row.querySelector(".decided");
      if (state) state.textContent = decided ? "decided" : "undecided";
      for (const side of /** @type {("ours" | "theirs")[]} */ (["ours", "theirs"])) {
        const box = boxOf(row, side);
        if (!box) continue;
        box.checked = pick[side];
        box.parentElement?.classList.toggle("is-out", !pick[side]);
      }
    },
    /** @param {boolean} only */
    showDifferencesOnly(only) {
      grid.classList.toggle("only-differences", only);
      if (made[chosen]) bringIntoView(made[chosen]);
    },
    focus: () => (made[chosen] ?? grid).focus({preventScroll: true}),
  };

  /** Scroll the list, and not the page, until the row has others above and below it. @param {HTMLElement} row */
  function bringIntoView(row) {
    const [list, here] = [grid.getBoundingClientRect(), row.getBoundingClientRect()];
    const room = Math.min(2 * here.height, list.height / 3);
    if (here.top < list.top + room || here.bottom > list.bottom - room) grid.scrollTop += here.top - list.top - list.height / 3;
  }

  /** @param {number} index @param {boolean} is */
  function mark(index, is) {
    const row = made[index];
    if (!row) return;
    row.classList.toggle("is-chosen", is);
    row.setAttribute("aria-selected", String(is));
    row.tabIndex = is ? 0 : -1;
    if (is && index > 0) made[0].tabIndex = -1;
  }
}

/** @param {Event} event @returns {HTMLElement | null} */
function rowOf(event) {
  return event.target instanceof Element ? event.target.closest("[data-index]") : null;
}

/** @param {Element} row @param {"ours" | "theirs"} side @returns {HTMLInputElement | null} */
function boxOf(row, side) {
  return row.querySelector(`.${side} input`);
}

/** @param {Element} row @param {"ours" | "theirs"} side */
function isChecked(row, side) {
  return boxOf(row, side)?.checked ?? false;
}

/** @param {Row} row @returns {HTMLElement} */
function rowElement(row) {
  const says = el("span", {role: "gridcell", class: "says"}, el("span", {text: row.says}),
    differs(row) && el("span", {class: "decided", text: "undecided"}));
  return el("div", {role: "row", class: `pair is-${row.sort}${differs(row) ? " is-open" : ""}`, "data-index": row.index,
    "aria-rowindex": row.index + 1, "aria-selected": "false", tabindex: -1},
  sideElement(row, "ours"), says, sideElement(row, "theirs"));
}

/** @param {Row} row @param {"ours" | "theirs"} side */
function sideElement(row, side) {
  const stroke = row[side];
  if (!stroke) return el("span", {role: "gridcell", class: `side ${side} is-none`, "aria-label": `nothing in ${side}`});
  return el("span", {role: "gridcell", class: `side ${side}`},
    differs(row) && el("input", {type: "checkbox", tabindex: -1, "aria-label": `take ${side}`}),
    el("span", {class: "time", text: timeWords(stroke)}),
    el("span", {class: "action", text: stroke.action}));
}

/** @param {Stroke} stroke */
export function timeWords(stroke) {
  return stroke.at_ms === null ? "–" : clockWords(stroke.at_ms);
}
