"""Names for strokes that outlast a change of the sheet: made of what a stroke is, never of its number or time."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence

from inkstep.grid.geometry import CLASSIC
from inkstep.trace.strokes import Kind, Place, Stroke, Where


def stroke_keys(strokes: Iterable[Stroke]) -> tuple[str, ...]:
    """A key for each stroke, all different: the second stroke of one key has ``~2`` behind it.

    >>> from inkstep.trace.grammar import read_action
    >>> stroke_keys(map(read_action, ("r5c7 = 8", "r5c12 : 7", "strike r5c7 = 8", "r5c7 = 8")))
    ('r5c7=8', 'r5c1+r5c2:7/box4', 'strike/r5c7=8', 'r5c7=8~2')
    """
    seen: Counter[str] = Counter()
    keys = []
    for stroke in strokes:
        key = _key(stroke)
        seen[key] += 1
        keys.append(key if seen[key] == 1 else f"{key}~{seen[key]}")
    return tuple(keys)


def _key(stroke: Stroke) -> str:
    cells = _cells(stroke.cells)
    digits = "".join(map(str, sorted(stroke.digits)))
    if stroke.kind is Kind.DIGIT:
        return f"{cells}={digits}"
    if stroke.kind is Kind.MARK:
        return f"{cells}:{digits}{_house(stroke.house)}"
    if stroke.kind is Kind.NOTE:
        return f"note/{stroke.text or ''.join(map(str, stroke.digits))}{_place(stroke)}"
    if stroke.replaces is not None:
        return f"strike/{cells}={stroke.replaces}"
    return f"strike/{cells}:{digits}" if stroke.cells else f"strike/{stroke.text or digits}{_place(stroke)}"


def _cells(cells: Sequence[int]) -> str:
    return "+".join(CLASSIC.cell_name(cell) for cell in sorted(cells))


def _house(house: int | None) -> str:
    return "" if house is None else f"/{CLASSIC.house_name(house).replace(' ', '')}"


def _place(stroke: Stroke) -> str:
    if stroke.cells:
        return f"@{_cells(stroke.cells)}"
    if stroke.place == Place() or stroke.place.where is Where.CELL:
        return ""
    return f"@{stroke.place.where}{_house(stroke.place.house)}"
