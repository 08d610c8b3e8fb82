"""What became of the marks: which paid off, which nobody used, which were false or overtaken."""

from __future__ import annotations

from collections.abc import Sequence

from inkstep.grid.geometry import CLASSIC, bits
from inkstep.review.findings import Fate, MarkStory, StrokeReview
from inkstep.trace.claims import Claim
from inkstep.trace.pages import Page
from inkstep.trace.strokes import Kind

#: an unused mark is stale when it stood for this many strokes after digits had settled it
STALE_STROKES = 5


def mark_stories(pages: Sequence[Page], strokes: Sequence[StrokeReview], solution: tuple[int, ...]) -> tuple[MarkStory, ...]:
    """The story of every mark, in the order in which they were made."""
    used_by: dict[int, list[int]] = {}
    for review in strokes:
        for mark in review.marks_used:
            used_by.setdefault(mark, []).append(review.number)
    stories = []
    for review in strokes:
        if review.stroke.kind is Kind.MARK:
            claim = next((c for c in pages[review.number].claims if c.stroke == review.number), None)
            if claim:
                users = tuple(used_by.get(review.number, ()))
                stories.append(MarkStory(review.number, claim, _fate(claim, users, pages, solution), users))
    return tuple(stories)


def _fate(claim: Claim, users: tuple[int, ...], pages: Sequence[Page], solution: tuple[int, ...]) -> Fate:
    if not claim.true_of(solution):
        return Fate.FALSE
    if users:
        return Fate.PAID_OFF
    overtaken = sum(1 for page in pages[claim.stroke :] if _stands(claim, page) and _overtaken(claim, page))
    return Fate.STALE if overtaken >= STALE_STROKES else Fate.UNUSED


def _stands(claim: Claim, page: Page) -> bool:
    return any(c.stroke == claim.stroke and not c.spent for c in page.claims)


def _overtaken(claim: Claim, page: Page) -> bool:
    """Whether digits on the page close a part of the claim while its cells still wait."""
    waiting = [cell for cell in claim.cells if not page.digits[cell]]
    written = {page.digits[cell] for cell in claim.cells}
    return any(
        page.digits[peer] == digit
        for cell in waiting
        for digit in claim.digits
        if digit not in written
        for peer in bits(CLASSIC.peers[cell])
    )
