"""Edits of a sheet: pure functions from sheets to sheets. Strokes are counted from 1, as the pages are."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from inkstep.ground.clock import clock_text
from inkstep.ground.errors import InputError
from inkstep.trace.sheet import Sheet, settled_lines
from inkstep.trace.strokes import Stroke


def insert(sheet: Sheet, number: int, *strokes: Stroke) -> Sheet:
    """The sheet with ``strokes`` in it, the first of them as stroke ``number`` (one past the last appends).

    Raises:
        InputError: the sheet has no such place.
    """
    if not 1 <= number <= len(sheet.strokes) + 1:
        raise InputError(f"a stroke from 1 to {len(sheet.strokes) + 1}", got=str(number))
    at = number - 1
    return replace(sheet, strokes=(*sheet.strokes[:at], *strokes, *sheet.strokes[at:]))


def remove(sheet: Sheet, first: int, last: int | None = None) -> Sheet:
    """The sheet without strokes ``first`` to ``last`` (only ``first`` where no last is given).

    The comment lines that stood above them stay, above what follows.

    Raises:
        InputError: the sheet has no such strokes.
    """
    start, end = _span(sheet, first, first if last is None else last)
    lines = tuple(line for stroke in sheet.strokes[start:end] for line in stroke.before)
    return _above(replace(sheet, strokes=sheet.strokes[:start] + sheet.strokes[end:]), start, lines)


def replace_stroke(sheet: Sheet, number: int, stroke: Stroke) -> Sheet:
    """The sheet with ``stroke`` as stroke ``number``; the comment lines above the old one stay where ``stroke`` has none.

    Raises:
        InputError: the sheet has no such stroke.
    """
    start, end = _span(sheet, number, number)
    new = stroke if stroke.before else replace(stroke, before=sheet.strokes[start].before)
    return replace(sheet, strokes=(*sheet.strokes[:start], new, *sheet.strokes[end:]))


def move(sheet: Sheet, number: int, to: int) -> Sheet:
    """The sheet with stroke ``number`` as stroke ``to``; its time and the comment lines above it go with it.

    Raises:
        InputError: the sheet has no such stroke.
    """
    start, end = _span(sheet, number, number)
    _span(sheet, to, to)
    rest = list(sheet.strokes[:start] + sheet.strokes[end:])
    rest.insert(to - 1, sheet.strokes[start])
    return replace(sheet, strokes=tuple(rest))


def shift(sheet: Sheet, by_ms: int, first: int = 1, last: int | None = None) -> Sheet:
    """The sheet with the known times of strokes ``first`` to ``last`` (all, where not given) later by ``by_ms``.

    A negative ``by_ms`` shifts to earlier times.

    Raises:
        InputError: the sheet has no such strokes, or a time would lie before the clock's start.
    """
    if not sheet.strokes:
        return sheet
    start, end = _span(sheet, first, len(sheet.strokes) if last is None else last)
    moved = tuple(_later(stroke, by_ms) for stroke in sheet.strokes[start:end])
    return replace(sheet, strokes=sheet.strokes[:start] + moved + sheet.strokes[end:])


def cut_idle(sheet: Sheet, from_ms: int, to_ms: int) -> Sheet:
    """The sheet without the stretch of time between two moments (milliseconds) in which nothing was written.

    Strokes at ``to_ms`` or later come earlier by the length of the stretch.

    Raises:
        InputError: the stretch has no length, or a stroke was written inside it.
    """
    if not 0 <= from_ms < to_ms:
        raise InputError("a stretch of time that ends after it begins", got=f"{from_ms} to {to_ms} ms")
    for number, stroke in enumerate(sheet.strokes, 1):
        if stroke.at_ms is not None and from_ms < stroke.at_ms < to_ms:
            where = f"stroke {number} at {clock_text(stroke.at_ms)}"
            raise InputError("a stretch of time in which nothing was written", where=where)
    by = from_ms - to_ms
    strokes = (
        _later(stroke, by) if stroke.at_ms is not None and stroke.at_ms >= to_ms else stroke
        for stroke in sheet.strokes
    )
    return replace(sheet, strokes=tuple(strokes))


def splice(sheet: Sheet, other: Sheet, number: int | None = None, *, shift_ms: int = 0) -> Sheet:
    """The sheet with the strokes of ``other`` after its stroke ``number`` (after the last, where not given; 0: before all).

    The times of ``other`` are made later by ``shift_ms``; the header is that of ``sheet``.

    Raises:
        InputError: the two sheets have different puzzles, there is no such stroke, or a time would become negative.
    """
    if sheet.givens != other.givens:
        raise InputError("two sheets of one puzzle", got=f"{sheet.header.puzzle} and {other.header.puzzle}")
    at = len(sheet.strokes) if number is None else number
    joined = insert(sheet, at + 1, *shift(other, shift_ms).strokes)
    return _above(joined, at + len(other.strokes), other.after)


def trim(sheet: Sheet, first: int = 1, last: int | None = None) -> Sheet:
    """The sheet with strokes ``first`` to ``last`` only (to the end, where no last is given).

    Trimmed at the end, its pages are the first pages of the whole; trimmed at the start, they lack what was written before.

    Raises:
        InputError: the sheet has no such strokes.
    """
    start, end = _span(sheet, first, len(sheet.strokes) if last is None else last)
    after = sheet.after if end == len(sheet.strokes) else ()
    return replace(sheet, strokes=sheet.strokes[start:end], after=after)


def trim_time(sheet: Sheet, from_ms: int, to_ms: int) -> Sheet:
    """The sheet with the strokes from ``from_ms`` to ``to_ms`` (both included), times unchanged.

    A stroke of unknown time stays where the strokes with times around it do.
    """
    kept: list[Stroke] = []
    inside = from_ms <= 0
    for stroke in sheet.strokes:
        if stroke.at_ms is not None:
            inside = from_ms <= stroke.at_ms <= to_ms
        if inside:
            kept.append(stroke)
    return replace(sheet, strokes=tuple(kept))


def _span(sheet: Sheet, first: int, last: int) -> tuple[int, int]:
    """Strokes ``first`` to ``last`` as a slice."""
    most = len(sheet.strokes)
    if not 1 <= first <= last <= most:
        got = str(first) if first == last else f"{first} to {last}"
        raise InputError(f"strokes from 1 to {most}" if most else "a sheet with strokes", got=got)
    return first - 1, last


def _later(stroke: Stroke, by_ms: int) -> Stroke:
    if stroke.at_ms is None:
        return stroke
    at_ms = stroke.at_ms + by_ms
    if at_ms < 0:
        raise InputError("times after the clock's start", got=f"{clock_text(stroke.at_ms)} made earlier by {-by_ms} ms")
    return replace(stroke, at_ms=at_ms)


def _above(sheet: Sheet, index: int, lines: Iterable[str]) -> Sheet:
    """The sheet with comment lines above stroke ``index`` (from 0), or below the last."""
    lines = tuple(lines)
    if not any(lines):
        return sheet
    if index >= len(sheet.strokes):
        return replace(sheet, after=settled_lines((*lines, *sheet.after), first=not sheet.strokes, last=True))
    stroke = sheet.strokes[index]
    stroke = replace(stroke, before=settled_lines((*lines, *stroke.before), first=index == 0))
    return replace(sheet, strokes=(*sheet.strokes[:index], stroke, *sheet.strokes[index + 1 :]))
