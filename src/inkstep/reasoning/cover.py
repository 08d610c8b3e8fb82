"""The lightest set of looks, marks and inner steps that makes a set of needed facts known.

A weighted set cover in which shared parts count once: each way of closing a fact rests on a set of atoms (a look, a house
taken stock of, a mark read, an inner step), and a set of atoms is paid for once however often it is leant on.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

from inkstep.grid.geometry import bits

#: beyond this many nodes the best cover so far is taken; no page of the outside checks reaches it
NODE_LIMIT = 4000


class Closer(NamedTuple):
    """One way of making facts known.

    ``covers`` are the facts, ``support`` the atoms it rests on with all that lies below them, ``price`` their sum in
    looks, ``atom`` its own atom.
    """

    covers: int
    support: int
    price: float
    atom: int


class Cover(NamedTuple):
    """A choice of closers: what it costs, the atoms it rests on, and who closes what (facts, closer)."""

    price: float
    support: int
    chosen: tuple[tuple[int, Closer], ...]


NOTHING = Cover(0.0, 0, ())


def lightest_cover(need: int, options: Callable[[int], Sequence[Closer]], weights: Sequence[float]) -> Cover | None:
    """The cheapest choice of closers for every fact of ``need``; None where one of them has no closer."""
    if not need:
        return NOTHING
    forced: list[Closer] = []
    open_: list[tuple[int, Sequence[Closer]]] = []
    for element in bits(need):
        ways = options(element)
        if not ways:
            return None
        if len(ways) == 1:
            forced.append(ways[0])
        else:
            open_.append((1 << element, ways))
    start, left = _taken(need, forced, weights)
    if not left:
        return start
    elements = [(bit, ways) for bit, ways in open_ if bit & left]
    shared = _shared_atoms(elements) | start.support
    lean = [(bit, _undominated(left, ways, shared)) for bit, ways in elements]
    lean.sort(key=lambda item: len(item[1]))
    return _Branching(lean, weights).best(left, start)


def _taken(need: int, forced: Sequence[Closer], weights: Sequence[float]) -> tuple[Cover, int]:
    """What there is no choice about, and the facts that are still open after it."""
    price, support, chosen = 0.0, 0, []
    for way in forced:
        covers = way.covers & need
        if covers:
            added = way.support & ~support
            price += way.price if added == way.support else sum(weights[atom] for atom in bits(added))
            support |= way.support
            need &= ~covers
            chosen.append((covers, way))
    return Cover(price, support, tuple(chosen)), need


def _shared_atoms(elements: list[tuple[int, Sequence[Closer]]]) -> int:
    """Atoms that lie below some step: a look at one of them may come free with the step."""
    shared = 0
    for _, ways in elements:
        for way in ways:
            if way.support & (way.support - 1):
                shared |= way.support
    return shared


def _undominated(need: int, ways: Sequence[Closer], shared: int) -> list[Closer]:
    if len(ways) == 1:
        return list(ways)
    ranked = sorted((way.price, -(way.covers & need).bit_count(), at) for at, way in enumerate(ways))
    kept: list[Closer] = []
    wide: list[int] = []
    for _, _, at in ranked:
        way = ways[at]
        covers = way.covers & need
        if not way.support & shared:
            for other in wide:
                if not covers & ~other:
                    break
            else:
                kept.append(way)
                wide.append(covers)
            continue
        kept.append(way)
        wide.append(covers)
    return kept


class _Branching:
    """Branch and bound over the fact with the fewest ways first."""

    def __init__(self, elements: list[tuple[int, list[Closer]]], weights: Sequence[float]) -> None:
        self.elements = elements
        self.weights = weights
        self.nodes = 0
        self.price = float("inf")
        self.support = 0
        self.chosen: tuple[tuple[int, Closer], ...] = ()

    def best(self, need: int, start: Cover) -> Cover:
        self._go(0, need, start.support, start.price, start.chosen)
        return Cover(self.price, self.support, self.chosen)

    def _go(self, index: int, need: int, support: int, price: float, chosen: tuple[tuple[int, Closer], ...]) -> None:
        self.nodes += 1
        elements = self.elements
        while need and not elements[index][0] & need:
            index += 1
        if not need:
            self.price, self.support, self.chosen = price, support, chosen
            return
        for way in elements[index][1]:
            added = way.support & ~support
            then = price
            if added == way.support:
                then += way.price
            else:
                for atom in bits(added):
                    then += self.weights[atom]
            if then < self.price - 1e-9 and (self.nodes < NODE_LIMIT or not self.chosen):
                covers = way.covers & need
                self._go(index + 1, need & ~covers, support | way.support, then, (*chosen, (covers, way)))
