"""What the live page shows of where the user is: a page, what is pointed out on it, and a few words."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from inkstep.desk.answers import whole, words
from inkstep.desk.plan_book import Standing
from inkstep.ground.errors import InputError
from inkstep.lesson.editing import pause_of, segment_of
from inkstep.lesson.narration import told
from inkstep.lesson.parts import Part, Pause, Plan, Segment
from inkstep.lesson.pauses import answer_of
from inkstep.lesson.placing import floats
from inkstep.press.drawing import NOTHING, Evidence
from inkstep.press.pointing import evidence_of, question_evidence
from inkstep.press.running_order import running_order
from inkstep.press.staging import scenes_of
from inkstep.reasoning.wording import Run
from inkstep.review.findings import Review


@dataclass(frozen=True)
class Here:
    """Where the user is: at a stroke, or at a segment or a pause of the lesson plan (an id).

    With ``evidence`` a stroke is shown with its reasons, a pause with its answer. ``ms`` is the time of the clock, or None.
    """

    stroke: int = 0
    segment: str = ""
    pause: str = ""
    evidence: bool = False
    ms: int | None = None

    @property
    def needs_review(self) -> bool:
        """Whether only a reviewed solve can show it."""
        return bool(self.segment or self.pause or (self.evidence and self.stroke))


@dataclass(frozen=True)
class Scene:
    """What is shown: the page after ``page`` strokes, evidence on it, and words for the card."""

    page: int
    evidence: Evidence = NOTHING
    kicker: str = ""
    headline: str = ""
    words: tuple[Run, ...] = ()

    def to_json(self) -> dict[str, Any]:
        """The scene as plain data."""
        return {
            "page": self.page,
            "evidence": self.evidence.to_json(),
            "kicker": self.kicker,
            "headline": self.headline,
            "words": [{"text": run.text, "role": run.role} for run in self.words],
        }


def here_of(asked: dict[str, Any]) -> Here:
    """Where a request says that the user is.

    Raises:
        InputError: a field cannot be what it says.
    """
    return Here(
        stroke=whole(asked.get("stroke", 0), "a stroke"),
        segment=words(asked.get("segment", ""), "a segment", 2000),
        pause=words(asked.get("pause", ""), "a pause", 2000),
        evidence=asked.get("evidence") is True,
        ms=None if asked.get("ms") is None else whole(asked["ms"], "a time"),
    )


def bare_scene(here: Here, strokes: int) -> Scene:
    """What can be shown at once, of a solve of ``strokes`` strokes."""
    return Scene(min(here.stroke, strokes))


def scene_of(here: Here, standing: Standing) -> Scene:
    """What is shown of a segment or a pause of the plan.

    Raises:
        InputError: the plan has no such segment or pause.
    """
    plan, review = standing.plan, standing.study.review
    if here.pause:
        return _of_pause(pause_of(plan, here.pause), review, answered=here.evidence)
    return _of_segment(segment_of(plan, here.segment), plan, review)


def stroke_scene(review: Review, stroke: int) -> Scene:
    """One stroke with its reasons, told by itself."""
    segment = Segment("here", Part.STROKES, stroke, stroke)
    text = told(review, (segment,), (), review.audience, "page")["here"]
    shown = scenes_of(Plan("", review.audience, segments=(segment,)), review)[0]
    return Scene(shown.page, shown.evidence, shown.kicker, text.headline, text.words)


def _of_segment(segment: Segment, plan: Plan, review: Review) -> Scene:
    whole_plan = replace(plan, segments=tuple(replace(each, shown=True) for each in plan.segments), pauses=())
    page = next(entry.page for entry in running_order(whole_plan, review) if entry.id == segment.id)
    alone = replace(whole_plan, segments=(replace(segment, shown=True),))
    shown = scenes_of(alone, review)[0]
    words = () if floats(segment) or segment.kind in (Part.OPENING, Part.CLOSING) else _runs_of(segment, plan, review)
    return Scene(page, shown.evidence, shown.kicker, segment.headline, words)


def _runs_of(segment: Segment, plan: Plan, review: Review) -> tuple[Run, ...]:
    """The words of one short scene; what is longer is read aloud, and not shown."""
    if segment.first != segment.last:
        return ()
    text = told(review, (replace(segment, kind=Part.STROKES),), (), plan.audience, "page").get(segment.id)
    return text.words if text else ()


def _of_pause(pause: Pause, review: Review, *, answered: bool) -> Scene:
    if pause.before > len(review.strokes):
        raise InputError("a pause before a stroke of the sheet")
    judged = review.strokes[pause.before - 1]
    if answered:
        evidence = evidence_of(judged.argument, judged.position) if judged.argument else NOTHING
        return Scene(pause.before - 1, evidence, "the answer", pause.question, answer_of(judged, "page"))
    evidence = question_evidence(judged.argument) if judged.argument else NOTHING
    return Scene(pause.before - 1, evidence, "your turn", pause.question)
