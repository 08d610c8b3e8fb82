// What the live page draws: a page, evidence on it and a card of words. New ink is written; nothing flickers.

import {createBoard} from "./board/board.js";
import {wordsOf} from "./board/elements.js";
import {clockWords, pagesOf, timesOf} from "./board/replay.js";
import {manner} from "./manner.js";

/** @typedef {{page: number, evidence: any, kicker: string, headline: string, words: {text: string, role: string}[]}} Scene */

/** no evidence comes or goes sooner than this after the last that did: under three times a second (WCAG 2.3.1) */
export const CALM_MS = 350;
const WRITE_MS = 380;
const LONG = 260;
const BLANK = {evidence: {}, kicker: "", headline: "", words: []};

/**
 * @param {(id: string) => any} find
 * @param {{puzzle: string, strokes: any[]}} solve
 */
export function createShow(find, solve) {
  const board = createBoard(find("board"), manner, {label: "the page"});
  let strokes = solve.strokes;
  let pages = pagesOf(solve.puzzle, strokes);
  let clock = timesOf(strokes);
  /** @type {?number} */
  let page = null;
  let shown = "";
  let calmAt = -Infinity;
  let later = 0;
  board.reserve(pages.at(-1) ?? []);

  /** Draw a page; the ink of a stroke that it has more than the last one is written. @param {number} at @param {any} evidence */
  function draw(at, evidence) {
    const n = Math.min(Math.max(0, at), pages.length - 1);
    const isNext = page !== null && n === page + 1;
    const writing = [...(isNext ? [n] : []), ...(evidence.written ? [-1] : [])];
    board.show({ink: pages[n], evidence, title: "the page"}, {writing, ms: WRITE_MS});
    page = n;
    document.documentElement.dataset.page = String(n);
  }

  /** @param {Omit<Scene, "page">} scene */
  function write({kicker, headline, words}) {
    find("card").hidden = !headline;
    find("kicker").textContent = kicker;
    find("headline").textContent = headline;
    find("words").replaceChildren(...wordsOf(words));
    find("words").classList.toggle("is-long", words.reduce((sum, run) => sum + run.text.length, 0) > LONG);
  }

  /** Show a scene: its page at once, its evidence and words at once or as soon as that is calm. @param {Scene} scene */
  function show(scene) {
    clearTimeout(later);
    const now = performance.now();
    const said = JSON.stringify([scene.evidence, scene.headline, scene.words]);
    const wait = calmAt + CALM_MS - now;
    if (said === shown || wait <= 0) {
      put(scene, said, now);
      return;
    }
    const plain = {...BLANK, page: scene.page};
    draw(scene.page, {});
    if (shown !== "") write(plain);
    shown = "";
    later = window.setTimeout(() => put(scene, said, performance.now()), wait);
  }

  /** @param {Scene} scene @param {string} said @param {number} now */
  function put(scene, said, now) {
    draw(scene.page, scene.evidence);
    if (said === shown) return;
    write(scene);
    shown = said;
    calmAt = now;
  }

  return {
    show,
    draw,
    get count() {
      return strokes.length;
    },
    get page() {
      return page;
    },
    get times() {
      return clock.times;
    },
    /** Take the strokes as they are now. @param {string} puzzle @param {any[]} now */
    take(puzzle, now) {
      strokes = now;
      pages = pagesOf(puzzle, strokes);
      clock = timesOf(strokes);
      board.reserve(pages.at(-1) ?? []);
    },
    /** Show the time of a running clock; null hides it. @param {?number} ms */
    time(ms) {
      find("clock").hidden = ms === null;
      if (ms !== null) find("clock").textContent = clockWords(ms);
    },
  };
}
