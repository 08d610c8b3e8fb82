"""Two logs of one recording side by side: which strokes agree, in what the others differ, and one sheet made of both."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum
from statistics import median_low

from inkstep.ground.errors import InputError
from inkstep.trace.pairing import pairs, steady_offset
from inkstep.trace.sheet import Sheet, settled_lines
from inkstep.trace.strokes import Kind, Stroke

#: times nearer than this agree: each of two people presses a key a quarter of a second or less off the pen (common
#: practice has it that a seen event is answered in about that time), so that two may be half a second apart
NEAR_MS = 500


class Difference(StrEnum):
    """In what two logs of one stroke differ."""

    TIME = "time"  #: by ``NEAR_MS`` or more
    KIND = "kind"
    CELLS = "cells"
    DIGITS = "digits"
    READING = "reading"  #: what a mark says, or of which house
    PLACE = "place"  #: where the ink lies
    OVER = "over"  #: what it replaces, or whether it is written over a mark
    TEXT = "text"


class Pick(StrEnum):
    """What of a row goes into the merged sheet."""

    OURS = "ours"
    THEIRS = "theirs"
    BOTH = "both"
    NEITHER = "neither"


@dataclass(frozen=True, slots=True)
class Row:
    """One stroke in both logs, or in one of them.

    ``ours`` and ``theirs`` are the stroke's numbers (from 1), None where a log lacks it. ``late_ms`` is how much later
    theirs is, in milliseconds, once the clocks' offset is taken out; None where a time is unknown, which is no difference.
    """

    ours: int | None
    theirs: int | None
    differences: tuple[Difference, ...] = ()
    late_ms: int | None = None

    @property
    def agrees(self) -> bool:
        """Whether both logs have the stroke and say the same of it."""
        return self.ours is not None and self.theirs is not None and not self.differences


@dataclass(frozen=True)
class Comparison:
    """The rows in order, each stroke of either log in exactly one.

    ``offset_ms`` is how much later their clock is than ours: the median over the strokes that differ in time at most, None
    where fewer than three have times in both. ``taken_out_ms`` is what of it was taken out of the rows: all of it where
    it is ``NEAR_MS`` or more, which is no matter of attention but of where the clock was started, and else nothing.
    ``shift(theirs, -offset_ms)`` of the editing module puts their strokes on our clock for good.
    """

    rows: tuple[Row, ...]
    offset_ms: int | None = None
    taken_out_ms: int = 0

    @property
    def share_agreed(self) -> float:
        """The share of rows that agree, from 0 to 1; 1 where there are none."""
        return sum(row.agrees for row in self.rows) / len(self.rows) if self.rows else 1.0

    @property
    def median_ms(self) -> int | None:
        """The median time between the two logs of a stroke, in milliseconds; None where no stroke has both times."""
        return median_low(times) if (times := self._apart()) else None

    @property
    def largest_ms(self) -> int | None:
        """The largest time between the two logs of a stroke, in milliseconds; None where no stroke has both times."""
        return max(self._apart(), default=None)

    def _apart(self) -> list[int]:
        return [abs(row.late_ms) for row in self.rows if row.late_ms is not None]


def compare(ours: Sheet, theirs: Sheet) -> Comparison:
    """Two logs of one solve, stroke by stroke.

    Comments are not compared. Strokes keep their order: one that the logs have in another order is in two rows, one each.

    Raises:
        InputError: the two sheets have different puzzles.
    """
    _one_puzzle(ours, theirs)
    start = steady_offset(ours.strokes, theirs.strokes) or 0
    paired = pairs(ours.strokes, theirs.strokes, start)
    offset = _offset(ours, theirs, paired)
    taken_out = offset if offset is not None and abs(offset) >= NEAR_MS else 0
    return Comparison(tuple(_rows(ours, theirs, paired, taken_out)), offset, taken_out)


def merged(ours: Sheet, theirs: Sheet, picks: Mapping[int, Pick | str]) -> Sheet:
    """Our sheet with, for some rows of the comparison (counted from 0), what was picked of them.

    A row without a pick is ours, so that what only they have is left out. ``both`` of a pair is our stroke and then
    theirs. A stroke brings its time, its comment and the lines above it as they stand in its sheet.

    Raises:
        InputError: the two sheets have different puzzles, the comparison has no such row, or a pick is no `Pick`.
    """
    rows = compare(ours, theirs).rows
    strange = next((index for index in picks if not 0 <= index < len(rows)), None)
    if strange is not None:
        raise InputError(f"rows from 0 to {len(rows) - 1}" if rows else "a comparison with rows", got=str(strange))
    strokes: list[Stroke] = []
    for index, row in enumerate(rows):
        pick = _pick(picks.get(index, Pick.OURS))
        if row.ours is not None and pick in (Pick.OURS, Pick.BOTH):
            strokes.append(ours.strokes[row.ours - 1])
        if row.theirs is not None and pick in (Pick.THEIRS, Pick.BOTH):
            strokes.append(theirs.strokes[row.theirs - 1])
    strokes[:1] = [replace(stroke, before=settled_lines(stroke.before, first=True)) for stroke in strokes[:1]]
    return replace(ours, strokes=tuple(strokes), after=settled_lines(ours.after, first=not strokes, last=True))


def _pick(pick: Pick | str) -> Pick:
    try:
        return Pick(pick)
    except ValueError:
        raise InputError("ours, theirs, both or neither", got=str(pick)) from None


def _one_puzzle(ours: Sheet, theirs: Sheet) -> None:
    if ours.givens != theirs.givens:
        raise InputError("two sheets of one puzzle", got=f"{ours.header.puzzle} and {theirs.header.puzzle}")


def _offset(ours: Sheet, theirs: Sheet, paired: list[tuple[int, int]]) -> int | None:
    """The median of how much later theirs are, over the pairs that differ in nothing but time."""
    late = [
        _late(one, other)
        for one, other in ((ours.strokes[i], theirs.strokes[j]) for i, j in paired)
        if not any(_differences(one, other))
    ]
    known = [late_ms for late_ms in late if late_ms is not None]
    return median_low(known) if len(known) >= 3 else None


def _rows(ours: Sheet, theirs: Sheet, paired: list[tuple[int, int]], taken_out: int) -> Iterator[Row]:
    i = j = 0
    for at, other_at in [*paired, (len(ours.strokes), len(theirs.strokes))]:
        yield from _alone(ours, theirs, range(i, at), range(j, other_at), taken_out)
        if at < len(ours.strokes):
            yield _pair(ours, theirs, at, other_at, taken_out)
        i, j = at + 1, other_at + 1


def _alone(ours: Sheet, theirs: Sheet, mine: range, others: range, taken_out: int) -> Iterator[Row]:
    """Rows of strokes that only one log has, in the order of their times where these are known, else ours first."""
    left = list(others)
    for i in mine:
        while left and _earlier(theirs.strokes[left[0]], ours.strokes[i], taken_out):
            yield Row(None, left.pop(0) + 1)
        yield Row(i + 1, None)
    yield from (Row(None, j + 1) for j in left)


def _earlier(other: Stroke, one: Stroke, taken_out: int) -> bool:
    late = _late(one, other)
    return late is not None and late < taken_out


def _pair(ours: Sheet, theirs: Sheet, i: int, j: int, taken_out: int) -> Row:
    one, other = ours.strokes[i], theirs.strokes[j]
    late = _late(one, other)
    late = None if late is None else late - taken_out
    times = [Difference.TIME] if late is not None and abs(late) >= NEAR_MS else []
    return Row(i + 1, j + 1, (*times, *_differences(one, other)), late)


def _late(one: Stroke, other: Stroke) -> int | None:
    return None if one.at_ms is None or other.at_ms is None else other.at_ms - one.at_ms


def _differences(one: Stroke, other: Stroke) -> Iterator[Difference]:
    """In what two strokes differ beside their times."""
    ordered = one.kind is Kind.NOTE and other.kind is Kind.NOTE
    same = {
        Difference.KIND: one.kind is other.kind,
        Difference.CELLS: set(one.cells) == set(other.cells),
        Difference.DIGITS: one.digits == other.digits if ordered else set(one.digits) == set(other.digits),
        Difference.READING: (one.reading, one.house) == (other.reading, other.house),
        Difference.PLACE: one.place == other.place,
        Difference.OVER: (one.replaces, one.over) == (other.replaces, other.over),
        Difference.TEXT: one.text == other.text,
    }
    return (difference for difference, agrees in same.items() if not agrees)
