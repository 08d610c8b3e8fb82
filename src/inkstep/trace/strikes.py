"""Which ink of a page a strike crosses out, and the strike that crosses out what somebody points at."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from inkstep.grid.geometry import CLASSIC
from inkstep.ground.errors import InputError
from inkstep.trace.grammar import cell_names
from inkstep.trace.pages import Page
from inkstep.trace.paper import Inked, State
from inkstep.trace.strokes import Kind, Place, Stroke

Parts = set[tuple[int, int]]


def open_at(page: Page, cell: int) -> Iterator[Inked]:
    """The marks and notes that stand in a cell, not written over there."""
    for kind in (Kind.MARK, Kind.NOTE):
        yield from (inked for inked in _standing(page, kind) if cell in inked.open_cells())


def marks_at(page: Page, cells: Sequence[int], place: Place | None) -> list[Inked]:
    """The standing marks at a place outside the frame, or else at all of the cells, or at any of them; oldest first."""
    marks = list(_standing(page, Kind.MARK))
    if place is not None:
        return [mark for mark in marks if mark.stroke.place == place]
    found = [mark for mark in marks if set(cells) <= {*mark.open_cells()}]
    return found or [mark for mark in marks if set(cells) & {*mark.open_cells()}]


def notes_at(
    page: Page, cells: Sequence[int], place: Place | None, text: str = "", digits: tuple[int, ...] = ()
) -> list[Inked]:
    """The standing notes at a place outside the frame or at some of the cells, oldest first.

    Where neither is named they are looked for everywhere. Notes of other words or digits than those named are left out.
    """
    notes = list(_standing(page, Kind.NOTE))
    if place is not None:
        notes = [note for note in notes if note.stroke.place == place]
    elif cells:
        notes = [note for note in notes if set(cells) & {*note.open_cells()}]
    said = (text, digits)
    return [note for note in notes if said in (("", ()), (note.stroke.text, note.stroke.digits))]


def strike_digit(page: Page, cell: int) -> Stroke:
    """The written digit of a cell crossed out.

    Raises:
        InputError: the digit is a given.
    """
    stands = page.digits[cell]
    if page.givens[cell]:
        raise InputError("a written digit to cross out", hint=f"{CLASSIC.cell_name(cell)} holds the given {stands}")
    return Stroke(Kind.STRIKE, cells=(cell,), digits=(stands,), replaces=stands)


def strike_parts(page: Page, cells: tuple[int, ...], digits: tuple[int, ...], house: int | None) -> Stroke:
    """These digits of these cells crossed out, in the newest mark (of ``house``, where one is said) that has them.

    Raises:
        InputError: no standing mark has them.
    """
    strike = Stroke(Kind.STRIKE, cells=cells, digits=tuple(dict.fromkeys(digits)), house=house)
    if not cells or struck_by(page, strike) is None:
        got = f"{''.join(map(str, digits))} at {cell_names(cells) or 'no cell'}"
        raise InputError("digits that stand in a mark of these cells, to cross them out", got=got)
    return strike


def strike_at(page: Page, cells: tuple[int, ...], place: Place | None) -> Stroke:
    """What stands at the cells, or at a place outside the frame, crossed out whole.

    It is the newest mark; where there is none, the digit of the one cell, and else the newest note.

    Raises:
        InputError: nothing stands there that one stroke can cross out.
    """
    marks = marks_at(page, cells, place)
    if not marks and place is None and len(cells) == 1 and page.digits[cells[0]]:
        return strike_digit(page, cells[0])
    return strike_newest(marks or notes_at(page, cells, place), page)


def strike_newest(found: Sequence[Inked], page: Page) -> Stroke:
    """The newest (last) of the marks or notes in ``found`` crossed out whole.

    Raises:
        InputError: there is none, or one stroke cannot say it.
    """
    if not found:
        raise InputError("a mark or note that still stands here, to cross it out")
    strike = _whole(found[-1])
    hit = struck_by(page, strike)
    if hit is None or hit.number != found[-1].number:
        hint = "cross out the newer ink of the same cells and digits first"
        raise InputError("a mark or note that one stroke can cross out", hint=hint)
    return strike


def struck_by(page: Page, strike: Stroke) -> Inked | None:
    """What `Paper` will take a strike of a mark or note to cross out: the newest it fits whole, else the newest in part."""
    partly: Inked | None = None
    named = {(cell, digit) for cell in strike.cells for digit in strike.digits}
    for inked in reversed(page.ink):
        if inked.state is not State.STANDING or inked.stroke.kind is Kind.DIGIT:
            continue
        if inked.stroke.kind is Kind.NOTE:
            if _same_note(inked.stroke, strike):
                return inked
        elif named and named <= inked.left() and strike.house in (None, inked.stroke.house):
            if named in (inked.left(), _open_parts(inked)):
                return inked
            partly = partly or inked
    return partly


def _standing(page: Page, kind: Kind) -> Iterator[Inked]:
    return (inked for inked in page.ink if inked.stroke.kind is kind and inked.state is State.STANDING)


def _open_parts(mark: Inked) -> Parts:
    return {(cell, digit) for cell, digit in mark.left() if cell not in mark.covered}


def _same_note(note: Stroke, strike: Stroke) -> bool:
    if set(note.cells) != set(strike.cells):
        return False
    if note.cells and note.digits:
        return set(note.digits) == set(strike.digits)
    return (note.text, note.digits, note.place) == (strike.text, strike.digits, strike.place)


def _whole(inked: Inked) -> Stroke:
    """The strike of all that is left of a mark or note, or of all of a mark that is not written over."""
    ink = inked.stroke
    if ink.kind is Kind.NOTE:
        strike = Stroke(Kind.STRIKE, cells=ink.cells, digits=ink.digits, text=ink.text, place=ink.place)
        one = ink.cells and ink.digits
        return replace(strike, digits=tuple(dict.fromkeys(ink.digits)), place=Place()) if one else strike
    for parts in (set(inked.left()), _open_parts(inked)):
        cells = tuple(cell for cell in ink.cells if any(cell == at for at, _ in parts))
        digits = tuple(digit for digit in ink.digits if any(digit == struck for _, struck in parts))
        if len(parts) == len(cells) * len(digits):
            return Stroke(Kind.STRIKE, cells=cells, digits=digits, house=ink.house)
    hint = "parts of it are crossed out already: type the digits that are left in one cell"
    raise InputError("a mark that one stroke can cross out", hint=hint)
