// Writing the merged log: into this solve, which can be taken back, or as a new one; and what is said when it is refused.

import {ask, Refusal, say, showState} from "./asking.js";
import {button, el} from "./board/elements.js";

const notice = /** @type {HTMLElement} */ (document.getElementById("notice"));

/**
 * @typedef {{key: string, other: string, asked: () => any, anew: () => Promise<void>, picks: import("./compare-picks.js").Picks}} Work
 *            `asked` is what the desk is told of the merge; `anew` lays the logs side by side again
 */

/** @param {Work} work */
export function createWriting({key, other, asked, anew, picks}) {
  /** @type {{revision: number, picks: ReturnType<typeof picks.snapshot>} | null} */
  let written = null;
  let busy = false;

  /** @param {() => Promise<void>} act */
  async function once(act) {
    if (busy) return;
    busy = true;
    say("");
    try {
      await act();
    } catch (fault) {
      refused(fault);
    } finally {
      busy = false;
    }
  }

  /** @param {"this" | "new"} into */
  function write(into) {
    return once(async () => {
      const before = picks.snapshot();
      const made = await ask(`/solve/${key}/compare/${other}/write`, {...asked(), into});
      if (into === "new") {
        tell("It is written as a new solve: ", link(`/solve/${made.key}/logging`, `${made.strokes} strokes`));
        return;
      }
      written = {revision: made.revision, picks: before};
      picks.restore(new Map());
      await anew();
      showState(`saved, ${made.strokes} strokes`);
      tell("It is written into this log. ", link(`/solve/${key}/logging`, "Go on logging"), " ", button("Take it back", takeBack));
    });
  }

  function takeBack() {
    const last = written;
    if (!last) return Promise.resolve();
    return once(async () => {
      const {revision} = await ask(`/solve/${key}/change?have=${last.revision}`);
      if (revision !== last.revision) {
        tell("The log was changed since. What was merged can be taken back where it is logged. ", link(`/solve/${key}/logging`, "Go there"));
        return;
      }
      await ask(`/solve/${key}/edit`, {edit: "undo", have: last.revision});
      written = null;
      picks.restore(last.picks);
      await anew();
      showState("taken back");
      tell("It is taken back; your picks are as they were.");
    });
  }

  /** @param {unknown} fault */
  function refused(fault) {
    if (!(fault instanceof Refusal) || fault.status !== 409) {
      say(fault instanceof Error ? fault.message : String(fault));
      return;
    }
    const {was, theirs, ours} = fault.body;
    tell(el("strong", {text: `Not written: ${was} was changed meanwhile.`}),
      el("dl", {class: "clash"}, el("dt", {text: "now there"}), el("dd", {text: theirs}), el("dt", {text: "yours"}), el("dd", {text: ours})),
      againButton());
    notice.classList.add("is-refused");
  }

  function againButton() {
    return button("Lay them side by side anew, with your picks", () => once(async () => {
      tell();
      await anew();
    }), {class: "boxed"});
  }

  return {
    write,
    takeBack,
    get busy() {
      return busy;
    },
    /** This log was changed somewhere else. */
    changed() {
      if (!busy) tell("This log was changed somewhere else. ", againButton());
    },
  };
}

/** Say something with ways to go on; nothing takes it away. @param {...any} parts */
function tell(...parts) {
  notice.replaceChildren(...parts);
  notice.hidden = !parts.length;
  notice.classList.remove("is-refused");
}

/** @param {string} href @param {string} words */
function link(href, words) {
  return el("a", {href, text: words});
}
