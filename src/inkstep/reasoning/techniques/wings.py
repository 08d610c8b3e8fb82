"""Wings: a cell of two digits, and two more that each share one of them and one digit with each other."""

from __future__ import annotations

from collections.abc import Iterator

from inkstep.grid.geometry import bits
from inkstep.reasoning.techniques.base import Case, Pattern
from inkstep.reasoning.view import View

XY_WING = "xy-wing"


class XYWing:
    """Pivot xy, wings xz and yz: a cell that sees both wings cannot hold z."""

    name = XY_WING
    price = XY_WING
    teaches = (
        "A cell holds x or y. One cell it sees holds x or z, another holds y or z. If the first is x, its wing of "
        "x and z is z; if it "
        "is y, the other wing is z. Either way one of the wings is z, so a cell that sees both wings cannot hold it."
    )
    holds = (
        Case(
            "pivot 26 at r3c2, wings 28 at r3c4 and 68 at r8c2",
            "r3c2!=1 r3c2!=3 r3c2!=4 r3c2!=5 r3c2!=7 r3c2!=8 r3c2!=9 r3c4!=1 r3c4!=3 r3c4!=4 r3c4!=5 r3c4!=6 "
            "r3c4!=7 r3c4!=9 "
            "r8c2!=1 r8c2!=2 r8c2!=3 r8c2!=4 r8c2!=5 r8c2!=7 r8c2!=9",
            "r8c4!=8",
        ),
    )
    fails = (
        Case(
            "the pivot may also hold a 9",
            "r3c2!=1 r3c2!=3 r3c2!=4 r3c2!=5 r3c2!=7 r3c2!=8 r3c4!=1 r3c4!=3 r3c4!=4 r3c4!=5 r3c4!=6 r3c4!=7 r3c4!=9 "
            "r8c2!=1 r8c2!=2 r8c2!=3 r8c2!=4 r8c2!=5 r8c2!=7 r8c2!=9",
            "r8c4!=8",
        ),
    )

    def find(self, view: View, new: int) -> Iterator[Pattern]:
        """Pivots with two wings, one of the three cells touched by ``new``."""
        touched = view.touched_cells(new)
        candidates = view.candidates
        pairs = [c for c in bits(view.open) if candidates[c].bit_count() == 2]
        pair_mask = sum(1 << c for c in pairs)
        for pivot in pairs:
            around = [
                c
                for c in bits(view.geometry.peers[pivot] & pair_mask)
                if (candidates[c] & candidates[pivot]).bit_count() == 1
            ]
            for i, one in enumerate(around):
                for two in around[i + 1 :]:
                    three = 1 << pivot | 1 << one | 1 << two
                    if three & touched and _is_wing(candidates[pivot], candidates[one], candidates[two]):
                        yield xy_wing(view, pivot, one, two)


def _is_wing(pivot: int, one: int, two: int) -> bool:
    return (pivot | one | two).bit_count() == 3 and (one & two).bit_count() == 1 and one & two & pivot == 0


def xy_wing(view: View, pivot: int, one: int, two: int) -> Pattern:
    """The pattern of these three cells; what both wings see loses the digit they share."""
    candidates = view.candidates
    geometry = view.geometry
    shared = (candidates[one] & candidates[two]).bit_length()
    every = (1 << geometry.size) - 1
    seen = geometry.peers[one] & geometry.peers[two] & view.open & ~(1 << pivot)
    links = (_link(view, pivot, one), _link(view, pivot, two))
    return Pattern(
        XY_WING,
        "",
        links,
        1 << pivot | 1 << one | 1 << two,
        (
            shared,
            *(d + 1 for d in bits(candidates[pivot])),
        ),
        sum(view.in_cell(c, every & ~candidates[c]) for c in (pivot, one, two)),
        gives=view.removals(seen, shared),
        reach=1 << one | 1 << two,
        own=2,
        price=XY_WING,
    )


def _link(view: View, one: int, two: int) -> int:
    """A house that holds both cells, the box where there is a choice."""
    return view.geometry.shared_houses(1 << one | 1 << two)[-1]
