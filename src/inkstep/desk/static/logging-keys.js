// The keys of logging, beside those of the film. Digits, arrows and Shift with two digits are no entries of this table: they
// are what the page is made of, and stay as they are.

const STROKE = "a stroke";
const LOG = "the log";
const SHEET = "words";

/** @type {import("./keys.js").Action[]} */
export const loggingActions = [
  {name: "log-other", key: "m", words: "the other meaning: one digit in one cell as a mark, several cells each for itself", group: STROKE, once: true},
  {name: "log-border", key: "b", words: "across the border", group: STROKE, once: true},
  {name: "log-line", key: "v", words: "of the row or column, not of the box", group: STROKE, once: true},
  {name: "log-strike", key: "x", words: "cross out: the newest mark here, or the digits typed next", group: STROKE, once: true},
  {name: "log-keep", key: "k", words: "keep this cell selected and move on", group: STROKE, once: true},
  {name: "log-before", key: "p", words: "put the next stroke before this one", group: STROKE, once: true},
  {name: "log-back", key: "Backspace", words: "the last digit typed away again", group: STROKE},
  {name: "log-undo", key: "z", also: ["Ctrl+z"], words: "undo", group: LOG},
  {name: "log-redo", key: "Shift+z", also: ["Ctrl+Shift+z", "Ctrl+y"], words: "redo", group: LOG},
  {name: "log-previous", key: "PageUp", words: "the stroke before", group: LOG},
  {name: "log-next", key: "PageDown", words: "the stroke after", group: LOG},
  {name: "log-end", key: "e", words: "to the end of the log", group: LOG, once: true},
  {name: "log-list", key: "j", words: "to the list of strokes, or back to the board", group: LOG, once: true},
  {name: "log-repair", key: "r", also: ["Enter"], words: "repair this stroke", group: LOG, once: true},
  {name: "log-now", key: "w", words: "this stroke was made at the film's present frame", group: LOG, once: true},
  {name: "log-frame-earlier", key: "<", words: "this stroke a frame earlier", group: LOG},
  {name: "log-frame-later", key: ">", words: "this stroke a frame later", group: LOG},
  {name: "log-move-up", key: "Shift+PageUp", words: "this stroke earlier in the order", group: LOG},
  {name: "log-move-down", key: "Shift+PageDown", words: "this stroke later in the order", group: LOG},
  {name: "log-out", key: "Delete", words: "take the chosen stroke out of the log", group: LOG, once: true},
  {name: "log-note", key: "n", words: "a note", group: SHEET, once: true},
  {name: "log-comment", key: "c", words: "a comment on this stroke", group: SHEET, once: true},
  {name: "log-typed", key: "/", words: "a stroke typed as a sheet has it", group: SHEET, once: true},
  {name: "log-head", key: "h", words: "about this solve", group: SHEET, once: true},
  {name: "log-cue", key: "g", words: "suggestions on, off", group: "suggestions", once: true},
  ...[1, 2, 3, 4, 5].map((number) => ({name: `log-cue-${number}`, key: `Alt+${number}`, words: `take suggestion ${number}`, group: "suggestions", once: true})),
];

/** @type {import("./keys.js").Fixed[]} */
export const loggingHand = [
  {keys: ["1", "…", "9"], words: "write: one digit in one cell is the digit, anything else a mark; more digits type the same stroke on"},
  {keys: ["←", "↑", "→", "↓"], words: "go from cell to cell, and over the edge to the places outside the frame"},
  {keys: ["⇧", "←"], words: "select more cells; or Shift with a click, or drag; Ctrl with a click for separate ones"},
  {keys: ["⇧", "5", "7"], words: "go to row 5, column 7"},
  {keys: ["Ctrl", "↑"], words: "the ink of this stroke lies above the frame; likewise below, left and right"},
  {keys: ["Esc"], words: "the stroke is done; nothing special for the next"},
];
