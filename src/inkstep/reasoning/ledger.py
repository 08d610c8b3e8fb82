"""The ledger of a search: which atoms there are, what each weighs, and which facts each makes known."""

from __future__ import annotations

from inkstep.grid.geometry import bits
from inkstep.reasoning.cover import Closer
from inkstep.reasoning.effort import Effort
from inkstep.reasoning.position import Position
from inkstep.reasoning.techniques.singles import lacking
from inkstep.reasoning.view import View


class Ledger:
    """Atoms in order: a look at each cell, a stock of each house, the notes, then the inner steps as they come."""

    def __init__(self, position: Position, view: View, effort: Effort) -> None:
        geometry = position.geometry
        self.view = view
        self.cells = geometry.cells
        self.first_stock = geometry.cells
        self.first_note = self.first_stock + len(geometry.house_masks)
        self.first_step = self.first_note + len(position.notes)
        self.weights = [effort.look] * geometry.cells
        for weight, cell in zip(effort.fresh, position.fresh, strict=False):
            self.weights[cell] = weight
        self.lightest_look = min(self.weights)
        #: the facts that a mark or an inner step makes known
        self.derived = 0
        self._looks = self._all_looks(position)
        self._looks_at: dict[int, list[Closer]] = {}
        self._stocks: list[list[Closer]] = [[] for _ in range(geometry.cells)]
        self._add_stocks(position, effort)
        self._derived: dict[int, list[Closer]] = {}
        for index, note in enumerate(position.notes):
            self.weights.append(effort.note)
            covers = view.mask(note.excludes)
            self.add(covers, Closer(covers, 1 << self.first_note + index, effort.note, self.first_note + index))

    def _all_looks(self, position: Position) -> list[list[Closer]]:
        """For each digit a look at each cell that shows it."""
        looks: list[list[Closer]] = [[] for _ in range(position.geometry.size + 1)]
        for cell, digit in enumerate(position.digits):
            if digit:
                covers = self.view.removals(position.geometry.peers[cell], digit)
                looks[digit].append(Closer(covers, 1 << cell, self.weights[cell], cell))
        return looks

    def _add_stocks(self, position: Position, effort: Effort) -> None:
        geometry = position.geometry
        every = (1 << geometry.size) - 1
        for house, mask in enumerate(geometry.house_masks):
            lacks = lacking(self.view, house)
            count = lacks.bit_count()
            price = effort.stock[count] if count < len(effort.stock) else 0.0
            self.weights.append(price)
            if count and price:
                covers = sum(self.view.removals(mask, d + 1) for d in bits(every & ~lacks))
                atom = self.first_stock + house
                for cell in geometry.house_cells[house]:
                    self._stocks[cell].append(Closer(covers, 1 << atom, price, atom))

    def price(self, support: int) -> float:
        """The sum of the weights of a set of atoms, in looks."""
        return sum(self.weights[atom] for atom in bits(support))

    def add_step(self, gives: int, weight: float, support: int) -> int:
        """Enter an inner step that rests on ``support``; returns its atom."""
        atom = len(self.weights)
        self.weights.append(weight)
        support |= 1 << atom
        self.add(gives, Closer(gives, support, self.price(support), atom))
        return atom

    def add(self, gives: int, closer: Closer) -> None:
        """Enter a closer for each of the facts it gives."""
        self.derived |= gives
        for fact in bits(gives):
            self._derived.setdefault(fact, []).append(closer)

    def options(self, fact: int, *, stock: bool = False, banned: int = 0) -> list[Closer]:
        """Every way to know one removal: looks, marks, inner steps not ``banned``, and houses taken stock of."""
        ways = self._looks_at.get(fact)
        if ways is None:
            ways = self._looks_at[fact] = [look for look in self._looks[fact // self.cells + 1] if look.covers >> fact & 1]
        if stock:
            ways = ways + [s for s in self._stocks[fact % self.cells] if s.covers >> fact & 1]
        derived = self._derived.get(fact)
        if derived:
            ways = ways + ([d for d in derived if not d.support & banned] if banned else derived)
        return ways
