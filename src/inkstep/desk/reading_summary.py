"""A whole solve for the reading page: a row a stroke for strip, charts and table, and what was found in it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Any

from inkstep.desk import reading_words as saying
from inkstep.desk.studies import Study
from inkstep.grid.geometry import CLASSIC
from inkstep.ground.clock import clock_text, spoken_seconds
from inkstep.lesson.plan import Plan
from inkstep.lesson.whole import counted, length_words
from inkstep.reasoning.wording import short_reason
from inkstep.review.findings import Fate, Review, StrokeReview, Verdict
from inkstep.trace.strokes import Kind

Item = dict[str, Any]
Found = tuple[str, str, list[Item]]


def study_json(study: Study, plan: Plan) -> dict[str, Any]:
    """The summary: rows, pauses, rests, thirds, findings."""
    review = study.review
    return {
        "revision": study.log.revision,
        "effort": review.effort,
        "hardest": review.hardest,
        "heaviest": max((s.argument.effort for s in review.strokes if s.argument), default=0),
        "strokes": [_row(judged, study) for judged in review.strokes],
        "pauses": _pauses(plan, review),
        "waits": [{"before": w.before, "from_ms": w.from_ms, "ms": w.ms} for w in review.waits],
        "phases": _phases(review),
        "overview": list(_overview(review)),
        "findings": [{"kind": kind, "title": title, "items": items} for kind, title, items in _findings(review)],
        "unmet": [{"n": number, "words": saying.label(review.strokes[number - 1])} for number in study.unmet],
    }


def _row(judged: StrokeReview, study: Study) -> Item:
    """One stroke; ``rank`` says which of the digits that lay open it wrote, 1 for the nearest."""
    return {
        "n": judged.number,
        "id": study.log.ids[judged.number - 1],
        "kind": str(judged.stroke.kind),
        "label": saying.label(judged),
        "at_ms": judged.stroke.at_ms,
        "wait_ms": judged.wait_ms,
        "verdict": str(judged.verdict),
        "effort": judged.argument.effort if judged.argument else None,
        "open": judged.open + (judged.rank is not None),
        "rank": judged.rank,
        "chosen": judged.number in study.choices,
    }


def _pauses(plan: Plan, review: Review) -> list[Item]:
    count = len(review.strokes)
    return [{"before": p.before, "question": p.question} for p in plan.pauses if p.shown and p.before <= count]


def _phases(review: Review) -> list[Item]:
    return [
        {"name": phase.name, "first": phase.first, "last": phase.last, "ms": phase.ms} for phase in review.phases
    ]


def _overview(review: Review) -> Iterator[str]:
    """The solve in a few sentences, for the moment before the first stroke."""
    kinds = [("digit", "digits", Kind.DIGIT), ("mark", "marks", Kind.MARK), ("note", "notes", Kind.NOTE)]
    counts = [(sum(s.stroke.kind is kind for s in review.strokes), one, many) for one, many, kind in kinds]
    written = ", ".join(counted(*count) for count in counts if count[0])
    length = f" in {length_words(review.sheet.length_ms)}" if review.sheet.length_ms else ""
    if not written:
        yield "Nothing is written yet."
        return
    yield f"{written[:1].upper()}{written[1:]}{length}."
    hardest = f", the hardest technique needed: {review.hardest}" if review.hardest else ""
    yield f"About {review.effort:.0f} looks in all{hardest}."
    for phase in review.phases:
        time = f"{length_words(phase.ms)}, " if phase.ms is not None else ""
        yield f"The {phase.name}: {time}{counted(phase.marks, 'mark', 'marks')}, {phase.effort:.0f} looks."


def _findings(review: Review) -> Iterator[Found]:
    """What there is to say of the solve, each item with the stroke that it leads to."""
    for kind, find in _FINDS:
        title, items = find(review)
        if items:
            yield kind, title, items


def _item(words: str, stroke: int, **more: Any) -> Item:
    return {"words": saying.capital(words), "stroke": stroke, **more}


def _lying(review: Review) -> tuple[str, list[Item]]:
    items = []
    for left in review.lying:
        place = f"the {left.digit} at {CLASSIC.cell_name(left.cell)}"
        strokes = (left.until or len(review.strokes)) - left.since
        time = spoken_seconds(left.for_ms) if left.for_ms is not None else counted(strokes, "stroke", "strokes")
        end = "" if left.until else ", and to the end"
        words = f"{place}, {time}{end}: {short_reason(left.argument)}"
        # the first stroke that passed it by
        items.append(_item(words, min(left.since + 1, len(review.strokes)), goal=[left.cell, left.digit]))
    longest = review.lying[0].for_ms if review.lying else None
    upto = f", the longest for {spoken_seconds(longest)}" if longest else ""
    return f"{counted(len(items), 'chance', 'chances')} left lying{upto}", items


def _marks(review: Review) -> tuple[str, list[Item]]:
    idle = [story for story in review.marks if story.fate in (Fate.UNUSED, Fate.STALE)]
    items = [_item(_named(review, story.stroke), story.stroke) for story in idle]
    return counted(len(items), "mark never used", "marks never used"), items


def _held(review: Review) -> tuple[str, list[Item]]:
    items = []
    for judged in review.strokes:
        if judged.argument and len(judged.argument.steps) > 1:
            what = saying.techniques(judged.argument).partition(", after ")[2]
            items.append(_item(f"{what}, for {saying.label(judged)}", judged.number))
    return counted(len(items), "stroke leant on what nobody wrote", "strokes leant on what nobody wrote"), items


def _rests(review: Review) -> tuple[str, list[Item]]:
    items = []
    for wait in review.waits:
        label = _named(review, wait.before)
        items.append(_item(f"{spoken_seconds(wait.ms)} from {clock_text(wait.from_ms)[:-2]}, before {label}", wait.before))
    longest = f", the longest {spoken_seconds(review.waits[0].ms)}" if review.waits else ""
    return f"{counted(len(items), 'long rest', 'long rests')}{longest}", items


def _of_verdict(verdict: Verdict, one: str, many: str) -> Callable[[Review], tuple[str, list[Item]]]:
    def find(review: Review) -> tuple[str, list[Item]]:
        strokes = [judged for judged in review.strokes if judged.verdict is verdict]
        return counted(len(strokes), one, many), [_item(saying.label(s), s.number) for s in strokes]

    return find


def _named(review: Review, number: int) -> str:
    return saying.label(review.strokes[number - 1])


_FINDS: Sequence[tuple[str, Callable[[Review], tuple[str, list[Item]]]]] = (
    ("slip", _of_verdict(Verdict.FALSE, "slip", "slips")),
    ("lying", _lying),
    ("held", _held),
    ("rest", _rests),
    ("wide", _of_verdict(Verdict.WIDE, "mark wider than need be", "marks wider than need be")),
    ("unseen", _of_verdict(Verdict.UNSEEN, "stroke from nowhere in sight", "strokes from nowhere in sight")),
    ("mark", _marks),
)
