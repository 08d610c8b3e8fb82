"""The paper while strokes are replayed onto it: digits, ink, claims, and what a stroke contradicts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from inkstep.grid.geometry import CLASSIC
from inkstep.trace.claims import Claim, Part, claims_of
from inkstep.trace.strokes import Kind, Stroke, Where


class State(StrEnum):
    """What has become of something written."""

    STANDING = "standing"
    STRUCK = "struck"  #: a mark or note crossed out
    CROSSED = "crossed out"  #: a digit crossed out
    COVERED = "written over"


@dataclass(frozen=True, slots=True)
class Inked:
    """Something written: stroke ``number`` (counted from 1), its state, and the stroke ``by`` that ended it.

    ``covered`` are the cells in which a mark was written over by a digit, ``struck`` its crossed-out parts; a mark's
    state is ``COVERED`` or ``STRUCK`` only when nothing of it is left open, after whichever came last.
    """

    number: int
    stroke: Stroke
    state: State = State.STANDING
    covered: tuple[int, ...] = ()
    struck: tuple[Part, ...] = ()
    by: int | None = None

    def left(self) -> frozenset[tuple[int, int]]:
        """The (cell, digit) parts of a mark that are not crossed out."""
        gone = {(cell, digit) for cell, digit, _ in self.struck}
        return frozenset(
            (cell, digit) for cell in self.stroke.cells for digit in self.stroke.digits if (cell, digit) not in gone
        )

    def open_cells(self) -> tuple[int, ...]:
        """The cells in which the mark or note is neither written over nor crossed out."""
        cells = {cell for cell, _ in self.left()} if self.stroke.kind is Kind.MARK else self.stroke.cells
        return tuple(cell for cell in self.stroke.cells if cell in cells and cell not in self.covered)


#: what a stroke contradicts: what was expected, and why
Objection = tuple[str, str]


class Paper:
    """Replays strokes one by one; cheap to advance and to photograph."""

    def __init__(self, givens: Sequence[int]) -> None:
        self.givens = tuple(givens)
        self.digits = list(givens)
        self.count = 0
        self.ink: dict[int, Inked] = {}
        self.claims: dict[int, tuple[Claim, ...]] = {}
        #: cells written, newest first, each holding its written digit
        self.fresh: list[int] = []
        #: the stroke whose digit stands in each cell written
        self._writer: dict[int, int] = {}
        #: open marks and notes by cell, in the order written
        self._touching: list[dict[int, None]] = [{} for _ in range(CLASSIC.cells)]
        self._notes: dict[int, None] = {}

    def copy(self) -> Paper:
        """The same paper once more: what is written onto one does not show on the other."""
        other = Paper(self.givens)
        other.digits, other.count, other.fresh = list(self.digits), self.count, list(self.fresh)
        other.ink, other.claims = dict(self.ink), dict(self.claims)
        other._writer, other._notes = dict(self._writer), dict(self._notes)
        other._touching = [dict(numbers) for numbers in self._touching]
        return other

    def take(self, stroke: Stroke) -> None:
        """Write the next stroke."""
        self.count += 1
        if stroke.kind is Kind.STRIKE:
            self._take_strike(stroke)
            return
        self.ink[self.count] = Inked(self.count, stroke)
        if stroke.kind is Kind.DIGIT:
            self._take_digit(stroke)
            return
        for cell in stroke.cells:
            self._touching[cell][self.count] = None
        if stroke.kind is Kind.MARK:
            self._claim(self.count)
        else:
            self._notes[self.count] = None

    def _take_digit(self, stroke: Stroke) -> None:
        cell, digit = stroke.cells[0], stroke.digits[0]
        if self.givens[cell]:
            return
        if cell in self._writer:
            self._end(self._writer[cell], State.CROSSED if stroke.crosses_digit else State.COVERED)
            self.fresh.remove(cell)
        self.digits[cell] = digit
        self._writer[cell] = self.count
        self.fresh.insert(0, cell)
        for number in self._covered_by(cell, over=stroke.over):
            self._cover(number, cell)
        self._refresh(cell)

    def _covered_by(self, cell: int, *, over: bool) -> list[int]:
        """The ink that a digit in the cell covers: what stands inside it; written ``over`` a border mark, that one."""
        touching = [number for number in self._touching[cell] if cell not in self.ink[number].covered]
        inside = [number for number in touching if self.ink[number].stroke.place.where is Where.CELL]
        border = [number for number in touching if self.ink[number].stroke.place.where is Where.BORDER]
        return inside or (border[-1:] if over else [])

    def _cover(self, number: int, cell: int) -> None:
        inked = self.ink[number]
        self.ink[number] = replace(inked, covered=(*inked.covered, cell))
        if not self.ink[number].open_cells():
            self._end(number, State.COVERED)

    def _take_strike(self, strike: Stroke) -> None:
        if strike.crosses_digit:
            self._cross(strike)
            return
        number = self.struck_by(strike)
        if number is None:
            return
        inked = self.ink[number]
        if inked.stroke.kind is not Kind.MARK:
            self._end(number, State.STRUCK)
            self._forget(number)
            return
        left = inked.left()
        parts = tuple(
            (cell, digit, self.count) for cell in strike.cells for digit in strike.digits if (cell, digit) in left
        )
        self.ink[number] = replace(inked, struck=inked.struck + parts)
        self._claim(number)
        if not self.ink[number].open_cells():
            self._end(number, State.STRUCK)
            self._forget(number)

    def _cross(self, strike: Stroke) -> None:
        cell = strike.cells[0]
        if cell in self._writer and self.digits[cell] == strike.replaces:
            self._end(self._writer.pop(cell), State.CROSSED)
            self.digits[cell] = 0
            self.fresh.remove(cell)
            self._refresh(cell)

    def _end(self, number: int, state: State) -> None:
        self.ink[number] = replace(self.ink[number], state=state, by=self.count)

    def _forget(self, number: int) -> None:
        self._notes.pop(number, None)
        self.claims.pop(number, None)
        for cell in self.ink[number].stroke.cells:
            self._touching[cell].pop(number, None)

    def _claim(self, number: int) -> None:
        inked = self.ink[number]
        found = claims_of(number, inked.stroke, inked.struck)
        self.claims[number] = tuple(replace(claim, spent=self._spent(claim)) for claim in found)

    def _spent(self, claim: Claim) -> bool:
        return all(self.digits[cell] for cell in claim.cells)

    def _refresh(self, cell: int) -> None:
        """Bring ``spent`` up to date for the claims that touch the cell."""
        for number in self._touching[cell]:
            claims = self.claims.get(number, ())
            if any(claim.spent is not self._spent(claim) for claim in claims):
                self.claims[number] = tuple(replace(claim, spent=self._spent(claim)) for claim in claims)

    def struck_by(self, strike: Stroke) -> int | None:
        """The number of the newest standing mark or note that a strike crosses out, the whole of one before a part."""
        partly = None
        for number in self._candidates(strike):
            fit = _fit(self.ink[number], strike)
            if fit == _WHOLE:
                return number
            if fit == _PART and partly is None:
                partly = number
        return partly

    def _candidates(self, strike: Stroke) -> Iterator[int]:
        touching = self._touching[strike.cells[0]] if strike.cells else self._notes
        return (number for number in reversed(touching) if self.ink[number].state is State.STANDING)

    def objections(self, stroke: Stroke) -> list[Objection]:
        """What the next stroke contradicts of what stands on the paper."""
        if stroke.kind is Kind.DIGIT:
            return list(self._digit_objections(stroke))
        if stroke.kind is Kind.MARK:
            return list(self._mark_objections(stroke))
        if stroke.kind is Kind.STRIKE:
            return list(self._strike_objections(stroke))
        return []

    def _digit_objections(self, stroke: Stroke) -> Iterator[Objection]:
        cell = stroke.cells[0]
        name, stands = CLASSIC.cell_name(cell), self.digits[cell]
        if self.givens[cell]:
            yield "a digit in an empty cell", f"{name} holds the given {stands}"
        elif stands and stroke.replaces is None:
            yield f"replaces {stands} after the new digit", f"{name} holds {_one(stands)} already"
        elif stroke.replaces is not None and stroke.replaces != stands:
            expected = f"replaces {stands}" if stands else "a digit without replaces"
            yield expected, self._holding(cell)
        if stroke.over and not self._covered_by(cell, over=True):
            yield "a mark in the cell that the digit is written over", f"no mark stands at {name}"

    def _mark_objections(self, stroke: Stroke) -> Iterator[Objection]:
        filled = [cell for cell in stroke.cells if self.digits[cell]]
        if filled:
            yield "a mark of empty cells", self._holding(filled[0])
        if stroke.place.where is Where.BORDER and not _neighbours(stroke.cells):
            yield "two cells that share a border", "a mark across a border lies between two neighbours"

    def _strike_objections(self, stroke: Stroke) -> Iterator[Objection]:
        if stroke.crosses_digit:
            cell = stroke.cells[0]
            if cell not in self._writer or self.digits[cell] != stroke.replaces:
                yield f"a written {stroke.replaces} to cross out", self._holding(cell)
        elif self.struck_by(stroke) is None:
            yield "a mark or note that stands there to cross out", "nothing written before holds these cells and digits"

    def _holding(self, cell: int) -> str:
        name, stands = CLASSIC.cell_name(cell), self.digits[cell]
        what = f"the given {stands}" if self.givens[cell] else _one(stands)
        return f"{name} holds {what}" if stands else f"{name} is empty"


_NOT, _PART, _WHOLE = range(3)


def _one(digit: int) -> str:
    return f"an {digit}" if digit == 8 else f"a {digit}"


def _fit(inked: Inked, strike: Stroke) -> int:
    if inked.stroke.kind is Kind.NOTE:
        return _WHOLE if _same_note(inked.stroke, strike) else _NOT
    if strike.house is not None and strike.house != inked.stroke.house:
        return _NOT
    if not (set(strike.cells) <= set(inked.stroke.cells) and set(strike.digits) <= set(inked.stroke.digits)):
        return _NOT
    named = {(cell, digit) for cell in strike.cells for digit in strike.digits}
    left = inked.left()
    if not named or not named <= left:
        return _NOT
    open_parts = {(cell, digit) for cell, digit in left if cell not in inked.covered}
    return _WHOLE if named in (left, open_parts) else _PART


def _same_note(note: Stroke, strike: Stroke) -> bool:
    if note.cells and note.digits:
        return set(note.cells) == set(strike.cells) and set(note.digits) == set(strike.digits)
    same = (note.text, note.digits, note.place) == (strike.text, strike.digits, strike.place)
    return same and set(note.cells) == set(strike.cells)


def _neighbours(cells: Sequence[int]) -> bool:
    if len(cells) != 2:
        return False
    low, high = sorted(cells)
    beside = high - low == 1 and low // CLASSIC.size == high // CLASSIC.size
    return beside or high - low == CLASSIC.size
