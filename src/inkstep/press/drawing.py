"""What a picture shows: the ink on a page and the evidence pointed out on it, as plain values."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal

from inkstep.trace.pages import Page
from inkstep.trace.paper import Inked, State
from inkstep.trace.strokes import Kind

InkKind = Literal["given", "pen", "mark", "note"]
InkState = Literal["standing", "struck", "crossed", "over"]

Cells = tuple[int, ...]
Digits = tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Ink:
    """One thing that stands on the paper.

    ``where`` is a value of ``inkstep.trace.strokes.Where``; ``house`` anchors what lies outside the frame. ``stroke``
    is the number of the stroke that wrote it, counted from 1; printed digits have 0. A mark is ``struck`` when it was
    crossed out, ``over`` when a digit was written over it; a digit is ``crossed`` when it was crossed out, ``over`` when
    another was written over it. While a mark still stands in part, ``covered`` are its cells that were written over and
    ``struck`` its parts, cell and digit, that were crossed out.
    """

    kind: InkKind
    cells: Cells = ()
    digits: Digits = ()
    where: str = "cell"
    house: int | None = None
    state: InkState = "standing"
    text: str = ""
    stroke: int = 0
    covered: Cells = ()
    struck: tuple[tuple[int, int], ...] = ()

    def state_at(self, cell: int | None) -> InkState:
        """What became of the ink in one of its cells; None for ink that is written once for all of them."""
        if cell is not None and cell in self.covered:
            return "over"
        if self.digits and all(self.is_struck(cell, digit) for digit in self.digits):
            return "struck"
        return self.state

    def is_struck(self, cell: int | None, digit: int) -> bool:
        """Whether one digit of a mark was crossed out, in a cell or (None) in all of its cells."""
        cells = self.cells if cell is None else (cell,)
        # ink written once for several cells is crossed out once, whichever of them the stroke through it speaks of
        return any((each, digit) in self.struck for each in cells)

    def to_json(self) -> dict[str, Any]:
        """The ink as plain data; what is left at its default is left out."""
        fields = {
            "kind": self.kind,
            "cells": list(self.cells),
            "digits": list(self.digits),
            "where": self.where,
            "house": self.house,
            "state": self.state,
            "text": self.text,
            "stroke": self.stroke,
            "covered": list(self.covered),
            "struck": [list(part) for part in self.struck],
        }
        return {name: value for name, value in fields.items() if value != _PLAIN_INK.get(name)}


_PLAIN_INK: Mapping[str, Any] = {
    "cells": [],
    "digits": [],
    "where": "cell",
    "house": None,
    "state": "standing",
    "text": "",
    "stroke": 0,
    "covered": [],
    "struck": [],
}


@dataclass(frozen=True, slots=True)
class Evidence:
    """What is pointed out on a page.

    ``seen`` are cells whose digit had to be seen (a ring each), ``read`` numbers of strokes whose marks had to be read (a
    ring round the mark), ``reach`` pairs of cells: what a digit seen closes.
    ``houses`` are bracketed and tinted, ``goal`` cells framed. ``held`` are facts kept in mind: cells and their
    digits. ``removed`` are candidates slashed, ``doubt`` numbers of strokes whose marks are underlined, ``written`` the
    digits being written.
    """

    seen: Cells = ()
    reach: tuple[tuple[int, int], ...] = ()
    houses: tuple[int, ...] = ()
    goal: Cells = ()
    held: tuple[tuple[Cells, Digits], ...] = ()
    removed: tuple[tuple[int, int], ...] = ()
    doubt: tuple[int, ...] = ()
    written: tuple[tuple[int, int], ...] = ()
    read: tuple[int, ...] = ()

    def to_json(self) -> dict[str, Any]:
        """The evidence as plain data; what is empty is left out."""
        fields = {
            "seen": list(self.seen),
            "read": list(self.read),
            "reach": [list(pair) for pair in self.reach],
            "houses": list(self.houses),
            "goal": list(self.goal),
            "held": [[list(cells), list(digits)] for cells, digits in self.held],
            "removed": [list(pair) for pair in self.removed],
            "doubt": list(self.doubt),
            "written": [list(pair) for pair in self.written],
        }
        return {name: value for name, value in fields.items() if value}


NOTHING = Evidence()


@dataclass(frozen=True, slots=True)
class Drawing:
    """A picture to draw: the ink in the order it was written, the evidence, and a title for those who cannot see it."""

    ink: tuple[Ink, ...] = ()
    evidence: Evidence = NOTHING
    title: str = ""

    def to_json(self) -> dict[str, Any]:
        """The drawing as plain data, as the board in the browser takes it."""
        return {
            "ink": [ink.to_json() for ink in self.ink],
            "evidence": self.evidence.to_json(),
            "title": self.title,
        }


def drawing_of_puzzle(line: str, evidence: Evidence = NOTHING, title: str = "") -> Drawing:
    """The printed digits of a puzzle of 81 characters; ``.`` and ``0`` stand for an empty cell."""
    return Drawing(givens_of(line), evidence, title)


def givens_of(line: str) -> tuple[Ink, ...]:
    """The printed digits of a puzzle of 81 characters, in cell order."""
    return tuple(Ink("given", (cell,), (int(sign),)) for cell, sign in enumerate(line) if sign in "123456789")


@dataclass(frozen=True, slots=True)
class Change:
    """What became of earlier ink, that of ``stroke``: its state, and of what stands in part the fields of :class:`Ink`."""

    stroke: int
    state: InkState
    covered: Cells = ()
    struck: tuple[tuple[int, int], ...] = ()

    def to_json(self) -> list[Any]:
        """``[stroke, state]``, or ``[stroke, state, covered, struck]``."""
        parts = [list(self.covered), [list(part) for part in self.struck]]
        return [self.stroke, self.state, *(parts if any(parts) else ())]


def difference(before: Sequence[Ink], after: Sequence[Ink]) -> tuple[tuple[Ink, ...], tuple[Change, ...]]:
    """What was written, and what changed its state, between the ink of one page and that of the next.

    Raises:
        ValueError: ink of the first page is missing on the second, or changed in more than its state.
    """
    old, new = _written(before), _written(after)
    for stroke, ink in old.items():
        later = new.get(stroke)
        if later is None or replace(later, state=ink.state, covered=ink.covered, struck=ink.struck) != ink:
            raise ValueError(f"ink never vanishes nor moves, but that of stroke {stroke} did")
    added = tuple(ink for stroke, ink in new.items() if stroke not in old)
    changes = (new[stroke] for stroke, ink in old.items() if new[stroke] != ink)
    return added, tuple(Change(ink.stroke, ink.state, ink.covered, ink.struck) for ink in changes)


def page_difference(before: Page, after: Page) -> tuple[tuple[Ink, ...], tuple[Change, ...]]:
    """The same for a page and the next of one solve, told from what the pages share: quick however much stands there."""
    written = [inked for inked in after.ink[len(before.ink) :] if not _is_on_a_given(inked, after)]
    added = tuple(ink_of(inked) for inked in written)
    pairs = zip(before.ink, after.ink, strict=False)
    touched = [ink_of(new) for old, new in pairs if new is not old and not _is_on_a_given(new, after)]
    return added, tuple(Change(ink.stroke, ink.state, ink.covered, ink.struck) for ink in touched)


def _written(ink: Sequence[Ink]) -> dict[int, Ink]:
    return {item.stroke: item for item in ink if item.kind != "given"}


def drawing_of_page(page: Page, evidence: Evidence = NOTHING, title: str = "") -> Drawing:
    """A page as it stands on the paper, with evidence pointed out on it."""
    printed = tuple(Ink("given", (cell,), (digit,)) for cell, digit in enumerate(page.givens) if digit)
    written = (ink_of(inked) for inked in page.ink if not _is_on_a_given(inked, page))
    return Drawing((*printed, *written), evidence, title)


def ink_of(inked: Inked) -> Ink:
    """One stroke's ink with what became of it."""
    stroke = inked.stroke
    struck = tuple((cell, digit) for cell, digit, _ in inked.struck)
    return Ink(
        _KINDS[stroke.kind],
        stroke.cells,
        stroke.digits,
        stroke.place.where.value,
        stroke.place.house,
        _STATES[inked.state],
        stroke.text,
        inked.number,
        inked.covered,
        struck,
    )


_KINDS: Mapping[Kind, InkKind] = {Kind.DIGIT: "pen", Kind.MARK: "mark", Kind.NOTE: "note"}
_STATES: Mapping[State, InkState] = {
    State.STANDING: "standing",
    State.STRUCK: "struck",
    State.CROSSED: "crossed",
    State.COVERED: "over",
}


def _is_on_a_given(inked: Inked, page: Page) -> bool:
    """A digit entered onto a printed one: the sheet is at fault, and the printed digit stands."""
    return inked.stroke.kind is Kind.DIGIT and bool(page.givens[inked.stroke.cells[0]])
