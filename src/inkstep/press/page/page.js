// The lesson page: one board, one strip, the scenes as cards, and what the reader does with them.

import {createAttempt} from "./attempt.js";
import {createBoard} from "./board.js";
import {createCards} from "./cards.js";
import {button, calm, el, kept, svgEl} from "./elements.js";
import {printInto} from "./printed.js";
import {clockWords, createPlayer, pagesOf, strokesBy, timesOf} from "./replay.js";
import {createStrip} from "./strip.js";

const SPEEDS = [[1, "\u00d71", "true speed"], [0.5, "\u00d7\u00bd", "half speed"], [0.25, "\u00d7\u00bc", "quarter speed"]];
const WRITE_MS = 420;

/** Set the page up from its story and the manner of drawing. */
export function openLesson(story, way) {
  /** An element of page.html. @param {string} id @returns {any} */
  const find = (id) => document.getElementById(id);
  const pages = pagesOf(story.puzzle, story.strokes);
  const {times, known} = timesOf(story.strokes);
  const say = (words) => {
    find("said").textContent = words;
  };
  const view = {scene: 0, page: 0, attempt: false, held: false};

  heading();
  const board = createBoard(find("board"), way, {
    label: "the page",
    onCell: (cell) => (view.attempt ? attempt.onCell(cell) : pauseInView()?.choose(cell)),
    onDigit: (cell, digit) => (view.attempt ? attempt.onDigit(cell, digit) : pauseInView()?.type(cell, digit)),
    onErase: (cell) => view.attempt && attempt.onErase(cell),
  });
  board.reserve(pages.at(-1) ?? []);
  const attempt = createAttempt(find("attempt"), find("how"), {story, board, onLeave: leaveAttempt, say});
  const cards = createCards(find("scenes"), story, {
    onShow: (index) => view.scene !== index && showScene(index),
    onOpened: afterOpening,
    onChoose: (cells) => board.choose(cells),
    say,
  });
  const flagged = story.scenes.map((scene, index) => ({scene, index})).filter(({scene}) => scene.pause);
  const strip = createStrip(find("strip"), {
    strokes: story.strokes, times, known, waits: story.waits,
    flags: flagged.map(({scene}) => ({ms: timeOf(scene), open: false})),
    onMove: moveTo,
    onFlag: (index) => goTo(flagged[index].index),
  });
  const player = createPlayer(strip.end, {onTime: playedTo, onEnd: nameControls});
  const controls = createControls();
  closing();
  showScene(0);
  listen();

  function heading() {
    const [event, solver, total] = [story.event, story.solver, story.total];
    find("kicker").textContent = [[event, solver].filter(Boolean).join(", "), total].filter(Boolean).join(" · ");
    find("title").textContent = story.title;
    document.title = story.title;
    find("lamp").addEventListener("click", changeLamp);
    const lamp = kept.read("inkstep-lamp");
    if (lamp === "dark" || lamp === "light") document.documentElement.dataset.theme = lamp;
    nameLamp();
  }

  function isDark() {
    const chosen = document.documentElement.dataset.theme;
    return chosen ? chosen === "dark" : matchMedia("(prefers-color-scheme: dark)").matches;
  }

  function changeLamp() {
    document.documentElement.dataset.theme = isDark() ? "light" : "dark";
    kept.write("inkstep-lamp", document.documentElement.dataset.theme);
    nameLamp();
  }

  function nameLamp() {
    find("lamp").textContent = isDark() ? "by daylight" : "by lamplight";
  }

  /** What the board is called: its time, or where the sheet knows none, how many strokes stand. */
  function pageName(ms, page) {
    return known.some(Boolean) ? `the page at ${clockWords(ms)}` : `the page after ${page} strokes`;
  }

  function timeOf(scene) {
    if (scene.at_ms !== null) return scene.at_ms;
    return scene.page ? times[scene.page - 1] : 0;
  }

  function pauseInView() {
    return cards.all[view.scene]?.pause;
  }

  // What the board shows

  function sceneEvidence(index) {
    const {scene, pause} = cards.all[index];
    return pause?.state === "open" ? scene.pause.evidence : scene.evidence;
  }

  function showScene(index) {
    if (view.attempt) return;
    player.stop();
    if (!cards.all.length) {
      showPage(0, 0, 0);
      return;
    }
    const {scene, pause} = cards.all[index];
    view.scene = index;
    view.page = scene.page;
    const evidence = sceneEvidence(index);
    const title = pause && pause.state !== "open" ? scene.pause.question : scene.headline;
    board.show({ink: pages[scene.page], evidence, title}, {writing: evidence.written ? [-1] : [], ms: 600});
    board.choose(pause?.chosen ?? []);
    board.name(pageName(timeOf(scene), scene.page), Boolean(pause?.state !== "open" && scene.pause?.expects));
    cards.setCurrent(index);
    strip.moveTo(timeOf(scene), scene.page);
    nameControls();
  }

  function afterOpening(index) {
    strip.setOpen(flagged.map((each) => cards.all[each.index].pause.state !== "closed"));
    find("findings").hidden = story.findings.length === 0 || cards.readable() < cards.all.length;
    showScene(index);
  }

  /** The last stroke that may be shown: the page of the first closed pause. */
  function lastOpenPage() {
    const closed = cards.all.find((each) => each.pause?.state === "closed");
    return closed ? closed.scene.page : story.strokes.length;
  }

  function moveTo(wanted) {
    leaveAttempt();
    const n = Math.min(story.strokes.length, Math.max(0, wanted));
    player.stop();
    const most = lastOpenPage();
    if (n > most) {
      goTo(cards.all.findIndex((each) => each.pause?.state === "closed"));
      say("A pause is closed here. Try it, or read on without trying.");
      return;
    }
    const forward = n === view.page + 1;
    showPage(n, n ? times[n - 1] : 0, forward ? WRITE_MS : 0);
  }

  function showPage(n, ms, writeMs) {
    view.page = n;
    board.show({ink: pages[n]}, {writing: writeMs && n ? [n] : [], ms: writeMs});
    board.name(pageName(ms, view.page), false);
    strip.moveTo(ms, n);
    nameControls();
  }

  // Playing

  function play() {
    leaveAttempt();
    if (player.playing) {
      player.stop();
      nameControls();
      return;
    }
    const most = lastOpenPage();
    const done = view.page >= most && most < story.strokes.length;
    const from = view.page >= story.strokes.length || done ? 0 : view.page;
    const ms = from ? times[from - 1] : 0;
    showPage(from, ms, 0);
    player.play(ms);
    nameControls();
  }

  function playedTo(ms) {
    const n = strokesBy(times, ms);
    const most = lastOpenPage();
    if (n > most) {
      player.stop();
      goTo(cards.all.findIndex((each) => each.pause?.state === "closed"));
      say("A pause.");
      return;
    }
    if (n === view.page) {
      strip.moveTo(ms, n);
      return;
    }
    const gap = (times[n] ?? Infinity) - times[n - 1];
    showPage(n, ms, Math.min(WRITE_MS, gap * 0.9) / player.speed);
  }

  function createControls() {
    const sign = svgEl("svg", {viewBox: "0 0 12 12", width: 11, height: 11, "aria-hidden": "true", class: "sign"});
    const words = el("span", {});
    const start = el("button", {type: "button", class: "worded strong", id: "play", on: {click: play}}, sign, words);
    const speeds = SPEEDS.map(([speed, sign_, name]) => button(sign_, () => {
      player.setSpeed(speed);
      nameControls();
    }, {class: "worded", "data-speed": speed, "aria-label": name, title: name}));
    const step = (sign_, name, by) =>
      button(sign_, () => moveTo(view.page + by), {class: "worded step", "aria-label": name, title: name});
    find("controls").append(
      el("div", {class: "group"}, start, el("span", {class: "speeds", role: "group", "aria-label": "speed"}, speeds)),
      el("div", {class: "group"}, step("\u2039", "back a stroke", -1), step("\u203a", "on a stroke", 1)));
    find("try").addEventListener("click", enterAttempt);
    find("print").addEventListener("click", () => window.print());
    return {sign, words, speeds};
  }

  function nameControls() {
    const playing = player.playing;
    controls.sign.replaceChildren(svgEl("path", {d: playing ? "M1 1h10v10h-10z" : "M1 0l11 6l-11 6z"}));
    controls.words.textContent = playing ? "stop" : "play as solved";
    controls.speeds.forEach((each) => each.setAttribute("aria-pressed", String(Number(each.dataset.speed) === player.speed)));
    find("try").textContent = attempt.begun ? "back to your own try" : "try the puzzle first";
    find("try").hidden = view.attempt;
    const stroke = view.page ? story.strokes[view.page - 1] : null;
    const when = stroke ? `${known[view.page - 1] ? clockWords(times[view.page - 1]) : "time unknown"} · ` : "";
    find("stroke").textContent = view.attempt ? "" : `${when}${stroke ? stroke.label : "before the first stroke"}`;
  }

  // Trying the puzzle first

  function enterAttempt() {
    player.stop();
    view.attempt = true;
    board.reserve([]);
    document.body.classList.add("trying");
    attempt.enter();
    nameControls();
    find("bench").scrollIntoView({block: "start", behavior: calm() ? "auto" : "smooth"});
  }

  function leaveAttempt() {
    if (!view.attempt) return;
    view.attempt = false;
    board.reserve(pages.at(-1) ?? []);
    document.body.classList.remove("trying");
    attempt.leave();
    showScene(view.scene);
  }

  // Following the reader

  function goTo(index) {
    leaveAttempt();
    const nearest = Math.min(index, cards.readable() - 1);
    showScene(nearest);
    view.held = true;
    cards.all[nearest].element.scrollIntoView({block: "center", behavior: calm() ? "auto" : "smooth"});
  }

  function follow() {
    if (view.attempt || player.playing || view.held) return;
    const beside = getComputedStyle(find("desk")).display === "grid";
    const top = beside ? 0 : Math.max(0, find("bench").getBoundingClientRect().bottom);
    const span = innerHeight - top;
    const below = document.documentElement.scrollHeight - innerHeight - scrollY;
    // at both ends of the page the line of reading moves to that end, so that the first card and the last have their turn
    const line = top + span * Math.max(Math.min(0.4, 0.1 + scrollY / span), 0.95 - below / span);
    const visible = cards.all.slice(0, cards.readable());
    let index = visible.findIndex(({element}) => element.getBoundingClientRect().bottom > line);
    if (index < 0) index = visible.length - 1;
    if (index !== view.scene) showScene(index);
  }

  function listen() {
    let asked = 0;
    addEventListener("scroll", () => {
      cancelAnimationFrame(asked);
      asked = requestAnimationFrame(follow);
    }, {passive: true});
    // a scroll that the page itself began does not move the scene on; one of the reader's does
    for (const own of ["wheel", "touchmove", "pointerdown", "keydown"]) {
      addEventListener(own, () => {
        view.held = false;
      }, {passive: true, capture: true});
    }
    addEventListener("keydown", (event) => {
      if (view.attempt && event.key === "p" && !event.ctrlKey && !event.metaKey) attempt.swap();
    });
    const paper = () => printInto(find("printed"), story, pages, way);
    addEventListener("beforeprint", paper);
    matchMedia("print").addEventListener("change", (event) => event.matches && paper());
  }

  // What follows the scenes

  function closing() {
    find("techniques").hidden = !story.techniques.length;
    find("techniques").append(el("h2", {text: "The techniques, in a few words"}),
      el("dl", {}, story.techniques.map((each) => el("div", {}, el("dt", {text: each.name}), el("dd", {text: each.teaches})))));
    find("findings").append(el("h2", {text: "What else there was to find"}),
      el("ul", {}, story.findings.map((each) => el("li", {text: each}))));
    find("findings").hidden = story.findings.length === 0 || cards.readable() < cards.all.length;
    const lines = [["Source", story.source], ["Credit", story.credit], ["Permission", story.permission]];
    find("rights").append(...lines.filter(([, words]) => words).map(([name, words]) => el("p", {text: `${name}: ${words}`})));
  }
}
