"""One search for the lightest argument: facts become known in order of effort, as in Dijkstra's algorithm.

Facts are nodes and pattern instances are hyperedges (Knuth 1977; Felzenszwalb & McAllester 2007). A fact carries the
set of atoms it rests on as one integer, so the union of premises is an OR, and shared parts count once. The sum over a
shared set is not a superior function in Knuth's sense, so the order is a very good one rather than a proved optimum;
the looks of an argument are minimised again, exactly, when it is taken out (``extraction``).
"""

from __future__ import annotations

import heapq
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import count
from typing import Any

from inkstep.grid.geometry import bits
from inkstep.reasoning.cover import Closer, Cover, lightest_cover
from inkstep.reasoning.effort import STANDARD, Effort
from inkstep.reasoning.ledger import Ledger
from inkstep.reasoning.position import Position
from inkstep.reasoning.techniques import CATALOGUE
from inkstep.reasoning.techniques.base import Pattern, Technique
from inkstep.reasoning.techniques.singles import HIDDEN_SINGLE
from inkstep.reasoning.view import View

#: techniques in whose premises a nearly full house may be read at one look
_STOCK_TECHNIQUES = ("naked pair", "naked triple", "naked quad", "xy-wing", "scanning")


@dataclass(frozen=True, slots=True)
class Found:
    """A pattern with its price as the last step of an argument, and the cover that makes its needs known.

    ``after`` is how many inner steps there were to lean on when it was weighed.
    """

    pattern: Pattern
    price: float
    cover: Cover
    after: int


class Search:
    """What follows from a position, lightest first. ``run`` may be called again with a higher limit."""

    def __init__(
        self,
        position: Position,
        effort: Effort = STANDARD,
        catalogue: Sequence[Technique] = CATALOGUE,
    ) -> None:
        self.position = position
        self.effort = effort
        self.view = View(position.digits, position.geometry)
        self.ledger = Ledger(position, self.view, effort)
        #: the inner steps adopted so far, in order; the ledger's step atoms count them
        self.steps: list[Found] = []
        #: every digit found, by (cell, digit), with the lightest pattern that settles it
        self.digits: dict[tuple[int, int], Found] = {}
        self.reached = 0.0
        self._catalogue = catalogue
        self._pending = [0] * len(catalogue)
        self._queued = [False] * len(catalogue)
        self._queue: list[tuple[float, int, Callable[[Any], None], Any]] = []
        self._order = count()
        self._keys: set[object] = set()
        self._patterns: dict[Technique, tuple[int, list[Pattern]]] = {}
        #: nothing that is held costs less
        cheapest = min(effort.technique(technique.price) for technique in catalogue)
        self._lightest_step = cheapest - effort.near + min(effort.held_fact, effort.held_digit)
        self._newest = 1 << position.fresh[0] if position.fresh else 0
        for note in position.notes:
            self.view.learn(self.view.mask(note.excludes))
        #: the removals that anybody sees on the page, or reads off its marks
        self.start = self.view.known
        self._tell(self.start)

    # -- the loop ------------------------------------------------------------------------------------------------

    def run(self, limit: float) -> None:
        """Make known everything that costs at most ``limit`` looks."""
        queue = self._queue
        while queue and queue[0][0] <= limit:
            price, _, action, what = heapq.heappop(queue)
            self.reached = max(self.reached, price)
            action(what)
        self.reached = max(self.reached, limit)

    def _later(self, price: float, action: Callable[[Any], None], what: object) -> None:
        heapq.heappush(self._queue, (max(price, self.reached), next(self._order), action, what))

    def _tell(self, new: int) -> None:
        """Wake every technique for the removals ``new``.

        A pattern that needs one of them costs its technique's own price on top of what was reached to learn it, so the
        technique may sleep until then: nothing is lost, and several removals are looked at together.
        """
        for index, technique in enumerate(self._catalogue):
            self._pending[index] |= new
            if not self._queued[index]:
                self._queued[index] = True
                floor = self.reached + self.effort.technique(technique.price) - self.effort.near
                self._later(floor, self._scan, index)

    def _scan(self, index: int) -> None:
        new, self._pending[index] = self._pending[index], 0
        self._queued[index] = False
        for pattern in self._catalogue[index].find(self.view, new):
            if pattern.key in self._keys or not self._tells(pattern):
                continue
            self._keys.add(pattern.key)
            if pattern.settles:
                self._later(self._at_least(pattern), self._consider, pattern)
            else:
                self._consider(pattern)

    def _at_least(self, pattern: Pattern) -> float:
        """A price that the settling of a digit cannot fall below: most are never weighed, since a lighter one was found."""
        count = pattern.need.bit_count()
        geometry = self.view.geometry
        # a look closes one digit of a cell, and of a house at most as many cells as a box has in a line
        at_once = max(geometry.box_rows, geometry.box_columns) if pattern.technique == HIDDEN_SINGLE else 1
        looks = -(-count // at_once) * self.ledger.lightest_look
        derived = self.effort.note if self.ledger.derived & pattern.need else max(self.reached, self._lightest_step)
        return self.own_price(pattern) + min(looks, derived)

    def _consider(self, pattern: Pattern) -> None:
        """Weigh a pattern if it still has something to tell."""
        found = self.weigh(pattern) if self._tells(pattern) else None
        if found:
            self._later(found.price, self._conclude, found)

    def _tells(self, pattern: Pattern) -> bool:
        """Whether the pattern concludes something that was not concluded at less effort before."""
        if pattern.settles:
            return pattern.settles not in self.digits
        return bool(pattern.gives & ~self.view.known)

    def _conclude(self, found: Found) -> None:
        """Enter what ``found`` concludes; keep it for leaning on later, at the price of holding it in mind."""
        pattern = found.pattern
        if found.after < len(self.steps):
            found = self.weigh(pattern) or found
        if not self._tells(pattern):
            return
        if pattern.settles:
            self.digits[pattern.settles] = found
            hold = self.effort.held_digit
        else:
            hold = self.effort.held_fact
        self._later(found.price + hold, self._adopt, found)

    def _adopt(self, found: Found) -> None:
        pattern = found.pattern
        if pattern.settles:
            cell, digit = pattern.settles
            if cell in self.view.settled:
                return
            self.view.settled[cell] = digit
            # where a fact is known already, a look is lighter than a digit held in mind
            gives = self.view.consequences(cell, digit) & ~self.start
            hold = self.effort.held_digit
        else:
            gives = pattern.gives
            hold = self.effort.held_fact
            if not gives & ~self.view.known:
                return
        own = found.price - found.cover.price
        self.steps.append(found)
        self.ledger.add_step(gives, own + hold, found.cover.support)
        new = self.view.learn(gives)
        if new:
            self._tell(new)

    # -- prices --------------------------------------------------------------------------------------------------

    def own_price(self, pattern: Pattern) -> float:
        """What the step itself costs, in looks, without what it leans on."""
        price = self.effort.technique(pattern.price)
        if pattern.stock:
            price += self.effort.stock[pattern.stock]
        if any(self.view.geometry.house_masks[h] & self._newest for h in pattern.houses[: pattern.own]):
            price -= self.effort.near
        return price

    def weigh(self, pattern: Pattern, banned: int = 0) -> Found | None:
        """``pattern`` with its lightest cover; None where one of its needs is not known (but for ``banned`` atoms)."""
        stock = self.reads_stock(pattern)

        def options(fact: int) -> list[Closer]:
            return self.ledger.options(fact, stock=stock, banned=banned)

        cover = lightest_cover(pattern.need, options, self.ledger.weights)
        if cover is None:
            return None
        return Found(pattern, self.own_price(pattern) + cover.price, cover, len(self.steps))

    def reads_stock(self, pattern: Pattern) -> bool:
        """Whether the premises of ``pattern`` may be read off nearly full houses, at one look each."""
        return pattern.technique in _STOCK_TECHNIQUES

    def patterns(self, technique: Technique) -> list[Pattern]:
        """Where ``technique`` applies on the page as it stands, and as it is known by now, each found once.

        What is held may narrow a pattern that the page shows more simply, so both views are asked.
        """
        found = self._patterns.get(technique)
        if found is None or found[0] < len(self.steps):
            start = View(self.position.digits, self.position.geometry)
            start.learn(self.start)
            views = (start, self.view) if self.steps else (start,)
            both = [pattern for view in views for pattern in technique.find(view, view.known)]
            found = self._patterns[technique] = (len(self.steps), both)
        return found[1]

    def steps_below(self, support: int) -> list[int]:
        """Indices into ``steps`` of the inner steps among the atoms of ``support``, in order."""
        return [atom - self.ledger.first_step for atom in bits(support >> self.ledger.first_step << self.ledger.first_step)]

    def step_atoms(self, indices: Sequence[int]) -> int:
        """The atoms of inner steps."""
        return sum(1 << self.ledger.first_step + i for i in indices)

    def gives(self, pattern: Pattern) -> int:
        """Every removal that follows at once from what ``pattern`` concludes."""
        return self.view.consequences(*pattern.settles) if pattern.settles else pattern.gives
