// One shape of a drawn page, and the few lines that everything is drawn with: the browser's copy of press/shape.py.

/** @typedef {{tag: string, paint: string, attributes: Object<string, string>, text: string, stroke: number}} Shape */

/** A coordinate with at most two decimals; halves go up. */
export function num(value) {
  return String(Math.floor(value * 100 + 0.5) / 100 || 0);
}

/** @returns {Shape} */
export function shapeOf(tag, paint, attributes, text = "", stroke = 0) {
  return {tag, paint, attributes, text, stroke};
}

export function pathShape(paint, d) {
  return shapeOf("path", paint, {d});
}

export function lineShape(paint, x1, y1, x2, y2) {
  return pathShape(paint, `M${num(x1)} ${num(y1)}L${num(x2)} ${num(y2)}`);
}

export function rectShape(paint, x, y, width, height, radius = 0) {
  const sides = {x: num(x), y: num(y), width: num(width), height: num(height)};
  return shapeOf("rect", paint, radius ? {...sides, rx: num(radius)} : sides);
}

export function textShape(paint, x, y, words, attributes = {}) {
  return shapeOf("text", paint, {x: num(x), y: num(y), ...attributes}, words);
}

/** How many degrees a handwritten digit leans: small, and always the same for a digit in a cell. */
export function tiltOf(cell, digit, way) {
  return ((cell * 7 + digit * 5) % (2 * way.tilt + 1)) - way.tilt;
}

/** A handwritten digit about a point, a shape a pen stroke; while hand.share is below 1, only the part written so far. */
export function penDigit(digit, x, y, hand, way, stroke = 0) {
  const scale = hand.size / 100;
  const turn = hand.lean ? ` rotate(${hand.lean})` : "";
  const place = {
    transform: `translate(${num(x)} ${num(y)})${turn} scale(${num(scale)})`,
    "stroke-width": num(hand.weight / scale),
  };
  const share = hand.share ?? 1;
  const parts = way.pen[digit];
  let left = share * parts.reduce((sum, part) => sum + part.length, 0);
  const shapes = [];
  for (const part of parts) {
    if (left <= 0) break;
    const dashes = share >= 1 || left >= part.length ? {} : {"stroke-dasharray": `${num(left)} 400`};
    shapes.push(shapeOf("path", hand.paint, {d: part.d, ...place, ...dashes}, "", stroke));
    left -= part.length;
  }
  return shapes;
}

/** A printed digit about a point. */
export function printedDigit(digit, x, y, size, way) {
  const transform = `translate(${num(x)} ${num(y)}) scale(${num(size / 100)})`;
  return shapeOf("path", "given", {d: way.printed[digit], transform});
}
