// What is needed for building the page. Words from the story only ever become text nodes.

const SVG = "http://www.w3.org/2000/svg";

/**
 * An element with attributes; `on` holds listeners by event, `text` becomes its words, false and null leave out.
 * @returns {any} an HTMLElement of that tag
 */
export function el(tag, attributes = {}, ...children) {
  const element = document.createElement(tag);
  dress(element, attributes);
  element.append(...children.flat().filter((child) => child !== null && child !== false && child !== ""));
  return element;
}

/** An element of SVG. @returns {SVGElement} */
export function svgEl(tag, attributes = {}, ...children) {
  const element = document.createElementNS(SVG, tag);
  dress(element, attributes);
  element.append(...children);
  return element;
}

function dress(element, attributes) {
  for (const [name, value] of Object.entries(attributes)) {
    if (value === null || value === false || value === undefined) continue;
    if (name === "text") element.textContent = value;
    else if (name === "on") Object.entries(value).forEach(([event, act]) => element.addEventListener(event, act));
    else element.setAttribute(name, value === true ? "" : String(value));
  }
}

/** A button that is set like words, or in a box. */
export function button(words, act, attributes = {}) {
  return el("button", {type: "button", text: words, on: {click: act}, ...attributes});
}

/** Runs of words, each in the colour of its role; a role also makes its words bold, so colour is not alone. */
export function wordsOf(runs) {
  return runs.map((run) => (run.role ? el("strong", {class: `role-${run.role}`, text: run.text}) : run.text));
}

/** Whether the reader asked for little movement. */
export function calm() {
  return matchMedia("(prefers-reduced-motion: reduce)").matches;
}

/** A store that may be missing (a page opened from disk, private windows): then nothing is kept. */
export const kept = {
  read(key) {
    try {
      return JSON.parse(localStorage.getItem(key) ?? "null");
    } catch {
      return null;
    }
  },
  write(key, value) {
    try {
      localStorage.setItem(key, JSON.stringify(value));
      return true;
    } catch {
      return false;
    }
  },
};
