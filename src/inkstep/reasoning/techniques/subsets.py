"""Subsets: k cells of a house that share k digits (naked), k digits of a house that share k cells (hidden)."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import combinations

from inkstep.grid.geometry import bits
from inkstep.reasoning.techniques.base import Case, Pattern
from inkstep.reasoning.view import View

_SIZES = {2: "pair", 3: "triple", 4: "quad"}


class NakedSubset:
    """k cells of a house can hold only k digits between them."""

    def __init__(self, count: int, teaches: str, holds: tuple[Case, ...], fails: tuple[Case, ...]) -> None:
        self.count = count
        self.name = self.price = f"naked {_SIZES[count]}"
        self.teaches = teaches
        self.holds = holds
        self.fails = fails

    def find(self, view: View, new: int) -> Iterator[Pattern]:
        """Sets of cells of one house whose candidates together are as many digits as they are cells."""
        touched = view.touched_cells(new)
        seen: set[int] = set()
        for house, mask in enumerate(view.geometry.house_masks):
            if not mask & touched:
                continue
            cells = [c for c in bits(mask & view.open) if 2 <= view.candidates[c].bit_count() <= self.count]
            for chosen in _filled_exactly(cells, view.candidates, self.count):
                chosen_mask = sum(1 << c for c in chosen)
                if chosen_mask & touched and chosen_mask not in seen:
                    digits = _union(chosen, view.candidates)
                    seen.add(chosen_mask)
                    yield naked_subset(view, house, chosen_mask, digits)


class HiddenSubset:
    """k digits of a house have only k places between them."""

    def __init__(self, count: int, teaches: str, holds: tuple[Case, ...], fails: tuple[Case, ...]) -> None:
        self.count = count
        self.name = self.price = f"hidden {_SIZES[count]}"
        self.teaches = teaches
        self.holds = holds
        self.fails = fails

    def find(self, view: View, new: int) -> Iterator[Pattern]:
        """Sets of digits of one house whose places together are as many cells as they are digits."""
        geometry = view.geometry
        touched = [0] + [view.of_digit(new, d) for d in geometry.digits]
        anywhere = _union(geometry.digits, touched)
        for house, mask in enumerate(geometry.house_masks):
            if not mask & anywhere:
                continue
            places = [0] + [mask & ~view.gone[d] for d in geometry.digits]
            digits = [d for d in geometry.digits if 2 <= places[d].bit_count() <= self.count]
            for chosen in _filled_exactly(digits, places, self.count):
                if any(mask & touched[d] for d in chosen):
                    yield hidden_subset(view, house, _union(chosen, places), sum(1 << d - 1 for d in chosen))


def _filled_exactly(items: list[int], masks: list[int], count: int) -> Iterator[tuple[int, ...]]:
    if len(items) >= count:
        for chosen in combinations(items, count):
            if _union(chosen, masks).bit_count() == count:
                yield chosen


def _union(items: Iterable[int], masks: list[int]) -> int:
    union = 0
    for item in items:
        union |= masks[item]
    return union


def naked_subset(view: View, house: int, cells: int, digits: int) -> Pattern:
    """``cells`` of ``house`` hold exactly ``digits``, as many; every house that holds them all loses the digits "
    "elsewhere."""
    geometry = view.geometry
    others = (1 << geometry.size) - 1 & ~digits
    houses = geometry.shared_houses(cells)
    around = 0
    for shared in houses:
        around |= geometry.house_masks[shared]
    around &= view.open & ~cells
    return Pattern(
        f"naked {_SIZES.get(digits.bit_count(), 'set')}",
        "",
        (house, *(h for h in houses if h != house)),
        cells,
        tuple(d + 1 for d in bits(digits)),
        sum(view.in_cell(c, others) for c in bits(cells)),
        gives=sum(view.removals(around, d + 1) for d in bits(digits)),
        price=f"naked {_SIZES.get(digits.bit_count(), 'quad')}",
    )


def hidden_subset(view: View, house: int, cells: int, digits: int) -> Pattern:
    """``digits`` of ``house`` have their places in ``cells``, as many; these cells lose every other digit."""
    geometry = view.geometry
    mask = geometry.house_masks[house]
    others = (1 << geometry.size) - 1 & ~digits
    return Pattern(
        f"hidden {_SIZES.get(digits.bit_count(), 'set')}",
        "",
        (house,),
        cells,
        tuple(d + 1 for d in bits(digits)),
        sum(view.removals(mask & view.open & ~cells, d + 1) for d in bits(digits)),
        mask & view.filled,
        gives=sum(view.in_cell(c, others) for c in bits(cells)),
        price=f"hidden {_SIZES.get(digits.bit_count(), 'quad')}",
    )


def _off(cells: str, digits: str) -> str:
    """Facts that remove each of ``digits`` from each of the space-separated ``cells``."""
    return " ".join(f"{cell}!={digit}" for cell in cells.split() for digit in digits)


NAKED_PAIR = NakedSubset(
    2,
    "Two cells of a house that can hold only the same two digits use both of them up, whichever way round. No "
    "other cell of the "
    "house can hold either. When the two cells share a box and a line, both houses are cleared.",
    (
        Case("r1c1 and r1c2 hold 4 and 8", _off("r1c1 r1c2", "1235679"), "r1c7!=4"),
        Case("they share box 1, so it is cleared too", _off("r1c1 r1c2", "1235679"), "r3c3!=8"),
    ),
    (Case("r1c2 may also hold a 9", _off("r1c1", "1235679") + " " + _off("r1c2", "123567"), "r1c7!=4"),),
)
NAKED_TRIPLE = NakedSubset(
    3,
    "Three cells of a house that can hold only three digits between them use all three up, even if none of the "
    "cells can hold "
    "all three. No other cell of the house can hold any of them.",
    (
        Case(
            "13, 37 and 17 in row 5",
            _off("r5c3", "2456789") + " " + _off("r5c4", "1245689") + " " + _off("r5c7", "2345689"),
            "r5c9!=7",
        ),
    ),
    (
        Case(
            "the third cell may also hold a 2",
            _off("r5c3", "2456789") + " " + _off("r5c4", "1245689") + " " + _off("r5c7", "345689"),
            "r5c9!=7",
        ),
    ),
)
NAKED_QUAD = NakedSubset(
    4,
    "Four cells of a house that can hold only four digits between them use all four up. No other cell of the house "
    "can hold any "
    "of them. The four digits left over form a set of their own in the other cells: it is often easier to see that "
    "one.",
    (Case("2, 4, 6 and 9 in row 3", _off("r3c1 r3c2 r3c6 r3c8", "13578"), "r3c4!=6"),),
    (
        Case(
            "one of the four cells may hold a 1",
            _off("r3c1 r3c2 r3c6", "13578") + " " + _off("r3c8", "3578"),
            "r3c4!=6",
        ),
    ),
)
HIDDEN_PAIR = HiddenSubset(
    2,
    "Two digits of a house that have only the same two places left take both of them. Whatever else those two "
    "cells might have "
    "held is gone. Nobody has to write it down: the two cells are simply taken.",
    (
        Case(
            "2 and 7 of column 6 have r4c6 and r5c6 only",
            _off("r1c6 r2c6 r3c6 r6c6 r7c6 r8c6 r9c6", "27"),
            "r4c6!=5",
        ),
    ),
    (Case("the 7 has a third place", _off("r1c6 r2c6 r3c6 r6c6 r7c6 r8c6", "27") + " r9c6!=2", "r4c6!=5"),),
)
HIDDEN_TRIPLE = HiddenSubset(
    3,
    "Three digits of a house that have only three places left between them take all three. Whatever else those "
    "cells might have "
    "held is gone.",
    (Case("6, 7 and 9 of box 2 have three places", _off("r1c4 r2c4 r2c5 r2c6 r3c4 r3c6", "679"), "r1c5!=3"),),
    (
        Case(
            "the 9 has a fourth place",
            _off("r1c4 r2c4 r2c5 r2c6 r3c4 r3c6", "67") + " " + _off("r1c4 r2c4 r2c5 r2c6 r3c4", "9"),
            "r1c5!=3",
        ),
    ),
)
HIDDEN_QUAD = HiddenSubset(
    4,
    "Four digits of a house that have only four places left between them take all four. Whatever else those cells "
    "might have "
    "held is gone.",
    (Case("1, 3, 5 and 8 of row 4 have four places", _off("r4c1 r4c2 r4c3 r4c7 r4c8", "1358"), "r4c5!=2"),),
    (
        Case(
            "the 8 has a fifth place",
            _off("r4c1 r4c2 r4c3 r4c7 r4c8", "135") + " " + _off("r4c1 r4c2 r4c3 r4c7", "8"),
            "r4c5!=2",
        ),
    ),
)
