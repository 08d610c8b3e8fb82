// What the desk sends of two logs that are laid side by side, and what the page makes of it.

/**
 * @typedef {object} Stroke a stroke of one of the logs
 * @property {number} id
 * @property {string} kind
 * @property {number | null} at_ms
 * @property {string} action as a sheet has it
 * @property {string} told in plain words
 * @property {number[]} cells
 * @property {string} comment
 * @property {any[]} add what it does to the ink, as replay.js takes it
 * @property {any[]} change
 */

/**
 * @typedef {{revision: number, title: string, strokes: Stroke[]}} Side
 * @typedef {{ours: number | null, theirs: number | null, sort: "same" | "differs" | "ours" | "theirs", says: string,
 *            late_ms: number | null}} SentRow
 * @typedef {{ours: Side, theirs: Side, rows: SentRow[], summary: string[],
 *            clock: {offset_ms: number | null, taken_out: boolean, words: string}, text?: string, damage?: string[]}} Sent
 */

/**
 * @typedef {object} Row a row of the page
 * @property {number} index
 * @property {Stroke | null} ours
 * @property {Stroke | null} theirs
 * @property {number} oursCount how many strokes of ours stand once the row is made
 * @property {number} theirsCount
 * @property {"same" | "differs" | "ours" | "theirs"} sort
 * @property {string} says
 * @property {string} id the same in every comparison of the two logs
 * @property {string} print what it says, to notice when that was changed
 */

/** @typedef {{ours: boolean, theirs: boolean}} Pick which of the two strokes go into the merged log */

/** The rows of a comparison. @param {Sent} sent @returns {Row[]} */
export function rowsOf(sent) {
  let oursCount = 0;
  let theirsCount = 0;
  return sent.rows.map((row, index) => {
    const ours = row.ours === null ? null : sent.ours.strokes[row.ours];
    const theirs = row.theirs === null ? null : sent.theirs.strokes[row.theirs];
    oursCount += ours ? 1 : 0;
    theirsCount += theirs ? 1 : 0;
    return {index, ours, theirs, oursCount, theirsCount, sort: row.sort, says: row.says,
      id: `${ours?.id ?? ""}/${theirs?.id ?? ""}`, print: `${ours?.action ?? ""}|${theirs?.action ?? ""}`};
  });
}

/** @param {Row} row */
export const differs = (row) => row.sort !== "same";
