// What stands beside the passages: the page of the one in focus with its evidence, the time strip, and the stroke chosen on it.

import {createBoard} from "./board/board.js";
import {button, el} from "./board/elements.js";
import {clockWords, pagesOf, timesOf} from "./board/replay.js";
import {createStrip} from "./board/strip.js";
import {manner} from "./manner.js";

/**
 * onStroke(stroke) when a stroke is chosen on the strip, onPause(card key) when a flag is pressed.
 * @param {{board: HTMLElement, strip: HTMLElement, moment: HTMLElement, steps: HTMLElement}} places
 * @param {{onStroke: (stroke: number) => void, onPause: (id: string) => void, onMake: () => void}} ways
 */
export function createStand(places, {onStroke, onPause, onMake}) {
  const board = createBoard(places.board, manner, {label: "the page"});
  board.name("the page of the passage", false);
  const make = button("make a pause here", onMake, {class: "boxed"});
  const step = (sign, name, by) => button(sign, () => onStroke((chosen ?? 1) + by), {class: "step", "aria-label": name, title: name});
  places.steps.append(step("‹", "a stroke back", -1), step("›", "a stroke on", 1), make);
  /** @type {import("./lesson-store.js").Solve | null} */
  let solve = null;
  /** @type {any[]} */
  let pages = [];
  /** @type {{times: number[], known: boolean[]}} */
  let clock = {times: [], known: []};
  /** @type {ReturnType<typeof createStrip> | null} */
  let strip = null;
  let flags = "";
  /** @type {?number} */
  let chosen = null;

  /** Take the strokes and the pauses of a plan. @param {import("./lesson-store.js").Plan} plan @param {import("./lesson-store.js").Solve} now */
  function take(plan, now) {
    const drawn = JSON.stringify(plan.pauses.map((pause) => [pause.id, pause.before, pause.shown]));
    if (now === solve && drawn === flags) return;
    if (now !== solve) {
      solve = now;
      pages = pagesOf(now.puzzle, now.strokes);
      clock = timesOf(now.strokes);
      board.reserve(pages.at(-1) ?? []);
    }
    flags = drawn;
    const host = el("div", {});
    places.strip.replaceChildren(host);
    strip = createStrip(host, {
      strokes: now.strokes, times: clock.times, known: clock.known, waits: now.waits,
      flags: plan.pauses.map((pause) => ({ms: clock.times[pause.before - 1], open: !pause.shown})),
      onMove: (n) => onStroke(n + 1),
      onFlag: (index) => onPause(plan.pauses[index].id),
    });
  }

  /** @param {number} page */
  function when(page) {
    if (!page) return "before the first stroke";
    const time = clock.known[page - 1] ? `${clockWords(clock.times[page - 1])} · ` : "";
    return `${time}after ${page} ${page === 1 ? "stroke" : "strokes"}`;
  }

  /** @param {number} page */
  function standAt(page) {
    strip?.moveTo(page ? clock.times[page - 1] : 0, page);
  }

  return {
    take,
    /** What was written by a stroke and where, in a few words. @param {number} stroke */
    labelOf: (stroke) => solve?.strokes[stroke - 1]?.label ?? "",
    get count() {
      return solve?.strokes.length ?? 0;
    },
    /** Show a page with what is pointed out on it. @param {number} page @param {any} evidence @param {string} title */
    show(page, evidence, title) {
      chosen = page < pages.length - 1 ? page + 1 : null;
      board.show({ink: pages[page] ?? [], evidence, title}, {writing: evidence.written ? [-1] : [], ms: 500});
      board.choose([]);
      standAt(page);
      places.moment.textContent = when(page);
      make.disabled = chosen === null;
    },
    /** Show the page before a stroke, with the place where it will be written. @param {number} stroke */
    showStroke(stroke) {
      chosen = stroke;
      const writes = solve?.strokes[stroke - 1];
      const cells = (writes?.add ?? []).flatMap((ink) => ink.cells ?? []);
      board.show({ink: pages[stroke - 1] ?? [], evidence: {}, title: `before stroke ${stroke}`});
      board.choose(cells);
      standAt(stroke - 1);
      const time = clock.known[stroke - 1] ? `${clockWords(clock.times[stroke - 1])} · ` : "";
      places.moment.textContent = writes ? `${time}stroke ${stroke} comes next: ${writes.label}` : when(stroke - 1);
      make.disabled = !writes;
    },
  };
}
