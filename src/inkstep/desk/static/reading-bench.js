// The page of the moment: the board, and the steps under it.

import {createBoard} from "./board/board.js";
import {button, el} from "./board/elements.js";
import {pagesOf, timesOf} from "./board/replay.js";
import {manner} from "./manner.js";

/** @typedef {import("./reading-types.js").Reading} Reading */
/** @typedef {import("./reading-types.js").Argued} Argued */

/**
 * @param {(id: string) => any} find an element of the page
 * @param {{step: (by: number) => void, cell: (cell: number) => void}} acts
 */
export function createBench(find, acts) {
  const board = createBoard(find("board"), manner, {label: "the page", onCell: acts.cell});
  /** @type {any[]} */
  let strokes = [];
  /** @type {import("../../press/page/layout.js").BriefInk[][]} */
  let pages = [[]];
  let at = 0;
  find("steps").append(
    button("\u2039 back", () => acts.step(-1), {id: "back", "aria-label": "back a stroke"}),
    el("span", {class: "quiet", id: "step"}),
    button("on \u203a", () => acts.step(1), {id: "on", "aria-label": "on a stroke"}));

  /** @param {number} page @param {import("../../press/page/evidence.js").Evidence} evidence @param {number[]} writing @param {number} ms */
  function show(page, evidence, writing, ms) {
    board.show({ink: pages[page], evidence}, {writing: ms ? writing : [], ms});
    const name = at ? `the page at stroke ${at}` : "the puzzle";
    board.name(`${name}; a cell leads to the stroke that wrote in it`, true);
  }

  return {
    /** Replay the strokes of a solve; gives what the strip needs of them. @param {string} puzzle @param {any[]} now */
    replay(puzzle, now) {
      strokes = now;
      pages = pagesOf(puzzle, strokes);
      board.reserve(pages.at(-1) ?? []);
      return {strokes, ...timesOf(strokes)};
    },
    /** Stand at stroke n: the page before it, without evidence. @param {number} n */
    stand(n) {
      at = n;
      show(Math.max(0, n - 1), {}, [], 0);
      const stroke = strokes[n - 1];
      find("step").textContent = stroke ? `${n} of ${strokes.length} · ${stroke.action}` : "before the first stroke";
      find("back").disabled = n === 0;
      find("on").disabled = n === strokes.length;
    },
    /** Draw a stroke's own evidence, or that of something looked at. @param {Reading} reading @param {Argued | null} argued @param {number} ms */
    draw(reading, argued, ms) {
      show(argued?.page ?? reading.page, argued?.evidence ?? reading.evidence, argued ? [] : [-1, reading.n], ms);
    },
    /** The stroke that wrote what stands, or will stand, in a cell: its digit, or else a mark; 0 for none. @param {number} cell */
    writerOf(cell) {
      const here = strokes.map((stroke, index) => ({...stroke, n: index + 1}))
        .filter((stroke) => stroke.cells.includes(cell) && stroke.kind !== "strike");
      const digits = here.filter((stroke) => stroke.kind === "digit");
      return (digits.length ? digits : here).at(-1)?.n ?? 0;
    },
  };
}
