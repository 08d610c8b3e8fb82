// Trying the puzzle first: the reader's own ink on the board. Nothing is rubbed out: a mark pencilled a second time is
// struck through, a third time it stands again.

import {cellWords} from "./board.js";
import {DIGITS} from "./layout.js";
import {givensOf} from "./replay.js";
import {button, el, kept} from "./elements.js";


/** The ink of an attempt: printed digits, then what the reader wrote. Ink in a cell carries the cell's number + 1 as stroke. */
export function attemptInk(puzzle, sheet) {
  /** @type {import("./layout.js").BriefInk[]} */
  const ink = givensOf(puzzle);
  for (const [cell, marks] of Object.entries(sheet.marks)) {
    for (const struck of [false, true]) {
      const digits = marks.filter((mark) => mark.struck === struck).map((mark) => mark.digit).sort();
      const state = sheet.digits[cell] ? "over" : struck ? "struck" : "standing";
      if (digits.length) ink.push({kind: "mark", cells: [Number(cell)], digits, state});
    }
  }
  for (const [cell, digit] of Object.entries(sheet.digits)) {
    ink.push({kind: "pen", cells: [Number(cell)], digits: [digit], stroke: Number(cell) + 1});
  }
  return ink;
}

/** What is written that is not so in the solution, and how much is written and missing. */
export function compared(puzzle, solution, sheet) {
  const written = Object.entries(sheet.digits);
  const wrong = written.filter(([cell, digit]) => solution[cell] !== String(digit)).map(([cell]) => Number(cell));
  const empty = [...puzzle].filter((sign) => !/[1-9]/.test(sign)).length - written.length;
  return {written: written.length, wrong, empty};
}

/** The mode in which the reader solves; `board` is the page's own, `how` is told how it goes. onLeave() goes back to the story, say(words) tells. */
export function createAttempt(host, how, {story, board, onLeave, say}) {
  const key = `inkstep-attempt:${story.puzzle}`;
  let sheet = kept.read(key) ?? blank();
  let before = [];
  let cell = null;
  let pencil = false;
  let doubted = [];

  const reply = el("p", {class: "reply", role: "status"});
  const where = el("span", {class: "quiet"});
  const digits = el("p", {class: "digits"}, DIGITS.map((digit) =>
    button(String(digit), () => write(cell, digit), {"aria-label": `write ${digit}`})));
  const panel = el("div", {class: "attempt", hidden: true},
    el("p", {class: "with"}, choice("in ink", false), choice("in pencil", true), where),
    digits,
    el("p", {class: "ways"},
      button("does it agree so far?", check, {class: "boxed"}),
      button("take back", takeBack, {class: "worded"}),
      button("start over", startOver, {class: "worded"}),
      button("back to the story", onLeave, {class: "worded"})),
    reply);
  host.append(panel);
  how.append(el("h2", {text: "The puzzle, to try first"}), ...howWords().map((words) => el("p", {text: words})));

  function howWords() {
    const took = story.total ? ` ${story.solver ? story.solver[0].toUpperCase() + story.solver.slice(1) : "The solver"} took ${story.total}.` : "";
    return [
      `Take all the time you like.${took}`,
      "Tap a cell, then a digit below the board; or move with the arrow keys and type. Ink is for what you know, pencil for what "
        + "you suspect (the key p changes between them). Nothing is rubbed out: a mark pencilled a second time is struck through.",
      "What you write is kept in this browser only, and is here when you come back.",
    ];
  }

  function blank() {
    return {digits: {}, marks: {}};
  }

  function choice(words, value) {
    const box = el("input", {type: "radio", name: "write-with", checked: value === pencil,
      on: {change: () => {
        pencil = value;
      }}});
    return el("label", {}, box, words);
  }

  function draw() {
    board.show({ink: attemptInk(story.puzzle, sheet), evidence: doubted.length ? {doubt: doubted} : {}});
    board.choose(cell === null ? [] : [cell]);
    where.textContent = cell === null ? "tap a cell, then a digit; or type" : cellWords(cell);
  }

  function change(next) {
    before = [...before.slice(-200), sheet];
    sheet = next;
    doubted = [];
    reply.textContent = "";
    kept.write(key, sheet);
    draw();
    if (isFull()) check();
  }

  function isFull() {
    return compared(story.puzzle, story.solution, sheet).empty === 0;
  }

  function write(at, digit) {
    if (at === null) {
      reply.textContent = "First tap the cell to write in.";
      return;
    }
    if (/[1-9]/.test(story.puzzle[at])) {
      reply.textContent = "That digit is printed.";
      return;
    }
    if (pencil) change({...sheet, marks: {...sheet.marks, [at]: pencilled(sheet.marks[at] ?? [], digit)}});
    else change({...sheet, digits: {...sheet.digits, [at]: digit}});
  }

  function pencilled(marks, digit) {
    const known = marks.some((mark) => mark.digit === digit);
    if (!known) return [...marks, {digit, struck: false}];
    return marks.map((mark) => (mark.digit === digit ? {digit, struck: !mark.struck} : mark));
  }

  function takeBack() {
    if (!before.length) return;
    sheet = before.at(-1);
    before = before.slice(0, -1);
    doubted = [];
    reply.textContent = "";
    kept.write(key, sheet);
    draw();
  }

  function startOver() {
    change(blank());
  }

  function check() {
    const {written, wrong, empty} = compared(story.puzzle, story.solution, sheet);
    const digitsWord = written === 1 ? "1 digit" : `${written} digits`;
    if (!written) reply.textContent = "Nothing is written yet.";
    else if (!wrong.length && !empty) reply.textContent = "That is the whole puzzle, and every digit agrees.";
    else if (!wrong.length) reply.textContent = `What you wrote agrees so far: ${digitsWord}, ${empty} to go.`;
    else {
      reply.replaceChildren(`${wrong.length} of ${digitsWord} ${wrong.length === 1 ? "does" : "do"} not agree. `,
        button("show which", () => {
          doubted = wrong.map((at) => at + 1);
          draw();
          say(`Not in agreement: ${wrong.map(cellWords).join("; ")}`);
        }, {class: "worded"}));
    }
  }

  return {
    get begun() {
      return Object.keys(sheet.digits).length > 0;
    },
    enter() {
      panel.hidden = false;
      board.name("The puzzle, to try: arrow keys move, digits write, p changes between ink and pencil", true);
      draw();
    },
    leave() {
      panel.hidden = true;
      board.choose([]);
    },
    onCell(at) {
      cell = at;
      draw();
    },
    onDigit(at, digit) {
      cell = at;
      write(at, digit);
    },
    onErase(at) {
      if (!(at in sheet.digits)) return;
      const digitsLeft = {...sheet.digits};
      delete digitsLeft[at];
      change({...sheet, digits: digitsLeft});
    },
    /** Change between ink and pencil. */
    swap() {
      /** @type {HTMLInputElement[]} */
      const boxes = [...panel.querySelectorAll("input[name=write-with]")];
      pencil = !pencil;
      boxes[pencil ? 1 : 0].checked = true;
      say(pencil ? "in pencil" : "in ink");
    },
  };
}
