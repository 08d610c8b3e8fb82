// The keys of the reading page: for createKeys.

const STROKES = "from stroke to stroke";
const WORDS = "the words of a stroke";

/** @type {import("./keys.js").Action[]} */
export const readingActions = [
  {name: "read-next", key: "j", also: ["ArrowRight", "PageDown"], words: "the next stroke", group: STROKES},
  {name: "read-back", key: "k", also: ["ArrowLeft", "PageUp"], words: "the stroke before", group: STROKES},
  {name: "read-ten-on", key: "Shift+j", words: "ten strokes on", group: STROKES},
  {name: "read-ten-back", key: "Shift+k", words: "ten strokes back", group: STROKES},
  {name: "read-first", key: "Home", words: "before the first stroke", group: STROKES, once: true},
  {name: "read-last", key: "End", words: "the last stroke", group: STROKES, once: true},
  {name: "read-finding", key: "n", words: "the next finding", group: STROKES, once: true},
  {name: "read-finding-back", key: "p", words: "the finding before", group: STROKES, once: true},
  {name: "read-pause", key: "u", words: "the next pause of the lesson", group: STROKES, once: true},
  {name: "read-edit", key: "e", words: "edit the words", group: WORDS, once: true},
  {name: "read-own", key: "Escape", words: "back to the stroke's own evidence", group: WORDS, once: true},
];
