"""What is to be argued for: a digit, removals, or what a mark claims."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from inkstep.grid.geometry import CLASSIC, Geometry
from inkstep.ground.errors import InputError, shown
from inkstep.reasoning.facts import Fact, is_digit, is_not


class Shape(StrEnum):
    """The kinds of goals."""

    DIGIT = "digit"
    REMOVAL = "removal"
    CELL = "cell"  #: the cell holds one of these digits
    PLACES = "places"  #: the digit's places in the house are these cells
    SET = "set"  #: these cells hold exactly these digits


@dataclass(frozen=True, slots=True)
class Goal:
    """``facts`` to be argued for, and what they say together."""

    shape: Shape
    facts: tuple[Fact, ...]
    cells: tuple[int, ...]
    digits: tuple[int, ...]
    house: int | None = None

    def text(self, geometry: Geometry = CLASSIC) -> str:
        """The goal's facts in the notation of goals."""
        return ",".join(fact.text(geometry) for fact in self.facts)


def digit_goal(cell: int, digit: int) -> Goal:
    """``cell`` is ``digit``."""
    return Goal(Shape.DIGIT, (is_digit(cell, digit),), (cell,), (digit,))


def removal_goal(*facts: Fact) -> Goal:
    """Each of ``facts``, all removals."""
    return Goal(
        Shape.REMOVAL,
        tuple(sorted(facts)),
        tuple(sorted({f.cell for f in facts})),
        tuple(sorted({f.digit for f in facts})),
    )


def cell_goal(cell: int, digits: tuple[int, ...], geometry: Geometry = CLASSIC) -> Goal:
    """``cell`` holds one of ``digits``."""
    facts = tuple(is_not(cell, d) for d in geometry.digits if d not in digits)
    return Goal(Shape.CELL, facts, (cell,), digits)


def places_goal(digit: int, cells: tuple[int, ...], house: int, geometry: Geometry = CLASSIC) -> Goal:
    """``digit`` of ``house`` is in one of ``cells``."""
    facts = tuple(is_not(c, digit) for c in geometry.house_cells[house] if c not in cells)
    return Goal(Shape.PLACES, facts, cells, (digit,), house)


def set_goal(cells: tuple[int, ...], digits: tuple[int, ...], geometry: Geometry = CLASSIC) -> Goal:
    """``cells`` hold exactly ``digits``, as many: none of the cells holds another digit."""
    facts = tuple(is_not(c, d) for c in cells for d in geometry.digits if d not in digits)
    return Goal(Shape.SET, facts, cells, digits)


def parse_goal(text: str, solution: tuple[int, ...] | None, geometry: Geometry = CLASSIC) -> Goal:
    """The goal written ``r2c3``, ``r2c3=5`` or ``r2c3!=4`` (several removals with commas).

    A bare cell means the digit that ``solution`` has there.

    Raises:
        InputError: the text has another form, or mixes digits and removals.
    """
    text = text.strip()
    if "=" not in text and "≠" not in text:
        cell = geometry.cell(text)
        if solution is None:
            raise InputError(
                "a goal with its digit, such as r2c3=5",
                got=shown(text),
                hint="this puzzle has no one solution",
            )
        return digit_goal(cell, solution[cell])
    facts = [Fact.parse(part, geometry) for part in text.split(",") if part.strip()]
    if len(facts) == 1 and facts[0].holds:
        return digit_goal(facts[0].cell, facts[0].digit)
    if not facts or any(fact.holds for fact in facts):
        raise InputError("one digit (r2c3=5) or removals (r2c3!=4,r2c5!=4)", got=shown(text))
    return removal_goal(*facts)
