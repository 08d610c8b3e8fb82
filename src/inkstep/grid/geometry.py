"""Cells and houses of a square grid with rectangular boxes, as bit masks.

A cell is an integer from 0, row by row. A set of cells is an integer with one bit a cell. A house is numbered
rows first, then columns, then boxes: on the classic grid 0-8, 9-17 and 18-26.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cached_property

from inkstep.ground.errors import InputError, shown

_CELL = re.compile(r"r([1-9])c([1-9])", re.IGNORECASE | re.ASCII)
_HOUSE = re.compile(r"(row|column|box) ([1-9])", re.IGNORECASE | re.ASCII)
_HOUSE_KINDS = ("row", "column", "box")


def bits(mask: int) -> Iterator[int]:
    """The positions of the set bits, lowest first."""
    while mask:
        low = mask & -mask
        yield low.bit_length() - 1
        mask ^= low


class Geometry:
    """A grid of ``size`` x ``size`` cells in boxes of ``box_rows`` x ``box_columns``.

    ``size`` is their product. Two geometries of the same measures are equal.
    """

    def __init__(self, box_rows: int, box_columns: int) -> None:
        self.box_rows = box_rows
        self.box_columns = box_columns
        self.size = size = box_rows * box_columns
        self.cells = size * size
        self.every = (1 << self.cells) - 1
        self.digits = range(1, size + 1)
        row = [cell // size for cell in range(self.cells)]
        column = [cell % size for cell in range(self.cells)]
        box = [row[cell] // box_rows * box_rows + column[cell] // box_columns for cell in range(self.cells)]
        #: the row, column and box of each cell, as house numbers
        self.houses_of = tuple((row[c], size + column[c], 2 * size + box[c]) for c in range(self.cells))
        #: the cells of each house, as a tuple and as a mask
        self.house_cells = tuple(tuple(c for c in range(self.cells) if h in self.houses_of[c]) for h in range(3 * size))
        self.house_masks = tuple(sum(1 << c for c in cells) for cells in self.house_cells)
        #: the cells that see each cell, itself left out, as a mask
        self.peers = tuple(
            (self.house_masks[r] | self.house_masks[k] | self.house_masks[b]) & ~(1 << c)
            for c, (r, k, b) in enumerate(self.houses_of)
        )

    def __repr__(self) -> str:
        return f"Geometry({self.box_rows}, {self.box_columns})"

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Geometry):
            return NotImplemented
        return (self.box_rows, self.box_columns) == (other.box_rows, other.box_columns)

    def __hash__(self) -> int:
        return hash((self.box_rows, self.box_columns))

    @cached_property
    def rows(self) -> range:
        """House numbers of the rows."""
        return range(self.size)

    @cached_property
    def columns(self) -> range:
        """House numbers of the columns."""
        return range(self.size, 2 * self.size)

    @cached_property
    def boxes(self) -> range:
        """House numbers of the boxes."""
        return range(2 * self.size, 3 * self.size)

    def cell_name(self, cell: int) -> str:
        """``r4c7`` for the cell in row 4, column 7."""
        return f"r{cell // self.size + 1}c{cell % self.size + 1}"

    def cell(self, name: str) -> int:
        """The cell called ``r4c7``.

        Raises:
            InputError: the name has another form, or lies outside the grid.
        """
        match = _CELL.fullmatch(name)
        if not match:
            raise InputError("a cell such as r4c7", got=shown(name))
        row, column = int(match[1]), int(match[2])
        if max(row, column) > self.size:
            raise InputError(f"rows and columns from 1 to {self.size}", got=shown(name))
        return (row - 1) * self.size + column - 1

    def house_name(self, house: int) -> str:
        """``row 4``, ``column 2`` or ``box 7``; boxes are counted in reading order."""
        return f"{_HOUSE_KINDS[house // self.size]} {house % self.size + 1}"

    def house_kind(self, house: int) -> str:
        """``row``, ``column`` or ``box``."""
        return _HOUSE_KINDS[house // self.size]

    def house(self, name: str) -> int:
        """The house called ``row 4``, ``column 2`` or ``box 7``.

        Raises:
            InputError: the name has another form, or lies outside the grid.
        """
        match = _HOUSE.fullmatch(name.strip())
        if not match or int(match[2]) > self.size:
            raise InputError("a house such as row 4, column 2 or box 7", got=shown(name))
        return _HOUSE_KINDS.index(match[1].lower()) * self.size + int(match[2]) - 1

    def shared_houses(self, cells: int) -> tuple[int, ...]:
        """The houses that hold every cell of the mask ``cells``."""
        return tuple(h for h, mask in enumerate(self.house_masks) if not cells & ~mask)


#: the classic 9x9 grid
CLASSIC = Geometry(3, 3)
#: the 4x4 grid, small enough to search exhaustively
SMALL = Geometry(2, 2)
