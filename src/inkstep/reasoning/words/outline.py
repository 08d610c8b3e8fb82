"""What an argument says of itself without a page: the digits a house lacks, the step that matters most."""

from __future__ import annotations

from zlib import crc32

from inkstep.reasoning.argument import Argument, Step
from inkstep.reasoning.words.evidence import FISH, LOCKED


def seed(argument: Argument) -> int:
    """A number that belongs to the argument's content: the same argument is always put in the same words."""
    last = argument.last
    return crc32(repr((argument.goal, last.technique, last.manner, last.frame, last.seen)).encode())


def kind(step: Step) -> str:
    """The family of a step: last, place, cell, stock, locked, naked, hidden, fish, wing, hatch or scan."""
    name = step.technique
    if name == "naked single":
        return "stock" if step.manner == "stock" else "cell"
    if name in LOCKED:
        return "locked"
    if name in FISH:
        return "fish"
    fixed = {
        "last digit in a house": "last",
        "hidden single": "place",
        "xy-wing": "wing",
        "cross-hatching": "hatch",
        "scanning": "scan",
    }
    return fixed.get(name) or name.split()[0]


def is_set(step: Step) -> bool:
    """Whether the step is a pair, a triple or a quad."""
    return kind(step) in ("naked", "hidden")


def lacks(argument: Argument, step: Step) -> tuple[int, ...]:
    """The digits that the step's own house does not show, as far as its premises say."""
    cells = set(argument.geometry.house_cells[step.frame[0]])
    unwritten = {fact for earlier in argument.steps for fact in earlier.conclusions}
    shown = {f.digit for f in step.premises if f.holds and f.cell in cells and f not in unwritten}
    return tuple(d for d in argument.geometry.digits if d not in shown)


def key_held(argument: Argument) -> Step | None:
    """The held step a person would tell of: a set before all else, then lines, then a digit."""
    order = ("naked", "hidden", "wing", "fish", "locked")
    inner = argument.steps[:-1]
    return min(inner, key=lambda s: order.index(kind(s)) if kind(s) in order else len(order), default=None)


def empty_removals(argument: Argument) -> set[int]:
    """The cells of the goal's removals that the last step concludes."""
    concluded = set(argument.last.conclusions)
    goal = {f.cell for f in argument.goal if not f.holds and f in concluded}
    return goal or {f.cell for f in concluded}
