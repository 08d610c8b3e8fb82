// Words of the film: times and speeds.

/** Speeds that the keys go through. */
export const SPEEDS = [0.1, 0.25, 0.5, 0.75, 1, 1.5, 2];

/** @type {Record<string, string>} */
const SPEED_WORDS = {
  0.1: "a tenth of the speed", 0.25: "quarter speed", 0.5: "half speed", 0.75: "three quarter speed", 1: "as filmed",
  1.5: "one and a half times", 2: "double speed",
};

/** @param {number} speed */
export const speedWords = (speed) => SPEED_WORDS[speed] ?? `${Math.round(speed * 100)} % speed`;

/** `0:34.700`, with a minus before it where it is negative. @param {number} ms */
export function timeWords(ms) {
  const most = Math.abs(Math.round(ms));
  const hours = Math.floor(most / 3_600_000);
  const minutes = Math.floor(most / 60_000) % 60;
  const seconds = (Math.floor(most / 1000) % 60).toString().padStart(2, "0");
  const head = hours ? `${hours}:${minutes.toString().padStart(2, "0")}` : `${minutes}`;
  return `${ms < 0 ? "−" : ""}${head}:${seconds}.${(most % 1000).toString().padStart(3, "0")}`;
}

/** `4.2 MB` @param {number} bytes */
export function sizeWords(bytes) {
  const units = ["bytes", "kB", "MB", "GB"];
  const power = Math.min(3, Math.floor(Math.log10(Math.max(1, bytes)) / 3));
  return `${power ? (bytes / 1000 ** power).toFixed(1) : bytes} ${units[power]}`;
}
