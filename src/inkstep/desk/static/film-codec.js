// Which way a film was coded, read from its file, to say in words why a browser does not play it.

/** Bytes that are looked through at most, in which a file lists what is in it. */
const MOST = 4_000_000;
/** Names of codings as files have them (ISO/IEC 14496-12 sample entries; Matroska's codec ids), and in words. */
const CODINGS = [
  ["hvc1", "HEVC (H.265)"], ["hev1", "HEVC (H.265)"], ["dvh1", "HEVC (H.265)"], ["dvhe", "HEVC (H.265)"], ["V_MPEGH/ISO/HEVC", "HEVC (H.265)"],
  ["apch", "ProRes"], ["apcn", "ProRes"], ["apcs", "ProRes"], ["apco", "ProRes"], ["ap4h", "ProRes"], ["ap4x", "ProRes"], ["V_PRORES", "ProRes"],
  ["avc1", "H.264"], ["avc3", "H.264"], ["V_MPEG4/ISO/AVC", "H.264"], ["av01", "AV1"], ["V_AV1", "AV1"],
  ["vp09", "VP9"], ["V_VP9", "VP9"], ["vp08", "VP8"], ["V_VP8", "VP8"], ["mp4v", "MPEG-4 part 2"], ["V_MPEG4/ISO/ASP", "MPEG-4 part 2"],
  ["mjpg", "Motion JPEG"], ["jpeg", "Motion JPEG"], ["qtrle", "QuickTime Animation"], ["rle ", "QuickTime Animation"],
];

/** Reads bytes of a film: from one place to another. @typedef {(from: number, to: number) => Promise<ArrayBuffer>} Reading */

/** A file picked in the page. @param {File} file @returns {Reading} */
export const readingFile = (file) => (from, to) => file.slice(from, to).arrayBuffer();

/** A film that the desk serves. @param {string} address @returns {Reading} */
export const readingFilm = (address) => async (from, to) => {
  const answer = await fetch(address, {headers: {range: `bytes=${from}-${to - 1}`}});
  return answer.status === 206 ? answer.arrayBuffer() : new ArrayBuffer(0);
};

/** Whether a file is of the family of MP4, which names how long each frame lasts. @param {Reading} read */
export async function namesDurations(read) {
  const head = letters(await read(0, 12));
  return ["ftyp", "moov", "mdat", "wide", "free", "skip", "pnot"].includes(head.slice(4, 8));
}

/** The coding of a film in words; "" where it is not known. @param {Reading} read @param {number} size */
export async function codingOf(read, size) {
  const list = (await namesDurations(read)) ? await listOfMp4(read, size) : letters(await read(0, Math.min(size, 200_000)));
  return CODINGS.find(([name]) => list.includes(name))?.[1] ?? "";
}

/** The `moov` box, which lists what is in an MP4. @param {Reading} read @param {number} size @returns {Promise<string>} */
async function listOfMp4(read, size) {
  for (let at = 0, boxes = 0; at + 16 <= size && boxes < 200; boxes += 1) {
    const head = new DataView(await read(at, at + 16));
    if (head.byteLength < 16) return "";
    const name = letters(head.buffer.slice(4, 8));
    const short = head.getUint32(0);
    const long = short === 1 ? Number(head.getBigUint64(8)) : short || size - at;
    if (name === "moov") return letters(await read(at, Math.min(at + long, at + MOST, size)));
    at += Math.max(8, long);
  }
  return "";
}

/** @param {ArrayBuffer} bytes */
const letters = (bytes) => new TextDecoder("latin1").decode(bytes);
