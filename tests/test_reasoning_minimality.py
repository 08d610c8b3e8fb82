"""How light the lightest argument is: against the true minimum over all derivations, on small pages and on late ones.

The search for the lightest argument is not proved to be a minimum (the lightest shared derivation is NP-hard in
general), so its distance from the minimum is measured. What must always hold is that no argument is said to be lighter
than the minimum.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

import pytest

from exhaustive import Derivation, Exhaustive, described, holds_together
from inkstep.grid.geometry import bits
from inkstep.reasoning.argument import Argument
from inkstep.reasoning.facts import Fact, is_not
from inkstep.reasoning.goals import Goal, digit_goal, places_goal, removal_goal
from inkstep.reasoning.lightest import chances, lightest
from inkstep.reasoning.position import Position
from inkstep.reasoning.search import Search
from pages import late_page, small_page, view_of

Solution = tuple[int, ...]
#: looks; nothing on a page of 4x4 costs as much
LIMIT = 80.0
SLIGHT = 1e-6


@dataclass(frozen=True)
class Compared:
    """One goal: our lightest argument, and the lightest derivation no heavier (None: ours is too light to be true)."""

    kind: str
    position: Position
    page: Exhaustive
    goal: Goal
    ours: Argument
    least: Derivation | None

    @property
    def excess(self) -> float:
        return self.ours.effort - self.least.effort if self.least else -1.0

    def __str__(self) -> str:
        geometry = self.position.geometry
        digits = "".join(map(str, self.position.digits))
        known = ",".join(f.text(geometry) for note in self.position.notes for f in note.excludes)
        ours = "; ".join(f"{s.technique} on {' '.join(f.text(geometry) for f in s.premises)}" for s in self.ours.steps)
        least = described(self.page, self.least) if self.least else "nothing as light"
        return (
            f"{self.kind} {self.goal.text(geometry)} on {digits} known [{known}] fresh {self.position.fresh}\n"
            f"      ours  {self.ours.effort:g}: {ours}\n      least {least}"
        )


def _digits(position: Position, solution: Solution) -> Iterator[Goal]:
    yield from (digit_goal(c, solution[c]) for c in bits(view_of(position).open))


def _open_removals(position: Position, solution: Solution) -> list[Fact]:
    view = view_of(position)
    false = (is_not(c, d) for c in bits(view.open) for d in position.geometry.digits if d != solution[c])
    return [f for f in false if not view.removal(f.cell, f.digit) & view.known]


def _removals(position: Position, solution: Solution) -> Iterator[Goal]:
    yield from map(removal_goal, _open_removals(position, solution))


def _places(position: Position, solution: Solution) -> Iterator[Goal]:
    """The claims of marks: a digit's two places in a house that has more empty cells."""
    view = view_of(position)
    for house, mask in enumerate(position.geometry.house_masks):
        empty = list(bits(mask & view.open))
        for place in empty if len(empty) > 2 else ():
            for other in empty:
                if other != place:
                    yield places_goal(solution[place], tuple(sorted((place, other))), house, position.geometry)


KINDS: dict[str, Callable[[Position, Solution], Iterator[Goal]]] = {
    "digit": _digits,
    "removal": _removals,
    "places": _places,
}


def compared(rng: random.Random, pages: int, of_each: int, *, every_instance: bool) -> list[Compared]:
    """Goals of each kind on random pages. The minimum is taken over what the finders name, or over every instance."""
    rows = []
    for _ in range(pages):
        position, solution = small_page(rng)
        page = Exhaustive(position, solution, named_only=not every_instance)
        for kind, goals in KINDS.items():
            listed = list(goals(position, solution))
            for goal in rng.sample(listed, min(of_each, len(listed))):
                (ours, *_) = lightest(Search(position), goal, limit=LIMIT)
                least = page.lightest(goal, ours.effort + SLIGHT)
                rows.append(Compared(kind, position, page, goal, ours, least))
    return rows


def _report(rows: list[Compared], title: str) -> dict[str, float]:
    """Prints how far from the minimum each kind of goal is; returns the share that is at it."""
    shares = {}
    print(title)
    for kind in KINDS:
        excess = [r.excess for r in rows if r.kind == kind]
        shares[kind] = sum(e < SLIGHT for e in excess) / len(excess)
        mean, largest = sum(excess) / len(excess), max(excess)
        print(f"  {kind}: {len(excess)} goals, at the minimum {shares[kind]:.1%}", end="")
        print(f", mean excess {mean:.3f}, largest {largest:.2f} looks")
    for row in sorted(rows, key=lambda r: -r.excess)[:8]:
        if row.excess > SLIGHT:
            print(f"    +{row.excess:.2f} {row}")
    return shares


def _check_costing(rows: list[Compared]) -> None:
    too_light = [str(r) for r in rows if r.least is None]
    assert not too_light
    assert all(r.least and holds_together(r.page, r.least) for r in rows)


def test_lightest_arguments_against_all_derivations_of_the_finders_patterns() -> None:
    rows = compared(random.Random(41), 40, 2, every_instance=False)
    shares = _report(rows, "minimum over the patterns that the finders name")
    _check_costing(rows)
    assert len(rows) > 200
    assert shares["digit"] >= 0.99
    assert shares["places"] >= 0.92
    assert shares["removal"] >= 0.92


@pytest.mark.slow
def test_more_goals_against_all_derivations_of_the_finders_patterns() -> None:
    rows = compared(random.Random(42), 150, 3, every_instance=False)
    shares = _report(rows, "minimum over the patterns that the finders name")
    _check_costing(rows)
    assert len(rows) > 1000
    assert shares["digit"] >= 0.99
    assert shares["places"] >= 0.92
    assert shares["removal"] >= 0.92


@pytest.mark.slow
def test_lightest_arguments_against_all_derivations_of_every_instance() -> None:
    """A finder names what it sees on the page, so it passes over an instance that needs less than the page shows."""
    rows = compared(random.Random(44), 30, 2, every_instance=True)
    shares = _report(rows, "minimum over every instance of every rule")
    _check_costing(rows)
    assert shares["digit"] >= 0.97
    assert shares["places"] >= 0.70
    assert shares["removal"] >= 0.25


@dataclass
class Classic:
    """Goals on well-filled 9x9 pages: how many arguments of each of the two questions are at the minimum."""

    goals: int = 0
    lightest: int = 0
    chance: int = 0
    heaviest: list[str] = field(default_factory=list)


def compared_on_late_pages(rng: random.Random, pages: int, of_each: int, heavy: float) -> Classic:
    """Chances that take from 4.5 looks (about where inner steps begin) to ``heavy``, as chances and as goals."""
    tally = Classic()
    for _ in range(pages):
        position, solution = late_page(rng)
        page = Exhaustive(position, solution, named_only=True)
        fit = [a for a in chances(position) if 4.5 <= a.effort <= heavy]
        for chance in rng.sample(fit, min(of_each, len(fit))):
            goal = digit_goal(chance.goal[0].cell, chance.goal[0].digit)
            (ours, *_) = lightest(position, goal)
            least = page.lightest(goal, ours.effort + SLIGHT)
            assert least, Compared("digit", position, page, goal, ours, None)
            assert holds_together(page, least)
            assert chance.effort > ours.effort - SLIGHT
            tally.goals += 1
            tally.lightest += ours.effort < least.effort + SLIGHT
            tally.chance += chance.effort < least.effort + SLIGHT
            if chance.effort > least.effort + SLIGHT:
                compared = Compared("chance", position, page, goal, chance, least)
                tally.heaviest.append(f"lightest {ours.effort:g}, {compared}")
    print(f"{tally.goals} goals on late 9x9 pages: lightest at the minimum in {tally.lightest}, chance in {tally.chance}")
    print(*(f"    {where}" for where in tally.heaviest), sep="\n")
    return tally


def test_lightest_arguments_on_late_pages_of_9x9() -> None:
    tally = compared_on_late_pages(random.Random(45), 5, 4, 9.0)
    assert tally.goals > 15
    assert tally.lightest >= 0.95 * tally.goals
    assert tally.chance >= 0.90 * tally.goals


@pytest.mark.slow
def test_more_lightest_arguments_on_late_pages_of_9x9() -> None:
    tally = compared_on_late_pages(random.Random(46), 40, 4, 11.0)
    assert tally.goals > 120
    assert tally.lightest >= 0.97 * tally.goals
    assert tally.chance >= 0.90 * tally.goals


def test_the_exhaustive_search_can_be_failed() -> None:
    """A claim lighter than the true minimum is refused, and the minimum itself is not."""
    rng = random.Random(43)
    for row in compared(rng, 3, 1, every_instance=False):
        assert row.least
        assert row.page.lightest(row.goal, row.least.effort - 0.05) is None
        again = row.page.lightest(row.goal, LIMIT / 2)
        assert again is not None and abs(again.effort - row.least.effort) < SLIGHT
