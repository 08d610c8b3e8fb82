// Where the two logs come from: the desk's answer for another solve, or for the text of a file that this tab keeps.

import {ask, Refusal} from "./asking.js";
import {fileName, tabStore} from "./compare-picks.js";

/** @typedef {import("./compare-types.js").Sent} Sent */

/**
 * @param {string} key
 * @param {string} other
 * @param {boolean} file
 */
export function createSource(key, other, file) {
  /** @type {{name: string, text: string, damage: string[]} | null} */
  const kept = file ? tabStore.read(fileName(key)) : null;

  /** Both logs as they stand now; `clock` as the desk takes it. @param {string} clock @returns {Promise<Sent>} */
  async function sent(clock) {
    if (!file) return ask(`/solve/${key}/compare/${other}/rows?clock=${clock}`);
    if (!kept) throw new Error("The file is not at hand any more. Choose it again under “another log”.");
    const name = encodeURIComponent(`${kept.name}.sheet`);
    return sendFile(`/solve/${key}/compare/file/rows?clock=${clock}&name=${name}`, kept.text);
  }

  return {
    sent,
    /** What the desk needs to find the other log again. @param {Sent} shown */
    beside: (shown) => (kept ? {text: kept.text, name: kept.name} : {other_have: shown.theirs.revision}),
    /** @param {Sent} shown */
    title: (shown) => kept?.name ?? shown.theirs.title,
    damage: kept?.damage ?? [],
  };
}

/** The desk's answer to a file sent as it is. @param {string} path @param {BodyInit} body @returns {Promise<any>} */
export async function sendFile(path, body) {
  let answer;
  try {
    answer = await fetch(path, {method: "POST", body, headers: {accept: "application/json", "content-type": "application/octet-stream"}});
  } catch {
    throw new Refusal("The file could not be read, or the desk does not answer.", 0, {});
  }
  const said = answer.headers.get("content-type")?.includes("json") ? await answer.json() : {error: await answer.text()};
  if (!answer.ok) throw new Refusal(said.error || "The desk could not do that.", answer.status, said);
  return said;
}
