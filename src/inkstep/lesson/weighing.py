"""How much a stroke has to say for itself: what deserves a scene of its own, and what is told in passing."""

from __future__ import annotations

from inkstep.reasoning.argument import Argument
from inkstep.reasoning.techniques import rank
from inkstep.review.findings import StrokeReview, Verdict
from inkstep.review.pace import REST_MS
from inkstep.trace.strokes import Kind, Reading

#: from this weight on a stroke is told alone; by ear, like all the weights here
ALONE = 4.0

_VERDICTS = {
    Verdict.FOLLOWS: 0.0,
    Verdict.WIDE: 4.5,
    Verdict.UNSEEN: 5.0,
    Verdict.FALSE: 9.0,
    Verdict.CORRECTION: 8.0,
    Verdict.NOTE: 0.0,
}
#: what the thought behind a mark weighs beside that behind a digit
_OF_A_MARK = 0.35
#: looks that anybody takes without noticing
_LIGHT = 4.0
#: techniques up to this one are everybody's
_USUAL = rank("naked single")


def weight(judged: StrokeReview) -> float:
    """What a stroke has to say: verdict, thought, time, and whether it is rare."""
    is_digit = judged.stroke.kind is Kind.DIGIT
    # a mark says less than a digit, so what led to it is worth less telling
    found = _VERDICTS[judged.verdict] + _thought(judged.argument) * (1.0 if is_digit else _OF_A_MARK)
    if judged.wait_ms is not None and judged.wait_ms > REST_MS:
        found += ALONE + min(4.0, (judged.wait_ms - REST_MS) / 1000)
    if judged.stroke.kind is Kind.NOTE:
        found += 4.5
    if judged.stroke.reading is Reading.SET:
        found += 1.5
    if judged.marks_used and is_digit:
        found += 1.0
    return found


def _thought(argument: Argument | None) -> float:
    """What the argument adds: looks beyond the light ones, facts held, a technique that not everybody has."""
    if argument is None:
        return 0.0
    found = max(0.0, argument.effort - _LIGHT) * 0.45
    found += 2.5 * min(2, len(argument.steps) - 1)
    if any(rank(step.technique) > _USUAL for step in argument.steps):
        found += 2.5
    return found
