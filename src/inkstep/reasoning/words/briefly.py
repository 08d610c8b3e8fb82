"""One step in one clause: for lists of reasons, and for hints that must not give the step away."""

from __future__ import annotations

from collections.abc import Callable

from inkstep.reasoning.argument import Argument, Step
from inkstep.reasoning.words.naming import Tongue, a, digits, number, the_digits
from inkstep.reasoning.words.outline import is_set, key_held, kind, lacks


def short_reason(argument: Argument) -> str:
    """The last step in one clause without a stop, for a list of reasons: "last place for the 8 in box 6".

    The most telling of the held steps is named behind it.
    """
    tongue, held = Tongue(argument.geometry), key_held(argument)
    text = _REASONS[kind(argument.last)](argument, argument.last, tongue)
    return f"{text}, with {_held(held, tongue)} held in mind" if held else text


def _held(step: Step, tongue: Tongue) -> str:
    if is_set(step):
        return f"the {step.technique.split()[-1]} {digits(step.digits)}"
    if kind(step) == "fish":
        return f"the {step.digits[0]}s of {tongue.houses(step.frame[: len(step.frame) // 2])}"
    if kind(step) == "wing":
        return f"a {step.digits[0]} in one of two cells"
    return f"the {step.digits[0]} of {tongue.house(step.frame[0])}" if step.frame else a(step.digits[0])


def _stock(argument: Argument, step: Step, tongue: Tongue) -> str:
    only = f"only the {step.digits[0]} fits"
    return f"{tongue.house(step.frame[0])} lacks {digits(lacks(argument, step))}, and {only}"


def _set(argument: Argument, step: Step, tongue: Tongue) -> str:
    count, house = number(len(step.cells)), tongue.house(step.frame[0])
    if kind(step) == "naked":
        return f"{count} cells of {house} can hold only {digits(step.digits)}"
    return f"{the_digits(step.digits)} of {house} have only {count} cells"


def _fish(argument: Argument, step: Step, tongue: Tongue) -> str:
    half = len(step.frame) // 2
    return f"the {step.digits[0]}s of {tongue.houses(step.frame[:half])} lie in {tongue.houses(step.frame[half:])} only"


def _wing(argument: Argument, step: Step, tongue: Tongue) -> str:
    return f"one of two cells is bound to be {step.digits[0]}"


def _scan(argument: Argument, step: Step, tongue: Tongue) -> str:
    if {f.digit for f in step.conclusions} <= set(step.digits):
        return f"looking around rules out {digits(step.digits)}"
    cells = "this cell" if len(step.cells) == 1 else f"these {number(len(step.cells))} cells"
    return f"only {digits(step.digits)} are left for {cells}"


_REASONS: dict[str, Callable[[Argument, Step, Tongue], str]] = {
    "last": lambda _, s, t: f"the one digit that {t.house(s.frame[0])} lacks",
    "place": lambda _, s, t: f"last place for the {s.digits[0]} in {t.house(s.frame[0])}",
    "cell": lambda _, s, t: "nothing else fits this cell",
    "stock": _stock,
    "locked": lambda _, s, t: f"the {s.digits[0]} of {t.house(s.frame[0])} keeps to {t.house(s.frame[1])}",
    "naked": _set,
    "hidden": _set,
    "fish": _fish,
    "wing": _wing,
    "hatch": lambda _, s, t: f"{number(len(s.cells))} places left for the {s.digits[0]} in {t.house(s.frame[0])}",
    "scan": _scan,
}


def held_fact(argument: Argument, step: Step, tongue: Tongue) -> str:
    """What an inner step says, as a clause that gives no cell away: for hints."""
    house = tongue.house(step.frame[0]) if step.frame else tongue.house(tongue.geometry.houses_of[step.cells[0]][2])
    if kind(step) == "locked":
        return f"the {step.digits[0]} of {house} can only be in {tongue.house(step.frame[1])}"
    if kind(step) == "naked":
        return f"{number(len(step.cells))} cells of {house} hold nothing but {digits(step.digits)}"
    if kind(step) == "hidden":
        return f"{the_digits(step.digits)} of {house} share {number(len(step.cells))} cells"
    if kind(step) == "fish":
        return _fish(argument, step, tongue)
    if kind(step) == "wing":
        return f"three cells of {tongue.houses(step.frame)} share {digits(sorted(step.digits))}"
    return f"the {step.digits[0]} of {house} can be placed first"
