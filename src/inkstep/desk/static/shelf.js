// The shelf: the search that answers as one types, the way to further pages, and the keys of the page.

import {ask, say} from "./asking.js";
import {createKeys, keptKeys} from "./keys.js";
import {openArrivals} from "./shelf-arrivals.js";
import {openNew} from "./shelf-new.js";
import {openRemoving} from "./shelf-remove.js";

/** how long the typing hand has to rest before the search is asked */
const REST_MS = 120;

const search = /** @type {HTMLFormElement} */ (document.getElementById("search"));
const query = /** @type {HTMLInputElement} */ (document.getElementById("query"));
const found = /** @type {HTMLElement} */ (document.getElementById("found"));

/** @type {AbortController | null} */
let asking = null;
let resting = 0;
let asked = query.value;

/** The elements of a fragment that the desk's own templates made: foreign words in it were escaped there. @param {string} html */
function elementsOf(html) {
  return [...new DOMParser().parseFromString(html, "text/html").body.childNodes];
}

/** @param {string} path @param {AbortSignal} [signal] */
async function fragment(path, signal) {
  return elementsOf((await ask(path, undefined, {signal})).html);
}

/** Show what a query finds, once it is still the one that is wanted. @param {string} words */
async function find(words) {
  asking?.abort();
  asking = new AbortController();
  asked = words;
  try {
    found.setAttribute("aria-busy", "true");
    const shown = await fragment(`/shelf/found?q=${encodeURIComponent(words)}`, asking.signal);
    found.replaceChildren(...shown);
    say("");
  } catch (fault) {
    if (fault instanceof DOMException) return;
    say(fault instanceof Error ? fault.message : String(fault));
  }
  found.removeAttribute("aria-busy");
}

/** The address says what is searched for, so that it can be kept, and gone back to. @param {string} words @param {boolean} push */
function keepInAddress(words, push) {
  const address = words.trim() ? `/?q=${encodeURIComponent(words.trim())}` : "/";
  history[push ? "pushState" : "replaceState"]({query: words}, "", address);
}

/** @param {string} words */
function searchFor(words) {
  query.value = words;
  keepInAddress(words, true);
  return find(words);
}

query.addEventListener("input", () => {
  clearTimeout(resting);
  resting = setTimeout(() => {
    if (query.value === asked) return;
    keepInAddress(query.value, false);
    find(query.value);
  }, REST_MS);
});

search.addEventListener("submit", (event) => {
  event.preventDefault();
  clearTimeout(resting);
  if (query.value !== asked) searchFor(query.value);
});

addEventListener("popstate", () => {
  query.value = new URLSearchParams(location.search).get("q") ?? "";
  find(query.value);
});

/** @param {HTMLElement} link */
async function more(link) {
  const place = link.closest("li");
  try {
    const path = `/shelf/found?q=${encodeURIComponent(asked)}&after=${encodeURIComponent(link.dataset.after ?? "")}`;
    const further = await fragment(path);
    const first = further.find((node) => node instanceof HTMLElement);
    place?.replaceWith(...further);
    titleOf(first)?.focus();
  } catch (fault) {
    say(fault instanceof Error ? fault.message : String(fault));
  }
}

/** @param {Node | undefined} entry @returns {HTMLElement | null} */
function titleOf(entry) {
  return entry instanceof Element ? entry.querySelector(".entry-title") : null;
}

document.addEventListener("click", (event) => {
  const link = event.target instanceof Element ? event.target.closest("a") : null;
  if (!link || event.ctrlKey || event.metaKey || event.shiftKey) return;
  if (link.dataset.query !== undefined) {
    event.preventDefault();
    searchFor(link.dataset.query).then(() => query.focus());
  } else if (link.dataset.after !== undefined) {
    event.preventDefault();
    more(link);
  }
});

/** Go to the title of another solve; from anywhere else, to the first. @param {number} step */
function goTo(step) {
  const titles = /** @type {HTMLElement[]} */ ([...found.querySelectorAll(".entry-title")]);
  const here = document.activeElement?.closest(".entry");
  const at = titles.findIndex((title) => title.closest(".entry") === here);
  const next = titles[at < 0 ? 0 : Math.min(titles.length - 1, Math.max(0, at + step))];
  next?.focus();
}

/** How many solves stand side by side. */
function across() {
  const entries = /** @type {HTMLElement[]} */ ([...found.querySelectorAll(".entry")]);
  return Math.max(1, entries.filter((entry) => entry.offsetTop === entries[0].offsetTop).length);
}

const newSolve = openNew();
const arrivals = openArrivals(() => find(asked));
openRemoving(found, () => find(asked));

const keys = createKeys([
  {name: "shelf-search", key: "/", words: "search", group: "the shelf", once: true},
  {name: "shelf-new", key: "n", words: "a new solve", group: "the shelf", once: true},
  {name: "shelf-bring", key: "b", words: "bring in files", group: "the shelf", once: true},
  {name: "shelf-down", key: "ArrowDown", words: "the solve below", group: "the shelf"},
  {name: "shelf-up", key: "ArrowUp", words: "the solve above", group: "the shelf"},
  {name: "shelf-next", key: "ArrowRight", words: "the next solve", group: "the shelf"},
  {name: "shelf-before", key: "ArrowLeft", words: "the solve before", group: "the shelf"},
], {overrides: await keptKeys(), where: document});
keys.on("shelf-search", () => (query.focus(), query.select()));
keys.on("shelf-new", newSolve.open);
keys.on("shelf-bring", arrivals.pick);
keys.on("shelf-down", () => goTo(across()));
keys.on("shelf-up", () => goTo(-across()));
keys.on("shelf-next", () => goTo(1));
keys.on("shelf-before", () => goTo(-1));
document.body.dataset.keys = "on";
query.addEventListener("keydown", (event) => {
  if (event.key === "ArrowDown") {
    event.preventDefault();
    goTo(0);
  }
});
