"""Proof of each step by a general SAT solver that knows nothing of techniques.

The solver is given the rule of each cell (exactly one digit), the rules of the houses the step names (each digit
exactly once), and the step's premises. They must contradict the negation of every conclusion.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

from pysat.solvers import Cadical153

from inkstep.grid.geometry import Geometry
from inkstep.reasoning.argument import Argument, Step
from inkstep.reasoning.facts import Fact
from inkstep.reasoning.position import Position


class Rules:
    """A SAT solver loaded once with the rules of a grid; each house's rule can be switched on alone."""

    def __init__(self, geometry: Geometry) -> None:
        self._geometry = geometry
        self._solver = Cadical153()
        first_switch = geometry.cells * geometry.size
        self._switches = [first_switch + h + 1 for h in range(len(geometry.house_masks))]
        for cell in range(geometry.cells):
            self._exactly_one([self._variable(cell, d) for d in geometry.digits], ())
        for house, cells in enumerate(geometry.house_cells):
            for digit in geometry.digits:
                self._exactly_one([self._variable(c, digit) for c in cells], (-self._switches[house],))

    def _variable(self, cell: int, digit: int) -> int:
        return cell * self._geometry.size + digit

    def _exactly_one(self, variables: list[int], guard: tuple[int, ...]) -> None:
        self._solver.add_clause([*guard, *variables])
        for i, one in enumerate(variables):
            for two in variables[i + 1 :]:
                self._solver.add_clause([*guard, -one, -two])

    def _literal(self, fact: Fact) -> int:
        variable = self._variable(fact.cell, fact.digit)
        return variable if fact.holds else -variable

    def follow(self, houses: Iterable[int], premises: Iterable[Fact], conclusions: Iterable[Fact]) -> bool:
        """Whether each of ``conclusions`` follows from the rules of ``houses`` and ``premises`` alone."""
        given = [self._switches[h] for h in houses] + [self._literal(f) for f in premises]
        return all(not self._solver.solve(assumptions=[*given, -self._literal(f)]) for f in conclusions)


@lru_cache(maxsize=4)
def rules(geometry: Geometry) -> Rules:
    """The solver for ``geometry``, loaded on first use."""
    return Rules(geometry)


def prove_step(step: Step, geometry: Geometry) -> bool:
    """Whether the step's conclusions follow from its own houses and premises alone."""
    return bool(step.conclusions) and rules(geometry).follow(step.houses, step.premises, step.conclusions)


def prove(argument: Argument, position: Position) -> bool:
    """Whether the argument holds: every step follows, leans only on what stands or came before, and the goal is reached."""
    known = {Fact(c, d, True) for c, d in enumerate(position.digits) if d}
    for note in position.notes:
        known.update(note.excludes)
    for step in argument.steps:
        if not known.issuperset(step.premises) or not prove_step(step, argument.geometry):
            return False
        known.update(step.conclusions)
    filled = {(c, d) for c, d in enumerate(position.digits) if d}
    return all(f in known or _seen_full(f, filled) for f in argument.goal)


def _seen_full(fact: Fact, filled: set[tuple[int, int]]) -> bool:
    """A removal in a filled cell needs no argument: the cell shows another digit."""
    return not fact.holds and any(c == fact.cell and d != fact.digit for c, d in filled)
