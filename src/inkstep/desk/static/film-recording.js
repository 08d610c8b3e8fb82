// Which recording is shown: the one that was named, a file picked in the page, the choice of one, or none.

import {el} from "/static/board/elements.js";
import {createChoice} from "./film-choice.js";
import {sourceOfFile, sourceOfPath, whyNot} from "./film-source.js";

/** @typedef {import("./film-source.js").Source} Source */
/** @typedef {import("./film-source.js").Facts} Facts */

/**
 * @param {object} with_
 * @param {string} with_.key
 * @param {ReturnType<typeof import("./film-source.js").createKeeping>} with_.keeping
 * @param {HTMLVideoElement} with_.video
 * @param {HTMLElement} with_.stage where the choice lies
 * @param {HTMLElement[]} with_.parts what is seen of a film, the stage among it
 * @param {HTMLElement} with_.none what is seen without one
 * @param {(sentence: string) => void} with_.say
 * @param {(source: Source) => void} with_.begin a film is about to be loaded
 * @param {(watching: any) => void} with_.restore it is: watch it as it was watched last
 */
export function createRecording({key, keeping, video, stage, parts, none, say, begin, restore}) {
  const choice = createChoice({path: named, pick: picked, memory, close: showFilm});
  const notice = el("div", {class: "film-notice", hidden: true}, choice.element);
  stage.append(notice);
  /** @type {Source | null} */
  let source = null;
  let path = "";
  /** @type {any} */
  let watching = {};

  /** Ask the desk what it keeps, and show it. */
  async function find() {
    try {
      const facts = await keeping.facts();
      ({path, watching} = facts);
      if (facts.there) load(sourceOfPath(key, facts));
      else if (watching.memory && !path) showNone();
      else if (facts.trouble) ask("The recording is not at hand", facts.trouble);
      else ask(watching.picked ? "The recording was picked from a file" : "Where is the recording?");
    } catch (fault) {
      ask("Where is the recording?", said(fault));
    }
  }

  /** @param {Source} found */
  function load(found) {
    if (source?.picked) URL.revokeObjectURL(source.address);
    source = found;
    begin(found);
    video.src = found.address;
    showFilm();
  }

  function showFilm() {
    for (const part of parts) part.hidden = false;
    none.hidden = true;
    notice.hidden = true;
  }

  function showNone() {
    for (const part of parts) part.hidden = true;
    none.hidden = false;
    notice.hidden = true;
    if (source) video.removeAttribute("src");
    source = null;
  }

  /** @param {string} title @param {string} [trouble] @param {boolean} [closable] */
  function ask(title, trouble = "", closable = false) {
    for (const part of parts) part.hidden = part !== stage;
    none.hidden = true;
    notice.hidden = false;
    choice.show({title, path, trouble, picked: trouble ? null : watching.picked ?? null, closable});
  }

  function choose() {
    ask("Which recording?", "", source !== null && !video.error);
    choice.focus();
  }

  /** @param {string} typed */
  async function named(typed) {
    const facts = await keeping.name(typed);
    ({path, watching} = facts);
    load(sourceOfPath(key, facts));
  }

  /** @param {File} file */
  async function picked(file) {
    const was = watching.picked;
    const found = await sourceOfFile(file);
    try {
      ({path, watching} = await keeping.pick(file));
    } catch (fault) {
      say(said(fault));
    }
    if (was && (was.name !== file.name || was.size !== file.size)) say(`This is another file than last time; that was ${was.name}.`);
    load(found);
  }

  async function memory() {
    showNone();
    path = "";
    await keeping.memory().catch((fault) => say(said(fault)));
  }

  async function failed() {
    const tried = source;
    if (!tried) return;
    const sentence = await whyNot(tried, keeping.facts);
    if (tried === source) ask("The recording cannot be played", sentence);
  }

  video.addEventListener("error", failed);
  video.addEventListener("loadedmetadata", () => {
    if (!video.videoWidth) void failed();
  });
  video.addEventListener("loadeddata", () => source && restore(watching));

  return {find, choose, open: () => source !== null && notice.hidden};
}

/** @param {unknown} fault */
const said = (fault) => (fault instanceof Error ? fault.message : String(fault));
