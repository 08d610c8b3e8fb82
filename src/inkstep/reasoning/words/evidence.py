"""What a step had to close, and which digits, marks and earlier steps close it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from inkstep.grid.geometry import Geometry
from inkstep.reasoning.argument import Argument, Step
from inkstep.reasoning.position import Position

#: a digit that must be known not to stand in a cell: (cell, digit)
Need = tuple[int, int]

SINGLE = "hidden single"
LOCKED = ("locked candidates (pointing)", "locked candidates (claiming)")
FISH = ("x-wing", "swordfish")


@dataclass(frozen=True, slots=True)
class Look:
    """A digit on the page, and the house through which it closes what the step needs; None where one is not enough."""

    cell: int
    digit: int
    house: int | None


@dataclass(frozen=True, slots=True)
class Evidence:
    """The needs of one step, the looks that close some of them, and how many needs these looks close."""

    needs: tuple[Need, ...]
    looks: tuple[Look, ...]
    closed: int

    @property
    def rest(self) -> int:
        """How many needs are left to marks, houses taken stock of and earlier steps."""
        return len(self.needs) - self.closed


def evidence(argument: Argument, index: int, position: Position) -> Evidence:
    """The evidence of one step of ``argument``."""
    step = argument.steps[index]
    needs = needs_of(step, position)
    every = (_look(step, cell, position, needs) for cell in step.seen)
    # a digit that a house taken stock of shows anyway needs no word of its own
    looks = tuple(look for look in every if look.house is None or look.house not in step.stock)
    geometry = position.geometry
    closed = {need for need in needs for look in looks if look.digit == need[1] and geometry.peers[look.cell] >> need[0] & 1}
    return Evidence(needs, looks, len(closed))


def needs_of(step: Step, position: Position) -> tuple[Need, ...]:
    """What must be closed for the step to hold, in cell order; empty cells only."""
    if step.technique == "naked single":
        return _single_needs(step, position)
    if step.technique.startswith("naked"):
        return tuple((c, d) for c in step.cells for d in position.geometry.digits if d not in step.digits)
    if step.technique == "xy-wing":
        return _wing_needs(step, position)
    if step.technique == "scanning":
        return tuple((f.cell, f.digit) for f in step.conclusions if not position.digits[f.cell])
    return _place_needs(step, position)


def _single_needs(step: Step, position: Position) -> tuple[Need, ...]:
    digits: Iterable[int] = position.geometry.digits
    if step.manner == "stock":
        digits = lacking(position, step.frame[0])
    return tuple((step.cells[0], d) for d in digits if d not in step.digits)


def _place_needs(step: Step, position: Position) -> tuple[Need, ...]:
    """The cells outside the pattern that its digits must not have, in the houses it speaks of."""
    masks = position.geometry.house_masks
    covered = 0
    own = step.frame[:1]
    if step.technique in FISH:
        half = len(step.frame) // 2
        own = step.frame[:half]
        covered = sum(masks[h] for h in step.frame[half:])
    bodies = 0
    for house in own:
        bodies |= masks[house]
    outside = [
        c
        for c in range(position.geometry.cells)
        if bodies >> c & 1 and not covered >> c & 1 and not position.digits[c] and c not in step.cells
    ]
    return tuple((c, d) for c in outside for d in step.digits)


def _wing_needs(step: Step, position: Position) -> tuple[Need, ...]:
    return tuple(
        (cell, d) for cell, keeps in wing_cells(step, position).items() for d in position.geometry.digits if d not in keeps
    )


def wing_cells(step: Step, position: Position) -> dict[int, tuple[int, ...]]:
    """The pivot of a wing, then its two ends, each with the two digits it may hold."""
    shared, one, two = step.digits
    closed = closed_digits(step, position)
    pivot = next(c for c in step.cells if shared in closed[c])
    ends = sorted((c for c in step.cells if c != pivot), key=lambda c: one in closed[c])
    return {pivot: (one, two), ends[0]: tuple(sorted((one, shared))), ends[1]: tuple(sorted((two, shared)))}


def closed_digits(step: Step, position: Position) -> dict[int, set[int]]:
    """For each cell of the step the digits that its premises close there."""
    peers = position.geometry.peers
    closed: dict[int, set[int]] = {cell: set() for cell in step.cells}
    for fact in step.premises:
        for cell in step.cells:
            if fact.cell == cell if not fact.holds else peers[fact.cell] >> cell & 1:
                closed[cell].add(fact.digit)
    return closed


def _look(step: Step, cell: int, position: Position, needs: Sequence[Need]) -> Look:
    digit = position.digits[cell]
    return Look(cell, digit, _through(step, cell, [c for c, d in needs if d == digit], position.geometry))


def _through(step: Step, cell: int, closes: Sequence[int], geometry: Geometry) -> int | None:
    """The one house of the step's by which ``cell`` sees what it closes; the largest where the rest is another's."""
    masks = geometry.house_masks
    ways = [h for h in step.houses if masks[h] >> cell & 1 and any(masks[h] >> c & 1 for c in closes)]
    together = 0
    for house in ways:
        together |= masks[house]
    wanted = [c for c in closes if together >> c & 1]
    for house in ways:
        if all(masks[house] >> c & 1 for c in wanted):
            return house
    return None


def lacking(position: Position, house: int) -> tuple[int, ...]:
    """The digits that ``house`` does not show on the page."""
    shown = {position.digits[c] for c in position.geometry.house_cells[house]}
    return tuple(d for d in position.geometry.digits if d not in shown)


def empty_cells(position: Position, house: int) -> tuple[int, ...]:
    """The cells of ``house`` in which no digit stands."""
    return tuple(c for c in position.geometry.house_cells[house] if not position.digits[c])
