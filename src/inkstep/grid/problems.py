"""Everything that is wrong with a readable puzzle, said at once and without raising."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from inkstep.grid.geometry import Geometry, bits
from inkstep.grid.solving import count_solutions, solutions

ProblemKind = Literal["clash", "no solution", "several solutions", "candidates"]

#: how many cells or reasons a sentence names before it says how many more there are
_MOST_NAMED = 12
_COUNTS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")


@dataclass(frozen=True)
class Problem:
    """One defect of a puzzle; ``text`` says it in a sentence.

    ``clash``: the ``cells`` of the house hold the same digit. ``no solution``: cells and houses are those that
    show it at once, if any do. ``several solutions``: two ``solutions``, and the cells in which they differ.
    ``candidates``: the lists posted for the ``cells`` leave out their digit of the solution, in ``digits``.
    """

    kind: ProblemKind
    text: str
    cells: tuple[int, ...] = ()
    houses: tuple[int, ...] = ()
    digits: tuple[int, ...] = ()
    solutions: tuple[tuple[int, ...], ...] = ()

    def __str__(self) -> str:
        return self.text

    def to_json(self, geometry: Geometry) -> dict[str, Any]:
        """The problem as plain data: cells ``r4c7``, houses ``row 4``, solutions as lines of digits."""
        return {
            "kind": self.kind,
            "text": self.text,
            "cells": [geometry.cell_name(cell) for cell in self.cells],
            "houses": [geometry.house_name(house) for house in self.houses],
            "digits": list(self.digits),
            "solutions": [_line(solution) for solution in self.solutions],
        }


def find_problems(givens: Sequence[int], candidates: Sequence[int] | None, geometry: Geometry) -> tuple[Problem, ...]:
    """All problems of the digits ``givens`` (0 for an empty cell) and of the ``candidates`` posted with them.

    Where digits clash nothing is solved: the clashes are what must be mended first.
    """
    clashes = tuple(_clashes(givens, geometry))
    if clashes:
        return clashes
    found = solutions(givens, limit=2, geometry=geometry)
    if not found:
        return (_no_solution(givens, geometry),)
    problems = [_several(found, geometry)] if len(found) > 1 else []
    if candidates is not None and not count_solutions(givens, 1, geometry, candidates=candidates):
        problems.append(_wrong_lists(found, candidates, geometry))
    return tuple(problems)


def _clashes(givens: Sequence[int], geometry: Geometry) -> Iterator[Problem]:
    for house, cells in enumerate(geometry.house_cells):
        for digit in geometry.digits:
            holders = tuple(cell for cell in cells if givens[cell] == digit)
            if len(holders) > 1:
                house_name = geometry.house_name(house)
                text = f"{house_name} holds {_COUNTS[len(holders)]} {digit}s: {_names(holders, geometry)}"
                yield Problem("clash", text, holders, (house,), (digit,))


def _no_solution(givens: Sequence[int], geometry: Geometry) -> Problem:
    open_digits = [_open_digits(cell, givens, geometry) for cell in range(geometry.cells)]
    stuck = tuple(c for c, left in enumerate(open_digits) if not givens[c] and not left)
    homeless = [
        (house, digit)
        for house, cells in enumerate(geometry.house_cells)
        for digit in geometry.digits
        if not any(givens[cell] == digit or digit in open_digits[cell] for cell in cells)
    ]
    reasons = [f"no digit fits {geometry.cell_name(cell)}, whose row, column and box hold them all" for cell in stuck]
    reasons += [f"{geometry.house_name(house)} has no cell left for {digit}" for house, digit in homeless]
    text = (
        f"the puzzle has no solution: {_some(reasons)}"
        if reasons
        else ("the puzzle has no solution, though every cell and every digit has a place at first sight")
    )
    houses = tuple(sorted({house for house, _ in homeless}))
    digits = tuple(sorted({digit for _, digit in homeless}))
    return Problem("no solution", text, stuck, houses, digits)


def _open_digits(cell: int, givens: Sequence[int], geometry: Geometry) -> frozenset[int]:
    """The digits that no digit standing in the cell's houses rules out; none for a filled cell."""
    if givens[cell]:
        return frozenset()
    return frozenset(geometry.digits) - {givens[peer] for peer in bits(geometry.peers[cell])}


def _several(found: Sequence[tuple[int, ...]], geometry: Geometry) -> Problem:
    one, other = found
    cells = tuple(cell for cell in range(geometry.cells) if one[cell] != other[cell])
    text = (
        f"the puzzle has several solutions: {_line(one)} and {_line(other)} differ in "
        f"{len(cells)} cells ({_names(cells, geometry)})"
    )
    return Problem("several solutions", text, cells, solutions=(one, other))


def _wrong_lists(found: Sequence[tuple[int, ...]], candidates: Sequence[int], geometry: Geometry) -> Problem:
    if len(found) > 1:
        return Problem("candidates", "none of the solutions fits the candidates posted")
    (solution,) = found
    cells = tuple(c for c, digit in enumerate(solution) if not candidates[c] >> (digit - 1) & 1)
    digits = tuple(solution[cell] for cell in cells)
    misses = [f"{digit} in {geometry.cell_name(cell)}" for cell, digit in zip(cells, digits, strict=True)]
    text = f"the candidates posted leave out digits of the solution: {_some(misses)}"
    return Problem("candidates", text, cells, (), digits)


def _line(solution: Sequence[int]) -> str:
    return "".join(map(str, solution))


def _names(cells: Sequence[int], geometry: Geometry) -> str:
    return _some([geometry.cell_name(cell) for cell in cells])


def _some(items: Sequence[str]) -> str:
    shown = ", ".join(items[:_MOST_NAMED])
    left = len(items) - _MOST_NAMED
    return f"{shown} and {left} more" if left > 0 else shown
