"""The text of every segment, told in order: what one says decides how the next is put."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from inkstep.lesson.headlines import headline_of
from inkstep.lesson.parts import Part, Pause, Segment
from inkstep.lesson.reach import unlocked
from inkstep.lesson.singly import aftermath, told_alone, told_of_slip
from inkstep.lesson.speech import Speech, Words
from inkstep.lesson.together import told_together
from inkstep.lesson.weighing import ALONE, weight
from inkstep.lesson.whole import closing, opening
from inkstep.reasoning.wording import Voice
from inkstep.review.findings import Review, StrokeReview, Verdict

#: a slip and what follows it close by are told one by one
_SLIP_MOST = 3


@dataclass(frozen=True, slots=True)
class Told:
    """What the program says in one segment; roles mark what was seen, held, settled or in doubt."""

    headline: str
    words: Words


def told(
    review: Review, segments: Iterable[Segment], pauses: Iterable[Pause], audience: str, voice: Voice = "spoken"
) -> dict[str, Told]:
    """The program's own text for every segment that tells something of the solve, by id.

    The same segments and pauses give the same text, so that whoever shows them can tell the program's words from a
    teacher's.
    """
    speech, used = Speech(voice), set[str]()
    stops = sum(pause.shown for pause in pauses)
    found: dict[str, Told] = {}
    for segment in in_order(segments):
        text = _told(segment, review, speech, audience, used, stops)
        used.add(text.headline)
        found[segment.id] = text
    return found


def in_order(segments: Iterable[Segment]) -> list[Segment]:
    """The segments that tell something of the solve, in the order of the solve."""
    return sorted((segment for segment in segments if segment.kind is not Part.ASIDE), key=solve_order)


def solve_order(segment: Segment) -> tuple[int, int, int]:
    """Where a segment stands in the order of the solve."""
    if segment.kind is Part.OPENING:
        return (0, 0, 0)
    if segment.kind is Part.CLOSING:
        return (2, 0, 0)
    return (1, segment.first or 0, segment.last or 0)


def _told(
    segment: Segment, review: Review, speech: Speech, audience: str, used: set[str], stops: int
) -> Told:
    if segment.kind is Part.OPENING:
        return Told("The sheet as it was handed out", opening(review, stops))
    if segment.kind is Part.CLOSING:
        return Told("What the solve shows", closing(review, speech))
    strokes = strokes_of(segment, review)
    if not strokes:
        return Told("", ())
    headline = headline_of(strokes, speech, used)
    if segment.kind is Part.PAUSE:
        return Told(headline, _answered(strokes, review, speech, audience))
    return Told(headline, _scene(strokes, review, speech, audience, paced="second" in headline))


def strokes_of(segment: Segment, review: Review) -> Sequence[StrokeReview]:
    """The strokes that a segment tells, as far as the sheet has them."""
    if segment.first is None or segment.last is None:
        return ()
    return review.strokes[segment.first - 1 : segment.last]


def _scene(
    strokes: Sequence[StrokeReview], review: Review, speech: Speech, audience: str, *, paced: bool
) -> Words:
    if len(strokes) <= _SLIP_MOST and any(s.verdict is Verdict.FALSE for s in strokes):
        return told_of_slip(strokes, review, speech)
    if len(strokes) == 1 and (weight(strokes[0]) >= ALONE or strokes[0].argument is None or strokes[0].words):
        return told_alone(strokes[0], review, speech)
    return told_together(strokes, speech, audience, paced=paced)


def _answered(strokes: Sequence[StrokeReview], review: Review, speech: Speech, audience: str) -> Words:
    """What came of a pause's stroke; strokes told with it follow."""
    first, *others = strokes
    words = aftermath(first, review, speech, unlocked(first.number, review.strokes))
    if not others:
        return words
    more = told_together(others, speech, audience)
    return (*words, *((type(more[0])(" "),) if words and more else ()), *more)
