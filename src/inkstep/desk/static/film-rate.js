// The rate of a film, learnt from the moments of the frames that were shown: known once they all lie on one even grid.

/** Frames a second that cameras and files have, the slowest first. */
const RATES = [
  10, 12, 12.5, 15_000 / 1001, 15, 20, 24_000 / 1001, 24, 25, 30_000 / 1001, 30, 48, 50, 60_000 / 1001, 60, 100,
  120_000 / 1001, 120, 240_000 / 1001, 240,
];
/** Seconds by which moments may lie off the grid: a WebM counts in milliseconds, each rounded. */
const SLACK_S = 0.0012;
/** What it takes to be certain: 30 and 29.97 frames a second are two milliseconds apart only after two seconds. */
const LEAST_SAMPLES = 16;
const LEAST_SPAN_S = 2;
const MOST_SAMPLES = 400;

export function createRate() {
  /** @type {Set<number>} */
  const samples = new Set();
  /** @type {number | null} */
  let period = null;

  /** A frame was shown. @param {number} moment in seconds */
  function hear(moment) {
    if (samples.has(moment) || (samples.size >= MOST_SAMPLES && period !== null && fits(period, [anyOf(samples), moment]))) return;
    if (samples.size >= MOST_SAMPLES) samples.delete(anyOf(samples));
    samples.add(moment);
    if (period !== null && fits(period, [anyOf(samples), moment])) return;
    period = null;
    if (samples.size >= LEAST_SAMPLES && samples.size % 4 === 0) period = evenPeriod([...samples]);
  }

  return {
    hear,
    /** Seconds from frame to frame; null while that is not certain, or uneven. */
    get period() {
      return period;
    },
  };
}

/** @param {Set<number>} samples */
const anyOf = (samples) => /** @type {number} */ (samples.values().next().value);

/** @param {number[]} moments @returns {number | null} */
function evenPeriod(moments) {
  if (Math.max(...moments) - Math.min(...moments) < LEAST_SPAN_S) return null;
  const rate = RATES.find((each) => fits(1 / each, moments));
  return rate === undefined ? null : 1 / rate;
}

/** Whether all moments lie whole numbers of periods apart. @param {number} period @param {number[]} moments */
function fits(period, moments) {
  const off = moments.map((moment) => {
    const periods = (moment - moments[0]) / period;
    return (periods - Math.round(periods)) * period;
  });
  return Math.max(...off) - Math.min(...off) <= SLACK_S;
}
