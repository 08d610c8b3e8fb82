"""What reasoning sees of a page: the digits, and the facts that marks assert. It knows no strokes."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from inkstep.grid.geometry import CLASSIC, Geometry
from inkstep.reasoning.facts import Fact


@dataclass(frozen=True, slots=True)
class Note:
    """A mark on the page as reasoning sees it: removals that whoever reads it may take as said.

    ``name`` identifies the mark to the caller (a stroke's number, or "known"); ``cells`` are those it is read at.
    """

    name: str
    cells: tuple[int, ...]
    excludes: tuple[Fact, ...]


@dataclass(frozen=True)
class Position:
    """Digits on the page (0 for an empty cell), the notes, and the cells inked last (newest first)."""

    digits: tuple[int, ...]
    notes: tuple[Note, ...] = ()
    fresh: tuple[int, ...] = ()
    geometry: Geometry = field(default=CLASSIC)

    @classmethod
    def of(
        cls,
        digits: Iterable[int],
        *,
        known: Iterable[Fact] = (),
        fresh: Iterable[int] = (),
        geometry: Geometry = CLASSIC,
    ) -> Position:
        """A position whose ``known`` removals stand on the page, gathered to one note a cell."""
        by_cell: dict[int, list[Fact]] = {}
        for fact in sorted(set(known)):
            by_cell.setdefault(fact.cell, []).append(fact)
        notes = tuple(Note("known", (cell,), tuple(facts)) for cell, facts in by_cell.items())
        return cls(tuple(digits), notes, tuple(fresh), geometry)
