"""A review in lines of text, for the terminal."""

from __future__ import annotations

from collections.abc import Iterator

from inkstep.grid.geometry import CLASSIC
from inkstep.ground.clock import clock_text, spoken_seconds
from inkstep.reasoning.wording import short_reason
from inkstep.review.findings import Fate, Review, StrokeReview, Verdict
from inkstep.trace.grammar import action_text

_MOST = 8


def review_lines(review: Review) -> Iterator[str]:
    """The whole review, stroke by stroke, then what the solve shows."""
    header = review.sheet.header
    yield " · ".join(part for part in (header.title, header.event, header.solver) if part) or "A solve"
    yield f"{len(review.strokes)} strokes, {review.effort:.0f} looks, hardest: {review.hardest or 'none'}"
    yield ""
    for stroke in review.strokes:
        yield from _stroke_lines(stroke)
    yield ""
    yield from _phase_lines(review)
    yield from _wait_lines(review)
    yield from _lying_lines(review)
    yield from _mark_lines(review)


def _time(ms: int | None) -> str:
    return clock_text(ms)[:-2] if ms is not None else "-"


def _stroke_lines(review: StrokeReview) -> Iterator[str]:
    looks = f"{review.argument.effort:4.1f}" if review.argument else "   -"
    yield (
        f"{review.number:>4}  {_time(review.stroke.at_ms):>7}  {action_text(review.stroke):<28} {looks}  "
        f"{review.verdict}{_why(review)}"
    )
    for instead in review.instead[:1]:
        yield f"{'':>20}could have been {instead.goal[0]}: {short_reason(instead)}"
    for reading in review.readings[:1]:
        yield f"{'':>20}may stand for: {reading}"


def _why(review: StrokeReview) -> str:
    if not review.argument or review.verdict not in (Verdict.FOLLOWS, Verdict.WIDE, Verdict.CORRECTION):
        return ""
    held = f"; {len(review.argument.steps) - 1} held" if len(review.argument.steps) > 1 else ""
    marks = f"; reads mark {', '.join(map(str, review.marks_used))}" if review.marks_used else ""
    return f": {short_reason(review.argument)}{held}{marks}"


def _phase_lines(review: Review) -> Iterator[str]:
    for phase in review.phases:
        length = spoken_seconds(phase.ms) if phase.ms is not None else "time unknown"
        yield (
            f"{phase.name}: strokes {phase.first} to {phase.last}, {length}, {_count(phase.digits, 'digit')}, "
            f"{_count(phase.marks, 'mark')}, {phase.effort:.0f} looks"
        )


def _count(number: int, what: str) -> str:
    return f"{number} {what}" if number == 1 else f"{number} {what}s"


def _wait_lines(review: Review) -> Iterator[str]:
    if review.waits:
        yield ""
        yield "long rests of the hand:"
    for wait in review.waits[:_MOST]:
        yield f"  before stroke {wait.before}, from {_time(wait.from_ms)}: {wait.behind}"


def _lying_lines(review: Review) -> Iterator[str]:
    if review.lying:
        yield ""
        more = len(review.lying) - _MOST
        yield "left lying:" if more <= 0 else f"left lying, the {_MOST} longest of {len(review.lying)}:"
    for left in review.lying[:_MOST]:
        until = f"written by stroke {left.until}" if left.until else "never written"
        length = f", open for {spoken_seconds(left.for_ms)}" if left.for_ms is not None else ""
        place = CLASSIC.cell_name(left.cell)
        yield f"  {place}={left.digit} from stroke {left.since} on ({short_reason(left.argument)}){length}, {until}"


def _mark_lines(review: Review) -> Iterator[str]:
    if review.marks:
        yield ""
        paid = sum(story.fate is Fate.PAID_OFF for story in review.marks)
        yield f"marks: {paid} of {len(review.marks)} paid off"
    for story in review.marks:
        if story.fate is not Fate.PAID_OFF:
            yield f"  stroke {story.stroke}: {story.claim.text()}: {story.fate}"
