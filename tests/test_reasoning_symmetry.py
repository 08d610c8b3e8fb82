"""Reasoning does not care which way up the sheet lies or what the digits are called: it commutes with the symmetries.

What a rule finds commutes exactly. The effort of a lightest argument commutes but for ties: where two covers or two
patterns are equally light, the order of cells decides which is leant on, and a long argument may share more looks with
the one than with the other. How often that happens, and how much it makes, is measured and bounded here.
"""

from __future__ import annotations

import random
from collections.abc import Iterable
from dataclasses import dataclass, field

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inkstep.grid.geometry import bits
from inkstep.grid.symmetry import Symmetry, random_symmetry
from inkstep.reasoning.facts import Fact, is_not
from inkstep.reasoning.goals import removal_goal
from inkstep.reasoning.lightest import DEFAULT_LIMIT, chances, lightest
from inkstep.reasoning.position import Position
from inkstep.reasoning.proof import prove
from inkstep.reasoning.techniques import CATALOGUE
from inkstep.reasoning.techniques.base import Pattern
from inkstep.reasoning.view import View
from pages import random_page, small_page, view_of

seeds = st.integers(0, 2**32 - 1).map(random.Random)
SLIGHT = 1e-6


def moved_fact(symmetry: Symmetry, fact: Fact) -> Fact:
    return Fact(symmetry.apply_cell(fact.cell), symmetry.apply_digit(fact.digit), fact.holds)


def moved(symmetry: Symmetry, position: Position) -> Position:
    """The position on the moved sheet: digits, marks and fresh ink go where their cells go."""
    return Position.of(
        symmetry.apply_grid(position.digits),
        known=[moved_fact(symmetry, f) for note in position.notes for f in note.excludes],
        fresh=[symmetry.apply_cell(c) for c in position.fresh],
        geometry=position.geometry,
    )


# -- rules ------------------------------------------------------------------------------------------------------------

Said = tuple[str, str, frozenset[int], frozenset[Fact], frozenset[Fact]]


def _said(symmetry: Symmetry, view: View, pattern: Pattern) -> Said:
    """What a pattern says, moved: its cells, its needs and its conclusions."""
    gives = view.consequences(*pattern.settles) if pattern.settles else pattern.gives
    return (
        pattern.technique,
        pattern.price,
        frozenset(symmetry.apply_cell(c) for c in bits(pattern.cells)),
        frozenset(moved_fact(symmetry, f) for f in view.facts(pattern.need)),
        frozenset(moved_fact(symmetry, f) for f in view.facts(gives)),
    )


def _all_said(symmetry: Symmetry, position: Position) -> set[Said]:
    view = view_of(position)
    return {_said(symmetry, view, p) for technique in CATALOGUE for p in technique.find(view, view.known)}


def _still(symmetry: Symmetry) -> Symmetry:
    return symmetry.then(symmetry.inverse())


@settings(deadline=None)
@given(seeds, st.booleans())
def test_what_every_rule_finds_commutes_with_the_symmetries(rng: random.Random, small: bool) -> None:
    position, _ = small_page(rng) if small else random_page(rng)
    symmetry = random_symmetry(rng, position.geometry)
    assert _all_said(symmetry, position) == _all_said(_still(symmetry), moved(symmetry, position))


# -- efforts ----------------------------------------------------------------------------------------------------------


@dataclass
class Tally:
    """Efforts compared on pages and their moved copies."""

    pages: int = 0
    pages_differing: int = 0
    efforts: int = 0
    differing: list[tuple[float, float, str]] = field(default_factory=list)

    def compare(self, here: dict[Fact, float], there: dict[Fact, float], position: Position) -> None:
        """Enter two pages' efforts, by goal. A goal beyond the limit on one page counts as if it lay at the limit."""
        differing = len(self.differing)
        for goal in sorted(here.keys() | there.keys()):
            one, two = here.get(goal, DEFAULT_LIMIT), there.get(goal, DEFAULT_LIMIT)
            self.efforts += 1
            if abs(one - two) > SLIGHT:
                page = "".join(map(str, position.digits))
                self.differing.append((abs(one - two), min(one, two), f"{goal} {one:g}/{two:g} on {page}"))
        self.pages += 1
        self.pages_differing += len(self.differing) > differing

    @property
    def share(self) -> float:
        return len(self.differing) / self.efforts

    @property
    def largest(self) -> float:
        return max((difference for difference, _, _ in self.differing), default=0.0)

    @property
    def lightest(self) -> float:
        """The effort from which on there are differences."""
        return min((effort for _, effort, _ in self.differing), default=DEFAULT_LIMIT)

    def report(self, title: str) -> None:
        print(
            f"{title}: {self.pages} pages, {self.pages_differing} with a difference; {self.efforts} efforts, "
            f"{len(self.differing)} differ ({self.share:.2%}), at most {self.largest:.2f} looks, "
            f"none below {self.lightest:g} looks"
        )
        print(*(f"  {where}" for _, _, where in sorted(self.differing)), sep="\n")


def _chances(symmetry: Symmetry, position: Position) -> dict[Fact, float]:
    return {moved_fact(symmetry, a.goal[0]): a.effort for a in chances(position)}


def _removals(symmetry: Symmetry, position: Position, facts: Iterable[Fact]) -> dict[Fact, float]:
    """The effort of the lightest argument for each removal, by the removal as it is called on the moved sheet."""
    efforts = {}
    for fact in facts:
        for argument in lightest(position, removal_goal(fact), most=1):
            efforts[moved_fact(symmetry, fact)] = argument.effort
    return efforts


def _some_removals(rng: random.Random, position: Position, solution: tuple[int, ...]) -> list[Fact]:
    view = view_of(position)
    false = [is_not(c, d) for c in bits(view.open) for d in position.geometry.digits if d != solution[c]]
    unknown = [f for f in false if not view.removal(f.cell, f.digit) & view.known]
    return rng.sample(unknown, min(3, len(unknown)))


def tally(rng: random.Random, pages: int, *, small: bool = False) -> tuple[Tally, Tally]:
    """Chances, and lightest arguments for removals, on random pages and their copies under random symmetries."""
    digits, removals = Tally(), Tally()
    for _ in range(pages):
        position, solution = small_page(rng) if small else random_page(rng)
        symmetry = random_symmetry(rng, position.geometry)
        still, copy = _still(symmetry), moved(symmetry, position)
        digits.compare(_chances(symmetry, position), _chances(still, copy), position)
        facts = _some_removals(rng, position, solution)
        there = _removals(still, copy, [moved_fact(symmetry, f) for f in facts])
        removals.compare(_removals(symmetry, position, facts), there, position)
    return digits, removals


def _check(digits: Tally, removals: Tally) -> None:
    digits.report("chances")
    removals.report("removals")
    assert max(digits.share, removals.share) <= 0.005
    assert max(digits.largest, removals.largest) <= 2.5
    assert min(digits.lightest, removals.lightest) > 5.0


def test_chances_and_lightest_efforts_commute_but_for_ties() -> None:
    _check(*tally(random.Random(31), 14))


def test_on_small_pages_chances_and_lightest_efforts_commute_exactly() -> None:
    digits, removals = tally(random.Random(32), 40, small=True)
    assert (digits.differing, removals.differing) == ([], [])


@pytest.mark.slow
def test_chances_and_lightest_efforts_commute_on_300_pages() -> None:
    _check(*tally(random.Random(33), 300))


@settings(max_examples=15, deadline=None)
@given(seeds)
def test_an_argument_moved_with_its_page_is_still_proved(rng: random.Random) -> None:
    """Proof commutes too: each step's facts and houses moved are a step of the moved page."""
    position, _ = random_page(rng)
    symmetry = random_symmetry(rng, position.geometry)
    ours = {a.goal: a for a in chances(position, limit=12.0)}
    theirs = chances(moved(symmetry, position), limit=12.0)
    assert len(ours) == len(theirs)
    assert all(prove(a, position) for a in ours.values())
    for argument in theirs:
        back = tuple(moved_fact(symmetry.inverse(), f) for f in argument.goal)
        assert back in ours
        assert len(ours[back].steps) == len(argument.steps) or ours[back].effort == argument.effort
        assert prove(argument, moved(symmetry, position))
