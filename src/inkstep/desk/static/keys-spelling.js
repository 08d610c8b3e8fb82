// How keys are spelled: KeyboardEvent.key, after "Ctrl+", "Alt+", "Shift+" in that order; "Space" for " ". Letters are
// small ("Shift+a"), and other signs have no "Shift+", as it depends on the keyboard whether they need it ("?", "[").

/** What the browser, or moving about in a page, needs for itself. */
const RESERVED = new Set([
  "Tab", "Shift+Tab", "Ctrl+Tab", "Ctrl+Shift+Tab", "F5", "Ctrl+F5", "F6", "F11", "F12", "Alt+F4", "Alt+d", "Alt+Home",
  "Alt+ArrowLeft", "Alt+ArrowRight", "Ctrl+Shift+i", "Ctrl+Shift+n", "Ctrl+Shift+r", "Ctrl+Shift+t", "Ctrl+Shift+w",
  "Ctrl++", "Ctrl+-", "Ctrl+0", "Ctrl+=", ..."acfhjklnopqrtvwx".split("").map((letter) => `Ctrl+${letter}`),
]);
const MODIFIERS = new Set(["Shift", "Control", "Alt", "AltGraph", "Meta", "CapsLock", "NumLock", "ScrollLock", "Fn", "OS"]);
/** @type {Record<string, string>} */
const WORDS = {
  Space: "space", ArrowLeft: "←", ArrowRight: "→", ArrowUp: "↑", ArrowDown: "↓", Escape: "Esc", Backspace: "⌫",
  PageUp: "page up", PageDown: "page down", Delete: "delete", Insert: "insert",
};

/** Whether a key belongs to the browser. @param {string} spelled */
export const reserved = (spelled) => RESERVED.has(spelled) || /^Ctrl\+[1-9]$/.test(spelled);

/** Whether an event is no key to be used yet: a modifier alone, a dead key, a word that an input method composes. @param {KeyboardEvent} event */
export function unfinished(event) {
  return event.isComposing || event.keyCode === 229 || MODIFIERS.has(event.key)
    || ["Process", "Dead", "Unidentified", ""].includes(event.key);
}

/**
 * The spellings of a key that was pressed, the likeliest first: by the sign that it writes, then by its place for digits
 * (a French keyboard's upper row), keypads, and letters that Alt turns into others (Macintosh).
 * @param {KeyboardEvent} event
 * @returns {string[]}
 */
export function spellings(event) {
  const mac = /^Mac/.test(navigator.platform);
  const sign = [...event.key].length === 1 && event.key !== " ";
  const chosen = event.getModifierState("AltGraph") && sign;
  if (event.metaKey && !mac) return [];
  const held = {
    ctrl: (event.ctrlKey || event.metaKey) && !chosen,
    alt: event.altKey && !chosen,
    shift: event.shiftKey,
  };
  const found = [joined(held, event.key)];
  if (mac && held.alt && sign) found.push(joined({...held, alt: false}, event.key, true));
  const digit = /^(?:Digit|Numpad)([0-9])$/.exec(event.code);
  if (digit && (sign || event.code.startsWith("Digit")) && !chosen) found.push(withModifiers(held, digit[1]));
  const letter = /^Key([A-Z])$/.exec(event.code);
  if (letter && held.alt && !/^[a-z]$/i.test(event.key)) found.push(joined(held, letter[1].toLowerCase()));
  return [...new Set(found)].filter((each) => each !== "");
}

/** The one way to spell a key that somebody spelled. @param {string} text */
export function respelled(text) {
  const held = {ctrl: false, alt: false, shift: false};
  let rest = text.trim();
  for (let found; (found = /^(ctrl|alt|shift)\+(?=.)/i.exec(rest)); rest = rest.slice(found[0].length)) {
    held[/** @type {"ctrl" | "alt" | "shift"} */ (found[1].toLowerCase())] = true;
  }
  if (/^[A-Z]$/.test(rest)) held.shift = true;
  return /^[0-9]$/.test(rest) ? withModifiers(held, rest) : joined(held, rest);
}

/** A key as words to show, part by part: `["Ctrl", "Shift", "←"]`. @param {string} spelled */
export function partsOf(spelled) {
  const parts = [];
  let rest = spelled;
  for (let found; (found = /^(Ctrl|Alt|Shift)\+(?=.)/.exec(rest)); rest = rest.slice(found[0].length)) parts.push(found[1]);
  return rest ? [...parts, WORDS[rest] ?? rest] : [];
}

/** The digit that a key press types, of the upper row or the keypad, on any keyboard; null for others. @param {KeyboardEvent} event @returns {number | null} */
export function digitOf(event) {
  if (unfinished(event) || event.ctrlKey || event.altKey || event.metaKey) return null;
  if (/^[0-9]$/.test(event.key)) return Number(event.key);
  const place = /^Digit([0-9])$/.exec(event.code);
  return place && !event.shiftKey && !/^[a-z]$/i.test(event.key) ? Number(place[1]) : null;
}

/** @param {{ctrl: boolean, alt: boolean, shift: boolean}} held @param {string} key @param {boolean} [plain] the sign needed its modifiers */
function joined(held, key, plain = false) {
  const sign = [...key].length === 1 && key !== " ";
  const letter = sign && key.toLowerCase() !== key.toUpperCase();
  const name = key === " " ? "Space" : letter ? key.toLowerCase() : key;
  return withModifiers({...held, shift: held.shift && (!sign || letter) && !plain}, name);
}

/** @param {{ctrl: boolean, alt: boolean, shift: boolean}} held @param {string} name */
function withModifiers(held, name) {
  return `${held.ctrl ? "Ctrl+" : ""}${held.alt ? "Alt+" : ""}${held.shift ? "Shift+" : ""}${name}`;
}
