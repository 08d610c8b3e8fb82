"""A sheet as one JSON record for a notebook or another program, both ways and without loss."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, TypeVar

from inkstep.grid.geometry import CLASSIC
from inkstep.ground.errors import InputError, shown
from inkstep.ground.records import Fields, RecordKind
from inkstep.trace.phrases import house_name
from inkstep.trace.sheet import Audience, Header, Sheet
from inkstep.trace.strokes import Kind, Place, Reading, Stroke, Where
from inkstep.trace.writing import write_sheet

#: the record of a whole solve
SOLVE = RecordKind("inkstep-solve", 1, {})

_Value = TypeVar("_Value")
_Name = TypeVar("_Name", Audience, Kind, Reading, Where)
_TEXTS = ("source", "title", "event", "date", "solver", "recording", "permission", "credit", "language")


def sheet_to_json(sheet: Sheet) -> str:
    """The sheet as a record ``inkstep-solve/1``; every field is there, also where it is empty.

    ``header``, ``strokes`` and ``after`` are those of `Sheet`. The puzzle is a line of 81 characters, a cell ``r5c7``, a
    house ``box 4``, a time milliseconds or null.

    Raises:
        InputError: the sheet holds what no sheet can say.
    """
    write_sheet(sheet)  # raises where a file could not hold the sheet
    header = sheet.header
    head: Fields = {"puzzle": header.puzzle, **{name: getattr(header, name) for name in _TEXTS}}
    head |= {"clock_start_ms": header.clock_start_ms, "audience": header.audience}
    head |= {"other": header.other, "remarks": header.remarks}
    strokes = [_stroke_fields(stroke) for stroke in sheet.strokes]
    return SOLVE.dump({"header": head, "strokes": strokes, "after": sheet.after})


def _stroke_fields(stroke: Stroke) -> Fields:
    return {
        "at_ms": stroke.at_ms,
        "kind": stroke.kind,
        "cells": [CLASSIC.cell_name(cell) for cell in stroke.cells],
        "digits": stroke.digits,
        "reading": stroke.reading,
        "house": house_name(stroke.house) or None,
        "where": stroke.place.where,
        "beside": house_name(stroke.place.house) or None,
        "replaces": stroke.replaces,
        "over": stroke.over,
        "text": stroke.text,
        "comment": stroke.comment,
        "before": stroke.before,
    }


def sheet_from_json(text: str, where: str = "") -> Sheet:
    """The sheet of a record ``inkstep-solve``. A field that is missing is empty; unknown fields are left out.

    Raises:
        InputError: no such record, or what no sheet can say; the sentence names the stroke and the field.
    """
    record = _Record(SOLVE.load(text, where), where)
    header = _header(record.inner("header"))
    strokes = tuple(_stroke(stroke) for stroke in record.inner_list("strokes", "stroke"))
    sheet = Sheet(header, strokes, record.texts("after"))
    try:
        write_sheet(sheet)
    except InputError as error:
        place = ", ".join(filter(None, (where, error.where)))
        raise InputError(error.expected, where=place, got=error.got, hint=error.hint) from None
    return sheet


def _header(record: _Record) -> Header:
    return Header(
        givens=record.take("puzzle", _givens),
        clock_start_ms=record.maybe("clock_start_ms", _whole),
        audience=record.maybe("audience", _named(Audience)),
        other=record.pairs("other"),
        remarks=record.pairs("remarks"),
        **{name: record.maybe(name, _text) or "" for name in _TEXTS},
    )


def _stroke(record: _Record) -> Stroke:
    return Stroke(
        kind=record.take("kind", _named(Kind)),
        at_ms=record.maybe("at_ms", _whole),
        cells=record.several("cells", _cell),
        digits=record.several("digits", _whole),
        reading=record.maybe("reading", _named(Reading)),
        house=record.maybe("house", _house),
        place=Place(record.maybe("where", _named(Where)) or Where.CELL, record.maybe("beside", _house)),
        replaces=record.maybe("replaces", _whole),
        over=record.maybe("over", _flag) or False,
        text=record.maybe("text", _text) or "",
        comment=record.maybe("comment", _text) or "",
        before=record.texts("before"),
    )


class _Record:
    """Fields of JSON, read with the place at which they stand."""

    def __init__(self, values: Fields, where: str) -> None:
        self._values = values
        self._where = where

    def _at(self, name: str) -> str:
        return f"{self._where}, {name}" if self._where else name

    def take(self, name: str, read: Callable[[Any], _Value]) -> _Value:
        """The field as ``read`` understands it.

        Raises:
            InputError: it is missing, or something else.
        """
        value = self._values.get(name)
        try:
            return read(value)
        except InputError as error:
            raise InputError(error.expected, where=self._at(name), got=shown(str(value)), hint=error.hint) from None

    def maybe(self, name: str, read: Callable[[Any], _Value]) -> _Value | None:
        """The field, or None where it is missing or null."""
        return None if self._values.get(name) is None else self.take(name, read)

    def several(self, name: str, read: Callable[[Any], _Value]) -> tuple[_Value, ...]:
        """Each value of a list; none where it is missing."""
        return self.maybe(name, lambda values: tuple(map(read, _list(values)))) or ()

    def texts(self, name: str) -> tuple[str, ...]:
        """The lines of a list of texts."""
        return self.several(name, _text)

    def pairs(self, name: str) -> tuple[tuple[str, str], ...]:
        """The pairs of a list of two texts each."""
        return self.several(name, _pair)

    def inner(self, name: str) -> _Record:
        """The object under ``name``."""
        return _Record(self.take(name, _object), self._at(name))

    def inner_list(self, name: str, each: str) -> Sequence[_Record]:
        """The objects of a list, called ``each`` and counted from 1."""
        values = self.several(name, _object)
        return [_Record(value, self._at(f"{each} {number}")) for number, value in enumerate(values, 1)]


def _list(value: Any) -> list[Any]:
    if not isinstance(value, list):
        raise InputError("a list")
    return value


def _object(value: Any) -> Fields:
    if not isinstance(value, dict):
        raise InputError("an object")
    return value


def _text(value: Any) -> str:
    if not isinstance(value, str):
        raise InputError("text")
    return value


def _pair(value: Any) -> tuple[str, str]:
    if not isinstance(value, list) or len(value) != 2:
        raise InputError("a list of two texts")
    return _text(value[0]), _text(value[1])


def _whole(value: Any) -> int:
    """A whole number, also as a table of floating numbers has it (``25.0``)."""
    if isinstance(value, float) and value.is_integer():
        return int(value)
    if not isinstance(value, int) or isinstance(value, bool):
        raise InputError("a whole number")
    return value


def _flag(value: Any) -> bool:
    if not isinstance(value, bool):
        raise InputError("true or false")
    return value


def _cell(value: Any) -> int:
    return CLASSIC.cell(_text(value))


def _house(value: Any) -> int:
    return CLASSIC.house(_text(value))


def _givens(value: Any) -> tuple[int, ...]:
    line = _text(value)
    if len(line) != CLASSIC.cells or not set(line) <= set(".0123456789"):
        raise InputError(f"{CLASSIC.cells} characters, digits or . for an empty cell")
    return tuple(0 if sign == "." else int(sign) for sign in line)


def _named(names: type[_Name]) -> Callable[[Any], _Name]:
    def read(value: Any) -> _Name:
        try:
            return names(value)
        except ValueError:
            *others, last = names
            raise InputError(f"{', '.join(others)} or {last}") from None

    return read
