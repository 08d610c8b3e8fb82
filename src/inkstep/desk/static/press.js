// Publishing: what to make is sent off, and what becomes of it is shown as the desk tells it.

import {ask, listen, say, sentWith, showState} from "./asking.js";
import {button, el} from "./board/elements.js";
import {createKeys, keptKeys} from "./keys.js";

/**
 * @typedef {{id: number, state: string, share: number, said: string[], formats: string[], folder: string, files: string[],
 *            made_at: number, ended_at: number | null}} Job
 */

const STATES = {
  waiting: "Waiting for its turn",
  running: "Being made",
  done: "Done",
  failed: "Not made",
  stopped: "Stopped",
};
const PAGE = "lesson.html";
/** how often to ask while a job runs, should the stream of events be silent */
const POLL_MS = 3000;

const {key} = sentWith("solve");
const made = /** @type {HTMLElement} */ (document.getElementById("made"));
const order = /** @type {HTMLFormElement} */ (document.getElementById("order"));
const rights = /** @type {HTMLFormElement} */ (document.getElementById("rights"));
/** @type {Map<number, Job>} */
const jobs = new Map();
/** @type {Map<number, HTMLElement>} */
const shown = new Map();

/** @param {Job} job */
function isGoing(job) {
  return job.state === "running" || job.state === "waiting";
}

/** @param {Job} job */
function take(job) {
  const known = jobs.get(job.id);
  // progress on its way may come in after the end
  if (known && !isGoing(known) && isGoing(job)) return;
  jobs.set(job.id, job);
  show(job);
  if (known && isGoing(known) && !isGoing(job)) showState(endWords(job));
}

/** @param {Job} job */
function endWords(job) {
  return job.state === "done" ? "the lesson is made" : STATES[job.state].toLowerCase();
}

function showNothing() {
  if (jobs.size) document.getElementById("nothing")?.remove();
  else made.replaceChildren(el("p", {id: "nothing", class: "quiet", text: "Nothing yet. What you make is listed here, with ways to open it."}));
}

/** @param {Job} job */
function show(job) {
  showNothing();
  const old = shown.get(job.id);
  if (old && isGoing(job) && old.dataset.state === job.state) {
    showProgress(old, job);
    return;
  }
  const held = old?.contains(document.activeElement);
  const card = cardOf(job);
  shown.set(job.id, card);
  if (old) old.replaceWith(card);
  else place(card, job);
  if (held) (/** @type {HTMLElement | null} */ (card.querySelector("a, button")) ?? card).focus();
}

/** Newest first. @param {HTMLElement} card @param {Job} job */
function place(card, job) {
  const after = [...made.children].find((each) => Number(/** @type {HTMLElement} */ (each).dataset.job) < job.id);
  made.insertBefore(card, after ?? null);
}

/** @param {Job} job @returns {HTMLElement} */
function cardOf(job) {
  const words = STATES[job.state] ?? job.state;
  const head = el("p", {class: "job-head"},
    el("span", {class: "state-words", text: words}),
    el("span", {class: "quiet", text: job.formats.join(", ")}),
    el("span", {class: "quiet when", text: whenOf(job.ended_at ?? job.made_at)}));
  const parts = isGoing(job) ? goingParts(job) : endedParts(job);
  const card = el("article", {class: `job card is-${job.state}`, "data-job": job.id, "data-state": job.state, tabindex: -1,
    "aria-label": `${words}: ${job.formats.join(", ")}`}, head, parts);
  if (isGoing(job)) showProgress(card, job);
  return card;
}

/** @param {Job} job */
function goingParts(job) {
  return [
    el("progress", {max: 1, value: 0, "aria-label": "how much is made"}),
    el("p", {class: "doing"}, el("span", {class: "quiet what"}), el("span", {class: "quiet percent"}),
      button("Stop it", () => stop(job.id))),
  ];
}

/** @param {HTMLElement} card @param {Job} job */
function showProgress(card, job) {
  const bar = card.querySelector("progress");
  const what = card.querySelector(".what");
  const percent = card.querySelector(".percent");
  if (bar) bar.value = job.share;
  if (what) what.textContent = job.state === "waiting" ? "it begins when the one before it has ended" : job.said.join(" ");
  if (percent) percent.textContent = `${Math.floor(100 * job.share)} %`;
}

/** @param {Job} job */
function endedParts(job) {
  if (job.state !== "done") {
    return [...job.said.map((line) => el("p", {class: "why", text: line})), button("Try again", () => again(job))];
  }
  const files = job.files.filter((name) => name !== PAGE && name !== "manifest.json");
  return [
    job.files.includes(PAGE) && el("p", {class: "open-lesson"}, opened(job, PAGE, "Open the lesson", "boxed")),
    el("ul", {class: "files"}, files.map((name) => el("li", {}, opened(job, name, name, "mono")))),
    el("p", {class: "folder-line"}, el("span", {class: "quiet", text: "in"}), el("span", {class: "mono", text: job.folder}),
      button("copy the path", () => copy(job.folder))),
    job.said.length > 0 && el("ul", {class: "said"}, job.said.map((line) => el("li", {text: line}))),
  ];
}

/** @param {Job} job @param {string} name @param {string} words @param {string} look */
function opened(job, name, words, look) {
  const path = name.split("/").map(encodeURIComponent).join("/");
  return el("a", {class: look, href: `/solve/${key}/press/${job.id}/file/${path}`, target: "_blank", rel: "noopener", text: words});
}

/** @param {number} ms */
function whenOf(ms) {
  return new Date(ms).toLocaleString("en-GB", {dateStyle: "medium", timeStyle: "short"});
}

/** @param {string} path */
async function copy(path) {
  try {
    await navigator.clipboard.writeText(path);
    showState("the path is copied");
  } catch {
    say("The browser does not let the desk copy; select the path instead.");
  }
}

/** @param {() => Promise<any>} act */
async function told(act) {
  try {
    say("");
    return await act();
  } catch (fault) {
    say(fault instanceof Error ? fault.message : String(fault));
    return null;
  }
}

/** @param {number} number */
function stop(number) {
  return told(async () => take(await ask(`/solve/${key}/press/${number}/stop`, {})));
}

/** @param {{formats: string[], folder: string}} asked */
async function start(asked) {
  const job = await told(() => ask(`/solve/${key}/press`, asked));
  if (!job) return;
  take(job);
  shown.get(job.id)?.querySelector("button")?.focus();
}

/** @param {Job} job */
function again(job) {
  return start({formats: job.formats, folder: job.folder});
}

order.addEventListener("submit", (event) => {
  event.preventDefault();
  const given = new FormData(order);
  start({formats: given.getAll("format").map(String), folder: String(given.get("folder"))});
});

/** @type {Record<string, string>} */
const head = Object.fromEntries([...new FormData(rights)].map(([name, value]) => [name, String(value)]));

rights.addEventListener("submit", (event) => event.preventDefault());
rights.addEventListener("change", (event) => {
  const field = event.target;
  if (!(field instanceof HTMLInputElement)) return;
  const {name, value} = field;
  told(async () => {
    const {head: now} = await ask(`/solve/${key}/edit`, {edit: "head", now: {[name]: value}, was: {[name]: head[name]}});
    head[name] = now[name];
    field.value = now[name];
    rights.dataset.empty = Object.values(head).every(Boolean) ? "no" : "yes";
    showState(`saved: ${name}`);
  });
});

async function askAnew() {
  const found = /** @type {Job[] | null} */ (await told(() => ask(`/solve/${key}/press/jobs`)));
  found?.forEach(take);
}

showNothing();
sentWith("jobs").forEach(take);
listen(key, {job: take, behind: askAnew});
setInterval(() => [...jobs.values()].some(isGoing) && askAnew(), POLL_MS);

const keys = createKeys([
  {name: "press-make", key: "Ctrl+Enter", words: "make the lesson", group: "publishing", once: true, everywhere: true},
], {overrides: await keptKeys(), where: document});
keys.on("press-make", () => order.requestSubmit());
document.body.dataset.keys = "on";
