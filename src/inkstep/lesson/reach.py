"""What follows from a stroke: the strokes soon after it that could not have been written without it."""

from __future__ import annotations

from collections.abc import Sequence

from inkstep.review.findings import StrokeReview
from inkstep.trace.strokes import Kind

#: strokes after which nothing follows "at once" any more
HORIZON = 8


def unlocked(number: int, strokes: Sequence[StrokeReview]) -> int:
    """How many of the next strokes lean on stroke ``number``."""
    stroke = strokes[number - 1].stroke
    if stroke.kind is not Kind.DIGIT:
        return sum(number in later.marks_used for later in strokes[number : number + HORIZON])
    return sum(_leans(later, stroke.cells[0]) for later in strokes[number : number + HORIZON])


def _leans(later: StrokeReview, cell: int) -> bool:
    argument = later.argument
    if later.stroke.kind is not Kind.DIGIT or argument is None:
        return False
    return cell in argument.witnesses or any(f.holds and f.cell == cell for step in argument.steps for f in step.premises)
