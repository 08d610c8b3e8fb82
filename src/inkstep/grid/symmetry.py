"""The symmetries of a grid: what moves cells and renames digits so that every solution stays one."""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import permutations, product
from math import factorial, prod

from inkstep.grid.geometry import CLASSIC, Geometry


@dataclass(frozen=True)
class Symmetry:
    """First the transposition (if any), then the lines moved, and the digits renamed.

    Row ``i`` goes to row ``rows[i]``, column ``j`` to column ``columns[j]``; digit ``d`` becomes
    ``digits[d - 1]``. Rows of one band stay in one band, columns of one stack in one stack; only a grid with
    square boxes can be transposed.

    Raises:
        ValueError: the permutations are none, or tear a band or stack apart.
    """

    transpose: bool
    rows: tuple[int, ...]
    columns: tuple[int, ...]
    digits: tuple[int, ...]
    geometry: Geometry = field(default=CLASSIC)

    def __post_init__(self) -> None:
        geometry = self.geometry
        if self.transpose and geometry.box_rows != geometry.box_columns:
            raise ValueError("a grid whose boxes are not square cannot be transposed")
        if not _keeps_groups(self.rows, geometry.size, geometry.box_rows):
            raise ValueError(f"rows are not moved within and with their bands: {self.rows}")
        if not _keeps_groups(self.columns, geometry.size, geometry.box_columns):
            raise ValueError(f"columns are not moved within and with their stacks: {self.columns}")
        if sorted(self.digits) != list(geometry.digits):
            raise ValueError(f"digits are not renamed one to one: {self.digits}")

    def apply_cell(self, cell: int) -> int:
        """Where the cell goes."""
        row, column = divmod(cell, self.geometry.size)
        if self.transpose:
            row, column = column, row
        return self.rows[row] * self.geometry.size + self.columns[column]

    def apply_digit(self, digit: int) -> int:
        """What the digit becomes; 0 (no digit) stays."""
        return self.digits[digit - 1] if digit else 0

    def apply_house(self, house: int) -> int:
        """The house to which all cells of the house go."""
        mask = sum(1 << self.apply_cell(cell) for cell in self.geometry.house_cells[house])
        return self.geometry.house_masks.index(mask)

    def apply_grid(self, values: Sequence[int]) -> tuple[int, ...]:
        """The grid with its cells moved and its digits renamed."""
        moved = [0] * self.geometry.cells
        for cell, digit in enumerate(values):
            moved[self.apply_cell(cell)] = self.apply_digit(digit)
        return tuple(moved)

    def inverse(self) -> Symmetry:
        """The symmetry that undoes this one."""
        rows, columns = _undone(self.rows), _undone(self.columns)
        if self.transpose:
            rows, columns = columns, rows
        digits = tuple(sorted(self.digits, key=self.apply_digit))
        return Symmetry(self.transpose, rows, columns, digits, self.geometry)

    def then(self, other: Symmetry) -> Symmetry:
        """This symmetry and after it ``other``, as one.

        Raises:
            ValueError: the other one belongs to another geometry.
        """
        if other.geometry != self.geometry:
            raise ValueError("both symmetries must belong to one geometry")
        rows, columns = (self.columns, self.rows) if other.transpose else (self.rows, self.columns)
        return Symmetry(
            self.transpose != other.transpose,
            tuple(other.rows[line] for line in rows),
            tuple(other.columns[line] for line in columns),
            tuple(other.apply_digit(digit) for digit in self.digits),
            self.geometry,
        )


def identity(geometry: Geometry = CLASSIC) -> Symmetry:
    """The symmetry that changes nothing."""
    lines = tuple(range(geometry.size))
    return Symmetry(False, lines, lines, tuple(geometry.digits), geometry)


def all_geometric(geometry: Geometry = CLASSIC) -> Iterator[Symmetry]:
    """Every symmetry that leaves the digits as they are, one by one; `geometric_count` says how many."""
    flags = (False, True) if geometry.box_rows == geometry.box_columns else (False,)
    rows = list(_line_orders(geometry.box_columns, geometry.box_rows))
    columns = list(_line_orders(geometry.box_rows, geometry.box_columns))
    for flag, row_order, column_order in product(flags, rows, columns):
        yield Symmetry(flag, row_order, column_order, tuple(geometry.digits), geometry)


def geometric_count(geometry: Geometry = CLASSIC) -> int:
    """How many symmetries leave the digits as they are.

    >>> geometric_count() == 2 * 6**8
    True
    """
    down, across = geometry.box_rows, geometry.box_columns
    row_orders = factorial(across) * prod([factorial(down)] * across)
    column_orders = factorial(down) * prod([factorial(across)] * down)
    return row_orders * column_orders * (2 if down == across else 1)


def random_symmetry(rng: random.Random, geometry: Geometry = CLASSIC) -> Symmetry:
    """One of all symmetries, digits included, each equally likely."""
    square = geometry.box_rows == geometry.box_columns
    return Symmetry(
        square and rng.random() < 0.5,
        _random_order(rng, geometry.box_columns, geometry.box_rows),
        _random_order(rng, geometry.box_rows, geometry.box_columns),
        tuple(rng.sample(geometry.digits, geometry.size)),
        geometry,
    )


def _keeps_groups(order: Sequence[int], size: int, width: int) -> bool:
    if sorted(order) != list(range(size)):
        return False
    groups = (order[start : start + width] for start in range(0, size, width))
    return all(len({line // width for line in group}) == 1 for group in groups)


def _line_orders(groups: int, width: int) -> Iterator[tuple[int, ...]]:
    """All orders of ``groups`` bands of ``width`` lines that keep the bands together."""
    inner = list(permutations(range(width)))
    for outer in permutations(range(groups)):
        for inside in product(inner, repeat=groups):
            yield tuple(outer[g] * width + line for g in range(groups) for line in inside[g])


def _random_order(rng: random.Random, groups: int, width: int) -> tuple[int, ...]:
    outer = rng.sample(range(groups), groups)
    return tuple(group * width + line for group in outer for line in rng.sample(range(width), width))


def _undone(order: Sequence[int]) -> tuple[int, ...]:
    return tuple(sorted(range(len(order)), key=order.__getitem__))
