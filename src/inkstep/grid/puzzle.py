"""A puzzle: the digits placed, and the candidates posted with them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from inkstep.grid.geometry import CLASSIC, Geometry, bits
from inkstep.grid.problems import Problem, find_problems


@dataclass(frozen=True, repr=False)
class Puzzle:
    """Placed digits in cell order (0 for an empty cell), and what was posted as candidates.

    ``candidates`` has a mask a cell (bit ``d - 1`` for digit ``d``), or is None where the puzzle was not posted
    as a candidate grid. As players post such grids, a group of one digit stands for a placed digit: so a filled
    cell's mask is its digit, an empty cell's mask has two digits or more, and a full grid posts no candidates.

    Raises:
        ValueError: not one entry a cell, or an entry outside these rules.
    """

    givens: tuple[int, ...]
    candidates: tuple[int, ...] | None = None
    geometry: Geometry = field(default=CLASSIC)

    def __post_init__(self) -> None:
        geometry = self.geometry
        if len(self.givens) != geometry.cells or not all(0 <= d <= geometry.size for d in self.givens):
            raise ValueError(f"givens are {geometry.cells} numbers from 0 to {geometry.size}")
        if self.candidates is None:
            return
        if len(self.candidates) != geometry.cells or not all(map(self._suits, self.givens, self.candidates)):
            raise ValueError("a filled cell's mask is its digit, an empty cell's has two digits or more")
        if all(self.givens):
            object.__setattr__(self, "candidates", None)

    def _suits(self, digit: int, mask: int) -> bool:
        if digit:
            return mask == 1 << (digit - 1)
        return 0 < mask < 1 << self.geometry.size and mask.bit_count() > 1

    @property
    def line(self) -> str:
        """The placed digits as one line, ``.`` for an empty cell."""
        return "".join(str(digit) if digit else "." for digit in self.givens)

    @property
    def text(self) -> str:
        """All of the puzzle in one line: `line`, or the groups of a candidate grid with spaces between."""
        return self.line if self.candidates is None else " ".join(self._groups())

    def __str__(self) -> str:
        """The grid in rows, with lines between the boxes."""
        geometry = self.geometry
        groups = self._groups()
        rows = [groups[start : start + geometry.size] for start in range(0, geometry.cells, geometry.size)]
        widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
        lines = [self._barred([g.ljust(width) for g, width in zip(row, widths, strict=True)]) for row in rows]
        rule = self._barred(["-" * width for width in widths]).replace(" ", "-").replace("|", "+")
        for start in range(geometry.size - geometry.box_rows, 0, -geometry.box_rows):
            lines.insert(start, rule)
        return "\n".join(line.rstrip() for line in lines)

    def __repr__(self) -> str:
        """The call of `inkstep.grid.reading.read_puzzle` that gives this puzzle back."""
        other = "" if self.geometry == CLASSIC else f", geometry={self.geometry!r}"
        return f"read_puzzle({self.text!r}{other})"

    def known_removals(self) -> tuple[tuple[int, int], ...]:
        """What the posted candidates say beyond the placed digits: (cell, digit) pairs, in order.

        Each pair is a digit that the list of an empty cell leaves out although no peer of the cell holds it.
        """
        if self.candidates is None:
            return ()
        return tuple(
            (cell, digit)
            for cell, mask in enumerate(self.candidates)
            if not self.givens[cell]
            for digit in self.geometry.digits
            if not mask >> (digit - 1) & 1 and not self._seen(cell, digit)
        )

    def problems(self) -> tuple[Problem, ...]:
        """All that is wrong with the puzzle; nothing is raised, and a sound puzzle has none."""
        return find_problems(self.givens, self.candidates, self.geometry)

    def _seen(self, cell: int, digit: int) -> bool:
        return any(self.givens[peer] == digit for peer in bits(self.geometry.peers[cell]))

    def _groups(self) -> list[str]:
        if self.candidates is None:
            return list(self.line)
        return ["".join(str(bit + 1) for bit in bits(mask)) for mask in self.candidates]

    def _barred(self, row: Sequence[str]) -> str:
        across = self.geometry.box_columns
        return " | ".join(" ".join(row[start : start + across]) for start in range(0, len(row), across))
