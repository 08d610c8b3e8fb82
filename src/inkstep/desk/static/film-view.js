// The picture in its frame: how near, which part, which way up. Drawn by a transform; nothing is cut off the film itself.

const NEAREST = 12;
/** A key's step nearer or farther. */
const STEP = 1.25;
/** Pixels that the pointer may move in a click. */
const STILL_PX = 4;

/** @typedef {{scale: number, x: number, y: number}} Zoom the point of the picture (in shares) that lies in the middle */
/** @typedef {{left: number, top: number, right: number, bottom: number}} Part of the picture, in shares */

/**
 * @param {HTMLElement} stage
 * @param {HTMLVideoElement} video
 * @param {{changed: () => void, clicked: () => void}} hear
 */
export function createView(stage, video, hear) {
  /** @type {Zoom} */
  let zoom = {scale: 1, x: 0.5, y: 0.5};
  let turn = 0;

  /** The picture's size on the screen at scale 1, before it is turned, and the stage's. */
  function sizes() {
    const [wide, high] = [stage.clientWidth || 1, stage.clientHeight || 1];
    const [w, h] = [video.videoWidth || 16, video.videoHeight || 9];
    const across = turn % 180 ? h : w;
    const down = turn % 180 ? w : h;
    const base = Math.min(wide / across, high / down);
    return {wide, high, w: w * base, h: h * base};
  }

  function draw() {
    const {wide, high, w, h} = sizes();
    video.style.width = `${w}px`;
    video.style.height = `${h}px`;
    video.style.transform = `translate(${wide / 2}px, ${high / 2}px) rotate(${turn}deg) scale(${zoom.scale}) translate(${-zoom.x * w}px, ${-zoom.y * h}px)`;
  }

  /** A way on the screen as a way on the picture, in shares. @param {number} dx @param {number} dy */
  function onPicture(dx, dy) {
    const {w, h} = sizes();
    const angle = (-turn * Math.PI) / 180;
    const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
    return [(dx * cos - dy * sin) / (w * zoom.scale), (dx * sin + dy * cos) / (h * zoom.scale)];
  }

  /** Keep the picture in the frame: what is smaller than the frame lies in its middle. @param {Zoom} wish */
  function set(wish) {
    const scale = Math.max(1, Math.min(NEAREST, wish.scale));
    const {wide, high, w, h} = sizes();
    const [seenW, seenH] = turn % 180 ? [high, wide] : [wide, high];
    zoom = {scale, x: kept(wish.x, seenW / (w * scale)), y: kept(wish.y, seenH / (h * scale))};
    draw();
    hear.changed();
  }

  /** Nearer or farther, so that a point of the stage stays where it is. @param {number} by @param {number} [px] @param {number} [py] */
  function nearer(by, px = stage.clientWidth / 2, py = stage.clientHeight / 2) {
    const scale = Math.max(1, Math.min(NEAREST, zoom.scale * by));
    const [dx, dy] = onPicture(px - stage.clientWidth / 2, py - stage.clientHeight / 2);
    const share = 1 - zoom.scale / scale;
    set({scale, x: zoom.x + dx * share, y: zoom.y + dy * share});
  }

  /** Move what is seen. @param {number} dx pixels @param {number} dy */
  function pan(dx, dy) {
    const [x, y] = onPicture(dx, dy);
    set({...zoom, x: zoom.x - x, y: zoom.y - y});
  }

  /** Let a part of the picture fill the frame. @param {Part} part */
  function fill(part) {
    const {wide, high, w, h} = sizes();
    const [seenW, seenH] = turn % 180 ? [high, wide] : [wide, high];
    const scale = Math.min(seenW / ((part.right - part.left) * w), seenH / ((part.bottom - part.top) * h));
    set({scale, x: (part.left + part.right) / 2, y: (part.top + part.bottom) / 2});
  }

  handsOn(stage, {pan, nearer, clicked: hear.clicked, isNear: () => zoom.scale > 1});
  new ResizeObserver(draw).observe(stage);
  video.addEventListener("resize", draw);

  return {
    pan,
    fill,
    whole: () => set({scale: 1, x: 0.5, y: 0.5}),
    closer: () => nearer(STEP),
    farther: () => nearer(1 / STEP),
    turn() {
      turn = (turn + 90) % 360;
      set(zoom);
    },
    draw,
    /** As it was kept. @param {Zoom | undefined} kept @param {number | undefined} turned */
    restore(kept, turned) {
      turn = turned ?? 0;
      zoom = kept ?? {scale: 1, x: 0.5, y: 0.5};
      draw();
    },
    get state() {
      return {zoom, turn};
    },
  };
}

/** A middle, kept so that the part of this length around it lies within the whole. @param {number} middle @param {number} length */
function kept(middle, length) {
  const half = Math.min(length, 1) / 2;
  return Math.max(half, Math.min(1 - half, middle));
}

/**
 * The pointer on the stage: drag to move, wheel or two fingers to come nearer, a click.
 * @param {HTMLElement} stage
 * @param {{pan: (dx: number, dy: number) => void, nearer: (by: number, px: number, py: number) => void, clicked: () => void, isNear: () => boolean}} act
 */
function handsOn(stage, act) {
  /** @type {Map<number, {x: number, y: number}>} */
  const fingers = new Map();
  let moved = 0;

  stage.addEventListener("pointerdown", (event) => {
    if (event.button !== 0 || (event.target instanceof Element && event.target.closest(".film-notice"))) return;
    stage.setPointerCapture(event.pointerId);
    fingers.set(event.pointerId, {x: event.clientX, y: event.clientY});
    moved = fingers.size > 1 ? STILL_PX + 1 : 0;
  });
  stage.addEventListener("pointermove", (event) => {
    const was = fingers.get(event.pointerId);
    if (!was) return;
    const [dx, dy] = [event.clientX - was.x, event.clientY - was.y];
    moved = Math.max(moved, Math.hypot(dx, dy));
    if (moved <= STILL_PX) return;
    const other = [...fingers].find(([id]) => id !== event.pointerId)?.[1];
    if (other) pinch(was, event, other);
    act.pan(dx / fingers.size, dy / fingers.size);
    fingers.set(event.pointerId, {x: event.clientX, y: event.clientY});
  });
  stage.addEventListener("pointerup", (event) => {
    if (fingers.delete(event.pointerId) && moved <= STILL_PX) act.clicked();
  });
  stage.addEventListener("pointercancel", (event) => fingers.delete(event.pointerId));
  stage.addEventListener("wheel", (event) => {
    if (event.deltaY > 0 && !act.isNear() && !event.ctrlKey) return;
    event.preventDefault();
    const box = stage.getBoundingClientRect();
    const lines = event.deltaMode === WheelEvent.DOM_DELTA_LINE ? 16 : 1;
    const by = Math.exp(-event.deltaY * lines * (event.ctrlKey ? 0.01 : 0.0015));
    act.nearer(by, event.clientX - box.left, event.clientY - box.top);
  }, {passive: false});

  /** @param {{x: number, y: number}} was @param {PointerEvent} now @param {{x: number, y: number}} other */
  function pinch(was, now, other) {
    const box = stage.getBoundingClientRect();
    const by = Math.hypot(now.clientX - other.x, now.clientY - other.y) / Math.max(1, Math.hypot(was.x - other.x, was.y - other.y));
    act.nearer(by, (now.clientX + other.x) / 2 - box.left, (now.clientY + other.y) / 2 - box.top);
  }
}
