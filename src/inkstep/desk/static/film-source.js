// Where the film comes from: what the desk knows of a solve's recording, and what to say when it cannot be played.

import {ask} from "./asking.js";
import {codingOf, namesDurations, readingFile, readingFilm} from "./film-codec.js";

/** What the desk keeps of a recording (docs/desk.md). @typedef {{path: string, name: string, there: boolean, size: number, kind: string, version: string, trouble: string, watching: any}} Facts */
/** A film that can be tried. @typedef {{address: string, name: string, size: number, exact: boolean, read: import("./film-codec.js").Reading, picked: boolean}} Source */

/** @param {string} key the solve's */
export function createKeeping(key) {
  const path = `/solve/${key}/recording`;
  /** @type {Record<string, any>} */
  let waiting = {};
  let timer = 0;

  async function send() {
    const watching = waiting;
    waiting = {};
    timer = 0;
    if (Object.keys(watching).length === 0) return;
    try {
      await ask(path, {watching});
    } catch {
      waiting = {...watching, ...waiting};
    }
  }

  /** Keep how it is watched, soon. @param {Record<string, any>} watching */
  function watch(watching) {
    Object.assign(waiting, watching);
    timer ||= window.setTimeout(send, 400);
  }

  addEventListener("pagehide", () => {
    if (Object.keys(waiting).length === 0) return;
    const body = JSON.stringify({watching: waiting});
    waiting = {};
    fetch(path, {method: "POST", body, keepalive: true, headers: {"content-type": "application/json"}}).catch(() => {});
  });

  return {
    watch,
    /** @returns {Promise<Facts>} */
    facts: () => ask(path),
    /** Name the file. @param {string} named @returns {Promise<Facts>} */
    name: (named) => ask(path, {path: named, watching: {picked: null, memory: null}}),
    /** A file was picked in the page. @param {File} file @returns {Promise<Facts>} */
    pick: (file) => ask(path, {path: "", watching: {picked: {name: file.name, size: file.size}, memory: null}}),
    /** No recording at all. @returns {Promise<Facts>} */
    memory: () => ask(path, {path: "", watching: {picked: null, memory: true}}),
  };
}

/** The film that the desk serves. @param {string} key @param {Facts} facts @returns {Source} */
export function sourceOfPath(key, facts) {
  const address = `/solve/${key}/film?v=${facts.version}`;
  const exact = facts.kind === "video/mp4" || facts.kind === "video/quicktime";
  return {address, name: facts.name, size: facts.size, exact, read: readingFilm(address), picked: false};
}

/** A film from a file that was picked. @param {File} file @returns {Promise<Source>} */
export async function sourceOfFile(file) {
  const read = readingFile(file);
  const exact = await namesDurations(read).catch(() => false);
  return {address: URL.createObjectURL(file), name: file.name, size: file.size, exact, read, picked: true};
}

/** Why a film does not play, in a sentence. @param {Source} source @param {() => Promise<Facts>} facts @returns {Promise<string>} */
export async function whyNot(source, facts) {
  if (!source.picked) {
    try {
      const {trouble} = await facts();
      if (trouble) return trouble;
    } catch (fault) {
      return fault instanceof Error ? fault.message : String(fault);
    }
  }
  const coding = await codingOf(source.read, source.size).catch(() => "");
  const how = coding.startsWith("HEVC") ? `it is coded as ${coding}, as phones do by default`
    : coding ? `it is coded as ${coding}, or the file is damaged` : "its coding is unknown here, or the file is damaged";
  return `This browser cannot play ${source.name}: ${how}. Convert it to H.264 in an MP4 file and choose that one. The log is kept as it is.`;
}
