"""A teacher's edits, found in a plan and placed again in a sheet that may have changed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from inkstep.lesson.narration import solve_order
from inkstep.lesson.parts import Part, Pause, Plan, Segment, Unplaced
from inkstep.lesson.prints import edited, is_own
from inkstep.lesson.scenes import Span

#: strokes that may have come between two of a segment before it counts as torn apart
_TORN = 3
#: what a segment that the teacher touched weighs where the order of the others is looked for
_EDITED_WEIGHT = 0.9


@dataclass(frozen=True)
class Kept:
    """A segment or pause that the teacher touched, its numbers those of the new sheet.

    ``fields`` are the ones the teacher edited; ``moved``: it stands elsewhere than in the order of the solve.
    """

    item: Segment | Pause
    fields: tuple[str, ...]
    own: bool
    moved: bool = False

    @property
    def is_teachers(self) -> bool:
        """Whether there is anything of the teacher's in it; of a steady plan the rest is kept too."""
        return bool(self.own or self.fields or self.moved or self.item.other)

    @property
    def span(self) -> Span | None:
        """The strokes that it tells, so that nobody else need."""
        item = self.item
        if isinstance(item, Pause) or floats(item) or item.first is None or item.last is None:
            return None
        return Span(item.first, item.last)

    def __str__(self) -> str:
        what = "pause" if isinstance(self.item, Pause) else "segment"
        done = ["added"] if self.own else list(self.fields)
        if "shown" in done:
            done[done.index("shown")] = "shown" if self.item.shown else "dropped"
        if self.moved:
            done.append("moved")
        return f"{what} {self.item.id}: {', '.join(done or ['fields of your own'])}"


@dataclass(frozen=True)
class Edits:
    """Everything of the teacher's in a plan: what has a place in the new sheet, and what has none."""

    segments: tuple[Kept, ...] = ()
    pauses: tuple[Kept, ...] = ()
    unplaced: tuple[Unplaced, ...] = ()


def floats(segment: Segment) -> bool:
    """Whether a segment has no place in the order of the solve, only one behind another segment."""
    if segment.kind in (Part.OPENING, Part.CLOSING):
        return False
    return segment.kind is Part.ASIDE or segment.first is None


class Sheets:
    """Numbers of strokes of one sheet as numbers of another, by the keys of both."""

    def __init__(self, old: Sequence[str], new: Sequence[str]) -> None:
        self.old = tuple(old)
        self._new = {key: number for number, key in enumerate(new, 1)}

    def keys(self, first: int, last: int) -> tuple[str, ...]:
        """The keys of strokes ``first`` to ``last`` of the old sheet, as far as it has them."""
        return self.old[first - 1 : last]

    def span(self, keys: Iterable[str]) -> Span | None:
        """Where strokes stand now; where they were torn apart, the largest part, or the first of equal ones."""
        numbers = [self._new[key] for key in keys if key in self._new]
        if not numbers:
            return None
        parts: list[list[int]] = []
        for number in sorted(numbers):
            if parts and number - parts[-1][-1] <= _TORN:
                parts[-1].append(number)
            else:
                parts.append([number])
        best = max(parts, key=lambda part: (len(part), numbers[0] in part))
        return Span(best[0], best[-1])


def edits_of(previous: Plan | None, keys: Sequence[str]) -> Edits:
    """The teacher's edits in ``previous``, placed in the sheet whose strokes have these ``keys``."""
    if previous is None:
        return Edits()
    sheets = Sheets(previous.strokes or keys, keys)
    moved = _moved(previous.segments)
    segments: list[Kept] = []
    pauses: list[Kept] = []
    unplaced: list[Unplaced] = []
    for item, strokes, other in _present(previous, sheets):
        kept = Kept(item, edited(item), is_own(item), item.id in moved and isinstance(item, Segment))
        if not kept.is_teachers and not previous.steady and other is None:
            continue
        placed = _placed(item, strokes, sheets)
        if placed is not None:
            (pauses if isinstance(item, Pause) else segments).append(replace(kept, item=placed))
        elif kept.is_teachers or other is not None:
            unplaced.append(Unplaced(item, strokes, _why(strokes), other or {}))
    return Edits(tuple(_without_overlaps(segments)), tuple(pauses), tuple(unplaced))


_Present = tuple[Segment | Pause, tuple[str, ...], dict[str, object] | None]


def _present(previous: Plan, sheets: Sheets) -> Iterator[_Present]:
    """Every segment and pause with the keys of its strokes; of one that had no place also its further fields."""
    for segment in previous.segments:
        yield segment, sheets.keys(segment.first, segment.last) if segment.first and segment.last else (), None
    for pause in previous.pauses:
        yield pause, sheets.keys(pause.before, pause.before), None
    for each in previous.unplaced:
        yield each.what, each.strokes, dict(each.other)


def _without_overlaps(segments: Sequence[Kept]) -> Iterator[Kept]:
    """The segments, save those of the program's own that tell, on a changed sheet, a stroke that another one tells."""
    told: set[int] = set()
    for kept in sorted(segments, key=lambda each: not each.is_teachers):
        numbers = set(range(kept.span.first, kept.span.last + 1)) if kept.span else set()
        if kept.is_teachers or not numbers & told:
            told |= numbers
            yield kept


def _placed(item: Segment | Pause, strokes: tuple[str, ...], sheets: Sheets) -> Segment | Pause | None:
    """The item with the numbers of the new sheet, or None where its strokes are not in it."""
    span = sheets.span(strokes)
    if isinstance(item, Pause):
        return replace(item, before=span.first) if span else None
    if item.first is None:
        return item
    return replace(item, first=span.first, last=span.last) if span else None


def _why(strokes: Sequence[str]) -> str:
    if not strokes:
        return "the sheet has no such stroke"
    names = ", ".join(strokes[:3]) + (" and more" if len(strokes) > 3 else "")
    return f"not in the sheet any more: {names}"


def _moved(segments: Sequence[Segment]) -> frozenset[str]:
    """The fewest segments without which the others stand in the order of the solve; rather those the teacher touched."""
    items = [segment for segment in segments if not floats(segment)]
    places = [solve_order(segment) for segment in items]
    best: list[tuple[float, int]] = []
    for index, place in enumerate(places):
        behind = [(best[i][0], i) for i in range(index) if places[i] <= place]
        length, before = max(behind, default=(0.0, -1))
        best.append((length + (_EDITED_WEIGHT if edited(items[index]) else 1.0), before))
    staying: set[int] = set()
    index = max(range(len(items)), key=lambda i: best[i][0], default=-1)
    while index >= 0:
        staying.add(index)
        index = best[index][1]
    return frozenset(segment.id for index, segment in enumerate(items) if index not in staying)


def ordered(items: Sequence[Segment], previous: Plan | None, edits: Edits, sheets: Sheets) -> tuple[Segment, ...]:
    """``items`` in the order of the solve, save those that the teacher put elsewhere: they follow what they followed."""
    loose = {kept.item.id for kept in edits.segments if kept.moved or (isinstance(kept.item, Segment) and floats(kept.item))}
    rank = {segment.id: index for index, segment in enumerate(previous.segments)} if previous else {}
    base = [item for item in items if item.id not in loose]
    found = sorted(base, key=lambda item: (solve_order(item), rank.get(item.id, -1)))
    waiting = {item.id: item for item in items if item.id in loose}
    for index, segment in enumerate(previous.segments if previous else ()):
        if segment.id in waiting and previous:
            at = _behind(previous.segments[:index], found, sheets)
            found.insert(at, waiting.pop(segment.id))
    for item in waiting.values():
        found.insert(_behind_strokes(item, found), item)
    return tuple(found)


def _behind(earlier: Sequence[Segment], found: Sequence[Segment], sheets: Sheets) -> int:
    """The index behind the nearest of the ``earlier`` segments that is still there, or behind where its strokes are told."""
    ids = {item.id: index for index, item in enumerate(found)}
    for segment in reversed(earlier):
        if segment.id in ids:
            return ids[segment.id] + 1
        span = sheets.span(sheets.keys(segment.first, segment.last)) if segment.first and segment.last else None
        teller = _teller(span.last, found) if span else None
        if teller is not None:
            return teller + 1
    return 0


def _behind_strokes(item: Segment, found: Sequence[Segment]) -> int:
    """The index behind the segment that tells the item's last stroke; before the closing where none does."""
    teller = _teller(item.last, found) if item.last else None
    if teller is not None:
        return teller + 1
    return next((i for i, segment in enumerate(found) if segment.kind is Part.CLOSING), len(found))


def _teller(number: int, found: Sequence[Segment]) -> int | None:
    """The index of the segment that tells a stroke."""
    for index, segment in enumerate(found):
        if not floats(segment) and segment.first and segment.last and segment.first <= number <= segment.last:
            return index
    return None
