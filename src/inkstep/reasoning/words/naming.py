"""Names of digits, cells and houses in running text, and lists of them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from inkstep.grid.geometry import Geometry

_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
_PLURALS = {"row": "rows", "column": "columns", "box": "boxes"}


def number(count: int) -> str:
    """``count`` as a word up to nine.

    >>> number(4)
    'four'
    """
    return _NUMBERS[count] if count < len(_NUMBERS) else str(count)


def listed(items: Iterable[str], last: str = "and") -> str:
    """``items`` as one list; where three or more hold an "and" of their own, a comma parts the last.

    >>> listed(["2", "3", "8"])
    '2, 3 and 8'
    >>> listed(["row 7", "columns 3 and 4", "box 9"])
    'row 7, columns 3 and 4, and box 9'
    """
    items = list(items)
    if len(items) < 2:
        return "".join(items)
    nested = len(items) > 2 and any(" and " in item for item in items)
    return f"{', '.join(items[:-1])}{',' if nested else ''} {last} {items[-1]}"


def a(digit: int) -> str:
    """``a 7``, ``an 8``"""
    return f"an {digit}" if digit == 8 else f"a {digit}"


def digits(values: Iterable[int], last: str = "and") -> str:
    """``2, 6 and 9``"""
    return listed(map(str, values), last)


def the_digits(values: Iterable[int], last: str = "and") -> str:
    """``the 2, the 6 and the 9``"""
    return listed((f"the {value}" for value in values), last)


@dataclass(frozen=True, slots=True)
class Tongue:
    """How cells and houses are said: in the ``page`` voice short names may stand, in the ``spoken`` one never."""

    geometry: Geometry
    voice: str = "page"

    @property
    def spoken(self) -> bool:
        """Whether the text is to be read aloud."""
        return self.voice == "spoken"

    def house(self, house: int) -> str:
        """``column 7``"""
        return self.geometry.house_name(house)

    def houses(self, houses: Iterable[int]) -> str:
        """``rows 2 and 8 and column 3``: rows, then columns, then boxes, each kind once."""
        kinds: dict[str, list[str]] = {}
        for house in sorted(set(houses)):
            kind, _, name = self.geometry.house_name(house).partition(" ")
            kinds.setdefault(kind, []).append(name)
        return listed(f"{kind if len(names) == 1 else _PLURALS[kind]} {listed(names)}" for kind, names in kinds.items())

    def at(self, cell: int) -> str:
        """``row 5, column 7``"""
        row, column, _ = self.geometry.houses_of[cell]
        return f"{self.house(row)}, {self.house(column)}"

    def the_cell(self, cell: int) -> str:
        """``r5c7``, or ``the cell at row 5, column 7`` when spoken: a name that can be the subject of a clause."""
        return f"the cell at {self.at(cell)}" if self.spoken else self.geometry.cell_name(cell)

    def spot(self, cell: int) -> str:
        """``r5c7``, or ``row 5, column 7`` when spoken."""
        return self.at(cell) if self.spoken else self.geometry.cell_name(cell)

    def cells(self, cells: Sequence[int]) -> str:
        """``rows 4 and 5 of column 6`` where they lie in a line, else one after another."""
        if len(cells) > 1:
            for of_line, of_cell in ((0, 1), (1, 0)):
                lines = {self.geometry.houses_of[c][of_line] for c in cells}
                if len(lines) == 1:
                    across = self.houses(self.geometry.houses_of[c][of_cell] for c in cells)
                    return f"{across} of {self.house(lines.pop())}"
        return self.spots(cells)

    def spots(self, cells: Sequence[int]) -> str:
        """``r1c2, r2c1 and r2c3``; spoken row by row, "row 1, column 2, and columns 1 and 3 of row 2"."""
        if not self.spoken:
            return listed(map(self.spot, cells))
        by_row: dict[int, list[int]] = {}
        for cell in cells:
            by_row.setdefault(self.geometry.houses_of[cell][0], []).append(cell)
        parts = [self.at(cs[0]) if len(cs) == 1 else self.cells(cs) for cs in by_row.values()]
        apart = "; " if len(parts) > 2 else ", "
        return apart.join([*parts[:-1], f"and {parts[-1]}"]) if len(parts) > 1 else parts[0]

    def within(self, cells: Sequence[int], house: int) -> str:
        """``rows 4 and 5`` for cells of column 6, where the house has just been named."""
        if house in self.geometry.boxes:
            return self.cells(cells)
        across = 1 if house in self.geometry.rows else 0
        return self.houses(self.geometry.houses_of[c][across] for c in cells)

    def in_line(self, cells: Sequence[int]) -> bool:
        """Whether the cells are one, or share a row or a column."""
        houses_of = self.geometry.houses_of
        return any(len({houses_of[c][kind] for c in cells}) == 1 for kind in (0, 1))
