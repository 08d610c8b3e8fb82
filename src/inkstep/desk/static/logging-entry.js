// Typing strokes. The first digit writes the stroke at once; further ones, without moving in between, type it on. What the
// digits mean is decided by the server; here is only what was selected and typed.

/**
 * @typedef {import("./logging-selection.js").Place} Place
 * @typedef {{cells: number[], digits: number[], other: boolean, strike: boolean, note: boolean, text: string,
 *            place: Place | null, house: number | null, at_ms: number | null, comment: string}} Gesture
 * @typedef {{gesture: Gesture, before: number | null, firm: boolean, made: [number, string][] | null, sent: string, trouble: string}} Typing
 *            `firm`: the place in the order was said by the user, whatever the time; `made`: the strokes written so far, with their text; `sent`: the gesture they stand for
 * @typedef {{other: boolean, line: boolean, where: string | null, before: number | null}} Armed what the next stroke will be
 */

const SIDE = 9;

/** @returns {Armed} */
const nothingArmed = () => ({other: false, line: false, where: null, before: null});

/**
 * @param {object} with_
 * @param {import("./logging-store.js").Store} with_.store
 * @param {{add: (job: import("./logging-queue.js").Job) => void}} with_.queue
 * @param {import("./logging-selection.js").Selection} with_.selection
 * @param {{nowMs: () => number | null, touched: () => void, movedOn: () => boolean}} with_.watch the film's moment
 * @param {() => number | null} with_.before the stroke before which new ones without a time go in (null: at the end)
 * @param {() => void} with_.onChange what is typed changed
 * @param {(typing: Typing) => void} with_.onWritten a stroke was written, or typed on
 * @param {(sentence: string) => void} with_.say
 */
export function createEntry({store, queue, selection, watch, before, onChange, onWritten, say}) {
  /** @type {Typing | null} */
  let typing = null;
  let armed = nothingArmed();
  /** @type {Set<Typing>} what was typed and is not known to be written */
  const unsent = new Set();

  /** @param {Partial<Gesture>} said */
  function begin(said) {
    watch.touched();
    const {spot} = selection;
    const outside = spot.place && !selection.keeps;
    typing = {
      gesture: {
        cells: outside ? [] : selection.cells(), digits: [], other: armed.other, strike: false, note: Boolean(outside), text: "",
        place: spot.place ?? (armed.where ? {where: armed.where, house: null} : null),
        house: armed.line ? lineOf(selection.cells()) : null,
        at_ms: watch.nowMs(), comment: "", ...said,
      },
      before: armed.before ?? before(), firm: armed.before !== null, made: null, sent: "", trouble: "",
    };
    armed = nothingArmed();
    return typing;
  }

  /** Send what is typed by now, as a new stroke or in place of the one just written. @param {Typing} what */
  function send(what) {
    let sending = "";
    unsent.add(what);
    queue.add({
      body() {
        sending = JSON.stringify(what.gesture);
        if (sending === what.sent) return null;
        what.trouble = "";
        const gesture = JSON.parse(sending);
        if (what.made) return {edit: "grow", strokes: what.made, ...gesture};
        return {edit: "write", before: what.firm || gesture.at_ms === null ? what.before : null, ...gesture};
      },
      done(change) {
        const ids = change.made?.length ? change.made : (what.made ?? []).map(([id]) => id);
        settle(what, sending, ids);
      },
      refused(refusal) {
        what.sent = sending;
        unsent.delete(what);
        what.trouble = refusal.body.plain ?? refusal.message;
        if (what === typing) onChange();
        else sayKept(what);
      },
      landed(knownBefore) {
        const same = store.strokes.filter((stroke) => isOf(stroke, what.gesture) && (what.made
          ? what.made.some(([id]) => id === stroke.id) && what.made.every(([id, was]) => store.byId(id)?.was !== was)
          : !knownBefore.has(stroke.id)));
        if (same.length) settle(what, sending, same.map((stroke) => stroke.id));
        return same.length > 0;
      },
      insist(theirs) {
        if (!what.made || what.made.length > 1) return false;
        what.made = theirs ? [[what.made[0][0], theirs]] : null;
        what.sent = "";
        return true;
      },
    });
  }

  /** The server has it. @param {Typing} what @param {string} sent @param {number[]} ids */
  function settle(what, sent, ids) {
    unsent.delete(what);
    what.sent = sent;
    what.made = ids.map((id) => [id, store.byId(id)?.was ?? ""]);
    what.trouble = "";
    onWritten(what);
  }

  /** What was typed last never became a stroke. @param {Typing} what */
  function sayKept(what) {
    const kept = (what.made ?? []).map(([id]) => store.byId(id)?.action).filter(Boolean).join("; ");
    const typed = what.gesture.text || `${what.gesture.strike ? "x " : ""}${what.gesture.digits.join("")}`;
    say(kept ? `${typed} was not written (${what.trouble}). The sheet keeps ${kept}.`
      : `${typed || "That"} was not written: ${what.trouble}.`);
  }

  /** Change the stroke being typed, or else what the next will be. @param {(of: Gesture) => void} typed @param {() => void} next */
  function alter(typed, next) {
    if (typing && watch.movedOn()) end();
    if (typing) {
      typed(typing.gesture);
      send(typing);
    } else {
      next();
    }
    onChange();
  }

  /** The stroke is done; what never became one is said. */
  function end() {
    const was = typing;
    typing = null;
    if (!was) return;
    if (was.trouble) sayKept(was);
    selection.release();
    onChange();
  }

  return {
    get typing() {
      return typing;
    },
    get armed() {
      return armed;
    },
    /** Strokes typed before the one that is being typed, which wait to be written. @returns {Typing[]} */
    get waiting() {
      return [...unsent].filter((each) => each !== typing && each.made === null);
    },
    /** A digit was typed. @param {number} digit */
    digit(digit) {
      if (watch.movedOn()) this.end();
      const now = typing ?? begin({});
      watch.touched();
      if (!now.gesture.note && now.gesture.digits.includes(digit)) return;
      now.gesture.digits.push(digit);
      send(now);
      onChange();
    },
    /** Cross out: the newest mark here, or the digits typed next. */
    strike() {
      if (typing) this.end();
      const now = begin({strike: true, note: false});
      send(now);
      onChange();
    },
    /** The other meaning of what is typed, or of the next stroke. */
    other() {
      alter((of) => { of.other = !of.other; }, () => { armed.other = !armed.other; });
    },
    /** Said of the row or column that holds the cells, and not of their box; once more takes it back. */
    ofLine() {
      alter((of) => { of.house = of.house === null ? lineOf(of.cells) : null; }, () => { armed.line = !armed.line; });
    },
    /** Across the border, or outside the frame; once more takes it back. @param {string} where */
    place(where) {
      const other = (/** @type {string | null | undefined} */ now) => (now === where ? null : where);
      alter((of) => {
        const to = other(of.place?.where);
        of.place = to ? {where: to, house: null} : null;
      }, () => { armed.where = other(armed.where); });
    },
    /** The next stroke goes in before this one. @param {number | null} id */
    putBefore(id) {
      armed.before = armed.before === id ? null : id;
      onChange();
    },
    /** A note in words, or in digits; `at_ms` is the moment at which it was begun. @param {string} text @param {number | null} at_ms */
    note(text, at_ms) {
      if (typing) this.end();
      const digits = /^[1-9\s]+$/.test(text) ? [...text.replace(/\s/g, "")].map(Number) : [];
      send(begin({note: true, strike: false, text: digits.length ? "" : text, digits, at_ms}));
      this.end();
    },
    /** A stroke as a sheet has it. @param {string} typed @param {number | null} at_ms @param {(refusal: Error) => void} refused */
    line(typed, at_ms, refused) {
      if (typing) this.end();
      const now = begin({at_ms});
      typing = null;
      const asked = {edit: "write", typed, at_ms, before: now.firm || at_ms === null ? now.before : null};
      queue.add({body: () => asked, refused, done: (change) => settle(now, "", change.made ?? [])});
      onChange();
    },
    /** A suggestion taken as it is. @param {{cells: number[], digits: number[]}} said */
    suggested({cells, digits}) {
      if (typing) this.end();
      selection.goTo({cell: cells[0], place: null});
      send(begin({cells, digits, place: null, note: false}));
      this.end();
    },
    /** A stroke that stands, to be typed on: its other meaning, its place. @param {import("./logging-store.js").Row} row */
    resume(row) {
      if (typing) this.end();
      typing = {gesture: gestureOf(row), before: null, firm: false, made: [[row.id, row.was]], sent: JSON.stringify(gestureOf(row)), trouble: ""};
    },
    /** The last digit typed away again. Gives false where nothing is being typed. */
    back() {
      if (!typing) return false;
      const now = typing;
      now.gesture.digits.pop();
      if (now.gesture.digits.length) send(now);
      else this.drop();
      onChange();
      return true;
    },
    /** Take out what was just typed. */
    drop() {
      const gone = typing;
      if (gone) unsent.delete(gone);
      typing = null;
      armed = nothingArmed();
      if (gone) queue.add({body: () => (gone.made ? {edit: "out", strokes: gone.made} : null)});
    },
    end,
    /** Nothing special for the next stroke. */
    disarm() {
      armed = nothingArmed();
      onChange();
    },
  };
}

/** Whether a stroke is what a gesture has become. @param {import("./logging-store.js").Row} row @param {Gesture} gesture */
function isOf(row, gesture) {
  const same = (/** @type {number[]} */ a, /** @type {number[]} */ b) => a.length === b.length && a.every((each) => b.includes(each));
  const digits = gesture.strike && !gesture.digits.length ? row.digits : gesture.digits;
  const cells = gesture.note ? row.cells : gesture.cells;
  return row.at_ms === gesture.at_ms && row.text === gesture.text && same(row.digits, digits)
    && (same(row.cells, cells) || gesture.other && row.cells.every((cell) => cells.includes(cell)));
}

/** The row or column in which all of the cells lie, as the server numbers houses; null where there is none. @param {number[]} cells */
function lineOf(cells) {
  const rows = new Set(cells.map((cell) => Math.floor(cell / SIDE)));
  const columns = new Set(cells.map((cell) => cell % SIDE));
  if (cells.length && rows.size === 1) return [...rows][0];
  return columns.size === 1 ? SIDE + [...columns][0] : null;
}

/** The house that an action names: "... in row 5". @param {string} action */
function saidOf(action) {
  const found = / in (row|column|box) ([1-9])/.exec(action);
  return found ? ["row", "column", "box"].indexOf(found[1]) * SIDE + Number(found[2]) - 1 : null;
}

/** The gesture that a stroke may have been. @param {import("./logging-store.js").Row} row @returns {Gesture} */
function gestureOf(row) {
  return {
    cells: row.cells, digits: row.digits, other: row.kind === "mark" && row.cells.length === 1 && row.digits.length === 1,
    strike: row.kind === "strike", note: row.kind === "note", text: row.text,
    place: row.place.where === "cell" ? null : row.place, house: saidOf(row.action), at_ms: row.at_ms, comment: row.comment,
  };
}
