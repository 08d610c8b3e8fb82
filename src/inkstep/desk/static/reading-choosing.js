// Choosing for a stroke: another argument, or own words; each is kept, and can be taken back.

import {draft, editorOf} from "./reading-edit.js";

/** @typedef {import("./reading-types.js").Reading} Reading */

/**
 * @param {object} page
 * @param {string} page.key the solve's
 * @param {ReturnType<typeof import("./reading-data.js").createReadings>} page.readings
 * @param {(id: string) => any} page.find an element of the page
 * @param {(words: string) => void} page.tell to those who cannot see
 * @param {(words: string) => void} page.say
 * @param {(fault: unknown) => void} page.refuse
 * @param {(reading: Reading) => void} page.onChosen the stroke as it is told now
 * @param {() => Promise<void>} page.again show the stroke as the desk tells it
 */
export function createChoosing({key, readings, find, tell, say, refuse, onChosen, again}) {
  let editing = false;

  /** @param {Reading} reading @param {{argument?: string, words?: string}} choice @param {string} words said when it is kept */
  async function choose(reading, choice, words) {
    try {
      onChosen(await readings.choose(reading, choice));
      tell(words);
    } catch (fault) {
      await again();
      refuse(fault);
    }
  }

  /** @param {Reading} reading @param {boolean} [focus] */
  function edit(reading, focus = true) {
    if (editing) return;
    editing = true;
    const editor = editorOf(key, reading, {
      say,
      save: (words, was) => readings.choose(reading, {words}, {words: was}),
      saved(found) {
        editing = false;
        onChosen(found);
        tell("Kept.");
        find("edit")?.focus();
      },
      done() {
        editing = false;
        again().then(() => find("edit")?.focus());
      },
    });
    find("own").replaceChildren(editor.element);
    if (focus) editor.focus();
  }

  return {
    edit,
    editing: () => editing,
    /** Another stroke is shown, with its words as they are, or as they were being typed. @param {Reading | null} reading */
    turnTo(reading) {
      editing = false;
      if (reading && draft(key, reading.id) !== null) edit(reading, false);
    },
    /** @param {Reading} reading @param {string} argument its name, or "" for the lightest */
    pick(reading, argument) {
      return choose(reading, {argument}, argument ? "Told by this argument from now on." : "Told by the lightest argument again.");
    },
    /** @param {Reading} reading */
    restore: (reading) => choose(reading, {words: ""}, "Told as the program says again."),
  };
}
