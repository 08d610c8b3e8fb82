"""How one stroke is written in a sheet, both ways: the time and what was inked.

``read_action`` and ``action_text`` are the grammar of ``docs/sheet.md``, without the time and the comment.
"""

from __future__ import annotations

import re
from dataclasses import replace

from inkstep.grid.geometry import CLASSIC
from inkstep.ground.errors import InputError, shown
from inkstep.trace.forms import anchor_kinds, flaw_of, holds, reading_of
from inkstep.trace.phrases import Phrases, house_name, read_phrases
from inkstep.trace.quoting import QUOTED, quoted, unquoted
from inkstep.trace.strokes import OUTSIDE, Kind, Place, Reading, Stroke, Where

_CELLS = re.compile(r"r([0-9]{1,9})c([0-9]{1,9})", re.IGNORECASE | re.ASCII)
_DIGIT_RUN = r"[0-9]++(?:[\s,]++[0-9]++)*"
_DIGITS = re.compile(rf"{_DIGIT_RUN}(?!\w)", re.ASCII)
_NOTE = re.compile(rf"note\s*({QUOTED}|{_DIGIT_RUN}(?!\w))(.*)", re.IGNORECASE | re.DOTALL)
_STRIKE = re.compile(r"strike\s+(.+)", re.IGNORECASE | re.DOTALL)
_AT = re.compile(r"\s*(?:at|in)\s+((?:r[0-9]++c[0-9]++[\s,]*+)++)", re.IGNORECASE | re.ASCII)
_SIGN = re.compile(r"[=:]")

#: what a line of a stroke says after its time
ANY_ACTION = "a stroke such as r5c7 = 8, r5c1 r5c2 : 7, note ... or strike ..."


def read_cells(text: str) -> tuple[int, ...]:
    """The cells of ``r5c1 r5c2``, ``r5c1,r5c2`` or the short form ``r5c12``, in the order written.

    Raises:
        InputError: another form, a cell outside the grid, or one named twice.
    """
    cells: list[int] = []
    for name in re.split(r"[\s,]+", text.strip(", \t")):
        match = _CELLS.fullmatch(name)
        if not match:
            raise InputError("cells such as r5c1 r5c2", got=shown(name))
        if "0" in match[1] + match[2]:
            raise InputError("rows and columns from 1 to 9", got=shown(name))
        if len(match[1]) * len(match[2]) > CLASSIC.size:
            raise InputError("at most nine cells in a short form", got=shown(name))
        cells += [CLASSIC.cell(f"r{row}c{column}") for row in match[1] for column in match[2]]
        if len(set(cells)) < len(cells):
            raise InputError("each cell once", got=shown(text.strip()))
    return tuple(cells)


def read_digits(text: str, *, once: bool = True) -> tuple[int, ...]:
    """The digits of ``45``, ``4 5`` or ``4, 5``, in the order written.

    Raises:
        InputError: a 0, or (with ``once``) a digit twice.
    """
    digits = tuple(int(sign) for sign in text if sign.isdigit())
    if not digits or 0 in digits:
        raise InputError("digits from 1 to 9", got=shown(text.strip()))
    if once and len(set(digits)) < len(digits):
        raise InputError("each digit once", got=shown(text.strip()))
    return digits


def read_action(text: str) -> Stroke:
    """The stroke written in ``text``, without time and comment.

    Raises:
        InputError: the text says no stroke; ``expected`` and ``hint`` say what was looked for.
    """
    stroke = _read(text)
    _refuse(stroke)
    return stroke


def _read(text: str) -> Stroke:
    strike = _STRIKE.match(text)
    if strike:
        return _read_strike(strike[1].strip())
    if re.match(r"note(?![a-z])", text, re.IGNORECASE):
        return _read_note(text)
    sign = _SIGN.search(text)
    if not sign:
        raise InputError(ANY_ACTION, got=shown(text))
    cells = read_cells(text[: sign.start()])
    digits, tail = _digits_and_tail(text[sign.end() :])
    return _read_digit(cells, digits, tail) if sign[0] == "=" else _read_mark(cells, digits, tail)


def _digits_and_tail(text: str) -> tuple[tuple[int, ...], str]:
    text = text.strip()
    match = _DIGITS.match(text)
    if not match:
        raise InputError("digits from 1 to 9", got=shown(text))
    return read_digits(match[0]), text[match.end() :]


def _read_digit(cells: tuple[int, ...], digits: tuple[int, ...], tail: str) -> Stroke:
    if len(cells) != 1 or len(digits) != 1:
        raise InputError("one cell and one digit around =", got=f"{len(cells)} cells, {len(digits)} digits")
    said = read_phrases(tail, "replaces", "over")
    return Stroke(Kind.DIGIT, cells=cells, digits=digits, replaces=said.replaces, over=said.over)


def _read_mark(cells: tuple[int, ...], digits: tuple[int, ...], tail: str) -> Stroke:
    said = read_phrases(tail, "house", "place")
    reading = reading_of(cells, digits)
    house = _house_of(cells, said.house, needed=reading is Reading.PLACES)
    place = _anchored(said, cells)
    return Stroke(Kind.MARK, cells=cells, digits=digits, reading=reading, house=house, place=place)


def _read_note(text: str) -> Stroke:
    match = _NOTE.fullmatch(text)
    if not match:
        raise InputError('a note such as note "8?" left of row 5 or note 369 above box 1', got=shown(text))
    quote, tail = match[1].strip(), match[2]
    note = Stroke(Kind.NOTE)
    if quote.startswith('"'):
        note = replace(note, text=unquoted(quote))
    else:
        note = replace(note, digits=read_digits(quote, once=False))
    at = _AT.match(tail)
    cells = read_cells(at[1]) if at else ()
    said = read_phrases(tail[at.end() :] if at else tail, "place")
    return replace(note, cells=cells, place=Place(said.where, said.anchor))


def _read_strike(text: str) -> Stroke:
    if re.match(r"note(?![a-z])", text, re.IGNORECASE):
        note = _read_note(text)
        place = Place() if note.cells and note.digits else note.place
        return replace(note, kind=Kind.STRIKE, place=place)
    sign = _SIGN.search(text)
    if not sign:
        raise InputError("strike r5c1 r5c2 : 7, strike r5c7 = 8 or strike note ...", got=shown(text))
    cells = read_cells(text[: sign.start()])
    digits, tail = _digits_and_tail(text[sign.end() :])
    if sign[0] == "=":
        digit = _read_digit(cells, digits, "")
        read_phrases(tail)
        return replace(digit, kind=Kind.STRIKE, replaces=digits[0])
    said = read_phrases(tail, "house")
    return Stroke(Kind.STRIKE, cells=cells, digits=digits, house=_house_of(cells, said.house, needed=False))


def _house_of(cells: tuple[int, ...], written: int | None, *, needed: bool) -> int | None:
    """The house ``written``, or the one the cells share, the box before the line."""
    if written is not None and not holds(written, cells):
        raise InputError(f"cells that all lie in {CLASSIC.house_name(written)}", got=cell_names(cells))
    if written is not None or not needed:
        return written
    shared = CLASSIC.shared_houses(sum(1 << cell for cell in cells))
    if not shared:
        raise InputError("cells that lie in one row, column or box", got=cell_names(cells))
    return shared[-1]


def _anchored(said: Phrases, cells: tuple[int, ...]) -> Place:
    """Where a mark lies; outside the frame without a house, it is beside the one that holds its cells, box first."""
    if said.where not in OUTSIDE or said.anchor is not None:
        return Place(said.where, said.anchor)
    kinds = anchor_kinds(said.where)
    shared = CLASSIC.shared_houses(sum(1 << cell for cell in cells))
    beside = [house for house in shared if CLASSIC.house_kind(house) in kinds]
    if not beside:
        expected = f"the {kinds[0]} or {kinds[1]} that the mark stands beside"
        raise InputError(expected, got=f"{said.where} without a house", hint=f"such as {said.where} box 1")
    return Place(said.where, beside[-1])


def cell_names(cells: tuple[int, ...]) -> str:
    """``r5c1 r5c2``."""
    return " ".join(CLASSIC.cell_name(cell) for cell in cells)


def action_text(stroke: Stroke) -> str:
    """The stroke in canonical form, without time and comment.

    >>> action_text(read_action("R5C12:7"))
    'r5c1 r5c2 : 7 in box 4'

    Raises:
        InputError: the stroke is not well formed, so that no line says it.
    """
    _refuse(stroke)
    return _WRITERS[stroke.kind](stroke)


def _digit_text(stroke: Stroke) -> str:
    text = f"{cell_names(stroke.cells)} = {stroke.digits[0]}"
    if stroke.replaces is not None:
        text += f" replaces {stroke.replaces}"
    return f"{text} over" if stroke.over else text


def _mark_text(stroke: Stroke) -> str:
    digits = "".join(map(str, stroke.digits))
    house = "" if stroke.house is None else f" in {CLASSIC.house_name(stroke.house)}"
    return f"{cell_names(stroke.cells)} : {digits}{house}{_place_text(stroke.place)}"


def _note_text(stroke: Stroke) -> str:
    body = quoted(stroke.text) if stroke.text else "".join(map(str, stroke.digits))
    cells = f" at {cell_names(stroke.cells)}" if stroke.cells else ""
    return f"note {body}{cells}{_place_text(stroke.place)}"


def _strike_text(stroke: Stroke) -> str:
    if stroke.crosses_digit:
        return f"strike {cell_names(stroke.cells)} = {stroke.replaces}"
    body = _mark_text(stroke) if stroke.cells and stroke.digits else _note_text(stroke)
    return f"strike {body}"


def _place_text(place: Place) -> str:
    if place.where is Where.CELL:
        return ""
    if place.where is Where.BORDER:
        return " across the border"
    side = f"{place.where} of" if place.where in (Where.LEFT, Where.RIGHT) else f"{place.where}"
    return f" {side} {house_name(place.house)}"


_WRITERS = {
    Kind.DIGIT: _digit_text,
    Kind.MARK: _mark_text,
    Kind.NOTE: _note_text,
    Kind.STRIKE: _strike_text,
}


def _refuse(stroke: Stroke) -> None:
    flaw = flaw_of(stroke)
    if flaw:
        raise InputError(flaw)
