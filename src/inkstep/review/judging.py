"""One stroke against the page before it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from inkstep.grid.geometry import CLASSIC
from inkstep.reasoning.argument import Argument
from inkstep.reasoning.facts import is_not
from inkstep.reasoning.goals import Goal, Shape, cell_goal, digit_goal, places_goal, removal_goal, set_goal
from inkstep.reasoning.lightest import lightest
from inkstep.reasoning.position import Note, Position
from inkstep.reasoning.search import Search
from inkstep.review.findings import StrokeReview, Verdict
from inkstep.review.notes import readings
from inkstep.review.openness import Openness
from inkstep.trace.claims import Claim
from inkstep.trace.pages import Page
from inkstep.trace.strokes import Kind, Reading, Stroke

#: looks: a mark is wide when something as near as this would have narrowed it
WIDE_LIMIT = 5.0
#: how many arguments the review keeps for a stroke, the lightest included
ARGUMENTS = 3


@dataclass(frozen=True)
class Judge:
    """What every stroke is judged by: the solution, and how much effort the audience follows, in looks."""

    solution: tuple[int, ...]
    limit: float

    def position(self, page: Page) -> Position:
        """What reasoning may lean on: the page's true digits and true claims. A slip proves nothing."""
        digits = tuple(d if d == self.solution[c] else 0 for c, d in enumerate(page.digits))
        notes = tuple(note_of(claim) for claim in page.claims if claim.true_of(self.solution))
        fresh = tuple(cell for cell in page.fresh if digits[cell])[:3]
        return Position(digits, notes, fresh)

    def stroke(
        self, number: int, stroke: Stroke, page: Page, search: Search, openness: Openness, wait_ms: int | None
    ) -> StrokeReview:
        """The verdict on ``stroke``, written on ``page``; ``search`` is of this judge's position of that page."""
        goal = goal_of(stroke)
        base = StrokeReview(number, stroke, search.position, Verdict.NOTE, goal, wait_ms=wait_ms)
        base = replace(base, open=openness.count(None), lightest_open=openness.lightest())
        if stroke.kind is Kind.STRIKE:
            return self._strike(base, page, search)
        if goal is None or _says_nothing_new(stroke, goal, search.position):
            return replace(base, readings=readings(stroke, page, self.solution))
        false = not self._is_true(stroke, goal)
        arguments = () if false else lightest(search, goal, most=ARGUMENTS, limit=self.limit)
        argument = arguments[0] if arguments else None
        instead = self._instead(search, stroke, argument) if stroke.kind is Kind.MARK and not false else ()
        written = (goal.cells[0], goal.digits[0]) if goal.shape is Shape.DIGIT else None
        return replace(
            base,
            verdict=_verdict(stroke, false, argument, bool(instead)),
            argument=argument,
            runners_up=arguments[1:],
            instead=instead,
            open=openness.count(written),
            lightest_open=openness.lightest(written),
            rank=openness.rank(written) if written else None,
            marks_used=marks_used(search.position, argument),
        )

    def _strike(self, base: StrokeReview, page: Page, search: Search) -> StrokeReview:
        """Crossing out: a slip put right, a removal that follows, or a mark that had nothing more to say."""
        stroke = base.stroke
        if stroke.replaces is not None:
            right = self.solution[stroke.cells[0]] != stroke.replaces
            return replace(base, verdict=Verdict.CORRECTION if right else Verdict.FALSE)
        struck = [c for c in page.claims if not c.spent and _is_part(stroke, c)]
        if any(not claim.true_of(self.solution) for claim in struck):
            return replace(base, verdict=Verdict.CORRECTION)
        whole = any(set(c.cells) <= set(stroke.cells) and set(c.digits) <= set(stroke.digits) for c in struck)
        parts = [is_not(c, d) for c in stroke.cells for d in stroke.digits if not page.digits[c]]
        if whole or not parts:
            return base
        if any(self.solution[fact.cell] == fact.digit for fact in parts):
            return replace(base, verdict=Verdict.FALSE)
        goal = removal_goal(*parts)
        arguments = lightest(search, goal, most=ARGUMENTS, limit=self.limit)
        if not arguments:
            return replace(base, goal=goal, verdict=Verdict.UNSEEN)
        used = marks_used(search.position, arguments[0])
        base = replace(base, goal=goal, verdict=Verdict.FOLLOWS, argument=arguments[0])
        return replace(base, runners_up=arguments[1:], marks_used=used)

    def _is_true(self, stroke: Stroke, goal: Goal) -> bool:
        if goal.shape is Shape.PLACES or goal.shape is Shape.SET:
            claim = Claim(0, stroke.reading or Reading.CELL, stroke.cells, stroke.digits, goal.house)
            return claim.true_of(self.solution)
        return all((self.solution[f.cell] == f.digit) is f.holds for f in goal.facts)

    def _instead(self, search: Search, stroke: Stroke, argument: Argument | None) -> tuple[Argument, ...]:
        """Arguments for what a mark left open though it was as near: removals within it, or the digit itself."""
        if argument is None:
            return ()
        limit = max(WIDE_LIMIT, argument.effort)
        found: list[Argument] = []
        for cell in stroke.cells:
            for digit in stroke.digits:
                if self.solution[cell] != digit and not search.position.digits[cell]:
                    found += lightest(search, removal_goal(is_not(cell, digit)), most=1, limit=limit)
        digits: list[Argument] = []
        if found:
            for cell in stroke.cells:
                if self.solution[cell] in stroke.digits:
                    goal = digit_goal(cell, self.solution[cell])
                    digits += lightest(search, goal, most=1, limit=limit + WIDE_LIMIT)
        return tuple(digits + found)


def _says_nothing_new(stroke: Stroke, goal: Goal, position: Position) -> bool:
    """Whether a digit is written where it already stands."""
    return goal.shape is Shape.DIGIT and stroke.replaces is None and position.digits[goal.cells[0]] == goal.digits[0]


def _is_part(strike: Stroke, claim: Claim) -> bool:
    return bool(set(strike.cells) & set(claim.cells) and set(strike.digits) & set(claim.digits))


def _verdict(stroke: Stroke, false: bool, argument: Argument | None, wide: bool) -> Verdict:
    if false:
        return Verdict.FALSE
    if stroke.replaces is not None:
        return Verdict.CORRECTION
    if argument is None:
        return Verdict.UNSEEN
    return Verdict.WIDE if wide else Verdict.FOLLOWS


def marks_used(position: Position, argument: Argument | None) -> tuple[int, ...]:
    """The strokes whose marks the argument reads."""
    if argument is None:
        return ()
    return tuple(sorted({int(position.notes[i].name) for i in argument.notes}))


def note_of(claim: Claim) -> Note:
    """A standing claim as reasoning sees it; the note's name is the number of its stroke."""
    excludes = tuple(is_not(cell, digit) for cell, digit in claim.excludes(CLASSIC))
    return Note(str(claim.stroke), claim.cells, excludes)


def goal_of(stroke: Stroke) -> Goal | None:
    """What a stroke asserts, as a goal; None for a note and for a strike."""
    if stroke.kind is Kind.DIGIT:
        return digit_goal(stroke.cells[0], stroke.digits[0])
    if stroke.kind is not Kind.MARK:
        return None
    return claim_goal(stroke.reading, stroke.cells, stroke.digits, stroke.house)


def claim_goal(reading: Reading | None, cells: Sequence[int], digits: Sequence[int], house: int | None) -> Goal | None:
    """The goal of a mark's claim."""
    if reading is Reading.PLACES and house is not None:
        return places_goal(digits[0], tuple(cells), house)
    if reading is Reading.SET:
        return set_goal(tuple(cells), tuple(digits))
    if reading is Reading.CELL:
        return cell_goal(cells[0], tuple(digits))
    return None
