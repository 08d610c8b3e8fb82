// The solve replayed from its strokes: pages, times, and a player that runs through them.

/** The printed digits of a puzzle line, as ink. */
export function givensOf(line) {
  return [...line].flatMap((sign, cell) =>
    (/[1-9]/.test(sign) ? [{kind: "given", cells: [cell], digits: [Number(sign)]}] : []));
}

/**
 * The ink of every page: page n is what stands after n strokes.
 * @param {string} puzzle
 * @param {any[]} strokes
 * @returns {import("./layout.js").BriefInk[][]}
 */
export function pagesOf(puzzle, strokes) {
  const pages = [givensOf(puzzle)];
  for (const stroke of strokes) {
    const ink = (stroke.change ?? []).reduce(changed, pages.at(-1));
    pages.push([...ink, ...stroke.add]);
  }
  return pages;
}

function changed(ink, [stroke, state, covered = [], struck = []]) {
  return ink.map((item) => (item.stroke === stroke ? {...item, state, covered, struck} : item));
}

/**
 * The time of every stroke in milliseconds; an unknown one lies evenly between its neighbours, and one after the last
 * known time a second later. `known` says which times the sheet gives.
 */
export function timesOf(strokes) {
  const known = strokes.map((stroke) => stroke.at_ms !== null);
  const times = strokes.map((stroke) => stroke.at_ms);
  for (let index = 0; index < times.length; index += 1) {
    if (times[index] !== null) continue;
    const before = index ? times[index - 1] : 0;
    const next = times.findIndex((time, later) => later > index && time !== null);
    times[index] = next < 0 ? before + 1000 : before + (times[next] - before) / (next - index + 1);
  }
  return {times, known};
}

/** How many strokes have been made at a time. */
export function strokesBy(times, ms) {
  let count = 0;
  while (count < times.length && times[count] <= ms) count += 1;
  return count;
}

/** `0:34.7` */
export function clockWords(ms) {
  const tenths = Math.round(ms / 100);
  const seconds = String(Math.floor(tenths / 10) % 60).padStart(2, "0");
  return `${Math.floor(tenths / 600)}:${seconds}.${tenths % 10}`;
}

/** A player over time: onTime(ms) at every frame, onEnd() at the end. Speed 1 is as solved. */
export function createPlayer(end, {onTime, onEnd}) {
  let frame = 0;
  let now = 0;
  let speed = 1;
  let last = 0;

  function step(stamp) {
    now = Math.min(end, now + Math.max(0, stamp - last) * speed);
    last = stamp;
    frame = requestAnimationFrame(step);
    onTime(now);
    if (now >= end && frame) {
      stop();
      onEnd();
    }
  }

  function stop() {
    cancelAnimationFrame(frame);
    frame = 0;
  }

  return {
    stop,
    get playing() {
      return frame !== 0;
    },
    get speed() {
      return speed;
    },
    setSpeed(value) {
      speed = value;
    },
    play(from) {
      stop();
      now = from;
      last = performance.now();
      frame = requestAnimationFrame(step);
    },
  };
}
