"""Taking an argument out of a search: its steps in order, and its looks minimised together.

The search weighs each pattern against the supports that its inner steps happened to have. Here the needs of all steps
of the one argument are covered anew, all at once and exactly, so that a look that serves two steps is found.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from inkstep.grid.geometry import bits
from inkstep.reasoning.argument import Argument, Step
from inkstep.reasoning.cover import Closer, Cover, lightest_cover
from inkstep.reasoning.facts import Fact, is_digit
from inkstep.reasoning.search import Found, Search
from inkstep.reasoning.techniques import CROSS_HATCHING, SCANNING


def take_out(search: Search, found: Found, goal: tuple[Fact, ...]) -> Argument:
    """The argument that ends in ``found``."""
    chain = _Chain(search, found).lean().without_idle_end()
    return chain.argument(goal)


@dataclass(frozen=True, slots=True)
class _Use:
    """One needed fact of one step (by its place in the chain), and what closes it."""

    place: int
    fact: int
    closer: Closer


class _Chain:
    """The inner steps an argument leans on, then its last step, with one joint cover of all their needs."""

    def __init__(self, search: Search, last: Found, inner: Sequence[int] | None = None) -> None:
        self.search = search
        self.last = last
        self.inner = search.steps_below(last.cover.support) if inner is None else list(inner)
        self.order = [search.steps[i] for i in self.inner] + [last]
        self.uses, self.cover = self._cover()

    def _cover(self) -> tuple[list[_Use], Cover]:
        search = self.search
        if not self.inner:
            # nothing is shared between steps: the cover that was found is exact already
            uses = [_Use(0, fact, closer) for facts, closer in self.last.cover.chosen for fact in bits(facts)]
            return uses, self.last.cover
        needs = [(k, fact) for k, found in enumerate(self.order) for fact in bits(found.pattern.need)]
        ways = [self._ways(place, fact, needs) for place, fact in needs]
        cover = lightest_cover((1 << len(needs)) - 1, lambda e: ways[e], search.ledger.weights)
        if cover is None:
            raise AssertionError("a step was adopted before its needs were known")
        uses = [_Use(*needs[e], closer) for elements, closer in cover.chosen for e in bits(elements)]
        return uses, cover

    def _ways(self, place: int, fact: int, needs: list[tuple[int, int]]) -> list[Closer]:
        """What may close one fact for one step: looks, marks and stocks, and the steps before it."""
        search = self.search
        stock = search.reads_stock(self.order[place].pattern)
        ways = []
        for way in search.ledger.options(fact, stock=stock):
            if way.atom < search.ledger.first_step:
                ways.append(self._on(way, needs, -1))
        for earlier in range(place):
            gives = search.gives(self.order[earlier].pattern)
            if gives >> fact & 1:
                atom = search.ledger.first_step + self.inner[earlier]
                way = Closer(gives, 1 << atom, search.ledger.weights[atom], atom)
                ways.append(self._on(way, needs, earlier))
        return ways

    def _on(self, way: Closer, needs: list[tuple[int, int]], after: int) -> Closer:
        """``way`` with the elements it covers, in steps later than ``after``."""
        stock = self.search.ledger.first_stock <= way.atom < self.search.ledger.first_note
        covers = 0
        for element, (place, fact) in enumerate(needs):
            if place > after and way.covers >> fact & 1:
                if stock and not self.search.reads_stock(self.order[place].pattern):
                    continue
                covers |= 1 << element
        return way._replace(covers=covers)

    def lean(self) -> _Chain:
        """The chain without inner steps that nothing leans on any more."""
        wanted = {len(self.inner)}
        for place in range(len(self.inner), -1, -1):
            if place in wanted:
                wanted |= {self._place(u.closer) for u in self.uses if u.place == place} - {-1}
        kept = [i for place, i in enumerate(self.inner) if place in wanted]
        return self if len(kept) == len(self.inner) else _Chain(self.search, self.last, kept).lean()

    def _place(self, closer: Closer) -> int:
        """The place in the chain of the step that a closer is, or -1."""
        index = closer.atom - self.search.ledger.first_step
        return self.inner.index(index) if index >= 0 else -1

    def without_idle_end(self) -> _Chain:
        """The chain without a last look-around that only repeats what one inner step says."""
        if self.last.pattern.technique not in (SCANNING, CROSS_HATCHING) or not self.inner:
            return self
        leant = {self._place(u.closer) for u in self.uses if u.place == len(self.inner)}
        end = self.order[-2]
        if leant != {len(self.inner) - 1} or end.pattern.settles:
            return self
        return _Chain(self.search, end, self.inner[:-1])

    # -- writing it out --------------------------------------------------------------------------------------------

    def argument(self, goal: tuple[Fact, ...]) -> Argument:
        """The chain as an argument."""
        leant_on = self._leant_on()
        steps = tuple(self._step(place, leant_on[place], goal) for place in range(len(self.order)))
        effort = self.search.own_price(self.last.pattern) + self.cover.price
        return Argument(goal, steps, round(effort, 6), self.search.position.geometry)

    def _leant_on(self) -> list[set[int]]:
        """For each step the facts that later steps take from it."""
        leant: list[set[int]] = [set() for _ in self.order]
        for use in self.uses:
            place = self._place(use.closer)
            if place >= 0:
                leant[place].add(use.fact)
        return leant

    def _step(self, place: int, leant_on: set[int], goal: tuple[Fact, ...]) -> Step:
        pattern = self.order[place].pattern
        last = place == len(self.inner)
        conclusions = self._conclusions(place, leant_on, goal)
        premises, via, seen, stock, notes, uses = _Reading(self, place).result()
        if pattern.stock or pattern.technique == "last digit in a house":
            stock = (pattern.houses[0], *stock)
        frame = pattern.houses
        houses = dict.fromkeys((*frame, *via, *self._reach(pattern.reach, conclusions)))
        return Step(
            pattern.technique,
            pattern.manner,
            frame,
            tuple(houses),
            tuple(bits(pattern.cells)),
            pattern.digits,
            premises,
            conclusions,
            () if last else conclusions,
            seen,
            stock,
            notes,
            uses,
        )

    def _conclusions(self, place: int, leant_on: set[int], goal: tuple[Fact, ...]) -> tuple[Fact, ...]:
        view = self.search.view
        pattern = self.order[place].pattern
        if pattern.settles:
            return (is_digit(*pattern.settles),)
        if place < len(self.inner):
            return view.facts(sum(1 << fact for fact in leant_on))
        fresh = pattern.gives & ~self.search.start
        return view.facts(fresh | view.mask(goal) & pattern.gives)

    def _reach(self, reach: int, conclusions: tuple[Fact, ...]) -> list[int]:
        geometry = self.search.position.geometry
        return [geometry.shared_houses(1 << end | 1 << fact.cell)[0] for fact in conclusions for end in bits(reach)]


class _Reading:
    """What one step reads: its premises as facts, the houses it looks along, and the atoms by kind."""

    def __init__(self, chain: _Chain, place: int) -> None:
        self.chain = chain
        self.search = chain.search
        self.pattern = chain.order[place].pattern
        self.uses = [u for u in chain.uses if u.place == place]
        self.premises: dict[Fact, None] = {}
        self.via: dict[int, None] = {}

    def result(
        self,
    ) -> tuple[tuple[Fact, ...], tuple[int, ...], tuple[int, ...], tuple[int, ...], tuple[int, ...], tuple[int, ...]]:
        """Premises, houses looked along, cells seen, houses taken stock of, notes read, steps leant on."""
        ledger = self.search.ledger
        digits = self.search.position.digits
        by_atom: dict[int, list[int]] = {}
        for use in self.uses:
            by_atom.setdefault(use.closer.atom, []).append(use.fact)
        for cell in bits(self.pattern.occupied):
            self.premises[is_digit(cell, digits[cell])] = None
        seen, stock, notes, steps = [], [], [], []
        for atom, facts in sorted(by_atom.items()):
            if atom < ledger.first_stock:
                seen.append(atom)
                self._lean_on_digit(atom, digits[atom], facts)
            elif atom < ledger.first_note:
                stock.append(atom - ledger.first_stock)
                self._lean_on_house(atom - ledger.first_stock, facts)
            elif atom < ledger.first_step:
                notes.append(atom - ledger.first_note)
                self.premises.update(dict.fromkeys(self.search.view.facts(sum(1 << f for f in facts))))
            else:
                steps.append(self.chain.inner.index(atom - ledger.first_step))
                self._lean_on_step(atom - ledger.first_step, facts)
        premises = tuple(sorted(self.premises, key=lambda f: (not f.holds, f.digit, f.cell)))
        return premises, tuple(self.via), tuple(seen), tuple(stock), tuple(notes), tuple(steps)

    def _lean_on_digit(self, cell: int, digit: int, facts: Sequence[int]) -> None:
        self.premises[is_digit(cell, digit)] = None
        self._look_along(cell, [c for c, d in self.search.view.pairs(sum(1 << f for f in facts)) if c != cell])

    def _lean_on_house(self, house: int, facts: Sequence[int]) -> None:
        self.via[house] = None
        digits = self.search.position.digits
        wanted = {d for _, d in self.search.view.pairs(sum(1 << f for f in facts))}
        for cell in self.search.position.geometry.house_cells[house]:
            if digits[cell] in wanted:
                self.premises[is_digit(cell, digits[cell])] = None

    def _lean_on_step(self, index: int, facts: Sequence[int]) -> None:
        settles = self.search.steps[index].pattern.settles
        if settles:
            self._lean_on_digit(*settles, facts)
        else:
            self.premises.update(dict.fromkeys(self.search.view.facts(sum(1 << f for f in facts))))

    def _look_along(self, cell: int, closed: list[int]) -> None:
        """Note houses through which ``cell`` closes all of ``closed``, as few as will do, lines before boxes."""
        geometry = self.search.position.geometry
        left = sum(1 << c for c in set(closed))
        for house in (*self.pattern.houses, *self.via):
            if geometry.house_masks[house] >> cell & 1:
                left &= ~geometry.house_masks[house]
        while left:
            house = max(geometry.houses_of[cell], key=lambda h: ((geometry.house_masks[h] & left).bit_count(), -h))
            self.via[house] = None
            left &= ~geometry.house_masks[house]
