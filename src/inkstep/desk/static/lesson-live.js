// The card of the live page: its address, with the token, for the browser source of streaming software.

import {button, el} from "./board/elements.js";
import {tellClock} from "./here.js";

const SIZES = [["1920x1080", "wide, 1920×1080"], ["1080x1920", "tall, 1080×1920"]];
const FOLLOWS = [["desk", "the desk: whatever you are at"], ["clock", "a clock: the solve as it was written"]];
const THEMES = [["light", "daylight"], ["dark", "lamplight"]];

/**
 * @param {HTMLElement} host
 * @param {string} key
 * @param {{address: string, token: string}} desk
 * @param {(words: string) => void} say
 */
export function createLiveCard(host, key, desk, say) {
  const choice = (label, options) => {
    const select = el("select", {}, options.map(([value, text]) => el("option", {value, text})));
    select.addEventListener("change", show);
    return {select, element: el("label", {}, el("span", {class: "label", text: label}), select)};
  };
  const size = choice("size", SIZES);
  const follow = choice("it follows", FOLLOWS);
  const theme = choice("in", THEMES);
  const address = el("input", {class: "mono address", readonly: true, "aria-label": "Address of the live page"});
  address.addEventListener("focus", () => address.select());
  const open = el("a", {target: "_blank", rel: "noopener", text: "open it"});
  const clock = el("p", {class: "clock-words"},
    button("start the clock", () => tellClock(key, "start").then(() => say("the clock runs"), (fault) => say(String(fault.message))), {class: "boxed"}),
    button("stop it", () => tellClock(key, "stop").then(() => say("the clock is stopped"), (fault) => say(String(fault.message)))));
  host.replaceChildren(
    el("h2", {id: "live-head", text: "Live"}),
    el("p", {class: "quiet", text: "The page and its evidence on a transparent ground, for the browser source of streaming software. Give the source this address and the size beside it."}),
    el("p", {class: "live-choices"}, size.element, follow.element, theme.element),
    el("p", {class: "live-address"}, address, button("copy", copy, {class: "boxed"}), open),
    clock,
    el("p", {class: "quiet", text: "The address carries the token of this start of the desk: whoever sees it can open the desk on this computer. Do not show it in the stream."}));
  show();

  function show() {
    const wanted = {size: size.select.value, follow: follow.select.value, theme: theme.select.value};
    const path = `/solve/${key}/live?${new URLSearchParams(wanted)}`;
    address.value = `${desk.address || location.origin}${path}${desk.token ? `&token=${encodeURIComponent(desk.token)}` : ""}`;
    open.href = path;
    clock.hidden = follow.select.value !== "clock";
  }

  async function copy() {
    try {
      await navigator.clipboard.writeText(address.value);
      say("the address is copied");
    } catch {
      address.select();
      say("press Ctrl and C to copy the address");
    }
  }
}
