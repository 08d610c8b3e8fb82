// One segment of the plan as a card: when and what, its headline and its words, how long they take, and what can be done with it.

import {button, el} from "./board/elements.js";
import {createField, minutes} from "./lesson-field.js";

/**
 * What a card may ask of the page.
 * @typedef {{send: (edit: any) => Promise<?string>, chosen: () => ?number, choose: (stroke: number) => void,
 *   preview: (scene: number) => void, pauseAt: (stroke: number) => void, labelOf: (stroke: number) => string,
 *   focusCard: (card: string, part?: string) => void, grip: (card: any, element: HTMLElement) => void}} Ways
 */

/** The words of a grip for those who cannot drag. */
const GRIP = "move; the arrow keys move it up and down";

/**
 * @param {import("./lesson-store.js").Store} store
 * @param {import("./lesson-store.js").Segment} first
 * @param {Ways} ways
 */
export function createSegment(store, first, ways) {
  const id = first.id;
  const floats = first.first === null;
  /** @type {import("./lesson-store.js").Segment} */
  let segment = first;
  const grip = el("button", {type: "button", class: "grip", "aria-label": GRIP}, dots());
  const kicker = el("p", {class: "kicker"});
  const strokes = el("span", {class: "strokes", role: "group", "aria-label": "strokes told here"});
  const headline = createField(store, {where: {segment: id}, field: "headline", label: "Headline", single: true, className: "headline",
    placeholder: floats ? "a headline, or none" : "a headline"});
  const narration = createField(store, {where: {segment: id}, field: "narration", label: "Narration", className: "narration",
    placeholder: "what is said here"});
  const split = button("split", () => ways.send({edit: "split", segment: id, stroke: ways.chosen()}));
  const join = button("join", () => ways.send({edit: "join", segment: id}), {title: "make this and the next one passage"});
  const pause = button("pause", () => ways.pauseAt(within() ?? segment.first ?? 1), {title: "make a pause before the stroke chosen here"});
  const aside = button("aside", addAside, {title: "something said between, after this"});
  const drop = button("drop", () => (segment.own && floats ? ways.send({edit: "remove", segment: id})
    : ways.send({edit: "show", segment: id, shown: !segment.shown})));
  const see = button("see it", () => ways.preview(segment.scene ?? 0), {title: "the lesson page at this place"});
  const tools = el("span", {class: "tools"}, floats ? [] : [split, join, pause], aside, drop, see);
  const length = el("p", {class: "spoken"});
  const element = el("article", {class: `passage segment is-${first.kind}`, tabindex: -1, "data-card": `segment:${id}`},
    grip, el("header", {class: "passage-head"}, kicker, strokes, tools), length,
    el("div", {class: "passage-words"}, headline.element, narration.element));
  async function addAside() {
    const made = await ways.send({edit: "aside", after: id});
    if (made) ways.focusCard(`segment:${made}`, "narration");
  }

  /** The chosen stroke, if it is told here. */
  function within() {
    const stroke = ways.chosen();
    if (stroke === null || segment.first === null || segment.last === null) return null;
    return stroke >= segment.first && stroke <= segment.last ? stroke : null;
  }

  function chips() {
    if (segment.first === null || segment.last === null || segment.last === segment.first) return [];
    const numbers = Array.from({length: segment.last - segment.first + 1}, (_, index) => /** @type {number} */ (segment.first) + index);
    return numbers.map((n) => button(String(n), () => ways.choose(n), {class: "chip", "data-stroke": n, title: ways.labelOf(n),
      "aria-label": `stroke ${n}: ${ways.labelOf(n)}`}));
  }

  function card() {
    return {
      key: `segment:${id}`,
      kind: "segment",
      id,
      element,
      grip,
      get item() {
        return segment;
      },
      addAside,
      /** Keep what is being written. */
      keep: () => Promise.all([headline.keep(), narration.keep()]),
      /** @param {string} part */
      part: (part) => (part === "headline" ? headline.input : part === "grip" ? grip : narration.input),
      /** @param {any} next @param {{number: number, of: number}} place */
      update(next, place) {
        const cut = next.first !== segment.first || next.last !== segment.last || !strokes.childElementCount;
        segment = next;
        if (cut) strokes.replaceChildren(...chips());
        kicker.textContent = segment.shown ? segment.kicker : `${segment.kicker} · dropped`;
        element.classList.toggle("dropped", !segment.shown);
        element.setAttribute("aria-label", `${place.number} of ${place.of}: ${segment.headline || "an aside"}${segment.shown ? "" : ", dropped"}`);
        headline.update(segment.headline, segment.edited.includes("headline"));
        narration.update(segment.narration, segment.edited.includes("narration"));
        drop.textContent = segment.own && floats ? "take away" : segment.shown ? "drop" : "bring back";
        join.disabled = !segment.joins;
        see.disabled = segment.scene === null;
        length.replaceChildren(...lengthWords(segment));
      },
      /** Show which stroke is chosen. @param {?number} stroke */
      mark(stroke) {
        for (const chip of strokes.children) chip.setAttribute("aria-pressed", String(Number(chip.dataset.stroke) === stroke));
        const here = within();
        split.disabled = here === null || here === segment.first;
        split.title = split.disabled ? "choose the stroke at which the second part begins" : `the second part begins with stroke ${here}`;
      },
    };
  }

  const made = card();
  ways.grip(made, grip);
  return made;
}

/** How long something takes, and when it begins. @param {{start_ms: ?number, length_ms: number}} each */
export function lengthWords({start_ms, length_ms}) {
  if (start_ms === null) return [el("span", {class: "quiet", text: "not told"})];
  return [el("span", {text: minutes(length_ms)}), el("span", {class: "quiet", text: `at ${minutes(start_ms)}`})];
}

/** Six dots: something that can be taken hold of. */
export function dots() {
  return Array.from({length: 6}, () => el("span", {class: "dot", "aria-hidden": "true"}));
}
