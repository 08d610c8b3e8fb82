// What is said beside the list: what the hand is about to write, the present stroke with its doubts, suggestions.

import {button, el} from "./board/elements.js";
import {cellNames, placeWords} from "./logging-selection.js";
import {timeWords} from "./logging-list.js";
import {keyNames} from "./keys.js";

/**
 * @typedef {object} Saying
 * @property {number[]} cells
 * @property {import("./logging-selection.js").Place | null} place
 * @property {import("./logging-entry.js").Typing | null} typing
 * @property {import("./logging-entry.js").Armed} armed
 * @property {string} putBefore the action of the stroke before which the next goes in
 * @property {number | null} jump the row typed of a jump, 1 to 9
 * @property {string} shown what page is shown, where it is not the last
 * @property {import("./logging-store.js").Row | undefined} stroke
 * @property {number} number
 * @property {boolean} chosen
 * @property {import("./logging-doubts.js").Lines} doubts
 * @property {string} only
 * @property {{likely: {action: string, words: string}[], why: string} | null} cue
 * @property {boolean} cueOn
 */

/**
 * @param {HTMLElement} host
 * @param {{onSuggestion: (index: number) => void, keyOf: (name: string) => string, act: (name: string) => void}} hear
 */
export function createSaid(host, {onSuggestion, keyOf, act}) {
  const hand = el("p", {class: "said-hand"});
  const doubts = el("div", {class: "said-stroke"});
  const form = el("div", {class: "said-form"});
  const cue = el("div", {class: "said-cue"});
  const ways = el("p", {class: "said-ways small"});
  host.replaceChildren(hand, form, doubts, cue, ways);

  return {
    form,
    /** Name the keys of what can be done here, as they are now. */
    nameKeys() {
      ways.replaceChildren(...FIXED.map(([keys, words]) => el("span", {class: "way"}, keys.map((each) => el("kbd", {text: each})), ` ${words}`)),
        ...WAYS.map(([name, words]) => {
          const made = button("", () => act(name), {class: "way"});
          made.append(...keyNames(keyOf(name)), ` ${words}`);
          return made;
        }));
    },
    /** @param {Saying} saying */
    show(saying) {
      hand.replaceChildren(...handWords(saying));
      doubts.replaceChildren(...strokeWords(saying));
      cue.replaceChildren(...cueWords(saying));
    },
  };

  /** @param {Saying} saying */
  function cueWords({cue: found, cueOn}) {
    if (!cueOn) return [];
    const kicker = el("p", {class: "kicker", text: "suggestions, from what lay nearest on this page"});
    if (!found) return [kicker, el("p", {class: "quiet", text: "…"})];
    if (found.why) return [kicker, el("p", {class: "quiet", text: found.why})];
    const items = found.likely.map((each, index) => el("li", {},
      button("", () => onSuggestion(index), {class: "suggestion", "aria-label": `suggestion ${index + 1}: ${each.action}, ${each.words}`}),
      el("span", {class: "small quiet", "aria-hidden": "true", text: each.words})));
    items.forEach((item, index) => item.firstChild?.append(...keyNames(keyOf(`log-cue-${index + 1}`)), " ",
      el("span", {class: "mono", text: found.likely[index].action})));
    return [kicker, el("ol", {class: "suggestions"}, items)];
  }
}

/** @type {[keys: string[], words: string][]} */
const FIXED = [
  [["1", "…", "9"], "write"], [["⇧", "5", "7"], "to row 5, column 7"], [["⇧", "←"], "more cells"], [["Ctrl", "↑"], "outside the frame"],
];
/** @type {[name: string, words: string][]} */
const WAYS = [
  ["log-other", "other meaning"], ["log-border", "across the border"], ["log-strike", "cross out"], ["log-note", "note"], ["log-comment", "comment"],
  ["log-repair", "repair"], ["log-undo", "undo"], ["log-typed", "type as in a sheet"], ["log-cue", "suggestions"], ["log-head", "about this solve"],
  ["keys-sheet", "all keys"],
];

/** @param {Saying} saying */
function handWords({cells, place, typing, armed, putBefore, jump, shown}) {
  if (typing) return typingWords(typing);
  const where = place && !cells.length ? placeWords(place) : cellNames(cells) + (place ? `, ${placeWords(place)}` : "");
  const next = [
    armed.other && "the other meaning", armed.line && "of the row or column", armed.where && placeWords({where: armed.where, house: null}),
    putBefore && `before ${putBefore}`,
  ].filter(Boolean);
  return [
    el("span", {class: "mono", text: jump ? `row ${jump}, column …` : where}), " ",
    el("span", {class: "quiet", text: [...next, shown].filter(Boolean).join("; ")}),
  ];
}

/** @param {import("./logging-entry.js").Typing} typing */
function typingWords({gesture, made, sent, trouble}) {
  const said = [gesture.strike && "crossed out", gesture.other && "the other meaning", gesture.note && "a note"].filter(Boolean);
  const where = [cellNames(gesture.cells), gesture.place && placeWords(gesture.place)].filter(Boolean).join(", ");
  const is = trouble ? `not written yet: ${trouble}` : sent === JSON.stringify(gesture) && made ? "typed" : "being typed";
  const digits = gesture.digits.join("") || (gesture.strike ? "the newest mark" : "…");
  return [
    el("span", {class: "mono", text: `${where} : ${digits}`}), " ",
    el("span", {class: "quiet", text: [...said, is].join("; ")}),
  ];
}

/** @param {Saying} saying */
function strokeWords({stroke, number, chosen, doubts, only}) {
  const found = [];
  if (stroke) {
    found.push(el("p", {class: "said-which"}, el("span", {class: "small quiet", text: `stroke ${number}${chosen ? ", chosen" : ""}`}), " ",
      el("span", {class: "stroke-time mono", text: timeWords(stroke.at_ms)}), " ", el("span", {class: "mono", text: stroke.action})));
    found.push(...stroke.comment.split("\n").filter(Boolean).map((line) => el("p", {class: "said-comment", text: line})));
    found.push(...doubts.map(({role, text}) => el("p", {class: role ? `role-${role}` : "", text})));
  }
  if (only) found.push(el("p", {class: "quiet small", text: only}));
  return found;
}
