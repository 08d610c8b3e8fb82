// A pause: a question that stays closed until it is tried, opened or passed by.

import {cellWords} from "./board.js";
import {DIGITS} from "./layout.js";
import {button, el, wordsOf} from "./elements.js";


/** What a try is worth: `right`, or kind words about what is not right yet. The solution is one line of 81 characters. */
export function judged(expects, cells, digit, solution) {
  const cellsRight = cells.length === expects.cells.length && cells.every((cell) => expects.cells.includes(cell));
  const digitRight = digit === expects.digit;
  if (cellsRight && digitRight) return {right: true, words: "Right."};
  if (cellsRight) return {right: false, words: `The place is right. But is it the ${digit}? Look once more.`};
  if (cells.length === 1 && solution[cells[0]] === String(digit)) {
    return {right: false, words: `True, the ${digit} does go there in the end. This pause asks about another step.`};
  }
  if (expects.cells.length > 1 && cells.every((cell) => expects.cells.includes(cell))) {
    return {right: false, words: "So far so good, but there is one place more to name."};
  }
  if (digitRight) return {right: false, words: `The ${digit} is the one to look for, but not there. Try another cell.`};
  return {right: false, words: "Not that one. Take your time, or take a nudge."};
}

/**
 * The block of a pause in its card. `asks` gives: onOpen(how) when it opens (`right`, `opened`) or is passed (`passed`),
 * onChoose(cells) when the cells chosen change, say(words) to tell screen readers.
 */
export function createPause(pause, {solution, onOpen, onChoose, say}) {
  const {expects} = pause;
  const several = Boolean(expects) && expects.cells.length > 1;
  const reply = el("p", {class: "reply"});
  const nudges = el("ol", {class: "nudges"});
  const choice = el("div", {class: "choice"});
  const answer = el("div", {class: "answer", hidden: true});
  let state = "closed";
  let chosen = [];
  let told = 0;

  const nudge = button("", giveNudge, {class: "boxed"});
  const open = button("open the answer", () => finish("opened"), {class: "worded"});
  const pass = button("read on without trying", passBy, {class: "worded"});
  const ways = el("p", {class: "ways"}, pause.hints.length ? nudge : null, open, pass);
  const parts = [el("p", {class: "lead", text: leadWords()}), nudges, expects ? choice : freeAnswer(), reply, ways, answer];
  const block = el("div", {class: "pause"}, parts);
  nameNudge();
  showChoice();

  function leadWords() {
    const how = expects
      ? `Everything you need is on the page as it stands. ${several ? "Tap the cells" : "Tap a cell"}, or write it on your own sheet.`
      : "Everything you need is on the page as it stands. Say it to yourself, or write it down, then compare.";
    const took = pause.solver_ms === null ? "" : ` The solver took ${(pause.solver_ms / 1000).toFixed(1)} seconds.`;
    return how + took;
  }

  function nameNudge() {
    const left = told < pause.hints.length;
    nudge.replaceChildren(...(left
      ? ["a nudge ", el("strong", {text: String(told + 1)}), ` of ${pause.hints.length}`]
      : ["no more nudges"]));
    nudge.disabled = !left;
  }

  function giveNudge() {
    nudges.append(el("li", {text: pause.hints[told]}));
    say(pause.hints[told]);
    told += 1;
    nameNudge();
  }

  function freeAnswer() {
    const field = el("textarea", {rows: 2, "aria-label": "your answer, for your own eyes"});
    return el("div", {class: "free"}, field,
      button("compare with the answer", () => finish("compared"), {class: "boxed"}));
  }

  function showChoice() {
    if (!expects || state === "open") return choice.replaceChildren();
    if (!chosen.length) return choice.replaceChildren();
    const names = chosen.map(cellWords).join(" and ");
    return choice.replaceChildren(
      el("p", {class: "chosen-words"}, `${names[0].toUpperCase()}${names.slice(1)}: which digit?`),
      el("p", {class: "digits"}, DIGITS.map((digit) =>
        button(String(digit), () => attempt(digit), {"aria-label": `${digit} at ${names}`}))));
  }

  function choose(cell) {
    if (!expects || state === "open") return;
    if (several) chosen = chosen.includes(cell) ? chosen.filter((each) => each !== cell) : [...chosen, cell];
    else chosen = [cell];
    reply.textContent = "";
    showChoice();
    onChoose(chosen);
  }

  function attempt(digit) {
    const verdict = judged(expects, chosen, digit, solution);
    block.classList.toggle("was-wrong", !verdict.right);
    if (verdict.right) return finish("right");
    reply.textContent = verdict.words;
    return say(verdict.words);
  }

  function passBy() {
    if (state !== "closed") return;
    state = "passed";
    pass.remove();
    reply.textContent = "Left closed. It opens whenever you like.";
    onOpen("passed");
  }

  function finish(how) {
    state = "open";
    chosen = [];
    block.classList.remove("was-wrong");
    const first = told ? `Right, with ${told === 1 ? "one nudge" : `${told} nudges`}.` : "Right, and without a nudge.";
    reply.textContent = how === "right" ? first : "";
    reply.hidden = how !== "right";
    ways.remove();
    block.querySelector(".lead").remove();
    showChoice();
    keepOwnAnswer();
    answer.hidden = false;
    onChoose([]);
    onOpen(how);
    say(how === "right" ? `${first} The answer is open.` : "The answer is open.");
  }

  /** What the reader wrote stays to be compared; an empty field goes. */
  function keepOwnAnswer() {
    const free = block.querySelector(".free");
    const own = free?.querySelector("textarea").value.trim();
    free?.replaceChildren(own ? el("p", {class: "own", text: own}) : "");
  }

  return {
    element: block,
    /** Where the answer's own words go. */
    answer,
    get state() {
      return state;
    },
    get chosen() {
      return chosen;
    },
    choose,
    /** A digit typed on a cell of the board. */
    type(cell, digit) {
      if (!expects || state === "open") return;
      if (!several || !chosen.length) choose(cell);
      attempt(digit);
    },
    open: () => state !== "open" && finish("opened"),
    pass: passBy,
    words: () => wordsOf(pause.answer),
  };
}
