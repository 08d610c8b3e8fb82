// Keys as they are shown.

import {el} from "/static/board/elements.js";
import {partsOf} from "./keys-spelling.js";

/** The signs of a key, one `kbd` each; none for no key. @param {string} spelled @returns {HTMLElement[]} */
export const keyNames = (spelled) => partsOf(spelled).map((part) => el("kbd", {text: part}));

/** A key in words, for names and sentences. @param {string} spelled */
export const keyInWords = (spelled) => partsOf(spelled).join(" ") || "no key";
