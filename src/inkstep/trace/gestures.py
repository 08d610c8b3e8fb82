"""Gestures: what a person selects and types at the desk, and which strokes that means on the page as it stands."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from inkstep.grid.geometry import CLASSIC
from inkstep.ground.errors import InputError
from inkstep.trace.forms import anchor_kinds, holds, reading_of
from inkstep.trace.grammar import cell_names
from inkstep.trace.pages import Page
from inkstep.trace.quoting import tidy_comment
from inkstep.trace.strikes import notes_at, open_at, strike_at, strike_digit, strike_newest, strike_parts
from inkstep.trace.strokes import OUTSIDE, Kind, Place, Reading, Stroke, Where
from inkstep.trace.telling import SIDES, told, told_of_each
from inkstep.trace.writing import stroke_lines

#: ink inside the cell, or once in each of the cells
INSIDE = Place()


@dataclass(frozen=True, slots=True)
class Gesture:
    """What was selected and typed, before anybody has said what it means.

    ``cells`` and ``digits`` keep the order in which they were selected and typed. ``other`` asks for the other meaning:
    of one cell and one digit a mark instead of the digit, of several cells candidates in each of them, and of a strike the
    mark instead of the digit. ``strike`` crosses out; ``note`` is for digits that claim nothing, and ``text`` is a note in
    words. ``place`` is where the ink lies; outside the frame without a house, it is beside the box that holds the cells, or
    else their row or column. ``house`` says of which house the cells are a digit's places (or a set), where it is not the
    one taken by default; for one cell it means nothing. ``at_ms`` is milliseconds after the clock's start.
    """

    cells: tuple[int, ...] = ()
    digits: tuple[int, ...] = ()
    other: bool = False
    strike: bool = False
    place: Place = INSIDE
    house: int | None = None
    text: str = ""
    note: bool = False
    at_ms: int | None = None
    comment: str = ""


def stroke_of(gesture: Gesture, page: Page) -> Stroke:
    """The one stroke that ``gesture`` means on ``page``, the page before it.

    Raises:
        InputError: it means nothing there, or several strokes (see `strokes_of`).
    """
    first, *more = strokes_of(gesture, page)
    if more:
        raise InputError("a gesture that is one stroke", got=f"{len(more) + 1} marks, one in each cell")
    return first


def strokes_of(gesture: Gesture, page: Page) -> tuple[Stroke, ...]:
    """The strokes that ``gesture`` means on ``page``, in order: one, or candidates in each of several cells.

    They have the gesture's time, and the first has its comment. What the paper allows raises no objection there.

    Raises:
        InputError: the gesture means nothing on this page; the sentence says what would.
    """
    _check(gesture)
    if gesture.strike:
        bare: tuple[Stroke, ...] = (_struck(gesture, page),)
    elif gesture.note or gesture.text:
        bare = (_note(gesture),)
    else:
        bare = _written(gesture, page)
    strokes = tuple(replace(stroke, at_ms=gesture.at_ms) for stroke in bare)
    strokes = (replace(strokes[0], comment=tidy_comment(gesture.comment.split("\n"))), *strokes[1:])
    for stroke in strokes:
        tuple(stroke_lines(stroke))  # raises where no line of a sheet could say it
    return strokes


def meaning(gesture: Gesture, page: Page) -> str:
    """A short sentence of what ``gesture`` would write on ``page``, for a status line.

    Raises:
        InputError: as `strokes_of`; its sentence is the one to show.
    """
    first, *more = strokes_of(gesture, page)
    if more:
        return told_of_each(first, len(more) + 1)
    return told(first)


def _check(gesture: Gesture) -> None:
    cells = gesture.cells
    if not all(cell in range(CLASSIC.cells) for cell in cells) or len(set(cells)) < len(cells):
        raise InputError("cells of the grid, each once", got=" ".join(map(str, cells)))
    if not all(digit in CLASSIC.digits for digit in gesture.digits):
        raise InputError("digits from 1 to 9", got=" ".join(map(str, gesture.digits)))
    if gesture.text and gesture.digits:
        raise InputError("a note in words or in digits, one of the two")
    if gesture.house is not None and gesture.house not in range(len(CLASSIC.house_cells)):
        raise InputError("a row, column or box", got=str(gesture.house))


def _written(gesture: Gesture, page: Page) -> tuple[Stroke, ...]:
    """A digit or marks."""
    cells, digits = gesture.cells, gesture.digits
    if not cells:
        raise InputError("a cell to write in", hint="select one, or write a note")
    if not digits:
        raise InputError("a digit", hint=f"type what is written in {cell_names(cells)}")
    if len(cells) == len(digits) == 1 and not gesture.other and gesture.place == INSIDE:
        return (_digit(cells[0], digits[0], page),)
    if len(set(digits)) < len(digits):
        raise InputError("each digit once", got="".join(map(str, digits)))
    place = _placed(gesture)
    if gesture.other:
        return tuple(_mark((cell,), digits, None, place) for cell in cells)
    return (_mark(cells, digits, gesture.house, place),)


def _digit(cell: int, digit: int, page: Page) -> Stroke:
    name, stands = CLASSIC.cell_name(cell), page.digits[cell]
    if page.givens[cell]:
        raise InputError("a digit in an empty cell", hint=f"{name} holds the given {stands}")
    if stands == digit:
        raise InputError("another digit than the one that stands there", hint=f"{name} holds the {stands} already")
    over = any(inked.stroke.place.where in (Where.CELL, Where.BORDER) for inked in open_at(page, cell))
    return Stroke(Kind.DIGIT, cells=(cell,), digits=(digit,), replaces=stands or None, over=over)


def _mark(cells: tuple[int, ...], digits: tuple[int, ...], house: int | None, place: Place) -> Stroke:
    if len(cells) > 1 and len(digits) not in (1, len(cells)):
        expected = f"1 digit or {len(cells)} for {len(cells)} cells"
        hint = "ask for the other meaning to note the digits in each of the cells"
        raise InputError(expected, got=f"{len(digits)} digits", hint=hint)
    if place.where is Where.BORDER and not _neighbours(cells):
        hint = "ink across a border lies between two neighbours"
        raise InputError("two cells that share a border", got=cell_names(cells), hint=hint)
    reading = reading_of(cells, digits)
    house = None if reading is Reading.CELL else _house(cells, house, needed=reading is Reading.PLACES)
    return Stroke(Kind.MARK, cells=cells, digits=digits, reading=reading, house=house, place=place)


def _house(cells: tuple[int, ...], said: int | None, *, needed: bool) -> int | None:
    """The house ``said``, or where one is needed that which the cells share, the box before the line."""
    if said is not None and not holds(said, cells):
        raise InputError(f"cells that all lie in {CLASSIC.house_name(said)}", got=cell_names(cells))
    if said is not None or not needed:
        return said
    shared = _shared(cells)
    if not shared:
        hint = "a digit's places lie in one house"
        raise InputError("cells of one row, column or box", got=cell_names(cells), hint=hint)
    return shared[-1]


def _placed(gesture: Gesture) -> Place:
    """Where the ink lies, with the house that it stands beside worked out from the cells where none is said."""
    where, house = gesture.place.where, gesture.place.house
    if where not in OUTSIDE or house is not None:
        return gesture.place
    kinds = anchor_kinds(where)
    beside = [house for house in _shared(gesture.cells) if CLASSIC.house_kind(house) in kinds]
    if not gesture.cells or not beside:
        got = cell_names(gesture.cells) or "no cells"
        raise InputError(f"cells of one {kinds[1]} or {kinds[0]}, for the ink {SIDES[where]} it", got=got)
    return Place(where, beside[-1])


def _struck(gesture: Gesture, page: Page) -> Stroke:
    """Something crossed out: the digits typed, the note asked for, or the newest that stands there."""
    cells, digits = gesture.cells, gesture.digits
    outside = gesture.place.where in OUTSIDE
    place = _placed(gesture) if outside else None
    if gesture.note or gesture.text:
        return strike_newest(notes_at(page, cells, place, gesture.text, digits), page)
    if not (cells or outside):
        raise InputError("a cell, or a place outside the frame, where something is crossed out")
    if not digits:
        return strike_at(page, cells, place)
    if len(cells) == len(digits) == 1 and not gesture.other and page.digits[cells[0]] == digits[0]:
        return strike_digit(page, cells[0])
    return strike_parts(page, cells, digits, gesture.house)


def _note(gesture: Gesture) -> Stroke:
    if not (gesture.text or gesture.digits):
        raise InputError("words or digits for the note")
    place = _placed(gesture)
    cells = () if place.where in OUTSIDE else gesture.cells
    if place.where is Where.BORDER and not _neighbours(cells):
        hint = "ink across a border lies between two neighbours"
        raise InputError("two cells that share a border", got=cell_names(cells) or "no cells", hint=hint)
    return Stroke(Kind.NOTE, cells=cells, digits=gesture.digits, text=gesture.text, place=place)


def _shared(cells: Sequence[int]) -> tuple[int, ...]:
    return CLASSIC.shared_houses(sum(1 << cell for cell in cells))


def _neighbours(cells: Sequence[int]) -> bool:
    """Whether they are two cells side by side or one above the other."""
    if len(cells) != 2:
        return False
    (row, column), (other_row, other_column) = (divmod(cell, CLASSIC.size) for cell in cells)
    return abs(row - other_row) + abs(column - other_column) == 1
