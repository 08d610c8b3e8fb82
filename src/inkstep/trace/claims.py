"""Claims: what a mark asserts, as facts about cells and digits."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from inkstep.grid.geometry import CLASSIC, Geometry
from inkstep.trace.strokes import Reading, Stroke

#: a part of a mark crossed out: the cell, the digit, and the number of the stroke that crossed it out
Part = tuple[int, int, int]


@dataclass(frozen=True, slots=True)
class Claim:
    """What the mark of stroke ``stroke`` (counted from 1) asserts; cells and digits in ascending order.

    Where a part of the mark was crossed out, the claim is what is left of it and ``stroke`` is the one that did it.
    ``spent``: every one of the cells holds a digit, so that the claim has no more to say.
    """

    stroke: int
    reading: Reading
    cells: tuple[int, ...]
    digits: tuple[int, ...]
    house: int | None = None
    spent: bool = False

    def excludes(self, geometry: Geometry = CLASSIC) -> tuple[tuple[int, int], ...]:
        """The pairs (cell, digit) that the claim says are false, in ascending order.

        >>> Claim(1, Reading.PLACES, (36, 37), (7,), 21).excludes()
        ((27, 7), (28, 7), (29, 7), (38, 7), (45, 7), (46, 7), (47, 7))
        """
        if self.reading is Reading.PLACES:
            return tuple(sorted(self._elsewhere((self.house,) if self.house is not None else (), geometry)))
        pairs = {(cell, digit) for cell in self.cells for digit in geometry.digits if digit not in self.digits}
        if self.reading is Reading.SET:
            mask = sum(1 << cell for cell in self.cells)
            pairs |= self._elsewhere(geometry.shared_houses(mask), geometry)
        return tuple(sorted(pairs))

    def _elsewhere(self, houses: Sequence[int], geometry: Geometry) -> set[tuple[int, int]]:
        others = {cell for house in houses for cell in geometry.house_cells[house]} - set(self.cells)
        return {(cell, digit) for cell in others for digit in self.digits}

    def true_of(self, solution: Sequence[int], geometry: Geometry = CLASSIC) -> bool:
        """Whether ``solution`` (a digit a cell) agrees with the claim."""
        held = [solution[cell] for cell in self.cells]
        if self.reading is Reading.CELL:
            return held[0] in self.digits
        if self.reading is Reading.SET:
            return sorted(held) == sorted(self.digits)
        return self.digits[0] in held

    def text(self, geometry: Geometry = CLASSIC) -> str:
        """The claim in words.

        >>> Claim(1, Reading.PLACES, (36, 37), (7,), 21).text()
        'the 7 of box 4 is in r5c1 or r5c2'
        >>> Claim(1, Reading.SET, (25, 26), (4, 5)).text()
        'r3c8 and r3c9 hold 4 and 5'
        """
        cells = [geometry.cell_name(cell) for cell in self.cells]
        digits = [str(digit) for digit in self.digits]
        if self.reading is Reading.CELL:
            return f"{cells[0]} holds {listed(digits, 'or')}"
        if self.reading is Reading.SET:
            return f"{listed(cells, 'and')} hold {listed(digits, 'and')}"
        of = "" if self.house is None else f" of {geometry.house_name(self.house)}"
        return f"the {digits[0]}{of} is in {listed(cells, 'or')}"

    def __str__(self) -> str:
        return self.text()


def listed(words: Sequence[str], last: str) -> str:
    """``a, b or c``, with ``last`` before the last of the words."""
    return f"{', '.join(words[:-1])} {last} {words[-1]}" if len(words) > 1 else "".join(words)


def claims_of(number: int, mark: Stroke, struck: Sequence[Part] = ()) -> tuple[Claim, ...]:
    """What the mark written as stroke ``number`` asserts when the parts in ``struck`` are crossed out.

    A crossed-out part says "not this": candidates and places are narrowed. A set of k digits in k cells stays one
    as long as every cell and every digit has a part left, and the cells that lost a part hold one of their remaining
    digits besides; once a whole cell or digit has gone, it is no set any more, and each cell left holds one of
    what stands in it.
    """
    gone = {(cell, digit): by for cell, digit, by in struck}
    left = {
        cell: tuple(digit for digit in sorted(mark.digits) if (cell, digit) not in gone)
        for cell in sorted(mark.cells)
    }
    cells = tuple(cell for cell, digits in left.items() if digits)
    if not cells or mark.reading is None:
        return ()
    latest = max(gone.values(), default=number)
    if mark.reading is Reading.SET:
        return _set_claims(number, mark, left, gone)
    digits = left[cells[0]]
    return (Claim(latest, mark.reading, cells, digits, mark.house),)


def _set_claims(
    number: int, mark: Stroke, left: dict[int, tuple[int, ...]], gone: dict[tuple[int, int], int]
) -> tuple[Claim, ...]:
    whole = all(left.values()) and {digit for digits in left.values() for digit in digits} == set(mark.digits)
    latest = max(gone.values(), default=number)
    if not whole:
        return tuple(Claim(latest, Reading.CELL, (cell,), digits) for cell, digits in left.items() if digits)
    narrowed = [
        Claim(max(by for (at, _), by in gone.items() if at == cell), Reading.CELL, (cell,), digits)
        for cell, digits in left.items()
        if len(digits) < len(mark.digits)
    ]
    the_set = Claim(number, Reading.SET, tuple(left), tuple(sorted(mark.digits)), mark.house)
    return (the_set, *narrowed)
