"""One shape of a drawn page, and the few lines that everything is drawn with. ``page/lines.js`` is its copy."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

from inkstep.press.manner import Manner


@dataclass(frozen=True, slots=True)
class Shape:
    """An SVG element: its ``tag``, the ``paint`` of the manner it wears, attributes as text, and what it belongs to.

    ``stroke`` is the number of the stroke whose ink it is, 0 for none.
    """

    tag: str
    paint: str
    attributes: Mapping[str, str] = field(default_factory=dict)
    text: str = ""
    stroke: int = 0


def num(value: float) -> str:
    """A coordinate with at most two decimals; halves go up, as they do in the browser's copy of this function.

    >>> num(12.0), num(0.125), num(-3.5)
    ('12', '0.13', '-3.5')
    """
    rounded = math.floor(value * 100 + 0.5) / 100
    return str(int(rounded)) if rounded == int(rounded) else repr(rounded)


def path(paint: str, d: str, **attributes: str) -> Shape:
    """A path."""
    return Shape("path", paint, {"d": d, **attributes})


def line(paint: str, x1: float, y1: float, x2: float, y2: float) -> Shape:
    """A straight line, as a path."""
    return path(paint, f"M{num(x1)} {num(y1)}L{num(x2)} {num(y2)}")


def rect(paint: str, x: float, y: float, width: float, height: float, radius: float = 0) -> Shape:
    """A rectangle."""
    sides = {"x": num(x), "y": num(y), "width": num(width), "height": num(height)}
    return Shape("rect", paint, sides | ({"rx": num(radius)} if radius else {}))


def text(paint: str, x: float, y: float, words: str, **attributes: str) -> Shape:
    """Words at a point of their base line."""
    return Shape("text", paint, {"x": num(x), "y": num(y), **attributes}, words)


def tilt(cell: int, digit: int, way: Manner) -> int:
    """How many degrees a handwritten digit leans: small, and always the same for a digit in a cell."""
    return (cell * 7 + digit * 5) % (2 * way.tilt + 1) - way.tilt


@dataclass(frozen=True, slots=True)
class Hand:
    """How a handwritten digit looks: its paint, height, weight of line and lean; ``share`` of it that is written."""

    paint: str
    size: float
    weight: float
    lean: int = 0
    share: float = 1.0


def pen_digit(digit: int, x: float, y: float, hand: Hand, way: Manner, stroke: int = 0) -> tuple[Shape, ...]:
    """A handwritten digit about a point, a shape a pen stroke; while ``share`` is below 1, only the part written so far."""
    scale = hand.size / 100
    turn = f" rotate({hand.lean})" if hand.lean else ""
    place = {
        "transform": f"translate({num(x)} {num(y)}){turn} scale({num(scale)})",
        "stroke-width": num(hand.weight / scale),
    }
    parts = way.pen[digit]
    left = hand.share * sum(part.length for part in parts)
    shapes = []
    for part in parts:
        if left <= 0:
            break
        dashes = {} if hand.share >= 1 or left >= part.length else {"stroke-dasharray": f"{num(left)} 400"}
        shapes.append(Shape("path", hand.paint, {"d": part.d, **place, **dashes}, stroke=stroke))
        left -= part.length
    return tuple(shapes)


def printed_digit(digit: int, x: float, y: float, size: float, way: Manner) -> Shape:
    """A printed digit about a point."""
    place = f"translate({num(x)} {num(y)}) scale({num(size / 100)})"
    return Shape("path", "given", {"d": way.printed[digit], "transform": place})
