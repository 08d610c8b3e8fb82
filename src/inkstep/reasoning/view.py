"""The state of knowledge that techniques look at: which digits each cell may still hold.

A removal (``cell is not digit``) is one bit of a long integer: bit ``(digit - 1) * cells + cell``, so the removals of
one digit lie side by side as a set of cells.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

from inkstep.grid.geometry import Geometry, bits
from inkstep.reasoning.facts import Fact, is_not


@lru_cache(maxsize=4)
def _spread(geometry: Geometry) -> tuple[int, ...]:
    """For each set of digits the bits of their removals from cell 0."""
    sets = range(1 << geometry.size)
    return tuple(sum(1 << digit * geometry.cells for digit in bits(mask)) for mask in sets)


class View:
    """Candidates as masks, both ways: cells of a digit and digits of a cell. Grows as removals become known."""

    __slots__ = (
        "_shifts",
        "_spread",
        "candidates",
        "cells",
        "digits",
        "filled",
        "geometry",
        "gone",
        "known",
        "open",
        "settled",
    )

    def __init__(self, digits: tuple[int, ...], geometry: Geometry) -> None:
        self.geometry = geometry
        self.cells = geometry.cells
        self.digits = digits
        self._spread = _spread(geometry)
        self._shifts = tuple((d - 1) * geometry.cells for d in range(geometry.size + 1))
        #: the filled and the empty cells of the page
        self.filled = sum(1 << c for c, d in enumerate(digits) if d)
        self.open = geometry.every & ~self.filled
        #: for each digit the cells that cannot hold it (index 0 unused)
        self.gone = [self.filled] * (geometry.size + 1)
        for cell, digit in enumerate(digits):
            if digit:
                self.gone[digit] |= geometry.peers[cell]
        #: for each cell the digits it may hold, bit ``digit - 1``; 0 for a filled cell
        self.candidates = [0] * geometry.cells
        for digit in geometry.digits:
            bit = 1 << digit - 1
            for cell in bits(geometry.every & ~self.gone[digit]):
                self.candidates[cell] |= bit
        #: all removals known, filled cells included
        self.known = sum(self.gone[d] << self._shifts[d] for d in geometry.digits)
        #: digits worked out and held, by cell
        self.settled: dict[int, int] = {}

    def removal(self, cell: int, digit: int) -> int:
        """The bit of one removal."""
        return 1 << self._shifts[digit] + cell

    def removals(self, cells: int, digit: int) -> int:
        """The bits of ``digit`` removed from each of ``cells``."""
        return cells << self._shifts[digit]

    def in_cell(self, cell: int, digits: int) -> int:
        """The bits of each digit of the mask ``digits`` removed from one cell."""
        return self._spread[digits] << cell

    def of_digit(self, removals: int, digit: int) -> int:
        """The cells in which ``removals`` close ``digit``."""
        return removals >> self._shifts[digit] & self.geometry.every

    def pairs(self, removals: int) -> Iterable[tuple[int, int]]:
        """(cell, digit) of each removal."""
        for bit in bits(removals):
            digit, cell = divmod(bit, self.cells)
            yield cell, digit + 1

    def facts(self, removals: int) -> tuple[Fact, ...]:
        """The removals as facts."""
        return tuple(is_not(cell, digit) for cell, digit in self.pairs(removals))

    def mask(self, facts: Iterable[Fact]) -> int:
        """The bits of facts that are removals."""
        return sum(self.removal(f.cell, f.digit) for f in set(facts) if not f.holds)

    def touched_cells(self, removals: int) -> int:
        """The cells with at least one of ``removals``."""
        cells = 0
        for digit in self.geometry.digits:
            cells |= self.of_digit(removals, digit)
        return cells

    def learn(self, removals: int) -> int:
        """Take ``removals`` as known; returns those that were not known before."""
        new = removals & ~self.known
        self.known |= new
        for digit in self.geometry.digits:
            cells = self.of_digit(new, digit)
            if cells:
                self.gone[digit] |= cells
                keep = ~(1 << digit - 1)
                for cell in bits(cells):
                    self.candidates[cell] &= keep
        return new

    def consequences(self, cell: int, digit: int) -> int:
        """The removals that follow at once when ``cell`` is ``digit``: its peers, and its other digits."""
        others = (1 << self.geometry.size) - 1 & ~(1 << digit - 1)
        return self.removals(self.geometry.peers[cell] & self.open, digit) | self.in_cell(cell, others)
