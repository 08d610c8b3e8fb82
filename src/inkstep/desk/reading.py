"""One stroke for the reading page: what it was, why, what else might have been said, and what else lay open."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import Any

from inkstep.archive.keeping import Choice
from inkstep.desk import reading_words as saying
from inkstep.desk.studies import Study
from inkstep.press.drawing import Evidence
from inkstep.press.pointing import evidence_of
from inkstep.reasoning.argument import Argument
from inkstep.reasoning.lightest import chances
from inkstep.reasoning.search import Search
from inkstep.reasoning.wording import plain
from inkstep.review.choosing import name_of
from inkstep.review.findings import Review, StrokeReview, Verdict
from inkstep.review.openness import Openness
from inkstep.trace.strokes import Kind

#: chances that are listed; nobody reads more
MOST_CHANCES = 12


def stroke_json(study: Study, number: int) -> dict[str, Any]:
    """Everything the page says of stroke ``number``, counted from 1. Takes some 30 ms."""
    review = study.review
    judged = review.strokes[number - 1]
    choice = study.choices.get(number, Choice())
    argument = judged.argument
    return {
        "n": number,
        "id": study.log.ids[number - 1],
        "revision": study.log.revision,
        "at_ms": judged.stroke.at_ms,
        "wait_ms": judged.wait_ms,
        "kind": str(judged.stroke.kind),
        "label": saying.label(judged),
        "title": saying.title(judged),
        "page": _page(judged),
        "evidence": _evidence(judged).to_json(),
        "verdict": {"name": str(judged.verdict), "words": saying.verdict_words(judged)},
        "words": saying.runs_json(saying.words_of(judged, review)),
        "program": plain(saying.program_words(judged, review)),
        "choice": {"argument": choice.argument, "words": choice.words},
        "unmet": number in study.unmet,
        "argument": _argument_json(argument, judged) if argument else None,
        "runners_up": [_argument_json(other, judged) for other in judged.runners_up],
        "instead": [_instead_json(other, judged) for other in judged.instead],
        "readings": list(judged.readings),
        "comment": judged.stroke.comment,
        "marks_used": [{"n": n, "words": saying.label(review.strokes[n - 1])} for n in judged.marks_used],
        "used_by": _used_by(review, number),
        "open": judged.open,
        **_chances(review, judged),
    }


def _page(judged: StrokeReview) -> int:
    """The page that is shown: of a digit the one it was written on, so that it can be; of anything else with it written."""
    is_plain = judged.stroke.kind is Kind.DIGIT and judged.verdict in (Verdict.FOLLOWS, Verdict.UNSEEN)
    return judged.number - 1 if is_plain else judged.number


def _evidence(judged: StrokeReview) -> Evidence:
    """The reasons of a stroke, drawn; what is false or wide is doubted."""
    stroke, argument = judged.stroke, judged.argument
    if judged.verdict is Verdict.WIDE and judged.instead:
        return replace(evidence_of(judged.instead[0], judged.position), written=(), doubt=(judged.number,))
    if judged.verdict is Verdict.FALSE:
        return Evidence(goal=stroke.cells, doubt=(judged.number,))
    if argument is None:
        written = ((stroke.cells[0], stroke.digits[0]),) if _page(judged) < judged.number else ()
        return Evidence(goal=stroke.cells, written=written)
    found = evidence_of(argument, judged.position)
    if stroke.kind is Kind.MARK:
        found = replace(found, goal=stroke.cells, removed=())
    return found if _page(judged) < judged.number else replace(found, written=())


def _argument_json(argument: Argument, judged: StrokeReview) -> dict[str, Any]:
    found = evidence_of(argument, judged.position)
    if judged.stroke.kind is Kind.MARK:
        found = replace(found, goal=judged.stroke.cells, removed=())
    return {
        "name": name_of(argument),
        "line": saying.in_short(argument),
        "technique": saying.techniques(argument),
        "words": saying.runs_json(saying.argued(argument, judged)),
        "held": saying.held(argument),
        "effort": argument.effort,
        "looks": saying.effort_words(argument.effort),
        "evidence": (found if _page(judged) < judged.number else replace(found, written=())).to_json(),
    }


def _instead_json(argument: Argument, judged: StrokeReview) -> dict[str, Any]:
    """What could have been written in place of a wide mark, on the page before it."""
    return {"line": f"{saying.goal_words(argument)}: {_small(saying.in_short(argument))}", **_other_json(argument, judged)}


def _other_json(argument: Argument, judged: StrokeReview) -> dict[str, Any]:
    return {
        "page": judged.number - 1,
        "technique": saying.techniques(argument),
        "words": saying.runs_json(saying.explained(argument, judged.position)),
        "held": saying.held(argument),
        "effort": argument.effort,
        "looks": saying.effort_words(argument.effort),
        "evidence": evidence_of(argument, judged.position).to_json(),
    }


def _small(text: str) -> str:
    return text[:1].lower() + text[1:]


def _used_by(review: Review, number: int) -> list[dict[str, Any]]:
    """The strokes that leant on a mark."""
    story = next((story for story in review.marks if story.stroke == number), None)
    return [{"n": n, "words": saying.label(review.strokes[n - 1])} for n in (story.used_by if story else ())]


def _chances(review: Review, judged: StrokeReview) -> dict[str, Any]:
    """The other digits that could have been written on that page, lightest first, and how many more there were."""
    search = Search(judged.position)
    near = Openness(search).places
    stroke = judged.stroke
    own = (stroke.cells[0], stroke.digits[0]) if stroke.kind is Kind.DIGIT else None
    found = [(a, (a.goal[0].cell, a.goal[0].digit)) for a in chances(search, limit=review.limit)]
    others = [(argument, place) for argument, place in found if place != own]
    # what lay open, as the chance map counts it, comes before what was further away
    others.sort(key=lambda each: each[1] not in near)
    return {
        "chances": [_chance_json(*each, review, judged, near) for each in others[:MOST_CHANCES]],
        "more_chances": max(0, len(others) - MOST_CHANCES),
    }


def _chance_json(
    argument: Argument, place: tuple[int, int], review: Review, judged: StrokeReview, near: Iterable[tuple[int, int]]
) -> dict[str, Any]:
    return {
        "goal": list(place),
        "line": saying.goal_words(argument),
        "reason": saying.in_short(argument),
        "near": place in near,
        **_open_for(place, review, judged),
        **_other_json(argument, judged),
    }


def _open_for(place: tuple[int, int], review: Review, judged: StrokeReview) -> dict[str, Any]:
    """Since when a chance lay open, where that was long, and which stroke took it."""
    left = next((left for left in review.lying if (left.cell, left.digit) == place and left.since < judged.number), None)
    since_ms = left.since_ms if left and (left.until is None or left.until > judged.number) else None
    now_ms = judged.stroke.at_ms
    taken = next(_taken(place, review, judged.number), None)
    return {
        "open_ms": now_ms - since_ms if now_ms is not None and since_ms is not None else None,
        "taken": taken.number if taken else None,
        "taken_ms": taken.stroke.at_ms - now_ms if taken and taken.stroke.at_ms is not None and now_ms is not None else None,
    }


def _taken(place: tuple[int, int], review: Review, after: int) -> Iterator[StrokeReview]:
    for judged in review.strokes[after:]:
        stroke = judged.stroke
        if stroke.kind is Kind.DIGIT and (stroke.cells[0], stroke.digits[0]) == place:
            yield judged
