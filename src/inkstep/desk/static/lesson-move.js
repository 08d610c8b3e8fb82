// Moving a passage by its grip: dragged with the pointer, or with the arrow keys.

import {el} from "./board/elements.js";

const EDGE = 70;
const PACE = 14;

/**
 * Moves of the cards of a list. move(card, to) is asked for a place: the index in `gaps()` of the passage to stand before.
 * @param {HTMLElement} host
 * @param {{segments: () => any[], move: (card: any, before: ?string) => void, step: (card: any, by: number) => void,
 *          say: (words: string) => void}} ways
 */
export function createMoves(host, {segments, move, step, say}) {
  const line = el("div", {class: "drop-line", hidden: true});
  host.append(line);

  /** The segment that a height on the screen lies before; null: behind all. @param {number} y */
  function before(y) {
    return segments().find((card) => {
      const box = card.element.getBoundingClientRect();
      return y < box.top + box.height / 2;
    }) ?? null;
  }

  /** @param {any} target */
  function showLine(target) {
    const frame = host.getBoundingClientRect();
    const last = segments().at(-1)?.element.getBoundingClientRect();
    const top = target ? target.element.getBoundingClientRect().top - 8 : (last?.bottom ?? frame.bottom) + 4;
    line.style.setProperty("top", `${top - frame.top}px`);
    line.hidden = false;
  }

  /** @param {any} card @param {HTMLElement} grip */
  function take(card, grip) {
    let dragging = false;
    let y = 0;
    let frame = 0;

    function follow() {
      const pull = y < EDGE ? -1 : y > innerHeight - EDGE ? 1 : 0;
      if (pull) scrollBy({top: pull * PACE, behavior: "instant"});
      showLine(before(y));
      frame = requestAnimationFrame(follow);
    }

    /** @param {boolean} done */
    function stop(done) {
      if (!dragging) return;
      dragging = false;
      cancelAnimationFrame(frame);
      line.hidden = true;
      card.element.classList.remove("is-dragged");
      if (done) move(card, before(y)?.id ?? null);
      else say("left where it was");
    }

    grip.addEventListener("pointerdown", (event) => {
      if (event.button !== 0) return;
      event.preventDefault();
      grip.focus({preventScroll: true});
      grip.setPointerCapture(event.pointerId);
      const from = event.clientY;
      y = from;
      grip.onpointermove = (moved) => {
        y = moved.clientY;
        if (dragging || Math.abs(y - from) < 5) return;
        dragging = true;
        card.element.classList.add("is-dragged");
        follow();
      };
    });
    grip.addEventListener("pointerup", () => {
      grip.onpointermove = null;
      stop(true);
    });
    grip.addEventListener("pointercancel", () => {
      grip.onpointermove = null;
      stop(false);
    });
    grip.addEventListener("keydown", (event) => {
      if (event.key === "Escape" && dragging) {
        grip.onpointermove = null;
        stop(false);
        event.preventDefault();
      }
      const by = {ArrowUp: -1, ArrowDown: 1}[event.key];
      if (!by || event.altKey || event.ctrlKey || event.metaKey) return;
      event.preventDefault();
      event.stopPropagation();
      step(card, by);
    });
  }

  return {take};
}
