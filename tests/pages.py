"""Positions that the tests of the reasoning share: pages along a solve, random pages, small random pages."""

from __future__ import annotations

import random
from collections.abc import Iterator
from functools import cache

from inkstep.grid.geometry import CLASSIC, SMALL, Geometry, bits
from inkstep.grid.solving import count_solutions, solutions
from inkstep.reasoning.argument import Argument
from inkstep.reasoning.facts import Fact, is_digit, is_not
from inkstep.reasoning.lightest import chances
from inkstep.reasoning.position import Position
from inkstep.reasoning.techniques.base import Pattern
from inkstep.reasoning.view import View
from puzzle_data import DATA, grid, puzzle_lines


@cache
def seventeen() -> tuple[tuple[int, ...], ...]:
    """The 500 puzzles with 17 givens."""
    return tuple(grid(line) for line in puzzle_lines(DATA / "seventeen-clue.txt"))


def position_of(stands: str) -> Position:
    """The position on which the facts of ``stands``, separated by spaces, stand: digits written, removals known."""
    facts = [Fact.parse(part) for part in stands.split()]
    digits = [0] * CLASSIC.cells
    for fact in facts:
        if fact.holds:
            digits[fact.cell] = fact.digit
    return Position.of(digits, known=[f for f in facts if not f.holds])


def view_of(position: Position) -> View:
    """What the techniques see of ``position``: its digits, and the removals that its notes assert."""
    view = View(position.digits, position.geometry)
    for note in position.notes:
        view.learn(view.mask(note.excludes))
    return view


def played(puzzle: tuple[int, ...]) -> Iterator[tuple[Position, tuple[Argument, ...]]]:
    """The pages of a solve that writes the lightest chance each time, with all chances of each, as far as there are any."""
    digits = list(puzzle)
    fresh: list[int] = []
    while True:
        position = Position(tuple(digits), (), tuple(fresh[:3]))
        open_now = chances(position)
        if not open_now:
            return
        yield position, open_now
        written = open_now[0].goal[0]
        digits[written.cell] = written.digit
        fresh.insert(0, written.cell)


@cache
def _solution(puzzle: tuple[int, ...]) -> tuple[int, ...]:
    (solution,) = solutions(puzzle)
    return solution


def random_page(rng: random.Random) -> tuple[Position, tuple[int, ...]]:
    """A page of a 17-clue puzzle with up to 45 more digits and up to 40 removals known, and the solution."""
    puzzle = rng.choice(seventeen())
    solution = _solution(puzzle)
    digits = list(puzzle)
    written = rng.sample([c for c in range(81) if not digits[c]], rng.randint(0, 45))
    for cell in written:
        digits[cell] = solution[cell]
    false = [is_not(c, d) for c in range(81) if not digits[c] for d in CLASSIC.digits if d != solution[c]]
    known = rng.sample(false, min(len(false), rng.choice((0, 0, 10, 40))))
    return Position.of(digits, known=known, fresh=written[:3]), solution


def late_page(rng: random.Random) -> tuple[Position, tuple[int, ...]]:
    """A page of a 17-clue puzzle with 16 to 32 more digits and no marks, and the solution."""
    puzzle = rng.choice(seventeen())
    solution = _solution(puzzle)
    written = rng.sample([c for c in range(81) if not puzzle[c]], rng.randint(16, 32))
    digits = tuple(solution[c] if c in written else d for c, d in enumerate(puzzle))
    return Position(digits, (), tuple(written[:3])), solution


@cache
def _small_grids() -> tuple[tuple[int, ...], ...]:
    return tuple(solutions((0,) * 16, limit=300, geometry=SMALL))


def small_page(rng: random.Random) -> tuple[Position, tuple[int, ...]]:
    """A page of a 4x4 puzzle with 4 to 8 givens, up to 3 more digits and some removals known, and its one solution."""
    while True:
        solution = rng.choice(_small_grids())
        order = rng.sample(range(16), 16)
        givens = rng.randint(4, 8)
        if count_solutions(_shown(solution, order[:givens]), 2, SMALL) == 1:
            break
    written = order[givens : givens + rng.randint(0, 3)]
    digits = _shown(solution, order[:givens] + written)
    false = [is_not(c, d) for c in range(16) if not digits[c] for d in SMALL.digits if d != solution[c]]
    known = rng.sample(false, min(len(false), rng.choice((0, 0, 2, 4))))
    return Position.of(digits, known=known, fresh=written[::-1], geometry=SMALL), solution


def _shown(solution: tuple[int, ...], cells: list[int]) -> tuple[int, ...]:
    return tuple(d if c in cells else 0 for c, d in enumerate(solution))


def pattern_premises(pattern: Pattern, view: View) -> tuple[Fact, ...]:
    """What a pattern rests on, as facts: the digits of its filled cells, and the removals it needs."""
    filled = tuple(is_digit(c, view.digits[c]) for c in bits(pattern.occupied))
    return filled + view.facts(pattern.need)


def pattern_proofs(pattern: Pattern, view: View) -> Iterator[tuple[tuple[int, ...], Fact]]:
    """Each conclusion of a pattern, with the houses it may use: its own, and those that join the cell to its ends."""
    if pattern.settles:
        yield pattern.houses, is_digit(*pattern.settles)
    for fact in view.facts(pattern.gives):
        yield pattern.houses + _joining(view.geometry, fact.cell, pattern.reach), fact


def _joining(geometry: Geometry, cell: int, ends: int) -> tuple[int, ...]:
    return tuple(geometry.shared_houses(1 << cell | 1 << end)[0] for end in bits(ends))
