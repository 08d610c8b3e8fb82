// The page on paper: every scene with its own small board, the answers together at the end. Built when a print begins.

import {marginsOf, pictureOf, wholeDrawing} from "./board.js";
import {el, wordsOf} from "./elements.js";

/** Fill `host` with the story as it is printed; `pages` are the ink of every page. */
export function printInto(host, story, pages, way) {
  const margins = marginsOf(pages.at(-1), way);
  const picture = (page, evidence, title) =>
    el("div", {class: "small-board"}, pictureOf(wholeDrawing({ink: pages[page], evidence}), way, margins,
      {role: "img", "aria-label": title}));
  const paused = story.scenes.filter((scene) => scene.pause);
  const number = (scene) => paused.indexOf(scene) + 1;

  function scenePiece(scene) {
    const question = scene.pause;
    return el("section", {class: "printed-scene"},
      picture(scene.page, scene.evidence, question ? question.question : scene.headline),
      el("div", {},
        el("p", {class: "kicker", text: scene.kicker}),
        el("h2", {text: question ? question.question : scene.headline}),
        question ? el("p", {class: "words", text: `Try it; answer ${number(scene)} is at the end.`}) : telling(scene),
        question && question.hints.length
          ? el("p", {class: "aside", text: `If you need a nudge: ${question.hints[0]}`}) : null));
  }

  function telling(scene) {
    return [el("p", {class: "words"}, wordsOf(scene.words)),
      ...scene.asides.map((aside) => el("p", {class: "aside", text: aside}))];
  }

  function answerPiece(scene) {
    return el("section", {class: "printed-scene"},
      picture(scene.page, scene.pause.evidence, `answer ${number(scene)}`),
      el("div", {},
        el("p", {class: "kicker", text: `answer ${number(scene)} · ${scene.kicker}`}),
        el("h3", {text: scene.headline}),
        el("p", {class: "words"}, wordsOf(scene.pause.answer)),
        telling(scene)));
  }

  host.replaceChildren(
    el("div", {class: "printed-puzzle"}, picture(0, {}, "the puzzle")),
    ...story.scenes.map(scenePiece),
    paused.length ? el("h2", {class: "printed-head", text: "Answers"}) : "",
    ...paused.map(answerPiece));
}
