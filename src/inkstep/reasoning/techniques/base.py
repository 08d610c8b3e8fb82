"""What a technique is: teaching text, a finder, and cases that hold and that only look alike."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Protocol

from inkstep.reasoning.view import View


@dataclass(frozen=True, slots=True)
class Pattern:
    """One place where a technique applies, before anybody has counted what it costs to see it.

    ``need`` holds the removals (bits as in ``View``) that must be known; ``occupied`` the filled cells that count as
    closed because anybody sees that they are full. It then ``gives`` removals, or ``settles`` a digit in a cell.
    The first ``own`` of the houses are those it looks over; the others are where it tells.
    Each cell that loses a digit must see every cell of ``reach`` (the ends of a wing), through some house.
    ``price`` names the row of the effort table; ``stock`` is how many digits the house lacks whose stock is taken.
    """

    technique: str
    manner: str
    houses: tuple[int, ...]
    cells: int
    digits: tuple[int, ...]
    need: int
    occupied: int = 0
    gives: int = 0
    settles: tuple[int, int] | None = None
    reach: int = 0
    own: int = 1
    price: str = ""
    stock: int = 0

    @property
    def key(self) -> tuple[str, int | None, int, tuple[int, ...]]:
        """What makes two patterns the same one."""
        return (
            self.technique + self.manner,
            self.houses[0] if self.houses else None,
            self.cells,
            self.digits,
        )


@dataclass(frozen=True, slots=True)
class Case:
    """A position for teaching and testing: what stands on the page, and what the technique should (or must not) conclude.

    Both are facts in the notation of goals, separated by spaces: ``r1c1=4 r2c3!=9``.
    """

    title: str
    stands: str
    concludes: str


class Technique(Protocol):
    """A rule of the catalogue. One file a family; one line in the catalogue a technique."""

    @property
    def name(self) -> str:
        """Its trade name, in lower case."""

    @property
    def teaches(self) -> str:
        """What a learner is told, in two or three sentences."""

    @property
    def holds(self) -> tuple[Case, ...]:
        """Cases in which it applies."""

    @property
    def fails(self) -> tuple[Case, ...]:
        """Cases that look alike and in which it does not."""

    @property
    def price(self) -> str:
        """The cheapest row of the effort table that its patterns use: nothing of it is found below that effort."""

    def find(self, view: View, new: int) -> Iterator[Pattern]:
        """Patterns in ``view`` at least one of whose needs is among the removals ``new``."""
