"""A stroke in a short sentence, for people who look at the paper and not at the sheet."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from inkstep.grid.geometry import CLASSIC
from inkstep.trace.claims import listed
from inkstep.trace.quoting import quoted
from inkstep.trace.strokes import Kind, Place, Reading, Stroke, Where

#: the places outside the frame in words
SIDES = {Where.ABOVE: "above", Where.BELOW: "below", Where.LEFT: "left of", Where.RIGHT: "right of"}
_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")


def told(stroke: Stroke) -> str:
    """What a well-formed stroke writes, without its time and comment.

    >>> told(Stroke(Kind.MARK, cells=(36, 37), digits=(7,), reading=Reading.PLACES, house=21))
    '7 in two places of box 4'
    """
    return _TELLERS[stroke.kind](stroke)


def told_of_each(mark: Stroke, many: int) -> str:
    """What a mark of one cell and those like it in other cells write, ``many`` together.

    >>> told_of_each(Stroke(Kind.MARK, cells=(0,), digits=(2, 5), reading=Reading.CELL), 3)
    'candidates 2 and 5 in each of three cells'
    """
    return f"{_candidates(mark.digits)} in each of {_number(many)} cells{_beside(mark.place)}"


def _number(many: int) -> str:
    return _NUMBERS[many] if many < len(_NUMBERS) else str(many)


def _digits(digits: Sequence[int]) -> str:
    return listed([str(digit) for digit in digits], "and")


def _candidates(digits: Sequence[int]) -> str:
    return f"candidate{'s' if len(digits) > 1 else ''} {_digits(digits)}"


def _cell(cell: int) -> str:
    row, column = divmod(cell, CLASSIC.size)
    return f"row {row + 1}, column {column + 1}"


def _cells(cells: Sequence[int], house: int | None, what: str = "cells") -> str:
    """``row 5, column 7``, or ``two cells of row 3`` (without a house said, the line before the box)."""
    if len(cells) == 1:
        return _cell(cells[0])
    shared = CLASSIC.shared_houses(sum(1 << cell for cell in cells))
    if house is None and not shared:
        return f"{_number(len(cells))} {what}"
    return f"{_number(len(cells))} {what} of {CLASSIC.house_name(shared[0] if house is None else house)}"


def _beside(place: Place) -> str:
    if place.house is not None:
        return f", {SIDES[place.where]} {CLASSIC.house_name(place.house)}"
    return ", across the border" if place.where is Where.BORDER else ""


def _tell_digit(stroke: Stroke) -> str:
    replaced = "" if stroke.replaces is None else f", instead of the {stroke.replaces}"
    return f"{stroke.digits[0]} in {_cell(stroke.cells[0])}{replaced}{', over the mark' if stroke.over else ''}"


def _tell_mark(stroke: Stroke) -> str:
    what = _candidates(stroke.digits) if stroke.reading is Reading.CELL else _digits(stroke.digits)
    cells = _cells(stroke.cells, stroke.house, "places" if stroke.reading is Reading.PLACES else "cells")
    return f"{what} in {cells}{_beside(stroke.place)}"


def _tell_note(stroke: Stroke) -> str:
    said = quoted(stroke.text) if stroke.text else "".join(map(str, stroke.digits))
    cells = f" in {_cells(stroke.cells, None)}" if stroke.cells else ""
    return f"note {said}{cells}{_beside(stroke.place) if cells else _beside(stroke.place).removeprefix(',')}"


def _tell_strike(stroke: Stroke) -> str:
    if stroke.crosses_digit:
        return f"crossed out: the {stroke.replaces} in {_cell(stroke.cells[0])}"
    if stroke.cells and stroke.digits:
        return f"crossed out: {_digits(stroke.digits)} in {_cells(stroke.cells, stroke.house)}"
    return f"crossed out: {_tell_note(stroke)}"


_TELLERS: dict[Kind, Callable[[Stroke], str]] = {
    Kind.DIGIT: _tell_digit,
    Kind.MARK: _tell_mark,
    Kind.NOTE: _tell_note,
    Kind.STRIKE: _tell_strike,
}
