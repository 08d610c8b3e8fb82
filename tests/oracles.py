"""Independent solvers to check ours against: a SAT solver (python-sat) and a constraint solver (OR-Tools CP-SAT)."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from itertools import combinations, count, islice

from ortools.sat.python import cp_model
from pysat.solvers import Solver

from inkstep.grid.geometry import Geometry

Grid = tuple[int, ...]


class SatOracle:
    """One solver a geometry, loaded once with the rules; givens and candidates come as assumptions."""

    def __init__(self, geometry: Geometry) -> None:
        self.geometry = geometry
        self.clauses = list(self._rules())
        self._solver = Solver(name="cadical153", bootstrap_with=self.clauses)
        self._fresh = count(geometry.cells * geometry.size + 1)

    def variable(self, cell: int, digit: int) -> int:
        """The variable that says: the cell holds the digit."""
        return cell * self.geometry.size + digit

    def _rules(self) -> list[list[int]]:
        """Every cell has exactly one digit; every digit stands exactly once in every house."""
        digits = self.geometry.digits
        exactly_one = [[self.variable(c, d) for d in digits] for c in range(self.geometry.cells)]
        exactly_one += [[self.variable(c, d) for c in cells] for cells in self.geometry.house_cells for d in digits]
        clauses = list(exactly_one)
        for group in exactly_one:
            clauses += [[-one, -other] for one, other in combinations(group, 2)]
        return clauses

    def solutions(self, givens: Sequence[int], limit: int, candidates: Sequence[int] | None = None) -> list[Grid]:
        """At most ``limit`` completions; each found one is ruled out for the rest of this call only."""
        selector = next(self._fresh)
        assumed = [selector, *(self.variable(c, d) for c, d in enumerate(givens) if d)]
        for cell, mask in enumerate(candidates or ()):
            assumed += [-self.variable(cell, d) for d in self.geometry.digits if not mask >> (d - 1) & 1]
        found: list[Grid] = []
        while len(found) < limit and self._solver.solve(assumptions=assumed):
            true = {v for v in self._solver.get_model() if v > 0}
            grid = tuple(
                next(d for d in self.geometry.digits if self.variable(c, d) in true) for c in range(self.geometry.cells)
            )
            found.append(grid)
            self._solver.add_clause([-selector, *(-self.variable(c, d) for c, d in enumerate(grid))])
        self._solver.add_clause([-selector])
        return found


@cache
def sat(geometry: Geometry) -> SatOracle:
    """The oracle of the geometry, built at its first use."""
    return SatOracle(geometry)


class _Collector(cp_model.CpSolverSolutionCallback):
    def __init__(self, variables: Sequence[cp_model.IntVar], limit: int) -> None:
        super().__init__()
        self._variables = variables
        self._limit = limit
        self.found: list[Grid] = []

    def on_solution_callback(self) -> None:
        self.found.append(tuple(self.value(variable) for variable in self._variables))
        if len(self.found) >= self._limit:
            self.stop_search()


def cp_solutions(givens: Sequence[int], limit: int, geometry: Geometry) -> list[Grid]:
    """At most ``limit`` completions by CP-SAT, one worker, every house all different."""
    model = cp_model.CpModel()
    cells = [model.new_int_var(digit or 1, digit or geometry.size, f"c{cell}") for cell, digit in enumerate(givens)]
    for house in geometry.house_cells:
        model.add_all_different([cells[cell] for cell in house])
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.enumerate_all_solutions = True
    collector = _Collector(cells, limit)
    solver.solve(model, collector)
    return list(islice(collector.found, limit))


def is_complete(grid: Sequence[int], geometry: Geometry) -> bool:
    """Whether every house holds every digit once: the rule itself, checked plainly."""
    return all(sorted(grid[c] for c in cells) == list(geometry.digits) for cells in geometry.house_cells)
