"""What the teacher chooses in a review: another argument for a stroke, and words of their own."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from inkstep.reasoning.argument import Argument, Step
from inkstep.review.findings import Review, StrokeReview
from inkstep.review.judging import marks_used
from inkstep.review.marks import mark_stories
from inkstep.review.pace import phases, waits


@dataclass(frozen=True, slots=True)
class Pick:
    """A choice for one stroke: an argument by its name, and own words; each empty where the review's stands."""

    argument: str = ""
    words: str = ""


def name_of(argument: Argument) -> str:
    """What an argument for a goal is called: its steps, the last one first, and none of the looks that they took.

    The same reasons have the same name in whatever order the search came upon them.
    """
    *inner, last = map(_step_name, argument.steps)
    return ", from ".join([last, *sorted(inner)])


def _step_name(step: Step) -> str:
    """``hidden single in column 7: 8 at r5c7``"""
    told = step.to_json()
    how = f" by {step.manner}" if step.manner else ""
    own = " and ".join(told["houses"][: len(step.frame)])
    where = f" in {own}" if own else ""
    return f"{step.technique}{how}{where}: {' '.join(map(str, sorted(step.digits)))} at {' '.join(sorted(told['cells']))}"


def choose(review: Review, picks: Mapping[int, Pick]) -> Review:
    """The review with the teacher's picks, by the number of their stroke; what leans on an argument follows.

    A pick of an argument that the review does not have leaves the stroke's argument as it is; see `unmet`.
    """
    strokes = tuple(_chosen(judged, picks.get(judged.number, Pick())) for judged in review.strokes)
    if strokes == review.strokes:
        return review
    return replace(
        review,
        strokes=strokes,
        marks=mark_stories(review.pages, strokes, review.solution),
        waits=waits(strokes),
        phases=phases(strokes),
    )


def unmet(review: Review, picks: Mapping[int, Pick]) -> tuple[int, ...]:
    """The strokes for which an argument was picked that is not among the review's any more."""
    return tuple(_unmet(review, picks))


def _unmet(review: Review, picks: Mapping[int, Pick]) -> Iterator[int]:
    for number, pick in sorted(picks.items()):
        judged = review.strokes[number - 1] if 0 < number <= len(review.strokes) else None
        if pick.argument and (judged is None or pick.argument not in arguments_of(judged)):
            yield number


def arguments_of(judged: StrokeReview) -> dict[str, Argument]:
    """Every argument of a stroke by its name, the one that stands first."""
    first = (judged.argument,) if judged.argument else ()
    return {name_of(argument): argument for argument in (*first, *judged.runners_up)}


def _chosen(judged: StrokeReview, pick: Pick) -> StrokeReview:
    judged = replace(judged, words=pick.words) if pick.words != judged.words else judged
    picked = arguments_of(judged).get(pick.argument) if pick.argument else None
    if picked is None or judged.argument is None or picked == judged.argument:
        return judged
    others = (judged.argument, *(argument for argument in judged.runners_up if argument != picked))
    return replace(
        judged,
        argument=picked,
        runners_up=tuple(sorted(others, key=lambda argument: argument.effort)),
        marks_used=marks_used(judged.position, picked),
    )
