// The keys of the film: for createKeys([...filmActions, ...own]).

const FILM = "the film";
const PICTURE = "the picture";

/** @type {import("./keys.js").Action[]} */
export const filmActions = [
  {name: "film-play", key: "Space", words: "stop, go", group: FILM, once: true},
  {name: "film-play-anywhere", key: "Ctrl+Space", words: "stop, go, also while typing words", group: FILM, once: true, everywhere: true},
  {name: "film-again", key: "a", words: "see that again, slowed", group: FILM, once: true},
  {name: "film-frame-back", key: ",", words: "a frame back", group: FILM},
  {name: "film-frame-on", key: ".", words: "a frame on", group: FILM},
  {name: "film-second-back", key: "s", words: "a second back", group: FILM},
  {name: "film-second-on", key: "d", words: "a second on", group: FILM},
  {name: "film-ten-back", key: "Shift+s", words: "ten seconds back", group: FILM},
  {name: "film-ten-on", key: "Shift+d", words: "ten seconds on", group: FILM},
  {name: "film-slower", key: "[", words: "slower", group: FILM},
  {name: "film-faster", key: "]", words: "faster", group: FILM},
  {name: "film-loop-start", key: "i", words: "the loop starts here", group: FILM, once: true},
  {name: "film-loop-end", key: "o", words: "the loop ends here", group: FILM, once: true},
  {name: "film-loop-off", key: "l", words: "no loop", group: FILM, once: true},
  {name: "film-clock-start", key: "Shift+c", words: "the clock starts at this frame", group: FILM, once: true},
  {name: "film-sound", key: "Shift+m", words: "sound on, off", group: FILM, once: true},
  {name: "film-closer", key: "+", also: ["="], words: "closer", group: PICTURE},
  {name: "film-farther", key: "-", words: "farther away", group: PICTURE},
  {name: "film-whole", key: "0", words: "the whole picture", group: PICTURE, once: true},
  {name: "film-paper", key: "f", words: "the paper fills the frame", group: PICTURE, once: true},
  {name: "film-turn", key: "t", words: "a quarter turn", group: PICTURE, once: true},
];
