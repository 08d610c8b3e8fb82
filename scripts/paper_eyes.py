"""What a solver can see of one page: the eyes are the engine's search, and no digit is held in mind.

Everything within ``SIGHT`` looks is taken as worked out before the eyes look for something to mark.
"""

from __future__ import annotations

from inkstep.grid.geometry import CLASSIC, bits
from inkstep.reasoning.argument import Argument
from inkstep.reasoning.lightest import chances, lightest
from inkstep.reasoning.search import Search
from inkstep.review.findings import StrokeReview
from inkstep.review.judging import Judge, goal_of
from inkstep.review.openness import Openness
from inkstep.trace.pages import Page, page_at
from inkstep.trace.sheet import Header, Sheet
from inkstep.trace.strokes import Kind, Reading, Stroke

#: looks: how much of what stands around is worked out without effort
SIGHT = 4.6


class Eyes:
    """One page as it is seen."""

    def __init__(self, givens: tuple[int, ...], strokes: list[Stroke], judge: Judge) -> None:
        self.page = page_at(Sheet(Header(givens), tuple(strokes)), len(strokes))
        self.judge = judge
        self.search = Search(judge.position(self.page))
        #: for each digit the cells that digits and marks on the page close to it
        self.closed = list(self.search.view.gone)
        self.search.run(SIGHT)
        #: the same, with what is worked out within sight; and what is left in each cell, as a mask
        self.gone = list(self.search.view.gone)
        self.candidates = list(self.search.view.candidates)
        self._openness: Openness | None = None
        self._digits: dict[float, list[Argument]] = {}

    def open_cells(self, house: int) -> list[int]:
        """The empty cells of a house."""
        return [cell for cell in CLASSIC.house_cells[house] if not self.page.digits[cell]]

    def places(self, digit: int, house: int) -> tuple[int, ...]:
        """Where the digit may still go in a house."""
        return tuple(bits(CLASSIC.house_masks[house] & ~self.gone[digit]))

    def has_twin(self, digit: int, house: int) -> bool:
        """Whether another digit of the house has the same places."""
        places = self.places(digit, house)
        return any(self.places(other, house) == places for other in CLASSIC.digits if other != digit)

    def left_in(self, cells: tuple[int, ...]) -> tuple[int, ...]:
        """The digits that are left in any of the cells."""
        mask = 0
        for cell in cells:
            mask |= self.candidates[cell]
        return tuple(bit + 1 for bit in bits(mask))

    def digits(self, limit: float) -> list[Argument]:
        """The digits that can be written within ``limit`` looks."""
        if limit not in self._digits:
            self._digits[limit] = [a for a in chances(self.search, limit=limit) if not _holds_digit(a)]
        return self._digits[limit]

    def why(self, mark: Stroke, limit: float) -> Argument | None:
        """The lightest argument for a mark within ``limit`` looks."""
        goal = goal_of(mark)
        found = lightest(self.search, goal, most=1, limit=limit) if goal else ()
        return found[0] if found and not _holds_digit(found[0]) else None

    def review(self, stroke: Stroke) -> StrokeReview:
        """What the review will say of the stroke."""
        if self._openness is None:
            self._openness = Openness(self.search)
        return self.judge.stroke(self.page.number + 1, stroke, self.page, self.search, self._openness, None)

    def says_already(self, digit: int, cells: tuple[int, ...], house: int) -> bool:
        """Whether a mark on the page says where the digit of the house is."""
        for claim in self.page.open_claims:
            if digit not in claim.digits:
                continue
            if claim.reading is Reading.PLACES and (claim.house == house or set(claim.cells) == set(cells)):
                return True
            if claim.reading is Reading.SET and house in shared(claim.cells):
                return True
        return False

    def is_marked(self, cells: tuple[int, ...], *readings: Reading) -> bool:
        """Whether a mark of one of the readings, not yet settled, touches one of the cells."""
        return any(claim.reading in readings and set(cells) & set(claim.cells) for claim in self.page.open_claims)

    def bears_mark(self, cell: int) -> bool:
        """Whether a pencil mark was written in the cell, whatever has become of it."""
        return bears_mark(self.page, cell)

    def clears(self, cells: tuple[int, ...], digits: tuple[int, ...]) -> bool:
        """Whether a set of digits in these cells takes one from another cell that the page leaves open to it."""
        around = 0
        for house in shared(cells):
            around |= CLASSIC.house_masks[house]
        around &= ~_mask(cells)
        return any(around & ~self.closed[digit] for digit in digits)


def shared(cells: tuple[int, ...]) -> tuple[int, ...]:
    """The houses in which all the cells lie."""
    return CLASSIC.shared_houses(_mask(cells))


def _mask(cells: tuple[int, ...]) -> int:
    return sum(1 << cell for cell in cells)


def _holds_digit(argument: Argument) -> bool:
    return any(fact.holds for fact in argument.held)


def bears_mark(page: Page, cell: int) -> bool:
    """Whether a pencil mark was written in the cell, whatever has become of it."""
    return any(inked.stroke.kind is Kind.MARK and cell in inked.stroke.cells for inked in page.ink)
