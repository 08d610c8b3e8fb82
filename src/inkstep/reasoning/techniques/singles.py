"""Singles: the last digit in a house, the hidden single, the naked single, and taking stock of a house."""

from __future__ import annotations

from collections.abc import Iterator

from inkstep.grid.geometry import bits
from inkstep.reasoning.techniques.base import Case, Pattern
from inkstep.reasoning.view import View

LAST_DIGIT = "last digit in a house"
HIDDEN_SINGLE = "hidden single"
NAKED_SINGLE = "naked single"

#: a house that lacks more digits than this is not taken stock of at one look
STOCK_LIMIT = 4


class LastDigit:
    """One cell of the house is empty."""

    name = LAST_DIGIT
    price = LAST_DIGIT
    teaches = (
        "A house holds each digit once. When eight of its cells are filled, the ninth takes the digit that is missing. "
        "Nothing outside the house has to be seen."
    )
    holds = (
        Case(
            "row 1 lacks only its 9",
            "r1c1=1 r1c2=2 r1c3=3 r1c4=4 r1c5=5 r1c6=6 r1c7=7 r1c8=8",
            "r1c9=9",
        ),
    )
    fails = (
        Case(
            "two cells of row 1 are empty",
            "r1c1=1 r1c2=2 r1c3=3 r1c4=4 r1c5=5 r1c6=6 r1c7=7",
            "r1c9=9",
        ),
    )

    def find(self, view: View, new: int) -> Iterator[Pattern]:
        """Houses with one empty cell. They are there from the start: nothing that is held makes new ones."""
        geometry = view.geometry
        for house, mask in enumerate(geometry.house_masks):
            empty = mask & view.open
            if not empty or empty & (empty - 1):
                continue
            cell = empty.bit_length() - 1
            digits = view.candidates[cell]
            if digits and not digits & (digits - 1) and cell not in view.settled:
                yield last_digit(view, house, cell, digits.bit_length())


def last_digit(view: View, house: int, cell: int, digit: int) -> Pattern:
    """``digit`` is what ``house`` lacks, and ``cell`` its only empty cell."""
    occupied = view.geometry.house_masks[house] & view.filled
    return Pattern(LAST_DIGIT, "", (house,), 1 << cell, (digit,), 0, occupied, settles=(cell, digit), price=LAST_DIGIT)


class HiddenSingle:
    """One place is left for the digit in the house."""

    name = HIDDEN_SINGLE
    price = "hidden single in a box"
    teaches = (
        "A house needs each digit somewhere. Look for the digit in the rows, columns and boxes that cross the "
        "house: each one "
        "closes some of its empty cells. When one place is left, the digit goes there, whatever else that cell "
        "might have held."
    )
    holds = (
        Case(
            "the 1s in rows 1 and 2 and columns 1 and 2 leave one cell of box 1",
            "r1c5=1 r2c7=1 r4c1=1 r8c2=1",
            "r3c3=1",
        ),
    )
    fails = (
        Case(
            "two cells of box 1 are still open to the 1",
            "r1c5=1 r2c7=1 r4c1=1",
            "r3c3=1",
        ),
    )

    def find(self, view: View, new: int) -> Iterator[Pattern]:
        """Houses in which the digits of ``new`` have one place left."""
        masks = view.geometry.house_masks
        for digit in view.geometry.digits:
            touched = view.of_digit(new, digit)
            if not touched:
                continue
            free = view.geometry.every & ~view.gone[digit]
            for house, mask in enumerate(masks):
                if mask & touched:
                    places = mask & free
                    if places and not places & (places - 1):
                        cell = places.bit_length() - 1
                        if cell not in view.settled:
                            yield hidden_single(view, house, cell, digit)


def hidden_single(view: View, house: int, cell: int, digit: int) -> Pattern:
    """``cell`` is the only place of ``digit`` in ``house``: its other empty cells must be closed."""
    geometry = view.geometry
    mask = geometry.house_masks[house]
    kind = "box" if house in geometry.boxes else "line"
    return Pattern(
        HIDDEN_SINGLE,
        "",
        (house,),
        1 << cell,
        (digit,),
        view.removals(mask & view.open & ~(1 << cell), digit),
        mask & view.filled,
        settles=(cell, digit),
        price=f"hidden single in a {kind}",
    )


class NakedSingle:
    """One digit is left for the cell."""

    name = NAKED_SINGLE
    price = NAKED_SINGLE
    teaches = (
        "A cell takes one digit. When its row, its column and its box already show all the others, what is left "
        "goes in. "
        "Worth trying where three well-filled houses cross."
    )
    holds = (
        Case(
            "row, column and box of r1c1 show eight digits",
            "r1c4=1 r1c5=2 r1c6=3 r4c1=4 r5c1=5 r6c1=6 r2c2=7 r3c3=8",
            "r1c1=9",
        ),
    )
    fails = (
        Case(
            "row, column and box of r1c1 show seven digits",
            "r1c4=1 r1c5=2 r1c6=3 r4c1=4 r5c1=5 r6c1=6 r2c2=7",
            "r1c1=9",
        ),
    )

    def find(self, view: View, new: int) -> Iterator[Pattern]:
        """Cells of ``new`` with one digit left."""
        for cell in bits(view.touched_cells(new) & view.open):
            digits = view.candidates[cell]
            if digits and not digits & (digits - 1) and cell not in view.settled:
                yield naked_single(view, cell, digits.bit_length())


def naked_single(view: View, cell: int, digit: int) -> Pattern:
    """``cell`` can hold nothing but ``digit``."""
    others = (1 << view.geometry.size) - 1 & ~(1 << digit - 1)
    need = view.in_cell(cell, others)
    return Pattern(NAKED_SINGLE, "", (), 1 << cell, (digit,), need, settles=(cell, digit), price=NAKED_SINGLE)


class TakingStock:
    """A nearly full house is read at one look, and what it lacks is set against what the cell sees."""

    name = NAKED_SINGLE
    price = "taking stock"
    teaches = (
        "Take stock of a house that is nearly full: say what it still lacks. Then set those few digits against "
        "what one of its "
        "empty cells sees. The one that nothing forbids goes in."
    )
    holds = (
        Case(
            "row 1 lacks 8 and 9, and column 8 has an 8",
            "r1c1=1 r1c2=2 r1c3=3 r1c4=4 r1c5=5 r1c6=6 r1c7=7 r6c8=8",
            "r1c8=9",
        ),
    )
    fails = (
        Case(
            "row 1 lacks 8 and 9, and nothing is known of them",
            "r1c1=1 r1c2=2 r1c3=3 r1c4=4 r1c5=5 r1c6=6 r1c7=7",
            "r1c8=9",
        ),
    )

    def find(self, view: View, new: int) -> Iterator[Pattern]:
        """Cells with one digit left, once for each nearly full house they lie in."""
        for cell in bits(view.touched_cells(new) & view.open):
            digits = view.candidates[cell]
            if digits and not digits & (digits - 1) and cell not in view.settled:
                for house in view.geometry.houses_of[cell]:
                    pattern = taking_stock(view, house, cell, digits.bit_length())
                    if pattern:
                        yield pattern


def lacking(view: View, house: int) -> int:
    """The digits that ``house`` does not show on the page, as a mask."""
    lacks = (1 << view.geometry.size) - 1
    for cell in view.geometry.house_cells[house]:
        if view.digits[cell]:
            lacks &= ~(1 << view.digits[cell] - 1)
    return lacks


def taking_stock(view: View, house: int, cell: int, digit: int) -> Pattern | None:
    """``cell`` takes ``digit`` of the few that ``house`` lacks; None where the house is not nearly full."""
    lacks = lacking(view, house)
    if not 2 <= lacks.bit_count() <= STOCK_LIMIT:
        return None
    mask = view.geometry.house_masks[house]
    need = view.in_cell(cell, lacks & ~(1 << digit - 1))
    return Pattern(
        NAKED_SINGLE,
        "stock",
        (house,),
        1 << cell,
        (digit,),
        need,
        mask & view.filled,
        settles=(cell, digit),
        price="taking stock",
        stock=lacks.bit_count(),
    )
