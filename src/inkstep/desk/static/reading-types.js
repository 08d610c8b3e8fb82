// What the reading page's data look like (desk/reading.py and desk/reading_summary.py make them).

/** @typedef {{text: string, role?: string}} Run */

/** @typedef {{technique: string, words: string}} Held */

/**
 * Something that can be looked at: its words, and its evidence to draw on page `page` (as it stands where that is missing).
 * @typedef {object} Argued
 * @property {string} line
 * @property {string} technique
 * @property {Run[]} words
 * @property {Held[]} held
 * @property {number} effort
 * @property {string} looks
 * @property {import("../../press/page/evidence.js").Evidence} evidence
 * @property {number} [page]
 * @property {string} [name] of an argument for the stroke: by it the argument is picked
 * @property {string} [reason] of a chance: why
 * @property {boolean} [near] of a chance: whether it lay open as the chance map counts
 * @property {[number, number]} [goal] of a chance: its cell and digit
 * @property {number | null} [open_ms] of a chance: for how long it had lain open, where that was long
 * @property {number | null} [taken] of a chance: the stroke that wrote it later
 * @property {number | null} [taken_ms] and how much later
 */

/** @typedef {{n: number, words: string}} Named a stroke in a few words */

/**
 * One stroke.
 * @typedef {object} Reading
 * @property {number} n
 * @property {number} id
 * @property {number} revision
 * @property {number | null} at_ms
 * @property {number | null} wait_ms
 * @property {string} kind
 * @property {string} label
 * @property {string} title
 * @property {number} page
 * @property {import("../../press/page/evidence.js").Evidence} evidence
 * @property {{name: string, words: string}} verdict
 * @property {Run[]} words
 * @property {string} program what the program says, as plain text
 * @property {{argument: string, words: string}} choice
 * @property {boolean} unmet
 * @property {Argued | null} argument
 * @property {Argued[]} runners_up
 * @property {Argued[]} instead
 * @property {string[]} readings
 * @property {string} comment
 * @property {Named[]} marks_used
 * @property {Named[]} used_by
 * @property {number} open
 * @property {Argued[]} chances
 * @property {number} more_chances
 */

/**
 * A stroke in the summary; `rank` says which of the digits that lay open it wrote, 1 for the nearest.
 * @typedef {object} Row
 * @property {number} n
 * @property {number} id
 * @property {string} kind
 * @property {string} label
 * @property {number | null} at_ms
 * @property {number | null} wait_ms
 * @property {string} verdict
 * @property {number | null} effort
 * @property {number} open
 * @property {number | null} rank
 * @property {boolean} chosen
 */

/** @typedef {{words: string, stroke: number, goal?: [number, number]}} Item */

/**
 * The whole solve.
 * @typedef {object} Study
 * @property {boolean} ready
 * @property {number} revision
 * @property {number} [share] how much of the review is made, where it is not ready
 * @property {number} effort
 * @property {string | null} hardest
 * @property {number} heaviest
 * @property {Row[]} strokes
 * @property {{before: number, question: string}[]} pauses
 * @property {{before: number, from_ms: number, ms: number}[]} waits
 * @property {{name: string, first: number, last: number, ms: number | null}[]} phases
 * @property {string[]} overview
 * @property {{kind: string, title: string, items: Item[]}[]} findings
 * @property {Named[]} unmet
 */

export {};
