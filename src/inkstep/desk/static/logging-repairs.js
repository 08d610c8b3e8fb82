// What keys do beside typing strokes: the log's own ways, and the repair of any stroke.

import {openHead, openLine, openRepair} from "./logging-forms.js";

/** Milliseconds after which a nudge is not waited for any more: the server is away, and the edit waits in the queue. */
const NUDGE_MS = 2000;

/**
 * @param {object} with_
 * @param {import("./logging-store.js").Store} with_.store
 * @param {{add: (job: import("./logging-queue.js").Job) => void}} with_.queue
 * @param {ReturnType<typeof import("./logging-entry.js").createEntry>} with_.entry
 * @param {import("./keys.js").Keys} with_.keys
 * @param {{nowMs: () => number | null, framesFrom: (ms: number, frames: number) => Promise<number>, goTo: (ms: number | null) => void}} with_.watch
 * @param {(sentence: string) => void} with_.say
 * @param {HTMLElement} with_.host where the forms open
 * @param {() => number | null} with_.present the stroke that repairs are about
 * @param {() => number | null} with_.chosen
 * @param {(id: number | null, count?: number) => void} with_.choose
 * @param {() => void} with_.toBoard
 * @param {() => void} with_.toList
 * @param {() => boolean} with_.inList whether the list has the focus
 * @param {() => void} with_.focusList
 * @param {() => void} with_.keep
 * @param {(index: number) => boolean} with_.suggested
 * @param {() => void} with_.toggleCue
 */
export function createRepairs(with_) {
  let nudged = Promise.resolve();
  const {store, queue, entry, keys, watch, say, host, present, chosen, choose, toBoard, toList, inList, keep} = with_;

  /** An edit of one stroke as it was seen; what comes of a clash is asked. @param {import("./logging-store.js").Row} stroke @param {any} edit @param {{done?: () => void, refused?: (why: Error) => void}} [hear] */
  function change(stroke, edit, {done, refused} = {}) {
    let {was} = stroke;
    queue.add({
      body: () => ({stroke: stroke.id, was, ...edit}),
      done, refused,
      insist(theirs) {
        if (theirs) was = theirs;
        return Boolean(theirs);
      },
    });
  }

  /** Do something once everything typed before is settled: at once, as a rule. @param {() => void} act */
  function settledThen(act) {
    entry.end();
    queue.add({
      body() {
        act();
        return null;
      },
    });
  }

  /** Do something with the present stroke. @param {(stroke: import("./logging-store.js").Row, at: number) => void} act */
  function withPresent(act) {
    settledThen(() => {
      const id = present();
      const stroke = store.byId(id);
      if (stroke) act(stroke, store.indexOf(id));
      else say("There is no stroke here yet.");
    });
  }

  /** @param {number} id */
  function open(id) {
    const stroke = store.byId(id);
    if (!stroke) return;
    const back = inList() ? toList : toBoard;
    choose(id);
    openRepair(host, stroke, {
      onChange: (field, words, hear) => change(stroke, {edit: "rewrite", [field]: words}, hear),
      onLeave: back,
      ways: [
        ["now, by the film", "log-now", now], ["earlier in the order", "log-move-up", () => move(-1)], ["later", "log-move-down", () => move(1)],
        ["where its time puts it", "", () => change(store.byId(id) ?? stroke, {edit: "move", by_time: true})],
        ["put the next before it", "log-before", () => entry.putBefore(id)], ["take it out", "log-out", () => takeOut(id)],
      ],
    });
  }

  /** @param {number} id */
  function takeOut(id) {
    const stroke = store.byId(id);
    if (!stroke) return;
    const at = store.indexOf(id);
    const listed = inList();
    let {was} = stroke;
    queue.add({
      body: () => ({edit: "out", strokes: [[id, was]]}),
      done() {
        choose(listed ? store.strokes[Math.min(at, store.count - 1)]?.id ?? null : null);
        if (listed) with_.focusList();
      },
      insist(theirs) {
        was = theirs;
        return Boolean(theirs);
      },
    });
  }

  function now() {
    withPresent((stroke) => {
      const at_ms = watch.nowMs();
      if (at_ms === null) say("No film is shown, so there is no present moment. The time can be typed: repair the stroke.");
      else change(stroke, {edit: "rewrite", at_ms});
    });
  }

  /** A frame earlier or later, one press after the other. @param {number} frames */
  function nudge(frames) {
    withPresent(({id}) => {
      choose(id);
      nudged = nudged.then(() => nudgeOnce(id, frames)).catch(() => {});
    });
  }

  /** @param {number} id @param {number} frames */
  async function nudgeOnce(id, frames) {
    const stroke = store.byId(id);
    if (!stroke || stroke.at_ms === null) return;
    const at_ms = await watch.framesFrom(stroke.at_ms, frames);
    await new Promise((resolve) => {
      const over = () => resolve(undefined);
      change(store.byId(id) ?? stroke, {edit: "rewrite", at_ms}, {done: over, refused: over});
      setTimeout(over, NUDGE_MS);
    });
  }

  /** @param {number} by */
  function move(by) {
    withPresent(({id}, at) => {
      choose(id);
      const before = by < 0 ? store.strokes[at - 1] : store.strokes[at + 2];
      const stroke = store.byId(id);
      if (!stroke || (by < 0 ? at === 0 : at === store.count - 1)) return;
      change(stroke, {edit: "move", before: before?.id ?? null});
    });
  }

  /** @param {number} by */
  function goBy(by) {
    const id = chosen();
    const at = id === null ? store.indexOf(present()) + (by < 0 ? 1 : 0) : store.indexOf(id);
    const to = at + by;
    if (to < 0) choose(null, 0);
    else choose(store.strokes[to]?.id ?? null);
  }

  /** In the list, the chosen stroke is altered; else what is typed, or the next stroke. @param {() => void} act */
  function shape(act) {
    const stroke = inList() ? store.byId(chosen()) : undefined;
    if (stroke) entry.resume(stroke);
    act();
    if (stroke) entry.end();
  }

  function note() {
    entry.end();
    const at = watch.nowMs();
    openLine(host, {
      label: "a note: words, or digits alone", onLeave: toBoard,
      onDone: (words) => words.trim() && entry.note(words.trim(), at),
    });
  }

  function comment() {
    /** @type {import("./logging-store.js").Row | undefined} */
    let stroke;
    let asked = false;
    settledThen(() => {
      stroke = store.byId(present());
      asked = true;
    });
    if (asked && !stroke) {
      say("There is no stroke here yet.");
      return;
    }
    openLine(host, {
      label: `comment on ${stroke?.action ?? "this stroke"}`, value: stroke?.comment ?? "", lines: true, onLeave: toBoard,
      hint: "Enter keeps it; Shift and Enter begin a new line.",
      onDone: (words, refused) => settledThen(() => stroke && words !== stroke.comment && change(stroke, {edit: "rewrite", comment: words}, {refused})),
    });
  }

  function typed() {
    entry.end();
    const at = watch.nowMs();
    openLine(host, {
      label: "a stroke as a sheet has it", hint: "such as r5c12 : 7, or 0:34.7 strike r5c1 : 2; note \"?\" in r5c5", onLeave: toBoard,
      onDone: (words, refused) => words.trim() && entry.line(words.trim(), at, refused),
    });
  }

  function head() {
    openHead(store.head, (fields, was) => queue.add({body: () => ({edit: "head", now: fields, was})}));
  }

  /** @param {"undo" | "redo"} edit */
  function turn(edit) {
    entry.end();
    queue.add({
      body() {
        if (store[edit]) return {edit};
        say(`There is nothing to ${edit}.`);
        return null;
      },
    });
  }

  /** @type {Record<string, () => unknown>} */
  const acts = {
    "log-other": () => shape(entry.other), "log-border": () => shape(() => entry.place("border")), "log-line": () => shape(entry.ofLine),
    "log-strike": () => entry.strike(), "log-keep": keep, "log-back": () => entry.back(),
    "log-before": () => withPresent(({id}) => entry.putBefore(id)), "log-undo": () => turn("undo"), "log-redo": () => turn("redo"),
    "log-previous": () => settledThen(() => goBy(-1)), "log-next": () => settledThen(() => goBy(1)),
    "log-end": () => {
      choose(null);
      watch.goTo([...store.strokes].reverse().find((stroke) => stroke.at_ms !== null)?.at_ms ?? null);
    },
    "log-list": toList, "log-repair": () => withPresent(({id}) => open(id)), "log-now": now,
    "log-frame-earlier": () => nudge(-1), "log-frame-later": () => nudge(1), "log-move-up": () => move(-1), "log-move-down": () => move(1),
    "log-out": () => {
      const id = chosen();
      if (id === null) say("Choose the stroke to take out: page up goes to the one before.");
      else takeOut(id);
    },
    "log-note": note, "log-comment": comment, "log-typed": typed, "log-head": head, "log-cue": with_.toggleCue,
  };
  for (const [name, act] of Object.entries(acts)) keys.on(name, act);
  for (const number of [1, 2, 3, 4, 5]) keys.on(`log-cue-${number}`, () => with_.suggested(number - 1));
  return {open, takeOut, head};
}
