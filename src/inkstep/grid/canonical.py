"""The canonical form of a grid: the least of all the grids that its symmetries give.

Two puzzles are the same up to moving lines, transposing and renaming digits exactly when their canonical forms are equal.

The form is built row by row, and of all ways to begin only those that give the least rows so far are kept. A choice that
makes no difference yet is not made: columns that look alike so far stay in one *run* of positions without an order
among them, and the digits first met in them stay without one too. So the many ways to begin come down to a few.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import permutations
from typing import NamedTuple, TypeVar

from inkstep.grid.geometry import CLASSIC, Geometry

Row = tuple[int, ...]
#: what a digit becomes: the position of this column (0 for None) and so many more
_Name = tuple[int | None, int]
_NO_HOME: _Name = (None, 0)
_Item = TypeVar("_Item")


class _Columns(NamedTuple):
    """What is settled of the order of the columns and of the digits' names.

    ``start`` has for each column the first position of its run: the columns of one run, all of one stack, are not
    told apart yet. ``names`` has an entry a digit (and one for 0), None for a digit not met so far; ``named`` counts
    those met.
    """

    start: Row
    names: tuple[_Name | None, ...]
    named: int = 0

    def run(self, position: int) -> list[int]:
        """The columns of the run that begins at ``position``."""
        return [column for column, at in enumerate(self.start) if at == position]

    def name(self, digit: int) -> int:
        """The least name that the digit can still get; a digit not met so far gets the next."""
        known = self.names[digit]
        if known is None:
            return self.named + 1
        return known[1] if known[0] is None else known[1] + self.start[known[0]]

    def parted(self, first: Sequence[int], run: Sequence[int]) -> _Columns:
        """The same with the columns ``first`` of ``run`` before its others."""
        if len(first) == len(run):
            return self
        start = list(self.start)
        for column in run:
            if column not in first:
                start[column] += len(first)
        return _Columns(tuple(start), self.names, self.named)

    def meeting(self, digits: Sequence[int], run: Sequence[int | None]) -> _Columns:
        """The same with the next names for new digits, each bound to its column's position in a run."""
        names, named = list(self.names), self.named
        position = 0 if run[0] is None else self.start[run[0]]
        for digit, column in zip(digits, run, strict=True):
            names[digit] = (column, self.named + 1 - position)
            named += 1
        return _Columns(self.start, tuple(names), named)

    def binding(self, digit: int) -> _Columns:
        """The same with the least name that the digit can still get as its name."""
        known = self.names[digit]
        if known is None:
            return self.meeting([digit], [None])
        home = known[0]
        if home is None or self.start.count(self.start[home]) == 1:
            return self
        return self.parted([home], self.run(self.start[home]))


class _Beginning(NamedTuple):
    """A way to begin: the rows not written yet, of the band begun and in whole bands, and what is settled."""

    begun: tuple[Row, ...]
    bands: tuple[tuple[Row, ...], ...]
    columns: _Columns

    def next_rows(self) -> Iterator[tuple[Row, tuple[Row, ...], tuple[tuple[Row, ...], ...]]]:
        """Each row that may come next, with what is left of its band and the bands left; of equal ones the first."""
        if self.begun:
            for row, rest in _taken(self.begun):
                yield row, rest, self.bands
            return
        for band, bands in _taken(self.bands):
            for row, rest in _taken(band):
                yield row, rest, bands

    def settled(self, kinds: int) -> bool:
        """Whether the columns have their order and all ``kinds`` of digits their names."""
        start, _, named = self.columns
        return named == kinds and len(set(start)) == len(start)

    def rest(self) -> Row:
        """The rows that follow, where all is settled but their order."""
        columns = self.columns
        order = sorted(range(len(columns.start)), key=columns.start.__getitem__)
        names = [0, *(columns.name(digit) for digit in range(1, len(columns.names)))]
        bands = [
            sorted([names[row[column]] for column in order] for row in band) for band in (self.begun, *self.bands)
        ]
        return tuple(digit for band in (bands[0], *sorted(bands[1:])) for row in band for digit in row)


def canonical(values: Sequence[int], geometry: Geometry = CLASSIC) -> tuple[int, ...]:
    """The least of the grids that the symmetries make of ``values``, cell by cell, an empty cell (0) before any digit.

    The symmetries are those of `Symmetry`: lines moved within and with their bands and stacks, transposition where
    boxes are square, digits renamed. A digit may stand anywhere: the grid need not be a sound puzzle.

    >>> canonical((0, 0, 0, 0, 0, 4, 0, 0, 0, 0, 0, 0, 0, 0, 0, 2), Geometry(2, 2))
    (0, 0, 0, 0, 0, 0, 0, 1, 0, 0, 0, 0, 0, 2, 0, 0)

    Raises:
        ValueError: not one value a cell, or a value that is neither 0 nor a digit of the grid.
    """
    if len(values) != geometry.cells or not all(0 <= digit <= geometry.size for digit in values):
        raise ValueError(f"values are {geometry.cells} numbers from 0 to {geometry.size}")
    kinds = len(set(values) - {0})
    found = list(_beginnings(tuple(values), geometry))
    written: Row = ()
    while len(written) < geometry.cells:
        if all(beginning.settled(kinds) for beginning in found):
            return written + min(beginning.rest() for beginning in found)
        row, found = _least_row(found)
        written += row
    return written


def canonical_line(values: Sequence[int]) -> str:
    """The canonical form of a classic grid as 81 characters, ``.`` for an empty cell.

    It is the form that `canonical` says is the least, with an empty cell before any digit.

    Raises:
        ValueError: not 81 values from 0 to 9.
    """
    return "".join(str(digit) if digit else "." for digit in canonical(values))


def _beginnings(values: Row, geometry: Geometry) -> Iterator[_Beginning]:
    """The ways to begin: transposed or not, and each order of the stacks; of ways that are equal, one."""
    size, width, height = geometry.size, geometry.box_columns, geometry.box_rows
    rows = [values[at : at + size] for at in range(0, geometry.cells, size)]
    sides = [rows] if width != height else [rows, list(zip(*rows, strict=True))]
    columns = _Columns(tuple(column // width * width for column in range(size)), (None,) * (size + 1))
    seen = set[tuple[Row, ...]]()
    for side in sides:
        for order in permutations(range(0, size, width)):
            moved = tuple(tuple(digit for at in order for digit in row[at : at + width]) for row in side)
            if moved not in seen:
                seen.add(moved)
                yield _Beginning((), tuple(moved[at : at + height] for at in range(0, size, height)), columns)


def _taken(items: tuple[_Item, ...]) -> Iterator[tuple[_Item, tuple[_Item, ...]]]:
    """Each item with the others; of equal items the first."""
    for at, item in enumerate(items):
        if item not in items[:at]:
            yield item, items[:at] + items[at + 1 :]


def _least_row(beginnings: Sequence[_Beginning]) -> tuple[Row, list[_Beginning]]:
    """The least row that can come next, and all the ways to begin that have it."""
    best: Row = ()
    found = dict[_Beginning, None]()
    for beginning in beginnings:
        for row, begun, bands in beginning.next_rows():
            for written, columns in _written(row, beginning.columns, best):
                if not best or written < best:
                    best, found = written, {}
                if written == best:
                    found[_Beginning(begun, bands, columns)] = None
    return best, list(found)


def _written(row: Row, columns: _Columns, best: Row) -> Iterator[tuple[Row, _Columns]]:
    """The ways to write ``row`` next, run by run with the least digits first; none that begins greater than ``best``."""
    pending: list[tuple[Row, _Columns]] = [((), columns)]
    while pending:
        written, columns = pending.pop()
        position = len(written)
        begun = best[:position]
        if best and written > begun:
            continue
        if position == len(row):
            yield written, columns
            continue
        most = best[position] if best and written == begun else len(row)
        pending += [(written + more, after) for more, after in _run_written(row, position, columns, most)]


def _run_written(row: Row, position: int, columns: _Columns, most: int) -> list[tuple[Row, _Columns]]:
    """The ways to write the first cells of the run at ``position``, none that begins with more than ``most``.

    All the run's empty cells are written at once, then all its cells where their digits are new, or else those of one digit.
    """
    run = columns.run(position)
    digits = [row[column] for column in run]
    if 0 in digits:
        empty = [column for column in run if not row[column]]
        return [((0,) * len(empty), columns.parted(empty, run))]
    if len(set(digits)) == len(run) and not any(columns.names[digit] for digit in digits):
        new = columns.meeting(digits, run)
        return [(tuple(range(columns.named + 1, new.named + 1)), new)]
    named = [_name_in_front(digit, digits, run, columns) for digit in digits]
    least = min(named)
    if least > most:
        return []
    return [
        _digit_written(digit, least, digits, run, columns)
        for at, (digit, name) in enumerate(zip(digits, named, strict=True))
        if name == least and digit not in digits[:at]
    ]


def _digit_written(digit: int, name: int, digits: list[int], run: list[int], columns: _Columns) -> tuple[Row, _Columns]:
    """One digit written first in a run, in all its cells there, and ``name`` settled as its name."""
    if len(run) > 1:
        columns = columns.parted([column for column, other in zip(run, digits, strict=True) if other == digit], run)
    return (name,) * digits.count(digit), columns.binding(digit)


def _name_in_front(digit: int, digits: list[int], run: list[int], columns: _Columns) -> int:
    """The least name of a digit where its own columns stand first in their run, whose ``digits`` are given."""
    home = (columns.names[digit] or _NO_HOME)[0]
    name = columns.name(digit)
    if home in run and digits[run.index(home)] != digit:
        name += digits.count(digit)
    return name
