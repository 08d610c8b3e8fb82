// The places outside the frame: beside each row and column, and one step farther out beside each box. They are laid over the
// margins of the board; what is shown of them is the one under the hand.

import {el} from "./board/elements.js";
import {placeWords, placesOutside} from "./logging-selection.js";

const SIDE = 9;
const BOX = 3;
const DEPTH = 4.4;

/** @typedef {import("./logging-selection.js").Place} Place */

/** @param {(place: Place) => void} onPlace a place was pressed */
export function createOutside(onPlace) {
  const slots = new Map(placesOutside().map((place) => [nameOf(place), slotOf(place)]));
  let chosen = "";
  const element = el("div", {class: "around", role: "group", "aria-label": "outside the frame"}, [...slots.values()]);

  /** @param {Place} place */
  function slotOf(place) {
    const slot = el("div", {class: "outside-slot", role: "button", tabindex: -1, "aria-pressed": "false", "aria-label": placeWords(place),
      "data-place": nameOf(place), on: {click: () => onPlace(place)}});
    for (const [name, value] of Object.entries(boxOf(place))) slot.style.setProperty(name, `${value}%`);
    return slot;
  }

  return {
    element,
    /** @param {Place} place */
    focus(place) {
      slots.get(nameOf(place))?.focus({preventScroll: true});
    },
    /** Show which place is chosen. @param {Place | null} place */
    choose(place) {
      const name = place ? nameOf(place) : "";
      if (name === chosen) return;
      for (const each of [chosen, name]) {
        slots.get(each)?.classList.toggle("chosen", each === name);
        slots.get(each)?.setAttribute("aria-pressed", String(each === name));
      }
      chosen = name;
    },
  };
}

/** @param {Place} place */
const nameOf = ({where, house}) => `${where} ${house}`;

/** Where a slot lies, in parts of a hundred of the grid. @param {Place} place */
function boxOf({where, house}) {
  const level = where === "above" || where === "below";
  const isBox = (house ?? 0) >= 2 * SIDE;
  const index = (house ?? 0) % SIDE;
  const along = isBox ? BOX * (level ? index % BOX : Math.floor(index / BOX)) : index;
  const start = (100 * along) / SIDE;
  const length = (100 * (isBox ? BOX : 1)) / SIDE;
  const depth = isBox ? 1.2 + DEPTH : 0.8;
  const away = {above: "bottom", below: "top", left: "right", right: "left"}[where] ?? "top";
  return level
    ? {left: start, width: length, height: DEPTH, [away]: 100 + depth}
    : {top: start, height: length, width: DEPTH, [away]: 100 + depth};
}
