"""The review of a whole solve: every stroke judged, then what there is to say of the whole."""

from __future__ import annotations

from collections.abc import Callable

from inkstep.grid.puzzle import Puzzle
from inkstep.grid.solving import solutions
from inkstep.ground.errors import InputError
from inkstep.reasoning.effort import LIMITS
from inkstep.reasoning.search import Search
from inkstep.review.findings import LeftLying, Review, StrokeReview
from inkstep.review.judging import Judge
from inkstep.review.marks import mark_stories
from inkstep.review.openness import Openness
from inkstep.review.pace import phases, waits
from inkstep.trace.pages import Page, pages
from inkstep.trace.sheet import Sheet
from inkstep.trace.strokes import Kind

#: a digit is called left lying when at least this many strokes went elsewhere while it was open
LYING_STROKES = 4

Progress = Callable[[int, int], None]


def review_sheet(sheet: Sheet, *, audience: str | None = None, progress: Progress | None = None) -> Review:
    """Judge every stroke of ``sheet`` for ``audience`` (the sheet's own, or "contest").

    ``progress`` is told (strokes done, strokes in all).

    Raises:
        InputError: the puzzle has no solution, or several; the audience is unknown.
    """
    solution = the_solution(sheet)
    audience = audience or (str(sheet.header.audience) if sheet.header.audience else "contest")
    if audience not in LIMITS:
        raise InputError(f"an audience, one of {', '.join(LIMITS)}", got=audience)
    # whoever the lesson is for, the solver of a contest is judged by what a contest solver may see
    judge = Judge(solution, LIMITS["contest"])
    track = pages(sheet)
    strokes, openings = _judged(sheet, track, judge, progress)
    return Review(
        sheet=sheet,
        solution=solution,
        pages=tuple(track),
        audience=audience,
        limit=judge.limit,
        strokes=tuple(strokes),
        lying=_lying(sheet, openings),
        marks=mark_stories(track, strokes, solution),
        waits=waits(strokes),
        phases=phases(strokes),
    )


def the_solution(sheet: Sheet) -> tuple[int, ...]:
    """The one solution of the sheet's puzzle.

    Raises:
        InputError: it has none, or several, with all that is wrong with it.
    """
    if not any(sheet.givens):
        raise InputError("a line puzzle: ... with the 81 cells in the sheet's header", got="none that can be read")
    problems = Puzzle(sheet.givens).problems()
    if problems:
        raise InputError("a puzzle with exactly one solution", got="; ".join(p.text for p in problems))
    return solutions(sheet.givens, limit=1)[0]


def _judged(
    sheet: Sheet, track: list[Page], judge: Judge, progress: Progress | None
) -> tuple[list[StrokeReview], list[Openness]]:
    strokes: list[StrokeReview] = []
    openings: list[Openness] = []
    search: Search | None = None
    before_ms: int | None = 0 if any(s.at_ms is not None for s in sheet.strokes) else None
    for number, stroke in enumerate(sheet.strokes, 1):
        page = track[number - 1]
        position = judge.position(page)
        if search is None or position != search.position:
            search = Search(position)
            openings.append(Openness(search))
        else:
            openings.append(openings[-1])
        wait = stroke.at_ms - before_ms if stroke.at_ms is not None and before_ms is not None else None
        strokes.append(judge.stroke(number, stroke, page, search, openings[-1], wait))
        before_ms = stroke.at_ms
        if progress:
            progress(number, len(sheet.strokes))
    return strokes, openings


def _lying(sheet: Sheet, openings: list[Openness]) -> tuple[LeftLying, ...]:
    """Digits open for many strokes before they were written, the longest first."""
    since: dict[tuple[int, int], int] = {}
    found: list[LeftLying] = []
    for index, (stroke, openness) in enumerate(zip(sheet.strokes, openings, strict=True)):
        for place in openness.places:
            since.setdefault(place, index)
        if stroke.kind is Kind.DIGIT:
            place = (stroke.cells[0], stroke.digits[0])
            start = since.pop(place, index)
            if index - start >= LYING_STROKES:
                found.append(_left(sheet, place, start, index + 1, openings[start]))
    last = len(sheet.strokes)
    for place, start in since.items():
        if last - start >= LYING_STROKES and place in openings[-1].places:
            found.append(_left(sheet, place, start, None, openings[start]))
    return tuple(sorted(found, key=_length, reverse=True))


def _left(sheet: Sheet, place: tuple[int, int], start: int, until: int | None, openness: Openness) -> LeftLying:
    since_ms = sheet.strokes[start - 1].at_ms if start else 0
    until_ms = sheet.strokes[until - 1].at_ms if until else None
    return LeftLying(*place, start, until, since_ms, until_ms, openness.argument(place))


def _length(left: LeftLying) -> tuple[int, int, int]:
    strokes = (left.until or 10**6) - left.since
    return (left.for_ms or 0, strokes, -left.cell)
