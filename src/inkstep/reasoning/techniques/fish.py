"""Fish: k lines whose places for a digit lie in k crossing lines."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from inkstep.reasoning.techniques.base import Case, Pattern
from inkstep.reasoning.view import View

_NAMES = {2: "x-wing", 3: "swordfish"}


class Fish:
    """k rows (columns) have their places for a digit in k columns (rows): those lose the digit elsewhere."""

    def __init__(self, count: int, teaches: str, holds: tuple[Case, ...], fails: tuple[Case, ...]) -> None:
        self.count = count
        self.name = self.price = _NAMES[count]
        self.teaches = teaches
        self.holds = holds
        self.fails = fails

    def find(self, view: View, new: int) -> Iterator[Pattern]:
        """Sets of parallel lines whose places lie in as many crossing lines."""
        geometry = view.geometry
        for digit in geometry.digits:
            touched = view.of_digit(new, digit)
            if not touched:
                continue
            free = geometry.every & ~view.gone[digit]
            for lines, across in (
                (geometry.rows, geometry.columns),
                (geometry.columns, geometry.rows),
            ):
                yield from self._of_digit(view, digit, free, touched, lines, across)

    def _of_digit(self, view: View, digit: int, free: int, touched: int, lines: range, across: range) -> Iterator[Pattern]:
        masks = view.geometry.house_masks
        fit = [h for h in lines if 2 <= (masks[h] & free).bit_count() <= self.count]
        for chosen in combinations(fit, self.count):
            bodies = 0
            for house in chosen:
                bodies |= masks[house]
            if not bodies & touched:
                continue
            places = bodies & free
            crossed = [h for h in across if masks[h] & places]
            if len(crossed) == self.count:
                yield fish(view, digit, chosen, tuple(crossed), places)


def fish(view: View, digit: int, lines: tuple[int, ...], crossed: tuple[int, ...], places: int) -> Pattern:
    """``digit`` of ``lines`` has its ``places`` in ``crossed``, as many lines, which lose it elsewhere."""
    masks = view.geometry.house_masks
    bodies = sum(masks[h] for h in lines)
    covers = sum(masks[h] for h in crossed)
    name = _NAMES[len(lines)]
    return Pattern(
        name,
        "",
        lines + crossed,
        places,
        (digit,),
        view.removals(bodies & view.open & ~covers, digit),
        bodies & view.filled,
        gives=view.removals(covers & view.open & ~bodies, digit),
        own=len(lines),
        price=name,
    )


def _only(line: str, digit: int, kept: str) -> str:
    """Facts that leave ``digit`` of row ``line`` only the columns ``kept``."""
    return " ".join(f"r{line}c{c}!={digit}" for c in "123456789" if c not in kept)


X_WING = Fish(
    2,
    "Two rows have their places for a digit in the same two columns. The digit then takes one corner of each row, "
    "and both "
    "columns are served: no other cell of these columns can hold it. The same with rows and columns changed over.",
    (
        Case(
            "the 4s of rows 2 and 7 lie in columns 3 and 8",
            _only("2", 4, "38") + " " + _only("7", 4, "38"),
            "r5c3!=4",
        ),
    ),
    (Case("row 7 has a third place", _only("2", 4, "38") + " " + _only("7", 4, "389"), "r5c3!=4"),),
)
SWORDFISH = Fish(
    3,
    "Three rows have their places for a digit in the same three columns, two or three in each. The digit takes one "
    "place in each "
    "row and so serves all three columns: no other cell of these columns can hold it. The same with rows and "
    "columns changed over.",
    (
        Case(
            "the 6s of rows 1, 4 and 8 lie in columns 2, 5 and 9",
            _only("1", 6, "25") + " " + _only("4", 6, "59") + " " + _only("8", 6, "29"),
            "r6c5!=6",
        ),
    ),
    (
        Case(
            "the places spread over four columns",
            _only("1", 6, "25") + " " + _only("4", 6, "59") + " " + _only("8", 6, "27"),
            "r6c5!=6",
        ),
    ),
)
