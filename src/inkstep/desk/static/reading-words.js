// The words of a stroke: its headline, its argument, what was held, what else might have been said, what else lay open.

import {clockWords} from "./board/replay.js";
import {button, el, wordsOf} from "./board/elements.js";

/** @typedef {import("./reading-types.js").Reading} Reading */
/** @typedef {import("./reading-types.js").Argued} Argued */
/** @typedef {import("./reading-types.js").Run} Run */

/**
 * What the words can ask of the page.
 * @typedef {object} Acts
 * @property {(argued: Argued | null) => void} look draw this on the board; null: the stroke's own
 * @property {(argument: string) => void} pick tell the stroke by the argument of this name ("": by the lightest)
 * @property {(n: number) => void} go go to a stroke
 * @property {() => void} edit edit the words
 * @property {() => void} restore take the teacher's words back
 */

/** Runs as paragraphs: a blank line begins one. @param {Run[]} runs */
export function paragraphsOf(runs) {
  /** @type {Run[][]} */
  const paragraphs = [[]];
  for (const run of runs) {
    run.text.split("\n\n").forEach((text, index) => {
      if (index) paragraphs.push([]);
      if (text) paragraphs.at(-1)?.push({...run, text});
    });
  }
  return paragraphs.filter((each) => each.length).map((each) => el("p", {class: "words"}, wordsOf(each)));
}

/** `3.2 s` @param {number} ms */
export const seconds = (ms) => `${(ms / 1000).toFixed(1)} s`;

/**
 * The whole column for a stroke, and a way to close what was looked at.
 * @param {Reading} reading @param {Acts} acts
 */
export function wordsOfStroke(reading, acts) {
  const {choice, argument} = reading;
  const looked = createLooked(acts);
  const chance = (/** @type {Argued} */ each) => looked.item(each, each.line, chanceWords(each), laterOf(each, acts));
  const own = el("div", {class: "own", id: "own"},
    paragraphsOf(reading.words),
    el("p", {class: "ways"},
      choice.words ? el("span", {class: "quiet", text: "in your words"}) : null,
      button("edit the words", acts.edit, {id: "edit"}),
      choice.words ? button("as the program says", acts.restore, {id: "restore"}) : null));
  return {
    element: el("div", {class: "stroke"},
      el("p", {class: "kicker"},
        el("span", {class: "when", text: reading.at_ms === null ? "time unknown" : clockWords(reading.at_ms)}),
        el("span", {class: "quiet", text: after(reading)})),
      el("h2", {tabindex: -1, id: "title", text: reading.title}),
      reading.verdict.words ? el("p", {class: "verdict small", text: reading.verdict.words}) : null,
      own,
      argument ? costOf(argument, choice.argument !== "" && !reading.unmet, acts) : null,
      argument ? heldOf(argument) : null,
      unmet(reading, acts),
      marksOf(reading, acts),
      reading.comment ? el("p", {class: "remark", text: reading.comment}) : null,
      list("nearly as light", reading.runners_up, (each) => looked.item(each, each.line, each.looks, picking(each, acts))),
      list("could have been written instead", reading.instead, (each) => looked.item(each, each.line, each.looks)),
      list("what the note may stand for", reading.readings, (each) => el("li", {text: each})),
      reading.chances.some((each) => each.near) ? null : el("p", {class: "quiet none", text: "Nothing else lay open at this moment."}),
      list("open at the same moment", reading.chances.filter((each) => each.near), chance),
      list("further away at that moment", reading.chances.filter((each) => !each.near), chance),
      reading.more_chances ? el("p", {class: "quiet", text: `and ${reading.more_chances} more`}) : null),
    looked,
  };
}

/** @param {Reading} reading */
function after({n, wait_ms}) {
  if (wait_ms === null) return "";
  return n === 1 ? `${seconds(wait_ms)} after the clock's start` : `${seconds(wait_ms)} after the stroke before`;
}

/** @param {Argued} argument @param {boolean} picked @param {Acts} acts */
function costOf(argument, picked, acts) {
  return el("p", {class: "cost small"}, el("span", {text: argument.technique}), el("span", {class: "quiet", text: argument.looks}),
    picked ? el("span", {class: "picked"}, "picked by you ", button("take it back", () => acts.pick(""), {id: "unpick"})) : null);
}

/** @param {Argued} argument */
function heldOf(argument) {
  if (!argument.held.length) return null;
  return el("ul", {class: "held small", "aria-label": "held in mind"}, argument.held.map((each) =>
    el("li", {}, el("span", {class: "role-held", text: "held: "}), each.words, el("span", {class: "quiet", text: ` ${each.technique}`}))));
}

/** @param {Reading} reading @param {Acts} acts */
function unmet(reading, acts) {
  if (!reading.unmet) return null;
  return el("p", {class: "unmet small"},
    `You picked another argument for this stroke, and it is not among those found any more: ${reading.choice.argument}. `,
    "It is kept, and counts again should it come back. ", button("let it go", () => acts.pick(""), {id: "unpick"}));
}

/** @param {Reading} reading @param {Acts} acts */
function marksOf(reading, acts) {
  /** @param {string} words @param {import("./reading-types.js").Named[]} strokes */
  const line = (words, strokes) => (strokes.length ? el("p", {class: "marks small"}, `${words} `, strokes.map((each) =>
    button(`${each.n}`, () => acts.go(each.n), {"aria-label": `stroke ${each.n}, ${each.words}`, title: each.words}))) : null);
  return [
    line(reading.marks_used.length === 1 ? "reads the mark of stroke" : "reads the marks of strokes", reading.marks_used),
    line(reading.used_by.length === 1 ? "used by stroke" : "used by strokes", reading.used_by),
  ];
}

/** @template T @param {string} name @param {T[]} each @param {(one: T) => HTMLElement} item */
function list(name, each, item) {
  if (!each.length) return null;
  const id = `list-${name.replaceAll(" ", "-")}`;
  return el("section", {class: "list", "aria-labelledby": id},
    el("h3", {class: "label", id, text: name}), el("ul", {class: "rows"}, each.map(item)));
}

/** @param {Argued} chance */
function chanceWords(chance) {
  const open = chance.open_ms ? `, open for ${seconds(chance.open_ms)}` : "";
  return `${chance.looks}${open}`;
}

/** @param {Argued} chance @param {Acts} acts */
function laterOf(chance, acts) {
  const {taken} = chance;
  if (!taken) return el("p", {class: "quiet", text: "never written"});
  const later = chance.taken_ms ? `, ${seconds(chance.taken_ms)} later` : "";
  return el("p", {class: "quiet"}, "written by ", button(`stroke ${taken}`, () => acts.go(taken)), later);
}

/** @param {Argued} argued @param {Acts} acts */
function picking(argued, acts) {
  return button("tell it so", () => acts.pick(argued.name ?? ""), {class: "boxed", title: "tell the stroke by this argument, here and in the lesson"});
}

/** What is looked at: one thing at a time, its evidence on the board and its words below its line. @param {Acts} acts */
function createLooked(acts) {
  /** @type {{line: HTMLElement, more: HTMLElement, argued: Argued} | null} */
  let open = null;
  /** @type {{line: HTMLElement, more: HTMLElement, argued: Argued}[]} */
  const every = [];

  function close() {
    if (!open) return false;
    open.line.setAttribute("aria-expanded", "false");
    open.more.hidden = true;
    open = null;
    acts.look(null);
    return true;
  }

  /** @param {{line: HTMLElement, more: HTMLElement, argued: Argued}} each */
  function show(each) {
    if (open === each) return;
    if (open) {
      open.line.setAttribute("aria-expanded", "false");
      open.more.hidden = true;
    }
    open = each;
    each.line.setAttribute("aria-expanded", "true");
    each.more.hidden = false;
    acts.look(each.argued);
  }

  return {
    close,
    /** Look at the chance of a goal, where it is listed. @param {[number, number]} goal */
    chance([cell, digit]) {
      const each = every.find(({argued}) => argued.goal?.[0] === cell && argued.goal[1] === digit);
      if (each) show(each);
    },
    /**
     * A line that can be looked at: it is drawn while the pointer is over it, and stays once it is pressed or reached by keys.
     * @param {Argued} argued @param {string} words @param {string} aside @param {HTMLElement | null} [end]
     */
    item(argued, words, aside, end = null) {
      const more = el("div", {class: "more", hidden: true},
        argued.reason ? el("p", {class: "small", text: argued.reason}) : null,
        paragraphsOf(argued.words), el("p", {class: "cost small"}, argued.technique), heldOf(argued), end);
      const line = el("button", {type: "button", class: "look", "aria-expanded": "false"},
        el("span", {class: "line", text: words}), " ", el("span", {class: "quiet", text: aside}));
      const each = {line, more, argued};
      every.push(each);
      line.addEventListener("click", () => (open === each ? close() : show(each)));
      // reached by keys; a pointer's press does so by its click, when nothing moves under it any more
      line.addEventListener("focus", () => {
        if (!line.matches(":focus-visible")) return;
        show(each);
      });
      line.addEventListener("pointerenter", (event) => event.pointerType === "mouse" && acts.look(argued));
      line.addEventListener("pointerleave", (event) => event.pointerType === "mouse" && acts.look(open?.argued ?? null));
      return el("li", {}, line, more);
    },
  };
}
