"""Locked candidates: where a box and a line cross, a digit confined to the crossing in one leaves the other."""

from __future__ import annotations

from collections.abc import Iterator

from inkstep.grid.geometry import bits
from inkstep.reasoning.techniques.base import Case, Pattern
from inkstep.reasoning.view import View

POINTING = "locked candidates (pointing)"
CLAIMING = "locked candidates (claiming)"


class Pointing:
    """A box has its places for a digit in one line: the rest of the line loses the digit."""

    name = POINTING
    price = POINTING
    teaches = (
        "When all the places a box has left for a digit lie in one row or column, the digit of that line is in "
        "this box. The "
        "other cells of the line, outside the box, cannot hold it."
    )
    holds = (
        Case("the 5 of box 1 is in row 1", "r4c1=5 r2c2=1 r3c2=2 r2c3=3 r3c3=4", "r1c7!=5"),
        Case("the 5 of box 1 is in column 3", "r1c2=1 r2c2=2 r3c2=3 r1c1=4 r2c1=6 r3c1=7", "r8c3!=5"),
    )
    fails = (Case("the 5 of box 1 may be in row 1 or row 2", "r4c1=5 r3c2=2 r2c3=3 r3c3=4", "r1c7!=5"),)

    def find(self, view: View, new: int) -> Iterator[Pattern]:
        """Boxes whose places lie in one line."""
        return _confined(view, new, view.geometry.boxes, POINTING)


class Claiming:
    """A line has its places for a digit in one box: the rest of the box loses the digit."""

    name = CLAIMING
    price = CLAIMING
    teaches = (
        "When all the places a row or column has left for a digit lie in one box, the digit of that box is in this "
        "line. The "
        "other cells of the box cannot hold it."
    )
    holds = (Case("the 5 of row 1 is in box 1", "r1c4=1 r1c5=2 r1c6=3 r9c7=5 r1c8=4 r1c9=6", "r2c2!=5"),)
    fails = (Case("the 5 of row 1 may still be in box 3", "r1c4=1 r1c5=2 r1c6=3 r9c7=5 r1c8=4", "r2c2!=5"),)

    def find(self, view: View, new: int) -> Iterator[Pattern]:
        """Lines whose places lie in one box."""
        return _confined(view, new, range(2 * view.geometry.size), CLAIMING)


def _confined(view: View, new: int, houses: range, name: str) -> Iterator[Pattern]:
    geometry = view.geometry
    for digit in geometry.digits:
        touched = view.of_digit(new, digit)
        if not touched:
            continue
        free = geometry.every & ~view.gone[digit]
        for house in houses:
            mask = geometry.house_masks[house]
            places = mask & free
            if mask & touched and places and places & (places - 1):
                for other in crossing(view, house, places):
                    yield locked(view, house, other, digit, places, name)


def crossing(view: View, house: int, places: int) -> Iterator[int]:
    """The other houses that hold all of ``places``, of which there are two or more."""
    for other in view.geometry.houses_of[next(bits(places))]:
        if other != house and not places & ~view.geometry.house_masks[other]:
            yield other


def locked(view: View, house: int, other: int, digit: int, places: int, name: str) -> Pattern:
    """``digit`` of ``house`` lies in ``places``, all in ``other``, so it leaves the rest of ``other``."""
    geometry = view.geometry
    mask = geometry.house_masks[house]
    return Pattern(
        name,
        "",
        (house, other),
        places,
        (digit,),
        view.removals(mask & view.open & ~geometry.house_masks[other], digit),
        mask & view.filled,
        gives=view.removals(geometry.house_masks[other] & view.open & ~mask, digit),
        price=name,
    )
