"""Evidence drawn on a page, shape first and colour second. ``page/evidence.js`` draws the same."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

from inkstep.press.drawing import Cells, Digits, Evidence, Ink
from inkstep.press.layout import Box, Spot, corner, free_inside, middle
from inkstep.press.lines import Hand, Shape, line, num, path, pen_digit, rect
from inkstep.press.manner import BOX, SIDE, Manner

#: radius of the ring about a digit that was seen, and where its open end lies, in degrees clockwise from the right
_RING = 34
_RING_FROM, _RING_TO = -54, -74
#: how far the ring round a mark stands off
_ROOM = 4.5
#: how far before the middle of a closed cell its bar stands, and half the bar's length
_BAR_BEFORE, _BAR_HALF = 14, 11
_CLOUD_INSET = 8


def below_ink(evidence: Evidence, way: Manner) -> Iterator[Shape]:
    """What lies under the ink: brackets of the houses, frames of the cells being settled, reach lines, threads."""
    for house in evidence.houses:
        yield path("house", _bracket(house, way))
    for cell in evidence.goal:
        x, y = corner(cell, way)
        yield rect("goal", x + 8, y + 8, way.cell - 16, way.cell - 16, 3)
    for cells, _ in evidence.held:
        yield from (_thread(before, after, way) for before, after in pairwise(_clusters(cells)))
    for start, end in evidence.reach:
        yield from _reach(start, end, way)


def tints(evidence: Evidence, way: Manner) -> Iterator[Shape]:
    """The lightest tint over each house in question, under the rules."""
    for house in evidence.houses:
        yield rect("tint", *_extent(house, way))


def above_ink(evidence: Evidence, spots: Sequence[Spot], way: Manner) -> Iterator[Shape]:
    """What is drawn over the ink: rings, clouds, slashes, wavy lines."""
    for cell in evidence.seen:
        yield path("ring", _ring(*middle(cell, way), _RING, _RING))
    for stroke in evidence.read:
        yield from (path("markring", _round(spot.box)) for spot in spots if spot.ink.stroke == stroke)
    taken = [spot.box for spot in spots]
    for cells, digits in evidence.held:
        yield from _held(cells, digits, taken, way)
    for cell, digit in evidence.removed:
        yield from _removed(cell, digit, spots, taken, way)
    for stroke in evidence.doubt:
        yield from (path("wave", _wave(spot.box)) for spot in spots if spot.ink.stroke == stroke)


def _extent(house: int, way: Manner) -> tuple[float, float, float, float]:
    """Left, top, width and height of a house."""
    index, side = house % SIDE, way.cell
    if house < SIDE:
        return 0, index * side, way.grid, side
    if house < 2 * SIDE:
        return index * side, 0, side, way.grid
    return index % BOX * BOX * side, index // BOX * BOX * side, BOX * side, BOX * side


def _bracket(house: int, way: Manner) -> str:
    x, y, width, height = _extent(house, way)
    right, foot, out = num(x + width), num(y + height), 9
    if house < SIDE:
        ends = f"H{-out}V{foot}H0", f"H{way.grid + out}V{foot}H{way.grid}"
        return f"M0 {num(y)}{ends[0]}M{way.grid} {num(y)}{ends[1]}"
    if house < 2 * SIDE:
        ends = f"V{-out}H{right}V0", f"V{way.grid + out}H{right}V{way.grid}"
        return f"M{num(x)} 0{ends[0]}M{num(x)} {way.grid}{ends[1]}"
    return "".join(_elbow(x, y, x + width, y + height))


def _elbow(left: float, top: float, right: float, foot: float) -> Iterator[str]:
    """The four corners of a box's bracket, a little outside its rules."""
    out, arm = 7, 30
    for x, y, dx, dy in ((left, top, 1, 1), (right, top, -1, 1), (right, foot, -1, -1), (left, foot, 1, -1)):
        cx, cy = x - dx * out, y - dy * out
        yield f"M{num(cx)} {num(cy + dy * arm)}V{num(cy)}H{num(cx + dx * arm)}"


def _ring(x: float, y: float, across: float, down: float) -> str:
    start, end = math.radians(_RING_FROM), math.radians(_RING_TO)
    x1, y1 = x + across * math.cos(start), y + down * math.sin(start)
    x2, y2 = x + across * math.cos(end), y + down * math.sin(end)
    return f"M{num(x1)} {num(y1)}A{num(across)} {num(down)} 0 1 1 {num(x2)} {num(y2)}"


def _round(box: Box) -> str:
    """An open ring round a mark."""
    left, top, right, foot = box
    return _ring((left + right) / 2, (top + foot) / 2, (right - left) / 2 + _ROOM, (foot - top) / 2 + _ROOM)


def _reach(start: int, end: int, way: Manner) -> Iterator[Shape]:
    (x1, y1), (x2, y2) = middle(start, way), middle(end, way)
    length = math.hypot(x2 - x1, y2 - y1)
    if length < 1:
        return
    ux, uy = (x2 - x1) / length, (y2 - y1) / length
    bx, by = x2 - ux * _BAR_BEFORE, y2 - uy * _BAR_BEFORE
    yield line("reach", x1 + ux * (_RING + 3), y1 + uy * (_RING + 3), bx, by)
    yield line("bar", bx - uy * _BAR_HALF, by + ux * _BAR_HALF, bx + uy * _BAR_HALF, by - ux * _BAR_HALF)


def _held(cells: Cells, digits: Digits, taken: list[Box], way: Manner) -> Iterator[Shape]:
    for group in _clusters(cells):
        left, top, right, foot = _hull(group, way)
        yield rect("cloud", left, top, right - left, foot - top, 18)
    for cell in cells:
        spot = free_inside(Ink("mark", (cell,), digits), cell, "held", taken, way)
        taken.append(spot.box)
        hand = Hand("held", spot.size, way.weight["held"])
        for index, digit in enumerate(digits):
            yield from pen_digit(digit, spot.digit_x(index), spot.y, hand, way)


def _clusters(cells: Cells) -> list[Cells]:
    """The cells in runs that fill a rectangle; each remaining cell alone."""
    ordered = tuple(sorted(cells))
    rows = {cell // SIDE for cell in ordered}
    columns = {cell % SIDE for cell in ordered}
    area = (max(rows) - min(rows) + 1) * (max(columns) - min(columns) + 1)
    if area == len(ordered):
        return [ordered]
    runs: list[Cells] = []
    for cell in ordered:
        for index, run in enumerate(runs):
            if _prolongs(run, cell):
                runs[index] = (*run, cell)
                break
        else:
            runs.append((cell,))
    return runs


def _prolongs(run: Cells, cell: int) -> bool:
    """Whether a cell lies straight on from the run's last one."""
    step = cell - run[-1]
    if step not in (1, SIDE) or (step == 1 and cell % SIDE == 0):
        return False
    return len(run) == 1 or run[-1] - run[-2] == step


def _hull(cells: Cells, way: Manner) -> Box:
    corners = [corner(cell, way) for cell in cells]
    inset, side = _CLOUD_INSET, way.cell
    return (
        min(x for x, _ in corners) + inset,
        min(y for _, y in corners) + inset,
        max(x for x, _ in corners) + side - inset,
        max(y for _, y in corners) + side - inset,
    )


def _thread(before: Cells, after: Cells, way: Manner) -> Shape:
    """The dotted line that joins two clouds of one held fact, from edge to edge."""
    a, b = _hull(before, way), _hull(after, way)
    x1, y1, x2, y2 = (a[0] + a[2]) / 2, (a[1] + a[3]) / 2, (b[0] + b[2]) / 2, (b[1] + b[3]) / 2
    start, end = _edge(a, x2 - x1, y2 - y1), _edge(b, x1 - x2, y1 - y2)
    return line("cloud", *start, *end)


def _edge(box: Box, dx: float, dy: float) -> tuple[float, float]:
    """Where the ray from the middle of a box in a direction leaves it."""
    half_width, half_height = (box[2] - box[0]) / 2, (box[3] - box[1]) / 2
    share = min(half_width / abs(dx) if dx else math.inf, half_height / abs(dy) if dy else math.inf)
    return (box[0] + box[2]) / 2 + dx * share, (box[1] + box[3]) / 2 + dy * share


def _removed(cell: int, digit: int, spots: Sequence[Spot], taken: list[Box], way: Manner) -> Iterator[Shape]:
    """A slash through the candidate: through the mark that holds it, else through a digit pencilled in for the purpose."""
    spot = next((s for s in spots if s.cell == cell and s.ink.kind == "mark" and digit in s.ink.digits), None)
    if spot is None:
        spot = free_inside(Ink("mark", (cell,), (digit,)), cell, "mark", taken, way)
        taken.append(spot.box)
        yield from pen_digit(digit, spot.x, spot.y, Hand("faded", spot.size, way.weight["mark"]), way)
    x = spot.digit_x(spot.ink.digits.index(digit))
    yield line("slash", x - 7, spot.y + 10, x + 7, spot.y - 10)


def _wave(box: Box) -> str:
    """A wavy line under a mark."""
    left, right, y = box[0] - 1, box[2] + 1, box[3] + 3 + (box[3] - box[1]) * 0.06
    waves = max(2, math.floor((right - left) / 8))
    step = (right - left) / waves
    return f"M{num(left)} {num(y)}" + f"q{num(step / 4)} -3.4 {num(step / 2)} 0t{num(step / 2)} 0" * waves
