"""What makes a played solve a recorded one: marks that nobody needed left out, notes beside the grid, and times."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from random import Random

from paper_eyes import bears_mark

from inkstep.grid.geometry import CLASSIC, bits
from inkstep.review.findings import Fate, MarkStory, Review, StrokeReview, Verdict
from inkstep.review.reviewing import review_sheet
from inkstep.trace.pages import Page, pages
from inkstep.trace.sheet import Header, Sheet
from inkstep.trace.strokes import Kind, Place, Reading, Stroke, Where

#: looks beyond which a digit makes the hand rest
HARD = 6.9
#: milliseconds of one picture of a camera with 50 a second
PICTURE_MS = 20


def reviewed(givens: tuple[int, ...], strokes: Sequence[Stroke]) -> Review:
    """The review of bare strokes."""
    return review_sheet(Sheet(Header(givens), tuple(strokes)))


def without_idle_marks(givens: tuple[int, ...], strokes: list[Stroke], keep: int) -> list[Stroke]:
    """The strokes less marks that no later stroke leans on, until ``keep`` strokes that are no digits are left.

    Somebody with practice knows which marks will be wanted: those of lines go first, then those of cells, the latest first.
    """
    while True:
        spare = sum(stroke.kind is not Kind.DIGIT for stroke in strokes) - keep
        review = reviewed(givens, strokes)
        idle = sorted(filter(None, (_idleness(story, review) for story in review.marks)))
        if not idle or spare <= 0:
            return strokes
        gone = {-number for _, number in idle[:spare]}
        strokes = [stroke for number, stroke in enumerate(strokes, 1) if number not in gone]


def _idleness(story: MarkStory, review: Review) -> tuple[int, int] | None:
    """What ranks an idle mark among those to leave out; None for one that stays."""
    judged = review.strokes[story.stroke - 1]
    mark = judged.stroke
    if story.fate is Fate.PAID_OFF or judged.verdict is Verdict.WIDE or mark.reading is Reading.SET or len(mark.cells) > 2:
        return None
    if mark.reading is Reading.CELL:
        return 1, -story.stroke
    return 2 if mark.house in CLASSIC.boxes else 0, -story.stroke


def written_once(givens: tuple[int, ...], strokes: Sequence[Stroke]) -> list[Stroke]:
    """The strokes, with a pair written across the border of its cells where they have room among the marks that stayed."""
    track = pages(Sheet(Header(givens), tuple(strokes)))
    return [
        replace(stroke, place=Place(Where.BORDER)) if _has_room(stroke, page) else stroke
        for stroke, page in zip(strokes, track, strict=False)
    ]


def _has_room(stroke: Stroke, page: Page) -> bool:
    pair = stroke.reading is Reading.SET and len(stroke.cells) == 2
    neighbours = pair and stroke.cells[1] - stroke.cells[0] in (1, CLASSIC.size)
    return neighbours and not all(bears_mark(page, cell) for cell in stroke.cells)


def written_over(givens: tuple[int, ...], strokes: Sequence[Stroke]) -> list[Stroke]:
    """The strokes, with digits said to be written over the candidates that stand in the middle of their cell."""
    track = pages(Sheet(Header(givens), tuple(strokes)))
    return [
        replace(stroke, over=True) if _covers(stroke, page) else stroke
        for stroke, page in zip(strokes, track, strict=False)
    ]


def _covers(stroke: Stroke, page: Page) -> bool:
    return stroke.kind is Kind.DIGIT and any(
        inked.stroke.reading is Reading.CELL and stroke.cells[0] in inked.open_cells() for inked in page.ink
    )


def with_notes(givens: tuple[int, ...], strokes: list[Stroke]) -> list[Stroke]:
    """The strokes with two notes outside the frame: a digit to come back to, and what a row still lacks."""
    review = reviewed(givens, strokes)
    at, row = _row_to_fill(review)
    shown = {review.pages[at].digits[cell] for cell in CLASSIC.house_cells[row]}
    stock = Stroke(Kind.NOTE, digits=tuple(d for d in CLASSIC.digits if d not in shown), place=Place(Where.RIGHT, row))
    early, margin = _digit_to_place(review, at)
    return [*strokes[:early], margin, *strokes[early:at], stock, *strokes[at:]]


def _row_to_fill(review: Review) -> tuple[int, int]:
    """Before which stroke the missing digits of a row are noted: where the next strokes take stock of it most."""
    found: list[tuple[int, int, int]] = []
    for at in range(20, len(review.strokes) - 40):
        for row in CLASSIC.rows:
            missing = sum(not review.pages[at].digits[cell] for cell in CLASSIC.house_cells[row])
            leaning = [_takes_stock(judged, row) for judged in review.strokes[at : at + 10]]
            if missing in (3, 4, 5) and leaning[0]:
                found.append((sum(leaning), -at, row))
    _, at, row = max(found)
    return -at, row


def _takes_stock(judged: StrokeReview, house: int) -> bool:
    return judged.argument is not None and any(house in step.stock for step in judged.argument.steps)


def _digit_to_place(review: Review, before: int) -> tuple[int, Stroke]:
    """A digit noted beside its row: when its scan is over, and the row has two or three places for it that no mark says."""
    for at in range(4, before):
        last, then = review.sheet.strokes[at - 1], review.sheet.strokes[at]
        page, digit = review.pages[at], last.digits[0]
        marked = [set(claim.cells) for claim in page.open_claims if digit in claim.digits]
        for row in CLASSIC.rows if last.kind is Kind.MARK and then.digits[0] != digit else ():
            places = {c for c in CLASSIC.house_cells[row] if _may_hold(page, c, digit)}
            if 2 <= len(places) <= 3 and not any(places & cells for cells in marked):
                return at, Stroke(Kind.NOTE, digits=(digit,), place=Place(Where.LEFT, row))
    raise LookupError("no digit to note beside its row")


def _may_hold(page: Page, cell: int, digit: int) -> bool:
    return not page.digits[cell] and all(page.digits[peer] != digit for peer in bits(CLASSIC.peers[cell]))


def timed(givens: tuple[int, ...], strokes: Sequence[Stroke], taste: Random) -> list[Stroke]:
    """The strokes with times: for what had to be seen, the turn to another digit, the way of the hand, and the writing."""
    at_ms = 1500
    hand = CLASSIC.cells // 2
    held: set[tuple[str, tuple[int, ...]]] = set()
    minded: tuple[int, ...] = ()
    timed_strokes: list[Stroke] = []
    for judged in reviewed(givens, strokes).strokes:
        to = judged.stroke.cells[0] if judged.stroke.cells else hand
        way = abs(hand // CLASSIC.size - to // CLASSIC.size) + abs(hand % CLASSIC.size - to % CLASSIC.size)
        turned = 260 * (judged.stroke.kind is Kind.MARK and judged.stroke.digits != minded)
        at_ms += round((_rest_ms(judged, held) + turned + 30 * way) * taste.uniform(0.8, 1.3))
        at_ms -= at_ms % PICTURE_MS
        timed_strokes.append(replace(judged.stroke, at_ms=at_ms))
        hand, held, minded = to, _inner(judged), judged.stroke.digits
    hidden = next(n for n in range(len(strokes) // 4, len(strokes)) if strokes[n].kind is Kind.MARK)
    timed_strokes[hidden] = replace(timed_strokes[hidden], at_ms=None)
    return timed_strokes


def _inner(judged: StrokeReview) -> set[tuple[str, tuple[int, ...]]]:
    """What was worked out on the way to a stroke."""
    return {(step.technique, step.cells) for step in judged.argument.steps[:-1]} if judged.argument else set()


def _rest_ms(judged: StrokeReview, held: set[tuple[str, tuple[int, ...]]]) -> float:
    """Milliseconds before a stroke, its own writing included, without the way of the hand; by ear.

    What the stroke before was worked out with is still ``held``, and need not be looked for again.
    """
    stroke = judged.stroke
    effort = judged.argument.effort if judged.argument else 3.0
    if stroke.kind is Kind.DIGIT and effort > HARD and not _inner(judged) & held:
        return 3200 + 190 * effort
    if stroke.kind is Kind.NOTE:
        return 700.0 + 550 * len(stroke.digits)
    slow = 900 if judged.verdict in (Verdict.CORRECTION, Verdict.FALSE) or stroke.kind is Kind.STRIKE else 0
    return 290 + 80 * effort + 130 * (len(stroke.digits) - 1) + slow
