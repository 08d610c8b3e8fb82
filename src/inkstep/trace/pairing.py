"""Which strokes of two logs are the same: the alignment of least cost, in the manner of Needleman & Wunsch (1970).

A stroke that one log lacks costs 1; a pair costs from 0 (the same ink at the same time) to not quite 2, by how unlike it
is. Pairs that would cost 2 or more are no better than two strokes alone, and few strokes are like each other at all: so
instead of filling the whole table, the heaviest chain is looked for among the few pairs that save anything, where a
pair's weight is what it saves. A tree of prefix maxima (Fenwick 1994) finds it in n log n. Weights are in thousandths.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence
from heapq import nsmallest
from statistics import median_low

from inkstep.trace.strokes import Kind, Stroke

#: what a pair saves at best, by how much of it is the same
_SAME_INK = 2000
_SAME_STROKE = 1500  #: kind, cells and digits
_SAME_SPOT = 1000  #: kind and cells: another digit read
_SAME_DIGITS = 800  #: kind and digits, in cells of which some are the same
_SAME_CELLS = 600  #: cells: a digit taken for a mark, say
#: what a difference in time takes off, growing up to ``_FAR_MS`` milliseconds; strokes that are not the same ink and further
#: apart than that are not taken for each other at all
_TIME_COST = 500
_FAR_MS = 10_000
#: of strokes that repeat, so many partners are looked at: the nearest in time, and then in number
_PARTNERS = 24

Key = Callable[[Stroke], Hashable]


def pairs(ours: Sequence[Stroke], theirs: Sequence[Stroke], offset_ms: int = 0) -> list[tuple[int, int]]:
    """The pairs of indices, both ascending, that make the two sequences cost least.

    ``offset_ms`` is how much later the second log's clock is, in milliseconds.
    """
    tree = _Tree(len(theirs))
    behind: dict[tuple[int, int], tuple[int, int] | None] = {}
    for i, saved in enumerate(likes(ours, theirs, offset_ms)):
        found = [(j, weight, *tree.best_below(j)) for j, weight in saved.items()]
        for j, weight, sum_below, last in found:
            behind[i, j] = last
            tree.put(j, sum_below + weight, (i, j))
    pair = tree.best_below(len(theirs))[1]
    chain: list[tuple[int, int]] = []
    while pair is not None:
        chain.append(pair)
        pair = behind[pair]
    return chain[::-1]


def steady_offset(ours: Sequence[Stroke], theirs: Sequence[Stroke]) -> int | None:
    """How much later the second log is, in milliseconds: the median over the ink that each has once; None without any."""
    mine, others = _once(ours), _once(theirs)
    late = [others[ink] - at_ms for ink, at_ms in mine.items() if ink in others]
    return median_low(late) if late else None


def _once(strokes: Sequence[Stroke]) -> dict[Hashable, int]:
    found: dict[Hashable, list[int | None]] = defaultdict(list)
    for stroke in strokes:
        found[_ink(stroke)].append(stroke.at_ms)
    return {ink: times[0] for ink, times in found.items() if len(times) == 1 and times[0] is not None}


class _Tree:
    """The heaviest chain that ends below an index, after Fenwick."""

    def __init__(self, size: int) -> None:
        self._best: list[tuple[int, tuple[int, int] | None]] = [(0, None)] * (size + 1)

    def best_below(self, index: int) -> tuple[int, tuple[int, int] | None]:
        """Weight and last pair of the heaviest chain that ends at an index below ``index``."""
        best = self._best[0]
        while index:
            if self._best[index][0] > best[0]:
                best = self._best[index]
            index &= index - 1
        return best

    def put(self, index: int, weight: int, pair: tuple[int, int]) -> None:
        """Note a chain that ends at ``index``."""
        index += 1
        while index < len(self._best):
            if weight > self._best[index][0]:
                self._best[index] = (weight, pair)
            index += index & -index


def _ink(stroke: Stroke) -> Hashable:
    """All that a stroke says but its time, in the order in which it does not matter."""
    place = (stroke.reading, stroke.house, stroke.place, stroke.replaces, stroke.over, stroke.text)
    return (stroke.kind, frozenset(stroke.cells), _digits(stroke), place)


def _digits(stroke: Stroke) -> Hashable:
    return stroke.digits if stroke.kind is Kind.NOTE else frozenset(stroke.digits)


def _spot(stroke: Stroke) -> Hashable:
    """Where a stroke is: its cells, or outside the frame its place."""
    return frozenset(stroke.cells) or stroke.place


def _same_stroke(stroke: Stroke) -> Hashable:
    return (stroke.kind, _spot(stroke), _digits(stroke), stroke.text)


def _same_spot(stroke: Stroke) -> Hashable:
    return (stroke.kind, _spot(stroke))


def _same_digits(stroke: Stroke) -> Iterator[Hashable]:
    """A key for each cell; a note outside the frame is found by what it says, wherever it stands."""
    for cell in stroke.cells or (None,):
        yield (stroke.kind, cell, _digits(stroke), stroke.text)


def likes(ours: Sequence[Stroke], theirs: Sequence[Stroke], offset_ms: int) -> Iterator[dict[int, int]]:
    """For each stroke of ours the indices of theirs that are like it, with what the pair saves in thousandths."""
    kinds = (
        (_SAME_INK, _one(_ink)),
        (_SAME_STROKE, _one(_same_stroke)),
        (_SAME_SPOT, _one(_same_spot)),
        (_SAME_DIGITS, _same_digits),
        (_SAME_CELLS, _one(_spot)),
    )
    indexes = [(most, keys, _index(theirs, keys)) for most, keys in kinds]
    for i, stroke in enumerate(ours):
        found: dict[int, int] = {}
        for most, keys, index in indexes:
            if len(found) >= _PARTNERS:
                break
            like = dict.fromkeys(j for key in keys(stroke) for j in index.get(key, ()) if j not in found)
            for away, j in _nearest(stroke, i, theirs, like, offset_ms):
                if most == _SAME_INK or away <= _FAR_MS:
                    found[j] = most - _TIME_COST * min(away, _FAR_MS) // _FAR_MS
        yield found


def _one(key: Key) -> Callable[[Stroke], Iterable[Hashable]]:
    return lambda stroke: (key(stroke),)


def _index(strokes: Sequence[Stroke], keys: Callable[[Stroke], Iterable[Hashable]]) -> dict[Hashable, list[int]]:
    found: dict[Hashable, list[int]] = defaultdict(list)
    for j, stroke in enumerate(strokes):
        for key in keys(stroke):
            found[key].append(j)
    return found


def _nearest(
    stroke: Stroke, i: int, theirs: Sequence[Stroke], like: Iterable[int], offset_ms: int
) -> list[tuple[int, int]]:
    """The nearest of the strokes, each with how far away it is in milliseconds (middling where a time is unknown)."""
    away = ((_away(stroke, theirs[j], offset_ms), abs(i - j), j) for j in like)
    return [(far, j) for far, _, j in nsmallest(_PARTNERS, away)]


def _away(stroke: Stroke, other: Stroke, offset_ms: int) -> int:
    if stroke.at_ms is None or other.at_ms is None:
        return _FAR_MS // 2
    return abs(other.at_ms - offset_ms - stroke.at_ms)
