"""What comes when in a lesson: the shown segments and pauses of a plan, each with its page, for page and script alike."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from inkstep.lesson.narration import strokes_of
from inkstep.lesson.placing import floats
from inkstep.lesson.plan import Part, Pause, Plan, Segment
from inkstep.review.findings import Review, StrokeReview, Verdict
from inkstep.trace.strokes import Kind


@dataclass(frozen=True)
class Entry:
    """One item of a lesson: a segment, a pause, or a segment that goes on from the pause before it.

    ``page`` is how many strokes are on the paper, ``at_ms`` the moment in milliseconds after the clock's start, or None
    where no time is known. ``folded`` is a pause that is not asked, whose answer the segment tells.
    """

    segment: Segment | None
    pause: Pause | None
    page: int
    at_ms: int | None
    strokes: tuple[StrokeReview, ...] = ()
    folded: Pause | None = None

    @property
    def id(self) -> str:
        """The id of the segment, else of the pause."""
        item = self.segment or self.pause
        return item.id if item else ""


def running_order(plan: Plan, review: Review) -> tuple[Entry, ...]:
    """The entries in the order of the plan; each pause stands before the segment that tells its stroke."""
    shown = [pause for pause in plan.pauses if pause.shown and pause.question and pause.before <= len(review.strokes)]
    entries: list[Entry] = []
    page = 0
    for segment in plan.segments:
        if segment.shown:
            entry = _entry(segment, plan, shown, review, page)
            entries.append(entry)
            page = entry.page
    joined = {entry.pause.id for entry in entries if entry.pause}
    for pause in shown:
        if pause.id not in joined:
            entries.insert(_place(pause, entries), _alone(pause, review))
    return tuple(entries)


def _entry(segment: Segment, plan: Plan, shown: Sequence[Pause], review: Review, page: int) -> Entry:
    strokes = () if floats(segment) and segment.first is None else tuple(strokes_of(segment, review))
    if segment.kind is Part.CLOSING:
        page = len(review.strokes)
    elif segment.kind is Part.OPENING:
        page = 0
    elif strokes:
        page = _page(segment, strokes)
    pause = folded = None
    if segment.kind is Part.PAUSE and segment.first:
        pause = next((each for each in shown if each.before == segment.first), None)
        if pause is None:
            folded = next((each for each in plan.pauses if each.before == segment.first), None)
    at_ms = strokes[0].stroke.at_ms if strokes else _time_of(page, review)
    return Entry(segment, pause, page, at_ms, strokes, folded)


def _page(segment: Segment, strokes: Sequence[StrokeReview]) -> int:
    """The page on which strokes are told: a digit's before it is written, so that it can be; else with all of it written."""
    first = strokes[0]
    if segment.kind is Part.PAUSE:
        return first.number - 1
    if len(strokes) == 1 and first.stroke.kind is Kind.DIGIT and first.verdict is Verdict.FOLLOWS:
        return first.number - 1
    return strokes[-1].number


def _time_of(page: int, review: Review) -> int | None:
    return review.strokes[page - 1].stroke.at_ms if page else None


def _alone(pause: Pause, review: Review) -> Entry:
    judged = review.strokes[pause.before - 1]
    return Entry(None, pause, pause.before - 1, judged.stroke.at_ms, (judged,))


def _place(pause: Pause, entries: Sequence[Entry]) -> int:
    """Before the entry that tells the pause's stroke or a later one, else before the closing."""
    for index, entry in enumerate(entries):
        segment = entry.segment
        if entry.pause and entry.segment is None and entry.pause.before > pause.before:
            return index
        if segment and not floats(segment) and segment.last and segment.last >= pause.before:
            return index
    closing = (i for i, entry in enumerate(entries) if entry.segment and entry.segment.kind is Part.CLOSING)
    return next(closing, len(entries))
