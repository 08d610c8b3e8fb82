"""What a well-formed stroke is: the one a line of a sheet can say."""

from __future__ import annotations

from inkstep.grid.geometry import CLASSIC
from inkstep.ground.errors import InputError
from inkstep.trace.strokes import OUTSIDE, Kind, Place, Reading, Stroke, Where

#: times from here on (in milliseconds: a thousand hours) cannot be written
TIME_LIMIT_MS = 3_600_000_000


def reading_of(cells: tuple[int, ...], digits: tuple[int, ...]) -> Reading:
    """What a mark of ``digits`` over ``cells`` asserts.

    Raises:
        InputError: several cells, with neither one digit nor as many digits as cells.
    """
    if len(cells) == 1:
        return Reading.CELL
    if len(digits) == 1:
        return Reading.PLACES
    if len(digits) == len(cells):
        return Reading.SET
    expected = f"one digit, or {len(cells)} digits across {len(cells)} cells"
    raise InputError(expected, got=f"{len(digits)} digits", hint="candidates of single cells are marks of their own")


def anchor_kinds(where: Where) -> tuple[str, str]:
    """The kinds of house that ink on this side of the frame can stand beside."""
    return ("column", "box") if where in (Where.ABOVE, Where.BELOW) else ("row", "box")


def holds(house: int, cells: tuple[int, ...]) -> bool:
    """Whether every one of ``cells`` lies in ``house``."""
    return all(house in CLASSIC.houses_of[cell] for cell in cells)


def flaw_of(stroke: Stroke) -> str:
    """What is expected of such a stroke and not met; the empty text for a stroke that a line can say."""
    if stroke.at_ms is not None and not 0 <= stroke.at_ms < TIME_LIMIT_MS:
        return "a time from 0 to a thousand hours"
    if not all(0 <= cell < CLASSIC.cells for cell in stroke.cells) or len(set(stroke.cells)) < len(stroke.cells):
        return "cells of the grid, each once"
    if not all(digit in CLASSIC.digits for digit in stroke.digits):
        return "digits from 1 to 9"
    if stroke.house is not None and not (0 <= stroke.house < 27 and holds(stroke.house, stroke.cells)):
        return "a house that holds the cells"
    return _place_flaw(stroke.place) or _FLAWS[stroke.kind](stroke)


def _place_flaw(place: Place) -> str:
    if place.where not in OUTSIDE:
        return "" if place.house is None else "a house beside ink outside the frame only"
    kinds = anchor_kinds(place.where)
    if place.house is None or not 0 <= place.house < 27 or CLASSIC.house_kind(place.house) not in kinds:
        return f"a {kinds[0]} or a {kinds[1]} that the ink stands {place.where}"
    return ""


def _digit_flaw(stroke: Stroke) -> str:
    if len(stroke.cells) != 1 or len(stroke.digits) != 1:
        return "one digit in one cell"
    if stroke.replaces is not None and stroke.replaces not in CLASSIC.digits:
        return "a replaced digit from 1 to 9"
    plain = stroke.house is None and stroke.place == Place() and stroke.reading is None and not stroke.text
    return "" if plain else "a digit inside its cell, without reading, house or text"


def _mark_flaw(stroke: Stroke) -> str:
    if not stroke.cells or not stroke.digits or len(set(stroke.digits)) < len(stroke.digits):
        return "a mark of cells and digits, each digit once"
    try:
        reading = reading_of(stroke.cells, stroke.digits)
    except InputError as flaw:
        return flaw.expected
    if stroke.reading is not reading:
        return f"a mark of this shape read as {reading}"
    if reading is Reading.PLACES and stroke.house is None:
        return "the house of a digit's places"
    return "" if _bare(stroke) and not stroke.text else "a mark without text, replaced digit or over"


def _note_flaw(stroke: Stroke) -> str:
    if bool(stroke.text) == bool(stroke.digits):
        return "a note with text or digits, one of the two"
    if any("\ud800" <= sign <= "\udfff" for sign in stroke.text):
        return "text of whole characters"
    if stroke.cells and stroke.outside:
        return "a note in cells or outside the frame, one of the two"
    if not stroke.cells and stroke.place.where is Where.BORDER:
        return "the cells of the border that the note lies across"
    plain = _bare(stroke) and stroke.reading is None and stroke.house is None
    return "" if plain else "a note without reading, house, replaced digit or over"


def _strike_flaw(stroke: Stroke) -> str:
    if stroke.reading is not None or stroke.over:
        return "a strike without reading or over"
    if stroke.crosses_digit:
        plain = stroke.house is None and stroke.place == Place() and not stroke.text
        one = len(stroke.cells) == 1 and stroke.digits == (stroke.replaces,)
        return "" if plain and one else "one cell, and the digit crossed out there"
    if not (stroke.cells and stroke.digits):
        return _note_flaw(stroke)
    if len(set(stroke.digits)) < len(stroke.digits):
        return "each digit once"
    return "" if stroke.place == Place() and not stroke.text else "a struck mark without place or text"


def _bare(stroke: Stroke) -> bool:
    return stroke.replaces is None and not stroke.over


_FLAWS = {Kind.DIGIT: _digit_flaw, Kind.MARK: _mark_flaw, Kind.NOTE: _note_flaw, Kind.STRIKE: _strike_flaw}
