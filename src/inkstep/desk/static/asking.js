// Asking the desk's server, and saying what it refuses. Words from the server only ever become text nodes.

/** What the server refused, as the sentence to show; `body` holds what else it said (`was`, `theirs`, `ours` of a clash). */
export class Refusal extends Error {
  /** @param {string} sentence @param {number} status @param {any} body */
  constructor(sentence, status, body) {
    super(sentence);
    this.status = status;
    this.body = body;
  }
}

/**
 * The server's JSON answer to a request; a body that is given goes as JSON with POST (or the method named).
 * @param {string} path
 * @param {any} [body]
 * @param {{method?: string, signal?: AbortSignal}} [how]
 * @returns {Promise<any>}
 * @throws {Refusal}
 */
export async function ask(path, body, how = {}) {
  const method = how.method ?? (body === undefined ? "GET" : "POST");
  const sent = body === undefined ? {} : {body: JSON.stringify(body)};
  const headers = {accept: "application/json", "content-type": "application/json"};
  let answer;
  try {
    answer = await fetch(path, {method, headers, signal: how.signal, ...sent});
  } catch (fault) {
    if (fault instanceof DOMException && fault.name === "AbortError") throw fault;
    throw new Refusal("The desk does not answer. What was saved is kept; start it again with inkstep desk.", 0, {});
  }
  const said = answer.headers.get("content-type")?.includes("json") ? await answer.json() : {error: await answer.text()};
  if (!answer.ok) throw new Refusal(said.error || "The desk could not do that.", answer.status, said);
  return said;
}

/** The data that the page was sent with. @param {string} id @returns {any} */
export function sentWith(id) {
  return JSON.parse(document.getElementById(id)?.textContent ?? "null");
}

/** Say a sentence where it is seen and heard; an empty one takes the last away. @param {string} sentence */
export function say(sentence) {
  const place = document.getElementById("say");
  if (!place) return;
  place.textContent = sentence;
  place.hidden = !sentence;
}

/** Show the state of the work at the head of the page. @param {string} words */
export function showState(words) {
  const place = document.getElementById("state");
  if (place) place.textContent = words;
}

/**
 * Hear the solve's events: `changed` ({revision}) after every edit, `behind` when some were missed, and others by name.
 * @param {string} key
 * @param {Record<string, (data: any) => void>} heard
 */
export function listen(key, heard) {
  const source = new EventSource(`/solve/${key}/events`);
  for (const [name, act] of Object.entries(heard)) {
    source.addEventListener(name, (event) => act(JSON.parse(/** @type {MessageEvent} */ (event).data)));
  }
  return source;
}
