// A new solve: what is typed is looked at while it is typed, and kept until the solve is begun.

import {ask, say} from "./asking.js";
import {el, kept} from "./board/elements.js";

const REST_MS = 250;
const DRAFT = "inkstep-new-solve";

/** The dialog of a new solve. */
export function openNew() {
  const dialog = /** @type {HTMLDialogElement} */ (document.getElementById("new-solve"));
  const form = /** @type {HTMLFormElement} */ (document.getElementById("new-form"));
  const said = /** @type {HTMLElement} */ (document.getElementById("new-said"));
  const picture = /** @type {HTMLElement} */ (document.getElementById("new-picture"));
  const anyway = /** @type {HTMLButtonElement} */ (document.getElementById("new-anyway"));
  const puzzle = /** @type {HTMLTextAreaElement} */ (form.elements.namedItem("puzzle"));
  let resting = 0;
  let looks = 0;

  for (const [name, value] of Object.entries(kept.read(DRAFT) ?? {})) {
    const field = form.elements.namedItem(name);
    if (field instanceof HTMLInputElement || field instanceof HTMLTextAreaElement) field.value = String(value);
  }

  function open() {
    say("");
    dialog.showModal();
    puzzle.focus();
    look();
  }

  function typed() {
    return Object.fromEntries([...new FormData(form)].map(([name, value]) => [name, String(value)]));
  }

  /** Ask what the text is as a puzzle, and show the answer unless more was typed meanwhile. */
  async function look() {
    const number = ++looks;
    if (!puzzle.value.trim()) return show({line: null, problems: []});
    try {
      const answer = await ask("/shelf/puzzle", {text: puzzle.value});
      if (number === looks) show(answer);
    } catch (fault) {
      if (number === looks) show({line: null, problems: [fault instanceof Error ? fault.message : String(fault)]});
    }
  }

  /** @param {{line: string | null, problems: string[], givens?: number, picture?: string, twins?: number}} found */
  function show(found) {
    const {line, problems, givens, twins} = found;
    const good = line !== null && !problems.length;
    said.replaceChildren(
      ...problems.map((problem) => el("p", {class: "problem small", text: problem})),
      ...(good ? [el("p", {class: "sound small", text: `Sound: ${givens} givens, exactly one solution.`})] : []),
      ...(twins ? [el("p", {class: "small"}, twinWords(twins), el("a", {href: `/?q=${line}`, text: "look at them"}))] : []),
    );
    const drawn = found.picture ? new DOMParser().parseFromString(found.picture, "text/html").body.childNodes : [];
    picture.replaceChildren(...drawn);
    anyway.hidden = !(line !== null && problems.length);
  }

  /** @param {number} twins */
  function twinWords(twins) {
    return `The shelf has ${twins === 1 ? "a solve" : `${twins} solves`} of the same puzzle: `;
  }

  /** @param {boolean} all */
  async function begin(all) {
    try {
      const {key} = await ask("/shelf/new", {...typed(), anyway: all});
      kept.write(DRAFT, {});
      location.assign(`/solve/${key}/logging`);
    } catch (fault) {
      await look();
      if (!said.childElementCount) said.append(el("p", {class: "problem small", text: fault instanceof Error ? fault.message : String(fault)}));
      puzzle.focus();
    }
  }

  form.addEventListener("input", (event) => {
    kept.write(DRAFT, typed());
    if (event.target !== puzzle) return;
    clearTimeout(resting);
    resting = setTimeout(look, REST_MS);
  });
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    begin(false);
  });
  form.addEventListener("keydown", (event) => {
    if (event.key === "Enter" && event.ctrlKey) form.requestSubmit();
  });
  anyway.addEventListener("click", () => begin(true));
  document.getElementById("new-close")?.addEventListener("click", () => dialog.close());
  document.getElementById("new")?.addEventListener("click", open);
  return {open};
}
