"""The solve cut into scenes: what deserves it alone, the quick rest in runs that belong together.

Short segments that follow the steps of the matter help learners (Rey and others, "A meta-analysis of the segmenting effect",
Educational Psychology Review 31, 2019, 389-419). How long a scene is here, by ear: one to six strokes.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from inkstep.grid.geometry import CLASSIC
from inkstep.lesson.weighing import ALONE, weight
from inkstep.review.findings import Review, StrokeReview, Verdict
from inkstep.review.pace import REST_MS
from inkstep.trace.strokes import Stroke

#: of the strokes at most one in so many stands alone
_KEY_SHARE = 5
_FEWEST_KEYS = 8
#: strokes in one scene
_MOST, _EASY = 7, 5
#: what one scene more costs, beside the seams within scenes
_SCENE_COST = 1.15
#: a slip and its correction are one scene when no more than this lies from one to the other
_SLIP_REACH = 2


@dataclass(frozen=True, slots=True, order=True)
class Span:
    """Strokes ``first`` to ``last``, counted from 1."""

    first: int
    last: int


def scenes(review: Review, fixed: Iterable[Span] = (), starts: Iterable[int] = ()) -> tuple[Span, ...]:
    """Spans for every stroke that no ``fixed`` span covers, in order; each of ``starts`` is one of its own."""
    count = len(review.strokes)
    free = [True] * (count + 1)
    for span in fixed:
        for number in range(span.first, span.last + 1):
            free[number] = False
    alone = _alone(review, free, set(starts))
    covered = {number for span in alone for number in range(span.first, span.last + 1)}
    found = list(alone)
    for stretch in _stretches(number for number in range(1, count + 1) if free[number] and number not in covered):
        found += _cut(review.strokes[stretch.first - 1 : stretch.last])
    return tuple(sorted(found))


def _alone(review: Review, free: Sequence[bool], starts: set[int]) -> list[Span]:
    """Strokes with scenes of their own: those asked for, slips with their corrections, those that the teacher has words
    for, and the weightiest.
    """
    found = [Span(number, number) for number in sorted(starts) if free[number]]
    taken = {span.first for span in found}
    for span in _slips(review.strokes):
        numbers = set(range(span.first, span.last + 1))
        if not numbers & taken and all(free[number] for number in numbers):
            found.append(span)
            taken |= numbers
    own = [s.number for s in review.strokes if s.words and free[s.number] and s.number not in taken]
    found += [Span(number, number) for number in own]
    taken |= set(own)
    heavy = [(-weight(s), s.number) for s in review.strokes if free[s.number] and s.number not in taken]
    most = max(_FEWEST_KEYS, len(review.strokes) // _KEY_SHARE)
    keys = [number for heaviness, number in sorted(heavy) if -heaviness >= ALONE][:most]
    return found + [Span(number, number) for number in keys]


def _slips(strokes: Sequence[StrokeReview]) -> Iterator[Span]:
    """False digits with the correction that follows close by."""
    for judged in strokes:
        if judged.verdict is not Verdict.CORRECTION or not judged.stroke.crosses_digit:
            continue
        for earlier in reversed(strokes[max(0, judged.number - 1 - _SLIP_REACH) : judged.number - 1]):
            if earlier.verdict is Verdict.FALSE and earlier.stroke.cells == judged.stroke.cells:
                yield Span(earlier.number, judged.number)
                break


def _stretches(numbers: Iterable[int]) -> Iterator[Span]:
    """Numbers in ascending order as unbroken stretches."""
    first = last = 0
    for number in numbers:
        if number != last + 1 or not first:
            if first:
                yield Span(first, last)
            first = number
        last = number
    if first:
        yield Span(first, last)


def _cut(strokes: Sequence[StrokeReview]) -> list[Span]:
    """The cheapest cut of neighbouring strokes into scenes."""
    best: list[tuple[float, int]] = [(0.0, 0)]
    for end in range(1, len(strokes) + 1):
        options = []
        cost = _SCENE_COST
        for start in range(end - 1, max(-1, end - 1 - _MOST), -1):
            if start < end - 1:
                cost += _seam(strokes[start], strokes[start + 1])
            size = end - start
            options.append((best[start][0] + cost + 0.3 * max(0, size - _EASY) ** 2, start))
        best.append(min(options))
    spans: list[Span] = []
    end = len(strokes)
    while end:
        start = best[end][1]
        spans.append(Span(strokes[start].number, strokes[end - 1].number))
        end = start
    return spans[::-1]


def _seam(one: StrokeReview, two: StrokeReview) -> float:
    """What it costs to tell two neighbours in one scene: little where they belong together."""
    cost = _distance(one.stroke, two.stroke)
    if one.stroke.kind is not two.stroke.kind:
        cost += 0.25
    if two.wait_ms is not None:
        cost += 0.6 * min(1.0, two.wait_ms / REST_MS)
    return cost


def _distance(one: Stroke, two: Stroke) -> float:
    if one.digits and set(one.digits) & set(two.digits):
        return 0.1
    shared = _houses(one) & _houses(two)
    if any(house in CLASSIC.boxes for house in shared):
        return 0.15
    return 0.35 if shared else 0.7


def _houses(stroke: Stroke) -> set[int]:
    return {house for cell in stroke.cells for house in CLASSIC.houses_of[cell]}
