"""Which digits lay open on a page: the chances within a small effort that nobody has to hold another digit for."""

from __future__ import annotations

from functools import cached_property

from inkstep.reasoning.argument import Argument
from inkstep.reasoning.extraction import take_out
from inkstep.reasoning.facts import is_digit
from inkstep.reasoning.search import Found, Search

#: looks: beyond this nobody would call a digit open; common practice, by ear
OPEN_LIMIT = 9.0


class Openness:
    """The digits open on one page."""

    def __init__(self, search: Search, limit: float = OPEN_LIMIT) -> None:
        search.run(limit)
        self._search = search
        self.found: dict[tuple[int, int], Found] = {
            place: found for place, found in search.digits.items() if found.price <= limit and not self._holds_a_digit(found)
        }

    def _holds_a_digit(self, found: Found) -> bool:
        below = self._search.steps_below(found.cover.support)
        return any(self._search.steps[i].pattern.settles for i in below)

    @cached_property
    def places(self) -> frozenset[tuple[int, int]]:
        """(cell, digit) of every digit that lies open."""
        return frozenset(self.found)

    def count(self, without: tuple[int, int] | None = None) -> int:
        """How many lie open, the digit just written left out."""
        return len(self.found) - (without in self.found)

    def rank(self, place: tuple[int, int]) -> int | None:
        """Which of the open digits ``place`` is, 1 for the lightest; None where it is none of them."""
        found = self.found.get(place)
        return 1 + sum(other.price < found.price for other in self.found.values()) if found else None

    def lightest(self, without: tuple[int, int] | None = None) -> Argument | None:
        """The lightest of them, the digit just written left out."""
        others = [(f.price, place) for place, f in self.found.items() if place != without]
        return self.argument(min(others)[1]) if others else None

    def argument(self, place: tuple[int, int]) -> Argument:
        """The argument for one of ``places``."""
        return take_out(self._search, self.found[place], (is_digit(*place),))
