"""A cell with a name, for the edges of the API; inside, cells are plain integers."""

from __future__ import annotations

from inkstep.grid.geometry import CLASSIC
from inkstep.ground.errors import InputError, shown


class Cell(int):
    """A cell of the classic grid: the integer 0 to 80 that the package takes everywhere, with text both ways.

    >>> Cell("r4c7"), Cell(33) + 0, str(Cell(33))
    (Cell('r4c7'), 33, 'r4c7')

    Raises:
        InputError: the text is no cell's name, or the number is outside the grid.
    """

    __slots__ = ()

    def __new__(cls, cell: str | int) -> Cell:
        number = CLASSIC.cell(cell.strip()) if isinstance(cell, str) else int(cell)
        if number not in range(CLASSIC.cells):
            raise InputError(f"a cell from 0 to {CLASSIC.cells - 1}", got=shown(str(cell)))
        return super().__new__(cls, number)

    def __str__(self) -> str:
        return CLASSIC.cell_name(self)

    def __repr__(self) -> str:
        return f"Cell({str(self)!r})"

    @property
    def houses(self) -> tuple[int, int, int]:
        """The numbers of its row, column and box."""
        return CLASSIC.houses_of[self]
