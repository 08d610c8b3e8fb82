// A text of the plan that is edited in place: it grows, is kept while it is written, and shows both versions of a clash.

import {button, el} from "./board/elements.js";

const KEEP_MS = 500;
let visits = 0;

/**
 * A field for one text. `where` says whose it is, as an edit names it ({segment} or {pause}, or nothing for the plan);
 * `single` texts have no line breaks. `read` turns what was typed into the value that is kept, `shown` the reverse.
 * @template T
 * @param {import("./lesson-store.js").Store} store
 * @param {{where: Record<string, string>, field: string, label: string, single?: boolean, className?: string,
 *          placeholder?: string, read?: (text: string) => T, shown?: (value: T) => string}} how
 */
export function createField(store, how) {
  const read = how.read ?? ((text) => /** @type {any} */ (text));
  const shown = how.shown ?? ((value) => String(value ?? ""));
  const input = el("textarea", {rows: 1, class: `text ${how.className ?? ""}`, "aria-label": how.label, spellcheck: "true",
    placeholder: how.placeholder});
  const grow = el("div", {class: "grow"}, input);
  const back = button("as the program says", leave, {class: "back", hidden: true, "aria-label": `${how.label}: as the program says`});
  const clash = el("div", {class: "clash", role: "group", hidden: true});
  const element = el("div", {class: `field ${how.className ?? ""}`}, grow, back, clash);
  /** @type {T} */
  let base = read("");
  let dirty = false;
  /** on its way to the server, with what was typed left alone until it has answered */
  let sent = false;
  let timer = 0;
  let visit = "";

  input.addEventListener("focus", () => {
    visits += 1;
    visit = `${how.field} ${visits}`;
    delete input.dataset.written;
  });
  input.addEventListener("input", () => {
    if (how.single && input.value.includes("\n")) input.value = input.value.replaceAll("\n", " ");
    input.dataset.written = "";
    setDirty(true);
    store.touched();
    fit();
    clearTimeout(timer);
    if (clash.hidden) timer = window.setTimeout(keep, KEEP_MS);
  });
  input.addEventListener("blur", () => dirty && keep());
  input.addEventListener("keydown", (event) => {
    if (event.key === "Enter" && how.single && !event.isComposing) event.preventDefault();
  });

  /** @param {boolean} is */
  function setDirty(is) {
    dirty = is;
    element.classList.toggle("is-dirty", is);
  }

  function fit() {
    grow.dataset.text = input.value;
  }

  /** Send what was written, if that is something else than what the server has. */
  function keep() {
    clearTimeout(timer);
    if (!dirty || !clash.hidden) return Promise.resolve();
    return store.send(() => {
      const now = read(input.value);
      if (!dirty || same(now, base)) {
        setDirty(false);
        return null;
      }
      const was = base;
      base = now;
      setDirty(false);
      sent = true;
      return {edit: "write", ...how.where, field: how.field, was, now, visit};
    }, {onClash: (fault) => showClash(fault.body)}).then((made) => {
      sent = false;
      if (made === null && clash.hidden) setDirty(true);
      if (made !== null && !dirty) put(base);
    });
  }

  function leave() {
    return keep().then(() => store.send({edit: "leave", ...how.where, field: how.field}));
  }

  /** @param {{theirs: string, ours: string}} body */
  function showClash(body) {
    const close = () => {
      clash.hidden = true;
      input.focus();
    };
    clash.setAttribute("aria-label", `${how.label} was changed in another place meanwhile`);
    clash.replaceChildren(
      el("p", {class: "small", text: "This was changed in another place meanwhile. Nothing of either is lost yet."}),
      el("p", {class: "label", text: "there"}), el("blockquote", {text: body.theirs || "nothing"}),
      el("p", {class: "label", text: "here"}), el("blockquote", {text: body.ours || "nothing"}),
      el("p", {class: "small"},
        button("keep this one here", () => {
          close();
          setDirty(true);
          keep();
        }, {class: "boxed"}),
        button("take the one from there", () => {
          close();
          setDirty(false);
          put(base);
        }, {class: "plain"})));
    clash.hidden = false;
    clash.querySelector("button")?.focus();
  }

  /** @param {T} value */
  function put(value) {
    const text = shown(value);
    if (input.value === text) return;
    const at = [input.selectionStart, input.selectionEnd];
    input.value = text;
    if (document.activeElement === input) input.setSelectionRange(at[0], at[1]);
    fit();
  }

  return {
    element,
    input,
    keep,
    /** Whether something is written that the server does not have yet. */
    get dirty() {
      return dirty;
    },
    /** Show what the server has; what is being written stays. @param {T} value @param {boolean} [mine] the teacher's own */
    update(value, mine = false) {
      back.hidden = !mine;
      element.classList.toggle("mine", mine);
      base = value;
      if (!dirty && !sent && clash.hidden) put(value);
      fit();
    },
  };
}

/** @param {unknown} one @param {unknown} two */
function same(one, two) {
  return JSON.stringify(one) === JSON.stringify(two);
}

/** `1:04` of milliseconds, `1:02:03` from an hour on. @param {number} ms */
export function minutes(ms) {
  const seconds = Math.round(ms / 1000);
  const [hours, rest] = [Math.floor(seconds / 3600), seconds % 3600];
  const tail = `${Math.floor(rest / 60)}:${String(rest % 60).padStart(2, "0")}`;
  return hours ? `${hours}:${tail.padStart(5, "0")}` : tail;
}
