"""A picture of one moment of a solve."""

from __future__ import annotations

from inkstep.ground.errors import UsageError
from inkstep.press.drawing import NOTHING, Evidence, drawing_of_page
from inkstep.press.pointing import evidence_of
from inkstep.press.still import still_svg
from inkstep.reasoning.effort import LIMITS
from inkstep.reasoning.lightest import lightest
from inkstep.reasoning.search import Search
from inkstep.review.judging import Judge, goal_of
from inkstep.review.reviewing import the_solution
from inkstep.trace.pages import moments, page_at
from inkstep.trace.sheet import Sheet


def picture(sheet: Sheet, moment: float, *, with_evidence: bool = False) -> str:
    """The page at ``moment`` (an int: strokes that stand; a float: milliseconds) as SVG.

    Raises:
        UsageError: the solve has no such moment.
        InputError: evidence is wanted and the puzzle has no one solution.
    """
    count = moment if isinstance(moment, int) else sum(at <= moment for at in moments(sheet.strokes))
    if not 0 <= count <= len(sheet.strokes):
        raise UsageError(f"a stroke from 0 to {len(sheet.strokes)}", where="--at", got=str(count))
    page = page_at(sheet, count)
    evidence = NOTHING
    if with_evidence and count < len(sheet.strokes):
        evidence = _evidence(sheet, count)
    title = f"{sheet.header.title or 'The page'} after {count} strokes"
    if evidence is not NOTHING:
        title += f", with the evidence for stroke {count + 1}"
    return still_svg(drawing_of_page(page, evidence, title))


def _evidence(sheet: Sheet, count: int) -> Evidence:
    judge = Judge(the_solution(sheet), LIMITS["contest"])
    goal = goal_of(sheet.strokes[count])
    if goal is None:
        return NOTHING
    search = Search(judge.position(page_at(sheet, count)))
    found = lightest(search, goal, most=1, limit=judge.limit)
    return evidence_of(found[0], search.position) if found else NOTHING
