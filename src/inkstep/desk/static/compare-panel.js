// What is to be said of the chosen row, and the buttons that pick what goes into the merged log.

import {button, el} from "./board/elements.js";
import {keyNames} from "./keys.js";
import {wayOf} from "./compare-picks.js";
import {timeWords} from "./compare-rows.js";
import {differs} from "./compare-types.js";

/** @typedef {import("./compare-types.js").Row} Row */
/** @typedef {import("./compare-types.js").Pick} Pick */
/** @typedef {import("./compare-picks.js").Way} Way */

/**
 * @param {HTMLElement} host
 * @param {{keys: import("./keys.js").Keys, onPick: (way: Way) => void, onNext: () => void, onBack: () => void, onLeave: () => void}} told
 */
export function createPanel(host, {keys, onPick, onNext, onBack, onLeave}) {
  return {
    /** @param {Row | undefined} row @param {number} count @param {Pick | null} pick @param {boolean} decided */
    show(row, count, pick, decided) {
      const held = heldIn(host);
      host.replaceChildren(...(row ? parts(row, count, pick, decided) : []));
      if (held) /** @type {HTMLElement | null} */ (host.querySelector(`[data-way="${held}"]`))?.focus();
    },
  };

  /** @param {Row} row @param {number} count @param {Pick | null} pick @param {boolean} decided */
  function parts(row, count, pick, decided) {
    const head = el("h3", {}, el("span", {class: "quiet", text: `row ${row.index + 1} of ${count}`}), " ",
      el("span", {class: differs(row) ? "role-doubt" : "role-goal", text: row.says}));
    const list = el("dl", {class: "both-words"}, ...sideWords("ours", row), ...sideWords("theirs", row));
    return [head, list, pick ? pickParts(row, pick, decided) : el("p", {class: "quiet", text: "Our stroke goes into the merged log."}), ways()];
  }

  /** @param {Row} row @param {Pick} pick @param {boolean} decided */
  function pickParts(row, pick, decided) {
    const now = wayOf(pick);
    const ways = row.ours && row.theirs
      ? [wayButton("ours", "ours"), wayButton("theirs", "theirs"), wayButton("both", "both"), wayButton("neither", "neither")]
      : row.ours ? [wayButton("ours", "keep it"), wayButton("theirs", "leave it out")]
        : [wayButton("ours", "leave it out"), wayButton("theirs", "take it over")];
    const state = decided
      ? button("undecided again", onLeave, {class: "leave"})
      : el("span", {class: "quiet", text: "as proposed, undecided"});
    return el("div", {role: "group", class: "picking", "aria-label": "what goes into the merged log"}, ways, state);

    /** @param {Way} way @param {string} words */
    function wayButton(way, words) {
      const is = row.ours && row.theirs ? way === now : way === (pick[row.ours ? "ours" : "theirs"] ? side(row) : opposite(row));
      return el("button", {type: "button", "data-way": way, "aria-pressed": String(is), class: "way", on: {click: () => onPick(way)}},
        words, " ", keyNames(keys.keyOf(`compare-${way}`)));
    }
  }

  function ways() {
    return el("p", {class: "steps"},
      el("button", {type: "button", "data-way": "back", on: {click: onBack}}, "difference before ", keyNames(keys.keyOf("compare-back"))),
      el("button", {type: "button", "data-way": "next", on: {click: onNext}}, "next difference ", keyNames(keys.keyOf("compare-next"))));
  }
}

/** @param {Row} row @returns {Way} */
const side = (row) => (row.ours ? "ours" : "theirs");
/** @param {Row} row @returns {Way} */
const opposite = (row) => (row.ours ? "theirs" : "ours");

/** The button that has the focus. @param {HTMLElement} host @returns {string | undefined} */
function heldIn(host) {
  const focused = document.activeElement;
  return focused instanceof HTMLElement && host.contains(focused) ? focused.dataset.way : undefined;
}

/** @param {"ours" | "theirs"} which @param {Row} row */
function sideWords(which, row) {
  const stroke = row[which];
  const words = stroke
    ? [el("span", {class: "time", text: timeWords(stroke)}), " ", stroke.told, stroke.comment && el("span", {class: "quiet comment", text: stroke.comment})]
    : [el("span", {class: "quiet", text: "nothing"})];
  return [el("dt", {text: which}), el("dd", {}, words)];
}
