// Where the paper lies in the picture: the largest bright patch. It knows nothing of what is printed on it.

const WIDTH = 96;
/** A patch that is a smaller part of the picture is no paper; one that is nearly all of it needs no zoom. */
const LEAST = 0.04;
/** Part of the patch's size that is left around it. */
const MARGIN = 0.015;

/** The part of the picture that the paper takes up, or null where none stands out. @param {HTMLVideoElement} video @returns {import("./film-view.js").Part | null} */
export function paperIn(video) {
  if (video.readyState < 2 || !video.videoWidth) return null;
  const height = Math.max(8, Math.round((WIDTH * video.videoHeight) / video.videoWidth));
  const canvas = document.createElement("canvas");
  [canvas.width, canvas.height] = [WIDTH, height];
  const context = canvas.getContext("2d", {willReadFrequently: true});
  if (!context) return null;
  context.drawImage(video, 0, 0, WIDTH, height);
  const {data} = context.getImageData(0, 0, WIDTH, height);
  const light = Uint8Array.from({length: WIDTH * height}, (_, at) => 0.3 * data[4 * at] + 0.59 * data[4 * at + 1] + 0.11 * data[4 * at + 2]);
  const patch = largestPatch(light, WIDTH, border(light));
  if (patch.length < LEAST * light.length) return null;
  return around(patch, height);
}

/** The brightness that divides dark from bright best: N. Otsu, A Threshold Selection Method from Gray-Level Histograms, 1979. @param {Uint8Array} light */
function border(light) {
  const counts = new Float64Array(256);
  for (const value of light) counts[value] += 1;
  const sum = counts.reduce((all, count, value) => all + count * value, 0);
  let [best, at, below, belowSum] = [-1, 127, 0, 0];
  for (let value = 0; value < 255; value += 1) {
    below += counts[value];
    belowSum += counts[value] * value;
    const above = light.length - below;
    if (!below || !above) continue;
    const apart = below * above * (belowSum / below - (sum - belowSum) / above) ** 2;
    if (apart > best) [best, at] = [apart, value];
  }
  return at;
}

/** The largest patch of neighbours that are brighter than the border. @param {Uint8Array} light @param {number} width @param {number} least */
function largestPatch(light, width, least) {
  const seen = new Uint8Array(light.length);
  /** @type {number[]} */
  let largest = [];
  for (let start = 0; start < light.length; start += 1) {
    if (seen[start] || light[start] <= least) continue;
    seen[start] = 1;
    const patch = [start];
    for (const at of patch) {
      const beside = [at - width, at + width, ...(at % width ? [at - 1] : []), ...(at % width < width - 1 ? [at + 1] : [])];
      for (const next of beside) {
        if (next < 0 || next >= light.length || seen[next] || light[next] <= least) continue;
        seen[next] = 1;
        patch.push(next);
      }
    }
    if (patch.length > largest.length) largest = patch;
  }
  return largest;
}

/** The part around a patch, without its last hundredth on each side (a hand, a pen). @param {number[]} patch @param {number} height */
function around(patch, height) {
  const columns = patch.map((at) => at % WIDTH).sort((a, b) => a - b);
  const rows = patch.map((at) => Math.floor(at / WIDTH)).sort((a, b) => a - b);
  const cut = Math.floor(patch.length / 100);
  const [left, right] = [columns[cut] / WIDTH, (columns[columns.length - 1 - cut] + 1) / WIDTH];
  const [top, bottom] = [rows[cut] / height, (rows[rows.length - 1 - cut] + 1) / height];
  const [dx, dy] = [(right - left) * MARGIN, (bottom - top) * MARGIN];
  return {left: Math.max(0, left - dx), top: Math.max(0, top - dy), right: Math.min(1, right + dx), bottom: Math.min(1, bottom + dy)};
}
