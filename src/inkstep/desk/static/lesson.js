// The lesson plan: the passages of the lesson in their order, edited in place, with the page of the one in focus beside them.

import {say, sentWith, showState} from "./asking.js";
import {tellHere} from "./here.js";
import {createKeys, keptKeys} from "./keys.js";
import {createFrame} from "./lesson-frame.js";
import {lessonActions} from "./lesson-keys.js";
import {createLength} from "./lesson-length.js";
import {createList} from "./lesson-list.js";
import {createLiveCard} from "./lesson-live.js";
import {createLost} from "./lesson-lost.js";
import {createMoves} from "./lesson-move.js";
import {createPreview} from "./lesson-preview.js";
import {createStand} from "./lesson-stand.js";
import {createStore} from "./lesson-store.js";

const HINT = "Words are kept as you write. Choose a stroke on the strip, or by its number in a passage, for a pause or a cut to go there. All keys: ?";
const {key} = sentWith("solve");
/** An element of lesson.html. @param {string} id @returns {any} */
const find = (id) => document.getElementById(id);
const tell = (words) => {
  find("told").textContent = words;
};

/** @type {{current: ?string, stroke: ?number}} */
const view = {current: null, stroke: null};
const store = createStore(key, {onPlan: show, onWait: wait, onState: state, onFault: (fault) => say(fault.message)});
/** @type {import("./lesson-segment.js").Ways} */
const ways = {
  send: async (edit) => {
    say("");
    await list.keepAll();
    return store.send(edit);
  },
  chosen: () => view.stroke,
  choose: chooseStroke,
  preview: (scene) => preview.open(scene),
  pauseAt: makePause,
  labelOf: (stroke) => stand.labelOf(stroke),
  focusCard,
  grip: (card, element) => moves.take(card, element),
};
const stand = createStand({board: find("board"), strip: find("strip"), moment: find("moment"), steps: find("steps")}, {
  onStroke: chooseStroke,
  onPause: (id) => focusCard(`pause:${id}`),
  onMake: () => view.stroke && makePause(view.stroke),
});
const moves = createMoves(find("list"), {segments, move, step, say: tell});
const list = createList(find("list"), store, ways);
const frame = createFrame(find("frame"), store, {before: keepAll});
const length = createLength(find("length"), {go: focusCard});
const lost = createLost(find("lost"), {send: ways.send, chosen: ways.chosen, focusCard});
const preview = createPreview(find("preview"), key, {before: keepAll});
createLiveCard(find("live"), key, sentWith("live-address"), tell);

/** Never "saved" while something is written that is not. @param {string} words */
function state(words) {
  showState(words === "saved" && document.querySelector(".is-dirty") ? "writing…" : words);
}

/** @param {number} share */
function wait(share) {
  find("making").textContent = `Reading the solve: ${Math.round(100 * share)}% of its strokes have their reasons.`;
}

/** @param {import("./lesson-store.js").Plan} plan @param {import("./lesson-store.js").Solve} solve */
function show(plan, solve) {
  find("making").hidden = true;
  find("plan").hidden = false;
  stand.take(plan, solve);
  list.show(plan);
  frame.show(plan);
  lost.show(plan);
  if (!list.card(view.current)) view.current = list.order[0]?.key ?? null;
  if (view.stroke !== null && view.stroke > stand.count) view.stroke = null;
  length.show(plan, view.current);
  if (view.stroke === null) showCurrent();
  mark();
}

/** Keep what is being written anywhere. */
async function keepAll() {
  await Promise.all([list.keepAll(), frame.keep()]);
  await store.idle();
}

// What is in focus

function mark() {
  list.order.forEach((card) => {
    card.element.classList.toggle("is-current", card.key === view.current);
    card.mark(view.stroke);
  });
  lost.mark(view.stroke);
}

function showCurrent() {
  const card = list.card(view.current);
  if (!card) return;
  const item = card.item;
  const asks = card.kind === "pause" && view.current !== null;
  const opened = asks && card.element.querySelector(".answered")?.contains(document.activeElement);
  const evidence = opened ? item.answer_evidence : item.evidence;
  stand.show(item.page, evidence, "headline" in item ? item.headline : item.question);
  tellHere(key, card.kind === "pause" ? {pause: item.id, evidence: Boolean(opened)} : {segment: item.id, evidence: true});
}

/** @param {string} card */
function setCurrent(card) {
  view.current = card;
  view.stroke = null;
  showCurrent();
  length.show(store.plan, view.current);
  mark();
}

/** Choose a stroke: the page before it is shown, and what is made or cut goes there. @param {number} stroke */
function chooseStroke(stroke) {
  view.stroke = Math.min(Math.max(1, stroke), stand.count);
  const told = store.plan.segments.find((each) => each.first !== null && each.last !== null
    && each.first <= /** @type {number} */ (view.stroke) && each.last >= /** @type {number} */ (view.stroke));
  if (told && list.card(view.current)?.kind !== "pause") view.current = `segment:${told.id}`;
  stand.showStroke(view.stroke);
  tellHere(key, {stroke: view.stroke - 1, evidence: false});
  length.show(store.plan, view.current);
  mark();
}

/** @param {string} name @param {string} [part] */
function focusCard(name, part = "main") {
  const card = list.card(name);
  if (!card) return;
  card.part(part).focus({preventScroll: true});
  card.element.scrollIntoView({block: "nearest"});
  if (view.current !== name || view.stroke !== null) setCurrent(name);
}

find("list").addEventListener("focusin", (event) => {
  const card = list.cardAt(event.target);
  if (!card || event.target.closest(".chip")) return;
  if (card.key !== view.current || (view.stroke === null && card.kind === "pause")) setCurrent(card.key);
});
find("list").addEventListener("click", (event) => {
  const card = list.cardAt(event.target);
  if (card && card.key !== view.current && !event.target.closest("button")) setCurrent(card.key);
});

// What is done

/** @param {number} stroke */
async function makePause(stroke) {
  const made = await ways.send({edit: "pause", stroke});
  if (!made) return;
  focusCard(`pause:${made}`);
  tell(`a pause before stroke ${stroke}`);
}

function segments() {
  return list.order.filter((card) => card.kind === "segment");
}

/** Put a card in front of a segment: of a pause, before the first stroke told from there on. @param {any} card @param {?string} before */
async function move(card, before) {
  const cards = segments();
  const at = before === null ? cards.length : cards.findIndex((each) => each.id === before);
  if (card.kind === "pause") {
    const goal = cards.slice(at).find((each) => each.item.first !== null);
    if (goal && goal.item.first !== card.item.before) await ways.send({edit: "shift", pause: card.id, stroke: goal.item.first});
  } else {
    await ways.send({edit: "move", segment: card.id, before: before === card.id ? cards[at + 1]?.id ?? null : before});
  }
  tell(placeWords(card));
}

/** Move a card by one place. @param {any} card @param {number} by */
function step(card, by) {
  const cards = segments();
  if (card.kind === "pause") {
    const starts = [...new Set(cards.map((each) => each.item.first).filter((first) => first !== null))].sort((a, b) => a - b);
    const taken = new Set(store.plan.pauses.map((pause) => pause.before));
    const free = starts.filter((stroke) => !taken.has(stroke));
    const goal = by > 0 ? free.find((stroke) => stroke > card.item.before) : free.filter((stroke) => stroke < card.item.before).at(-1);
    return goal ? ways.send({edit: "shift", pause: card.id, stroke: goal}).then(() => tell(placeWords(card))) : tell("no place further on");
  }
  const at = cards.indexOf(card);
  if (at + by < 0 || at + by >= cards.length) return tell(by < 0 ? "it is the first already" : "it is the last already");
  return move(card, (by < 0 ? cards[at - 1] : cards[at + 2])?.id ?? null);
}

/** Where a card stands now, in words. @param {any} card */
function placeWords(card) {
  if (card.kind === "pause") return `the pause is before stroke ${card.item.before}: ${stand.labelOf(card.item.before)}`;
  const cards = segments();
  const at = cards.findIndex((each) => each.id === card.id);
  const name = (each) => each.item.headline || "an aside";
  return `${name(card)}: now ${at + 1} of ${cards.length}${at > 0 ? `, after ${name(cards[at - 1])}` : ""}`;
}

// Keys

/** Go to the card before or behind, in the same kind of place. @param {number} by */
function go(by) {
  const cards = list.order;
  const at = cards.findIndex((card) => card.key === view.current);
  const next = cards[Math.min(cards.length - 1, Math.max(0, at + by))];
  const active = document.activeElement;
  const part = active?.classList.contains("grip") ? "grip" : active?.closest(".headline") ? "headline" : "main";
  if (next) focusCard(next.key, part);
}

/** @param {(card: any) => unknown} act */
const withCurrent = (act) => {
  const card = list.card(view.current);
  return card ? act(card) : false;
};

async function listenToKeys() {
  const keys = createKeys(lessonActions, {overrides: await keptKeys(), where: document});
  keys.on("lesson-next", () => go(1));
  keys.on("lesson-previous", () => go(-1));
  keys.on("lesson-move-down", () => withCurrent((card) => step(card, 1)));
  keys.on("lesson-move-up", () => withCurrent((card) => step(card, -1)));
  keys.on("lesson-drop", () => withCurrent((card) => ways.send({edit: "show", [card.kind]: card.id, shown: !card.item.shown})));
  keys.on("lesson-pause", () => withCurrent((card) => makePause(view.stroke ?? card.item.first ?? stand.count)));
  keys.on("lesson-aside", () => withCurrent((card) => card.addAside?.() ?? false));
  keys.on("lesson-split", () => withCurrent((card) => ways.send({edit: "split", segment: card.id, stroke: view.stroke ?? 0})));
  keys.on("lesson-join", () => withCurrent((card) => ways.send({edit: "join", segment: card.id})));
  keys.on("lesson-stroke-on", () => chooseStroke((view.stroke ?? list.card(view.current)?.item.page ?? 0) + 1));
  keys.on("lesson-stroke-back", () => chooseStroke((view.stroke ?? (list.card(view.current)?.item.page ?? 0) + 2) - 1));
  keys.on("lesson-preview", () => withCurrent((card) => preview.open(card.item.scene)));
  keys.on("lesson-undo", () => (isWriting() ? false : frame.undo()));
  keys.on("lesson-redo", () => (isWriting() ? false : frame.redo()));
  find("hint").textContent = HINT;
}

/** Whether undo is the browser's own: a text was written since it has the focus, or a number is being typed. */
function isWriting() {
  const at = document.activeElement;
  return at instanceof HTMLInputElement || (at instanceof HTMLTextAreaElement && "written" in at.dataset);
}

document.addEventListener("visibilitychange", () => document.visibilityState === "hidden" && keepAll());
addEventListener("beforeunload", (event) => {
  if (store.busy || document.querySelector(".is-dirty")) event.preventDefault();
});

store.load().then(() => {
  showState(store.settled());
  store.hear();
  return listenToKeys();
}, (fault) => {
  find("making").textContent = fault.message;
  showState("");
});
