"""Where ink lies on the drawn page.

Everything is placed in the order in which it was written, each at the first of its preferred spots that is still free:
so nothing collides, and nothing moves when more is written. A digit's places are marked in the upper corners of their cells,
what a cell may hold at its foot, where a digit written over it leaves it to be seen. ``page/layout.js`` does the same.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import chain

from inkstep.press.drawing import Ink, InkState
from inkstep.press.manner import BOX, SIDE, Manner, manner

Box = tuple[float, float, float, float]

#: middles of the four lines for marks inside a cell, and the free edge, in 90ths of a cell
_LINES = (15, 35, 55, 75)
_EDGE = 7
#: how much smaller marks get in a cell that is full
_SCALES = (1.0, 0.75, 0.55, 0.4)
_NARROW = 0.6
#: signs of text that fit: inside a cell, beside the frame, above or below it
_TEXT_MOST = {"cell": 9, "border": 9, "left": 12, "right": 12, "above": 28, "below": 28}


@dataclass(frozen=True, slots=True)
class Spot:
    """Where one piece of ink lies: its middle, the height of its digits, their distance, the room it takes."""

    ink: Ink
    cell: int | None
    x: float
    y: float
    size: float
    pitch: float
    width: float

    @property
    def box(self) -> Box:
        """Left, top, right and bottom."""
        return (
            self.x - self.width / 2,
            self.y - self.size / 2,
            self.x + self.width / 2,
            self.y + self.size / 2,
        )

    def digit_x(self, index: int) -> float:
        """The middle of the digit at ``index``."""
        return self.x + (index - (len(self.ink.digits) - 1) / 2) * self.pitch

    @property
    def state(self) -> InkState:
        """What became of the ink here."""
        return self.ink.state_at(self.cell)


def corner(cell: int, way: Manner) -> tuple[float, float]:
    """The upper left corner of a cell."""
    return cell % SIDE * way.cell, cell // SIDE * way.cell


def middle(cell: int, way: Manner) -> tuple[float, float]:
    """The middle of a cell."""
    x, y = corner(cell, way)
    return x + way.cell / 2, y + way.cell / 2


def shown_text(ink: Ink) -> str:
    """A note's text, shortened to what fits where it stands."""
    most = _TEXT_MOST.get(ink.where, 9)
    return ink.text if len(ink.text) <= most else ink.text[: most - 1] + "…"


def lay_out(ink: Sequence[Ink], way: Manner | None = None) -> tuple[Spot, ...]:
    """Where each piece of ink lies, in the order given; a mark written once in each of its cells has a spot in each."""
    way = way or manner()
    spots: list[Spot] = []
    taken: list[Box] = []
    for item in ink:
        for cell in item.cells if item.where == "cell" else (None,):
            spot = _spot(item, cell, taken, way)
            spots.append(spot)
            if not _is_large(item):
                taken.append(spot.box)
    return tuple(spots)


def _is_large(ink: Ink) -> bool:
    return ink.kind in ("given", "pen") and ink.state != "crossed"


def _spot(ink: Ink, cell: int | None, taken: Sequence[Box], way: Manner) -> Spot:
    if cell is not None and _is_large(ink):
        x, y = middle(cell, way)
        size = way.size[ink.kind]
        return Spot(ink, cell, x, y + 1, size, 0, size * _NARROW)
    return _first_free(_candidates(ink, cell, way), taken)


def _first_free(candidates: Iterator[Spot], taken: Sequence[Box]) -> Spot:
    last = None
    for spot in candidates:
        last = spot
        if not any(_meet(spot.box, box) for box in taken):
            return spot
    if last is None:
        raise ValueError("ink needs at least one place to be written")
    return last


def _meet(a: Box, b: Box) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def _candidates(ink: Ink, cell: int | None, way: Manner) -> Iterator[Spot]:
    if cell is not None:
        return _inside(ink, cell, way)
    if ink.where == "border" and ink.cells:
        return _across(ink, way)
    return _outside(ink, way)


def _inside(ink: Ink, cell: int, way: Manner) -> Iterator[Spot]:
    left, top = corner(cell, way)
    upper = ink.state == "crossed" or (len(ink.digits) == 1 and len(ink.cells) > 1)
    for scale in _SCALES:
        size, pitch, width = _measure(ink, scale, way.cell - 2 * _EDGE, way)
        lines = _lines(scale) if upper else tuple(reversed(_lines(scale)))
        for line in lines:
            for offset in _offsets(width, way.cell, right_first=not upper or ink.state == "crossed"):
                yield Spot(ink, cell, left + offset, top + line, size, pitch, width)


def _lines(scale: float) -> tuple[float, ...]:
    if scale == 1.0:
        return _LINES
    count = int(80 / (20 * scale))
    return tuple(5 + (index + 0.5) * 80 / count for index in range(count))


def _offsets(width: float, cell: int, *, right_first: bool) -> Iterator[float]:
    """Middles of a mark from both edges of the cell inwards, in turn."""
    step = 0.0
    while step <= cell - 2 * _EDGE - width:
        left, right = _EDGE + width / 2 + step, cell - _EDGE - width / 2 - step
        yield from (right, left) if right_first else (left, right)
        step += 8.5


def free_inside(ink: Ink, cell: int, style: str, taken: Sequence[Box], way: Manner) -> Spot:
    """A free spot for small digits drawn in by evidence: the middle of the cell where it is free."""
    x, y = middle(cell, way)
    size, pitch, width = _measure(ink, 1.0, way.cell - 2 * _EDGE, way, style)
    first = Spot(ink, cell, x, y, size, pitch, width)
    return _first_free(chain((first,), _inside(ink, cell, way)), taken)


def _measure(ink: Ink, scale: float, room: float, way: Manner, style: str = "") -> tuple[float, float, float]:
    """Height, pitch and width of ink written small; digits close up where there is no room."""
    if ink.text and not ink.digits:
        size = (15 if ink.where in ("cell", "border") else 19) * scale
        return size, 0, min(room, len(shown_text(ink)) * size * 0.5)
    style = style or ("mark" if ink.where in ("cell", "border") else "outside")
    size, pitch = way.size[style] * scale, way.pitch[style] * scale
    if ink.state == "crossed":
        size = way.size["crossed"] * scale
    count = max(1, len(ink.digits))
    squeeze = min(1.0, room / (count * pitch))
    return size * squeeze, pitch * squeeze, count * pitch * squeeze


def _across(ink: Ink, way: Manner) -> Iterator[Spot]:
    """Across the border of the first and the last of the cells."""
    xs = [middle(cell, way)[0] for cell in ink.cells]
    ys = [middle(cell, way)[1] for cell in ink.cells]
    x, y = (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2
    for scale in _SCALES:
        size, pitch, width = _measure(ink, scale, way.cell, way)
        for dx, dy in _upright(scale) if len(set(ys)) == 1 else _level(scale, (way.cell - width) / 2):
            yield Spot(ink, None, x + dx, y + dy, size, pitch, width)


def _upright(scale: float) -> Iterator[tuple[float, float]]:
    """Spots on an upright border: at its foot, at its head, towards its middle; then the same a little aside."""
    lines = _lines(scale)
    for dx in (0, 12, -12):
        for low, high in zip(reversed(lines), lines[: (len(lines) + 1) // 2], strict=False):
            yield dx, low - 45
            yield dx, high - 45


def _level(scale: float, aside: float) -> Iterator[tuple[float, float]]:
    """Spots on a level border: its middle, beside that, then a line below and above."""
    for line in (0, 1, -1, 2, -2):
        for dx in (0, aside, -aside):
            yield dx, line * 20 * scale


def _outside(ink: Ink, way: Manner) -> Iterator[Spot]:
    """Outside the frame beside the house, each further one farther out."""
    x, y = _anchor(ink, way)
    size, pitch, width = _measure(ink, 1.0, way.grid, way)
    for step in range(40):
        if ink.where == "below":
            yield Spot(ink, None, x, way.grid + 28 + step * 7, size, pitch, width)
        elif ink.where == "left":
            yield Spot(ink, None, -40 - width / 2 - step * 9, y, size, pitch, width)
        elif ink.where == "right":
            yield Spot(ink, None, way.grid + 22 + width / 2 + step * 9, y, size, pitch, width)
        else:
            yield Spot(ink, None, x, -52 - step * 7, size, pitch, width)


def _anchor(ink: Ink, way: Manner) -> tuple[float, float]:
    """The point of the grid that ink outside it lies beside: its house, else its cells, else the middle."""
    if ink.house is not None:
        index = ink.house % SIDE
        half = way.cell / 2
        if ink.house < SIDE:
            return way.grid / 2, index * way.cell + half
        if ink.house < 2 * SIDE:
            return index * way.cell + half, way.grid / 2
        return (index % BOX * BOX + 1) * way.cell + half, (index // BOX * BOX + 1) * way.cell + half
    if ink.cells:
        spots = [middle(cell, way) for cell in ink.cells]
        return sum(x for x, _ in spots) / len(spots), sum(y for _, y in spots) / len(spots)
    return way.grid / 2, way.grid / 2


@dataclass(frozen=True, slots=True)
class Margins:
    """Free paper around the frame, in units."""

    left: float
    top: float
    right: float
    bottom: float


def margins_for(spots: Sequence[Spot], way: Manner | None = None) -> Margins:
    """The usual margins, widened for what was written outside the frame."""
    way = way or manner()
    boxes = [spot.box for spot in spots]
    pad = 14
    return Margins(
        max([way.margin["left"], *(pad - box[0] for box in boxes)]),
        max([way.margin["top"], *(pad - box[1] for box in boxes)]),
        max([way.margin["right"], *(box[2] - way.grid + pad for box in boxes)]),
        max([way.margin["bottom"], *(box[3] - way.grid + pad for box in boxes)]),
    )
