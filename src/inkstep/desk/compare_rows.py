"""The rows of two logs laid side by side, as the page takes them, with what they come to in words."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from inkstep.desk.answers import words
from inkstep.desk.compare_sides import Side
from inkstep.desk.tracks import Track
from inkstep.ground.clock import spoken_seconds
from inkstep.ground.errors import InputError
from inkstep.trace.comparing import NEAR_MS, Comparison, Difference, Row, compare
from inkstep.trace.editing import shift
from inkstep.trace.sheet import Sheet
from inkstep.trace.strokes import Kind, Stroke
from inkstep.trace.telling import told

#: whose clock the other log's times are shown and merged by: taken to ours, or left as they stand
CLOCKS = ("ours", "theirs")

_WORDS = {
    Difference.CELLS: "other cells",
    Difference.READING: "says something else",
    Difference.PLACE: "written elsewhere",
    Difference.OVER: "written over something else",
    Difference.TEXT: "other words",
}
#: what a row is sorted under in the summary, by its first difference in this order
_SORTS = {
    Difference.KIND: "in kind",
    Difference.CELLS: "in cells",
    Difference.DIGITS: "in digits",
    Difference.READING: "in what they say",
    Difference.PLACE: "in where the ink lies",
    Difference.OVER: "in what is written over",
    Difference.TEXT: "in words",
    Difference.TIME: "in time",
}


def laid_side_by_side(ours: Track, theirs: Side, clock: str = "") -> dict[str, Any]:
    """What the page needs: both logs, the rows, the summary (sentences) and what is to be said of the clocks.

    ``clock`` is one of `CLOCKS`; left empty, the clocks are set alike where they are far apart.

    Raises:
        InputError: ``clock`` is none of them.
    """
    one = ours.log.sheet
    alike = on_one_clock(one, theirs.log.sheet, clock)
    return {
        "ours": _side(ours, one, one.header.title or "this solve"),
        "theirs": _side(theirs.track, alike.sheet, theirs.title),
        "rows": [_row(row, one, alike.sheet) for row in alike.comparison.rows],
        "summary": list(summary(alike.comparison)),
        "clock": {"offset_ms": alike.offset_ms, "taken_out": alike.taken_out, "words": _clock_words(alike)},
    }


@dataclass(frozen=True)
class OneClock:
    """Their sheet as it is compared: with the offset of the clocks taken out of its times, or as it stands.

    ``comparison`` is that of our sheet with it. ``offset_ms`` is how much later their clock is, in milliseconds; None or 0
    where there is nothing to take out. ``refused`` says why it could not be.
    """

    sheet: Sheet
    comparison: Comparison
    offset_ms: int | None
    taken_out: bool = False
    refused: str = ""


def on_one_clock(ours: Sheet, theirs: Sheet, clock: str) -> OneClock:
    """Their sheet by our clock, where that was asked for, or where nothing was and the clocks are far apart.

    Raises:
        InputError: ``clock`` is none of `CLOCKS`.
    """
    if words(clock, "a clock", 20) not in ("", *CLOCKS):
        raise InputError(f"whose clock, one of {', '.join(CLOCKS)}", got=clock)
    found = compare(ours, theirs)
    offset = found.offset_ms
    if not offset or clock == "theirs" or (not clock and not found.taken_out_ms):
        return OneClock(theirs, found, offset)
    try:
        moved = shift(theirs, -offset)
    except InputError:
        refused = "It cannot be taken out: a stroke would come before the clock's start."
        return OneClock(theirs, found, offset, refused=refused)
    # rows are told without an offset that is large; a small one is in them until it is taken out
    return OneClock(moved, found if found.taken_out_ms else compare(ours, moved), offset, taken_out=True)


def _side(track: Track, sheet: Sheet, title: str) -> dict[str, Any]:
    """One log; ``sheet`` has its strokes at the times that are shown."""
    return {"revision": track.log.revision, "title": title, "strokes": list(_strokes(track, sheet))}


def _strokes(track: Track, sheet: Sheet) -> Iterator[dict[str, Any]]:
    wanted = ("id", "kind", "action", "cells", "comment", "add", "change")
    for row, stroke in zip(track.strokes(0), sheet.strokes, strict=True):
        yield {**{name: row[name] for name in wanted}, "at_ms": stroke.at_ms, "told": told(stroke)}


def _row(row: Row, ours: Sheet, theirs: Sheet) -> dict[str, Any]:
    """Numbers of strokes from 0, null where a log has none; ``sort`` is same, ours, theirs or differs."""
    one = ours.strokes[row.ours - 1] if row.ours else None
    other = theirs.strokes[row.theirs - 1] if row.theirs else None
    sort = "same" if row.agrees else "ours" if other is None else "theirs" if one is None else "differs"
    return {
        "ours": row.ours - 1 if row.ours else None,
        "theirs": row.theirs - 1 if row.theirs else None,
        "sort": sort,
        "says": _says(row, one, other),
        "late_ms": row.late_ms,
    }


def _says(row: Row, one: Stroke | None, other: Stroke | None) -> str:
    if one is None or other is None:
        return "only there" if one is None else "only here"
    if row.agrees:
        return "same"
    return ", ".join(_difference_words(difference, row, one, other) for difference in row.differences)


def _difference_words(difference: Difference, row: Row, one: Stroke, other: Stroke) -> str:
    if difference is Difference.TIME:
        return _apart(row.late_ms or 0)
    if difference is Difference.KIND:
        return f"{other.kind} for {one.kind}"
    if difference is Difference.DIGITS:
        return "other digit" if one.kind is Kind.DIGIT else "other digits"
    return _WORDS[difference]


def _apart(late_ms: int) -> str:
    """``0.7 s later``: of theirs, beside ours."""
    return f"{_tenths(late_ms)} {'later' if late_ms > 0 else 'earlier'}"


def _tenths(ms: int) -> str:
    return f"{abs(ms) / 1000:.1f} s"


def summary(comparison: Comparison) -> Iterator[str]:
    """What the rows come to, in a few sentences."""
    rows = comparison.rows
    if not rows:
        yield "Neither log has a stroke yet."
        return
    agreed = sum(row.agrees for row in rows)
    if agreed == len(rows):
        yield f"All {len(rows)} strokes agree." if len(rows) > 1 else "The one stroke agrees."
    else:
        yield f"{agreed} of {len(rows)} strokes agree ({100 * agreed // len(rows)} %)."
        yield _sorted_words(rows)
    if comparison.median_ms is not None and comparison.largest_ms is not None:
        middle, most = spoken_seconds(comparison.median_ms), spoken_seconds(comparison.largest_ms)
        yield f"In time they are {middle} apart at the median, {most} at the most."


def _sorted_words(rows: tuple[Row, ...]) -> str:
    """``Differing: 4 in time, 1 in digits. Only here: 2. Only there: 3.``"""
    sorts = Counter(next(_SORTS[d] for d in _SORTS if d in row.differences) for row in rows if row.differences)
    here, there = sum(row.theirs is None for row in rows), sum(row.ours is None for row in rows)
    parts = ["Differing: " + ", ".join(f"{sorts[sort]} {sort}" for sort in _SORTS.values() if sorts[sort])] if sorts else []
    parts += [f"Only here: {here}"] if here else []
    parts += [f"Only there: {there}"] if there else []
    return ". ".join(parts) + "."


def _clock_words(clock: OneClock) -> str:
    """What is to be said of the clocks; nothing where they agree to the tenth of a second."""
    if not clock.offset_ms or (abs(clock.offset_ms) < 100 and not clock.taken_out):
        return ""
    late = "later" if clock.offset_ms > 0 else "earlier"
    said = f"Their clock runs {_tenths(clock.offset_ms)} {late} than ours."
    if clock.refused:
        return f"{said} {clock.refused}"
    if clock.taken_out:
        return f"{said} That is taken out of their times, here and in what is written."
    if abs(clock.offset_ms) >= NEAR_MS:
        return f"{said} Their times stay as they stand; the rows are told without the difference."
    return said
