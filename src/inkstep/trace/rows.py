"""A stroke as the row of a table, both ways: what each column holds, and how forgivingly it is read."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from typing import TypeVar

from inkstep.grid.geometry import CLASSIC
from inkstep.ground.clock import clock_text, parse_ms
from inkstep.ground.errors import InputError, shown
from inkstep.trace.damage import DamageList
from inkstep.trace.forms import reading_of
from inkstep.trace.grammar import cell_names, read_cells, read_digits
from inkstep.trace.phrases import house_name
from inkstep.trace.quoting import tidy_comment
from inkstep.trace.strokes import Kind, Place, Reading, Stroke, Where
from inkstep.trace.writing import stroke_lines

#: the columns in the order in which they are written
COLUMNS = (
    "number", "time", "ms", "kind", "cells", "digits", "reading", "house", "where", "beside", "replaces", "over", "text",
    "comment",
)  # fmt: skip
_LINE_END = re.compile("\r\n|\r|\n")
#: what a spreadsheet may take for a formula, after any apostrophes (OWASP, "CSV Injection", from memory)
_FORMULA = re.compile("'*[=+\\-@\t\r\n＝＋－＠]")
_WHOLE = re.compile(r"([0-9]+)(?:\.0*)?", re.ASCII)
_DIGITS = re.compile(r"[1-9](?:[\s,]*[1-9])*", re.ASCII)
_YES = frozenset({"yes", "true", "1", "x", "y"})
_NO = frozenset({"", "no", "false", "0", "n"})
#: a spreadsheet may show a time shortened to seconds; below so many milliseconds the two columns of time do not differ
_SHORTENED_MS = 1000

_Value = TypeVar("_Value")
_Name = TypeVar("_Name", Kind, Reading, Where)


def row_of(number: int, stroke: Stroke) -> Iterator[str | int]:
    """The row of a stroke, a value a column.

    A text that a spreadsheet could take for a formula has an apostrophe before it.
    """
    yield number
    yield "" if stroke.at_ms is None else clock_text(stroke.at_ms)
    yield "" if stroke.at_ms is None else stroke.at_ms
    yield stroke.kind
    yield cell_names(stroke.cells)
    yield " ".join(map(str, stroke.digits))
    yield stroke.reading or ""
    yield house_name(stroke.house)
    yield stroke.place.where
    yield house_name(stroke.place.house)
    yield stroke.replaces or ""
    yield "yes" if stroke.over else ""
    yield _guarded(stroke.text)
    yield _guarded(stroke.comment)


def _guarded(text: str) -> str:
    return f"'{text}" if _FORMULA.match(text) else text


def _unguarded(text: str) -> str:
    return text[1:] if text[:1] == "'" and _FORMULA.match(text) else text


def check_stroke(stroke: Stroke) -> None:
    """Refuse what no line of a sheet can say.

    Raises:
        InputError: the stroke is not well formed, or its comment is no text.
    """
    tuple(stroke_lines(stroke))


class RowReader:
    """Reads one row; ``values`` are the cells of the table by column."""

    def __init__(self, values: Mapping[str, str], line: int, damage: DamageList) -> None:
        self._values = values
        self._line = line
        self._damage = damage

    def stroke(self) -> Stroke:
        """The stroke.

        Raises:
            InputError: the row says none.
        """
        stroke = Stroke(
            kind=self._needed("kind", lambda text: _named(Kind, text)),
            cells=self._read("cells", read_cells) or (),
            digits=self._read("digits", _digits) or (),
            reading=self._read("reading", lambda text: _named(Reading, text)),
            house=self._read("house", CLASSIC.house),
            place=self._place(),
            replaces=self._read("replaces", _digit),
            over=self._read("over", _yes) or False,
            text=_unguarded(self._values.get("text", "")),
            comment=tidy_comment(_LINE_END.split(_unguarded(self._values.get("comment", "")))),
        )
        stroke = replace(_shaped(stroke), at_ms=self._time())
        check_stroke(stroke)
        return stroke

    def _needed(self, column: str, read: Callable[[str], _Value]) -> _Value:
        value = self._values.get(column, "").strip()
        try:
            return read(value)
        except InputError as error:
            raise InputError(error.expected, got=shown(value), hint=f"in the column {column}") from None

    def _read(self, column: str, read: Callable[[str], _Value]) -> _Value | None:
        """The value in a column, None where it is empty or missing."""
        return self._needed(column, read) if self._values.get(column, "").strip() else None

    def _place(self) -> Place:
        where = self._read("where", lambda text: _named(Where, text))
        return Place(where or Where.CELL, self._read("beside", CLASSIC.house))

    def _time(self) -> int | None:
        """The time in milliseconds; one that cannot be read is reported, and unknown."""
        at_ms, shown_ms = self._kept("ms", _whole), self._kept("time", parse_ms)
        if at_ms is None or shown_ms is None:
            return shown_ms if at_ms is None else at_ms
        if abs(at_ms - shown_ms) >= _SHORTENED_MS:
            got = f"{shown_ms - at_ms:+} ms"
            self._damage.add(self._line, got, "the same moment in the columns time and ms", "ms was taken", kept=True)
        return at_ms

    def _kept(self, column: str, read: Callable[[str], int]) -> int | None:
        try:
            return self._read(column, read)
        except InputError as error:
            self._damage.add_error(self._line, self._values[column], error, kept=True)
            return None


def _shaped(stroke: Stroke) -> Stroke:
    """A mark with the reading and the house that its shape has, where the row names none."""
    if stroke.kind is not Kind.MARK or not stroke.cells or not stroke.digits:
        return stroke
    reading = stroke.reading or reading_of(stroke.cells, stroke.digits)
    house = stroke.house
    if reading is Reading.PLACES and house is None:
        shared = CLASSIC.shared_houses(sum(1 << cell for cell in stroke.cells))
        house = shared[-1] if shared else None
    return replace(stroke, reading=reading, house=house)


def _named(names: type[_Name], text: str) -> _Name:
    try:
        return names(text.lower())
    except ValueError:
        *others, last = names
        raise InputError(f"{', '.join(others)} or {last}") from None


def _whole(text: str) -> int:
    """A whole number, also as a spreadsheet or a table of floating numbers writes it (``25.0``)."""
    match = _WHOLE.fullmatch(text)
    if not match or len(match[1]) > 12:
        raise InputError("a whole number")
    return int(match[1])


def _digits(text: str) -> tuple[int, ...]:
    match = _WHOLE.fullmatch(text)
    digits = match[1] if match else text
    if not _DIGITS.fullmatch(digits):
        raise InputError("digits from 1 to 9")
    return read_digits(digits, once=False)


def _digit(text: str) -> int:
    digit, *more = _digits(text)
    if more:
        raise InputError("one digit")
    return digit


def _yes(text: str) -> bool:
    if text.lower() not in _YES | _NO:
        raise InputError("yes, or nothing")
    return text.lower() in _YES
