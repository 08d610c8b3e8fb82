// The keys of the lesson plan: for createKeys. They work while a text is being written, too.

const GROUP = "the lesson plan";

/** @type {import("./keys.js").Action[]} */
export const lessonActions = [
  {name: "lesson-next", key: "Alt+ArrowDown", words: "the next passage", group: GROUP, everywhere: true},
  {name: "lesson-previous", key: "Alt+ArrowUp", words: "the passage before", group: GROUP, everywhere: true},
  {name: "lesson-move-down", key: "Alt+Shift+ArrowDown", words: "move the passage down", group: GROUP, everywhere: true},
  {name: "lesson-move-up", key: "Alt+Shift+ArrowUp", words: "move the passage up", group: GROUP, everywhere: true},
  {name: "lesson-drop", key: "Alt+x", words: "drop the passage, or bring it back", group: GROUP, everywhere: true, once: true},
  {name: "lesson-pause", key: "Alt+p", words: "make a pause before the stroke chosen", group: GROUP, everywhere: true, once: true},
  {name: "lesson-aside", key: "Alt+a", words: "an aside after the passage", group: GROUP, everywhere: true, once: true},
  {name: "lesson-split", key: "Alt+s", words: "split the passage before the stroke chosen", group: GROUP, everywhere: true, once: true},
  {name: "lesson-join", key: "Alt+j", words: "join the passage with the next", group: GROUP, everywhere: true, once: true},
  {name: "lesson-stroke-on", key: "Alt+.", words: "choose the next stroke", group: GROUP, everywhere: true},
  {name: "lesson-stroke-back", key: "Alt+,", words: "choose the stroke before", group: GROUP, everywhere: true},
  {name: "lesson-preview", key: "Alt+v", words: "see the passage on the lesson page", group: GROUP, everywhere: true, once: true},
  {name: "lesson-undo", key: "Ctrl+z", words: "undo (while a text is being written, the browser's own)", group: GROUP, everywhere: true},
  {name: "lesson-redo", key: "Ctrl+Shift+z", also: ["Ctrl+y"], words: "redo", group: GROUP, everywhere: true},
];
