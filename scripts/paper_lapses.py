"""The two lapses of the solver on paper: a witness overlooked, and a wrong digit written."""

from __future__ import annotations

from dataclasses import dataclass

from paper_eyes import Eyes

from inkstep.grid.geometry import CLASSIC
from inkstep.reasoning.argument import Argument, Step
from inkstep.review.findings import Verdict
from inkstep.trace.forms import reading_of
from inkstep.trace.strokes import Kind, Place, Stroke

IN_CELL = Place()


@dataclass(frozen=True)
class Lapse:
    """Something got wrong until ``until`` strokes are written; what puts it right, and what is not touched meanwhile."""

    wrong: Stroke
    mends: tuple[Stroke, ...]
    until: int
    cells: frozenset[int]
    digits: frozenset[int] = frozenset()

    def hides(self, stroke: Stroke) -> bool:
        """Whether only somebody who had noticed would make the stroke."""
        return bool(set(stroke.cells) & self.cells or set(stroke.digits) & self.digits)


def digit_of(cell: int, digit: int) -> Stroke:
    """A digit in a cell."""
    return Stroke(Kind.DIGIT, cells=(cell,), digits=(digit,))


def mark_of(cells: tuple[int, ...], digits: tuple[int, ...], house: int | None = None, place: Place = IN_CELL) -> Stroke:
    """A pencil mark."""
    return Stroke(Kind.MARK, cells=cells, digits=digits, reading=reading_of(cells, digits), house=house, place=place)


def overlooked(eyes: Eyes, argument: Argument, until: int) -> Lapse | None:
    """One of several witnesses is missed, and the digit marked in two places of its box instead of written."""
    step, fact = argument.last, argument.goal[0]
    box = step.house
    if step.technique != "hidden single" or box not in CLASSIC.boxes or box is None or len(argument.steps) > 1:
        return None
    for missed in reversed(step.seen):
        others = _left_open(eyes, step, box, missed) - {fact.cell}
        if len(others) != 1:
            continue
        other = others.pop()
        wide = mark_of(tuple(sorted((fact.cell, other))), (fact.digit,), box)
        if eyes.review(wide).verdict is Verdict.WIDE:
            strike = Stroke(Kind.STRIKE, cells=(other,), digits=(fact.digit,), house=box)
            return Lapse(wide, (strike, digit_of(fact.cell, fact.digit)), until, frozenset(wide.cells))
    return None


def _left_open(eyes: Eyes, step: Step, box: int, missed: int) -> set[int]:
    """The cells of the box that the witnesses of a step leave open when one of them is missed."""
    closed = 0
    for witness in set(step.seen) - {missed}:
        closed |= CLASSIC.peers[witness]
    return {cell for cell in eyes.open_cells(box) if not closed >> cell & 1}


def slipped(eyes: Eyes, argument: Argument, until: int) -> Lapse | None:
    """Another digit marked in the cell is written in place of the right one."""
    cell, right = argument.goal[0].cell, argument.goal[0].digit
    for claim in eyes.page.open_claims:
        for wrong in claim.digits if cell in claim.cells else ():
            if wrong != right and not eyes.closed[wrong] >> cell & 1:
                mend = Stroke(Kind.DIGIT, cells=(cell,), digits=(right,), replaces=wrong)
                untouched = frozenset((cell, *claim.cells))
                return Lapse(digit_of(cell, wrong), (mend,), until, untouched, frozenset((right, wrong)))
    return None
