// What of the teacher's found no place in the sheet as it is now: to be placed again, or thrown away.

import {button, el} from "./board/elements.js";

/**
 * @param {HTMLElement} host
 * @param {{send: (edit: any) => Promise<?string>, chosen: () => ?number, focusCard: (card: string) => void}} ways
 */
export function createLost(host, {send, chosen, focusCard}) {
  /** @param {import("./lesson-store.js").Lost} lost @param {number} index */
  function row(lost, index) {
    const isPause = lost.kind === "pause";
    const place = button("", async () => {
      const made = await send({edit: "place", index, was: lost.id, stroke: chosen() ?? 1});
      if (made) focusCard(`${lost.kind}:${made}`);
    }, {class: "boxed place"});
    const away = button("throw away", () => send({edit: "discard", index, was: lost.id}));
    return el("li", {"data-lost": lost.kind}, el("p", {class: "label", text: `${isPause ? "a pause" : "a passage"}; ${lost.why}`}),
      lost.texts.map((text) => el("p", {text})), el("p", {}, place, away));
  }

  return {
    /** @param {import("./lesson-store.js").Plan} plan */
    show(plan) {
      host.hidden = !plan.unplaced.length;
      host.replaceChildren(
        el("h2", {id: "lost-head", text: plan.unplaced.length === 1 ? "One thing of yours found no place" : `${plan.unplaced.length} things of yours found no place`}),
        el("p", {class: "quiet", text: "The strokes they speak of are no longer in the sheet. When these come back, so do the words."}),
        el("ul", {class: "rows"}, plan.unplaced.map(row)));
    },
    /** Name the place that the buttons mean. @param {?number} stroke */
    mark(stroke) {
      for (const place of host.querySelectorAll("[data-lost]")) {
        const isPause = /** @type {HTMLElement} */ (place).dataset.lost === "pause";
        const words = isPause ? `put it before stroke ${stroke ?? 1}` : `put it in as an aside, after stroke ${stroke ?? 1}`;
        const act = place.querySelector(".place");
        if (act) act.textContent = words;
      }
    },
  };
}
