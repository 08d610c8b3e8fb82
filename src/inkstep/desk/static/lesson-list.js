// The passages in their order: cards made, brought up to date and put in place, with the focus kept where it is.

import {createPause} from "./lesson-pause.js";
import {createSegment} from "./lesson-segment.js";

/**
 * @typedef {{key: string, kind: string, id: string, element: HTMLElement, grip: HTMLElement, item: any, addAside?: () => unknown,
 *   keep: () => Promise<unknown>, part: (part: string) => HTMLElement, mark: (stroke: ?number) => void,
 *   update: (item: any, place: {number: number, of: number}) => void}} Card
 *            a segment or a pause (`item`, as the plan has it)
 * @typedef {import("./lesson-store.js").Plan} Plan
 */

/**
 * The cards inside `host`.
 * @param {HTMLElement} host
 * @param {import("./lesson-store.js").Store} store
 * @param {import("./lesson-segment.js").Ways} ways
 */
export function createList(host, store, ways) {
  /** @type {Map<string, Card>} */
  const cards = new Map();
  /** @type {Card[]} */
  let order = [];

  /** The items of a plan in the order in which they are told: each pause before the segment that it stands before. @param {Plan} plan */
  function items(plan) {
    const before = (id) => plan.pauses.filter((pause) => pause.stands_before === id).map((item) => ({kind: "pause", item}));
    return [...plan.segments.flatMap((item) => [...before(item.id), {kind: "segment", item}]), ...before(null)];
  }

  /** @param {string} kind @param {any} item */
  function cardOf(kind, item) {
    const key = `${kind}:${item.id}`;
    const known = cards.get(key);
    if (known) return known;
    const made = kind === "pause" ? createPause(store, item, ways) : createSegment(store, item, ways);
    cards.set(key, made);
    return made;
  }

  /** @param {Plan} plan */
  function show(plan) {
    const all = items(plan);
    const segments = plan.segments.map((segment) => segment.id);
    order = all.map(({kind, item}) => {
      const card = cardOf(kind, item);
      card.update(item, {number: segments.indexOf(item.id) + 1, of: segments.length});
      return card;
    });
    keepingFocus(arrange);
  }

  function arrange() {
    const kept = new Set(order);
    for (const [key, card] of cards) {
      if (kept.has(card)) continue;
      card.element.remove();
      cards.delete(key);
    }
    order.forEach((card, index) => {
      if (host.children[index] !== card.element) host.insertBefore(card.element, host.children[index] ?? null);
    });
  }

  /** @param {() => void} act */
  function keepingFocus(act) {
    const active = document.activeElement;
    const shift = active && host.contains(active) ? active.getBoundingClientRect().top : 0;
    act();
    if (!(active instanceof HTMLElement) || !host.contains(active)) return;
    if (document.activeElement !== active) active.focus({preventScroll: true});
    // what the user works at stays where it was on the screen, as far as the page can be scrolled
    scrollBy({top: active.getBoundingClientRect().top - shift, behavior: "instant"});
  }

  return {
    show,
    get order() {
      return order;
    },
    /** @param {?string} key */
    card: (key) => (key ? cards.get(key) : undefined),
    /** The card that holds an element. @param {EventTarget | null} target */
    cardAt(target) {
      const element = target instanceof Element ? target.closest("[data-card]") : null;
      return element instanceof HTMLElement ? cards.get(element.dataset.card ?? "") : undefined;
    },
    keepAll: () => Promise.all(order.map((card) => card.keep())),
  };
}
