// The list of strokes: time, action, words. Only the rows that changed are made anew.

import {el} from "./board/elements.js";

/** @typedef {import("./logging-store.js").Row} Row */

/** `0:34.700`; a dash for a time that is not known. @param {number | null} ms */
export function timeWords(ms) {
  if (ms === null) return "–";
  const [seconds, rest] = [Math.floor(ms / 1000), ms % 1000];
  const [hours, minutes] = [Math.floor(seconds / 3600), Math.floor(seconds / 60) % 60];
  const two = (/** @type {number} */ value) => String(value).padStart(2, "0");
  return `${hours ? `${hours}:${two(minutes)}` : minutes}:${two(seconds % 60)}.${String(rest).padStart(3, "0")}`;
}

/**
 * @param {HTMLElement} host
 * @param {{onChoose: (id: number) => void, onOpen: (id: number) => void, onOut: (id: number) => void, onLeave: () => void}} hear
 */
export function createList(host, {onChoose, onOpen, onOut, onLeave}) {
  /** @type {HTMLElement[]} */
  let rows = [];
  /** @type {number | null} */
  let chosen = null;
  /** @type {number | null} */
  let stop = null;
  /** @type {HTMLElement | null} */
  let seen = null;
  /** @type {HTMLElement | null} */
  let hereRow = null;
  const list = el("div", {class: "strokes", role: "listbox", tabindex: 0, "aria-label": "strokes", on: {keydown: onKey, click: onClick}});
  const empty = el("p", {class: "quiet", text: "No strokes yet. Go to a cell with the arrows, or press it, and type a digit."});
  host.replaceChildren(empty, list);

  /** @param {Row} stroke */
  function rowOf(stroke) {
    const time = stroke.at_ms === null ? "no time" : timeWords(stroke.at_ms);
    return el("div", {role: "option", class: `stroke stroke-${stroke.kind}`, tabindex: -1, "data-id": stroke.id, "aria-selected": "false",
      "aria-label": [time, stroke.action, stroke.comment].filter(Boolean).join(", ")},
    el("span", {class: "stroke-time mono", text: timeWords(stroke.at_ms)}), el("span", {class: "stroke-action mono", text: stroke.action}),
    el("span", {class: "stroke-words small", text: stroke.comment.split("\n")[0]}));
  }

  /** @param {KeyboardEvent} event */
  function onKey(event) {
    if (event.ctrlKey || event.altKey || event.metaKey || event.shiftKey) return;
    const at = rows.findIndex((row) => idOf(row) === chosen);
    const to = {ArrowDown: Math.min(at + 1, rows.length - 1), ArrowUp: at < 0 ? rows.length - 1 : Math.max(at - 1, 0), Home: 0, End: rows.length - 1}[event.key];
    if (to !== undefined && rows.length) choose(idOf(rows[to]), true);
    else if (event.key === "Enter" && chosen !== null) onOpen(chosen);
    else if (event.key === "Delete" && chosen !== null) onOut(chosen);
    else if (event.key === "Escape") onLeave();
    else return;
    event.preventDefault();
    event.stopPropagation();
  }

  /** @param {Event} event */
  function onClick(event) {
    const row = /** @type {Element} */ (event.target).closest("[data-id]");
    if (row) choose(idOf(row), true);
  }

  /** @param {number} id @param {boolean} [tell] */
  function choose(id, tell = false) {
    mark(id);
    if (tell) {
      rows.find((row) => idOf(row) === id)?.focus({preventScroll: true});
      onChoose(id);
    }
  }

  /** @param {number | null} id */
  function mark(id) {
    const [before, now] = [chosen, id].map((each) => rows.find((row) => idOf(row) === each));
    before?.setAttribute("aria-selected", "false");
    now?.setAttribute("aria-selected", "true");
    chosen = now ? id : null;
    setStop(now ?? rows[rows.length - 1]);
    seen = now ?? seen;
  }

  /** The one row that Tab reaches. @param {HTMLElement | undefined} row */
  function setStop(row) {
    rows.find((each) => idOf(each) === stop)?.setAttribute("tabindex", "-1");
    row?.setAttribute("tabindex", "0");
    stop = row ? idOf(row) : null;
    list.setAttribute("tabindex", row ? "-1" : "0");
  }

  /** @param {HTMLElement} row */
  function reveal(row) {
    const [top, bottom] = [row.offsetTop, row.offsetTop + row.offsetHeight];
    if (top < list.scrollTop) list.scrollTop = top;
    else if (bottom > list.scrollTop + list.clientHeight) list.scrollTop = bottom - list.clientHeight;
  }

  return {
    element: list,
    /** The strokes from an index on have changed. @param {Row[]} strokes @param {number} from */
    show(strokes, from) {
      for (const row of rows.slice(from)) row.remove();
      const made = strokes.slice(from).map(rowOf);
      rows = [...rows.slice(0, from), ...made];
      list.append(...made);
      empty.hidden = rows.length > 0;
      mark(rows.some((row) => idOf(row) === chosen) ? chosen : null);
    },
    mark,
    /** Let a row be seen at the next `settle`, chosen or not. @param {number} index */
    reveal(index) {
      seen = rows[index] ?? null;
    },
    /** Scroll to what is to be seen: once a drawing, as it makes the browser lay out the page. */
    settle() {
      if (seen?.isConnected) reveal(seen);
      seen = null;
    },
    /** Where the page that is shown ends. @param {number} count how many strokes are on it */
    here(count) {
      const row = count < rows.length ? rows[count - 1] ?? null : null;
      if (row !== hereRow) {
        hereRow?.classList.remove("is-here");
        row?.classList.add("is-here");
        hereRow = row;
      }
      list.classList.toggle("before-all", count === 0 && rows.length > 0);
    },
    /** Which strokes are doubted. @param {(id: number) => boolean} isDoubted @param {number} from */
    doubt(isDoubted, from) {
      for (const row of rows.slice(from)) row.classList.toggle("is-doubted", isDoubted(idOf(row)));
    },
    focus() {
      (rows.find((row) => idOf(row) === stop) ?? list).focus();
    },
  };
}

/** @param {Element} row */
const idOf = (row) => Number(row.getAttribute("data-id"));
