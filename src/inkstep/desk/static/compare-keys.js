// The keys of two logs side by side: for createKeys.

const ROWS = "from row to row";
const PICKS = "what goes into the merged log";
const WHOLE = "the two logs";

/** @type {import("./keys.js").Action[]} */
export const compareActions = [
  {name: "compare-down", key: "ArrowDown", also: ["j"], words: "the next row", group: ROWS},
  {name: "compare-up", key: "ArrowUp", also: ["k"], words: "the row before", group: ROWS},
  {name: "compare-ten-down", key: "PageDown", words: "ten rows on", group: ROWS},
  {name: "compare-ten-up", key: "PageUp", words: "ten rows back", group: ROWS},
  {name: "compare-first", key: "Home", words: "the first row", group: ROWS, once: true},
  {name: "compare-last", key: "End", words: "the last row", group: ROWS, once: true},
  {name: "compare-next", key: "n", words: "the next difference", group: ROWS},
  {name: "compare-back", key: "p", words: "the difference before", group: ROWS},
  {name: "compare-open-next", key: "u", words: "the next undecided difference", group: ROWS},
  {name: "compare-ours", key: "ArrowLeft", also: ["o"], words: "as ours has it, and on to the next", group: PICKS, once: true},
  {name: "compare-theirs", key: "ArrowRight", also: ["t"], words: "as theirs has it, and on to the next", group: PICKS, once: true},
  {name: "compare-both", key: "b", words: "both, and on to the next", group: PICKS, once: true},
  {name: "compare-neither", key: "x", words: "neither, and on to the next", group: PICKS, once: true},
  {name: "compare-rest-ours", key: "Shift+ArrowLeft", words: "all that is undecided as ours has it", group: PICKS, once: true},
  {name: "compare-rest-theirs", key: "Shift+ArrowRight", words: "all that is undecided as theirs has it", group: PICKS, once: true},
  {name: "compare-leave", key: "Backspace", words: "undecided again", group: PICKS, once: true},
  {name: "compare-only", key: "f", words: "differences only, all rows", group: WHOLE, once: true},
  {name: "compare-clock", key: "c", words: "take out the difference of the clocks, or leave it", group: WHOLE, once: true},
  {name: "compare-write", key: "Ctrl+Enter", words: "write it into this log", group: WHOLE, once: true},
  {name: "compare-new", key: "Ctrl+Shift+Enter", words: "write it as a new solve", group: WHOLE, once: true},
  {name: "compare-undo", key: "z", also: ["Ctrl+z"], words: "take back the last pick, or what was written", group: PICKS, once: true},
];
