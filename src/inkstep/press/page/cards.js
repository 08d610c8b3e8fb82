// The scenes as cards: a kicker, a headline, words, asides; those after a closed pause wait behind it.

import {createPause} from "./pause.js";
import {button, el, wordsOf} from "./elements.js";

/**
 * The cards of all scenes inside `host`. onShow(index) when a card asks for the board, onOpened(index) when a pause opened or
 * was passed by, onChoose(cells), say(words).
 */
export function createCards(host, story, {onShow, onOpened, onChoose, say}) {
  let opensAll = false;
  const cards = story.scenes.map(card);
  const more = el("p", {class: "more"});
  host.append(...cards.map((each) => each.element), more);
  reveal();

  function card(scene, index) {
    const pause = scene.pause && createPause(scene.pause, {
      solution: story.solution,
      onOpen: (how) => opened(index, how),
      onChoose,
      say,
    });
    const title = el("h2", {text: pause ? scene.pause.question : scene.headline, id: `scene-${index}`});
    const element = el("article", {class: pause ? "card has-pause" : "card", "aria-labelledby": `scene-${index}`,
      on: {click: () => onShow(index), focusin: () => onShow(index)}},
    el("p", {class: "kicker", text: scene.kicker}), title);
    if (pause) element.append(pause.element);
    else element.append(...telling(scene));
    return {element, scene, pause};
  }

  function telling(scene) {
    return [
      scene.words.length ? el("p", {class: "words"}, wordsOf(scene.words)) : "",
      ...scene.asides.map((aside) => el("p", {class: "aside", text: aside})),
    ];
  }

  function opened(index, how) {
    const {pause, scene, element} = cards[index];
    if (how !== "passed") {
      element.classList.add("is-open");
      pause.answer.replaceChildren(el("h3", {text: scene.headline}), el("p", {class: "words"}, pause.words()),
        ...telling(scene).filter(Boolean));
    }
    if (opensAll) return;
    reveal();
    onOpened(index);
  }

  /** The number of scenes that can be read: up to the first pause that is still closed. */
  function readable() {
    const closed = cards.findIndex((each) => each.pause?.state === "closed");
    return closed < 0 ? cards.length : closed + 1;
  }

  function reveal() {
    const count = readable();
    cards.forEach((each, index) => {
      each.element.hidden = index >= count;
    });
    const left = cards.length - count;
    more.hidden = left === 0;
    const pauses = cards.filter((each) => each.pause?.state === "closed").length;
    more.replaceChildren(
      `${left} more ${left === 1 ? "scene follows" : "scenes follow"} when this pause has been tried or passed by. `,
      button(pauses === 1 ? "open it now" : `open all ${pauses} pauses`, openAll, {class: "worded"}));
  }

  /** Open every pause; the reader stays at the one they were at. */
  function openAll() {
    const here = Math.max(0, readable() - 1);
    opensAll = true;
    cards.forEach((each) => each.pause?.open());
    opensAll = false;
    reveal();
    onOpened(here);
    say("All pauses are open.");
  }

  return {
    all: cards,
    readable,
    openAll,
    /** Mark the card whose page the board shows. */
    setCurrent(index) {
      cards.forEach((each, at) => each.element.classList.toggle("is-current", at === index));
    },
  };
}
