"""The shapes a page is drawn with, in the order they are painted. ``page/shapes.js`` makes the same list."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from inkstep.press.drawing import Drawing
from inkstep.press.evidence import above_ink, below_ink, tints
from inkstep.press.layout import Margins, Spot, lay_out, middle, shown_text
from inkstep.press.lines import Hand, Shape, line, num, path, pen_digit, printed_digit, rect, text, tilt
from inkstep.press.manner import BOX, SIDE, Manner, manner

#: what lies below what: marks under digits, so that a digit is seen to be written over them
_LAYERS = ("mark", "note", "pen", "given")


def shapes_of(drawing: Drawing, *, share: float = 1.0, way: Manner | None = None) -> tuple[Shape, ...]:
    """The whole picture without its ground.

    ``share`` from 0 to 1 is how much of the digits of ``evidence.written`` is written.
    """
    way = way or manner()
    spots = lay_out(drawing.ink, way)
    being_written = set(drawing.evidence.written)
    return (
        *_sheet(drawing, way),
        *_labels(way),
        *below_ink(drawing.evidence, way),
        *_ink([spot for spot in spots if _key(spot) not in being_written], way),
        *_written(drawing, share, way),
        *above_ink(drawing.evidence, spots, way),
    )


def view_box(margins: Margins, way: Manner | None = None) -> tuple[float, float, float, float]:
    """Left, top, width and height of the picture in units."""
    way = way or manner()
    width = margins.left + way.grid + margins.right
    return -margins.left, -margins.top, width, margins.top + way.grid + margins.bottom


def _sheet(drawing: Drawing, way: Manner) -> Iterator[Shape]:
    yield rect("sheet", 0, 0, way.grid, way.grid)
    yield from tints(drawing.evidence, way)
    thin = [index for index in range(SIDE + 1) if index % BOX]
    yield path("thin", _rules(thin, 0, way))
    yield path("box", _rules(range(0, SIDE + 1, BOX), way.overshoot, way))


def _rules(indices: Sequence[int], over: int, way: Manner) -> str:
    ends = f"{num(-over)} ", f"H{num(way.grid + over)}", f"V{num(way.grid + over)}"
    along = "".join(f"M{ends[0]}{num(index * way.cell)}{ends[1]}" for index in indices)
    return along + "".join(f"M{num(index * way.cell)} {num(-over)}{ends[2]}" for index in indices)


def _labels(way: Manner) -> Iterator[Shape]:
    for index in range(SIDE):
        centre = (index + 0.5) * way.cell
        yield text("label", centre, -21, str(index + 1))
        yield text("label", -25, centre + 6, str(index + 1))


def _key(spot: Spot) -> tuple[int, int] | None:
    """Cell and digit of a written digit that stands."""
    ink = spot.ink
    if ink.kind != "pen" or ink.state != "standing" or spot.cell is None:
        return None
    return spot.cell, ink.digits[0]


def _ink(spots: Sequence[Spot], way: Manner) -> Iterator[Shape]:
    for layer in _LAYERS:
        for spot in spots:
            if spot.ink.kind == layer:
                yield from _piece(spot, way)


def _piece(spot: Spot, way: Manner) -> Iterator[Shape]:
    """One piece of ink where it lies."""
    ink = spot.ink
    if ink.kind == "given":
        yield printed_digit(ink.digits[0], spot.x, spot.y, spot.size, way)
    elif ink.kind == "pen":
        yield from _digit(spot, way)
    elif ink.text and not ink.digits:
        size = {"font-size": num(spot.size), "text-anchor": "middle"}
        written = text("note", spot.x, spot.y + spot.size * 0.3, shown_text(ink), **size)
        yield replace(written, stroke=ink.stroke)
    else:
        yield from _small(spot, way)
    if spot.state == "struck":
        yield _line_through(spot, 3)


_DIGIT_PAINTS = {"crossed": "crossed", "over": "overpen"}


def _digit(spot: Spot, way: Manner) -> Iterator[Shape]:
    ink = spot.ink
    paint = _DIGIT_PAINTS.get(ink.state, "pen")
    hand = Hand(paint, spot.size, way.weight[paint], tilt(spot.cell or 0, ink.digits[0], way))
    yield from pen_digit(ink.digits[0], spot.x, spot.y, hand, way, ink.stroke)
    if ink.state == "crossed":
        yield _slash(spot.x, spot.y, 9.5, ink.stroke)


def _small(spot: Spot, way: Manner) -> Iterator[Shape]:
    """A mark or a noted row of digits."""
    ink = spot.ink
    state = spot.state
    style = "mark" if ink.where in ("cell", "border") else "outside"
    weight = way.weight[style] * spot.size / way.size[style]
    for index, digit in enumerate(ink.digits):
        struck = ink.is_struck(spot.cell, digit)
        paint = "mark" if state == "standing" and not struck else "faded"
        hand = Hand(paint, spot.size, weight, tilt(index, digit, way))
        yield from pen_digit(digit, spot.digit_x(index), spot.y, hand, way, ink.stroke)
        if struck and state != "struck":
            yield _slash(spot.digit_x(index), spot.y, 7, ink.stroke)


def _line_through(spot: Spot, rise: float) -> Shape:
    left, _, right, _ = spot.box
    return replace(line("strike", left - 3, spot.y + rise, right + 3, spot.y - rise), stroke=spot.ink.stroke)


def _slash(x: float, y: float, half: float, stroke: int) -> Shape:
    """A stroke through one digit."""
    return replace(line("strike", x - half, y + half, x + half, y - half), stroke=stroke)


def _written(drawing: Drawing, share: float, way: Manner) -> Iterator[Shape]:
    """The digits being written, as far as ``share``."""
    for cell, digit in drawing.evidence.written:
        x, y = middle(cell, way)
        hand = Hand("pen", way.size["pen"], way.weight["pen"], tilt(cell, digit, way), share)
        yield from pen_digit(digit, x, y + 1, hand, way, -1)
