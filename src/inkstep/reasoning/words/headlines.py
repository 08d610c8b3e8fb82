"""Headlines: what happened, told without a page."""

from __future__ import annotations

from collections.abc import Callable

from inkstep.reasoning.argument import Argument, Step
from inkstep.reasoning.words.naming import Tongue, a, digits, number, the_digits
from inkstep.reasoning.words.outline import is_set, key_held, kind, lacks, seed

Forms = tuple[str, ...]


def headline(argument: Argument, *, variety: int | None = None) -> str:
    """What happened, in under 60 characters; not what technique it was."""
    held, tongue = key_held(argument), Tongue(argument.geometry)
    last = argument.last
    forms = _held(argument, held, tongue) if held else _FORMS[kind(last)](argument, last, tongue)
    text = forms[(seed(argument) if variety is None else variety) % len(forms)]
    return text[:1].upper() + text[1:]


def _held(argument: Argument, held: Step, tongue: Tongue) -> Forms:
    digit, then = held.digits[0], _what_follows(argument, held)
    if is_set(held):
        noun = held.technique.split()[-1]
        return (
            f"the {noun} that was never written",
            f"a {noun} nobody wrote down",
            f"the {digits(held.digits)} that stayed off the page",
            f"a {noun} held in mind, and {then}",
        )
    if kind(held) == "locked":
        home, other = (tongue.house(h) for h in held.frame)
        return (
            f"the {digit} of {home} stays in {other}, unwritten",
            f"keeping the {digit} of {home} in mind",
            f"what {home} says about its {digit}",
            f"the {digit} of {home} held in mind, and {then}",
        )
    if kind(held) in ("fish", "wing"):
        return (
            f"the {digit}s held in mind, and {then}",
            f"what the {digit}s say together",
            f"what nobody marked about the {digit}s",
        )
    return (
        f"first {a(digit)} in mind, then {then}",
        f"an unwritten {digit}, and {then}",
        f"{a(digit)} in the head, and {then}",
    )


def _what_follows(argument: Argument, held: Step) -> str:
    if argument.last.conclusions[0].holds:
        digit = argument.last.digits[0]
        return "another follows" if held.digits == (digit,) else f"the {digit} follows"
    gone = sorted({f.digit for f in argument.goal})
    if len(gone) > 1:
        return f"{number(len(gone))} digits go"
    return "one more goes" if held.digits == tuple(gone) else f"the {gone[0]} goes"


def _last(argument: Argument, step: Step, tongue: Tongue) -> Forms:
    house, digit = tongue.house(step.frame[0]), step.digits[0]
    return (
        f"{house} closes with {a(digit)}",
        f"the last cell of {house}",
        f"{house} was one short",
        f"{house} is full but for its {digit}",
    )


def _place(argument: Argument, step: Step, tongue: Tongue) -> Forms:
    house, digit = tongue.house(step.frame[0]), step.digits[0]
    if step.notes:
        return (
            f"what was noted settles the {digit} of {house}",
            f"the notes leave the {digit} of {house} one cell",
            f"only one home for the {digit} in {house}",
        )
    if len(step.seen) == 1:
        return (
            f"the {digit} in {house} settles itself",
            f"one look settles the {digit} in {house}",
            f"one {digit} on the page decides {house}",
        )
    return (
        f"only one home for the {digit} in {house}",
        f"the {digit} of {house} has nowhere else to go",
        f"{house} has one cell left for its {digit}",
        f"{number(len(step.seen))} looks place the {digit} of {house}",
    )


def _cell(argument: Argument, step: Step, tongue: Tongue) -> Forms:
    at, digit = tongue.at(step.cells[0]), step.digits[0]
    return (f"nothing else fits {at}", f"every digit but the {digit} is ruled out", f"{at} can only be {a(digit)}")


def _stock(argument: Argument, step: Step, tongue: Tongue) -> Forms:
    house, digit = tongue.house(step.frame[0]), step.digits[0]
    count = number(len(lacks(argument, step)))
    return (
        f"{house} lacks {count} digits, and only the {digit} fits",
        f"{count} digits missing in {house}, one fits",
        f"taking stock of {house} gives the {digit}",
        f"what {house} lacks tells where the {digit} goes",
    )


def _locked(argument: Argument, step: Step, tongue: Tongue) -> Forms:
    home, other = (tongue.house(h) for h in step.frame)
    digit = step.digits[0]
    return (
        f"the {digit} of {home} keeps to {other}",
        f"{home} takes the {digit} of {other}",
        f"{other} owes its {digit} to {home}",
    )


def _naked(argument: Argument, step: Step, tongue: Tongue) -> Forms:
    count, house = number(len(step.cells)), tongue.house(step.frame[0])
    return (
        f"{the_digits(step.digits)} use up {count} cells",
        f"{count} cells of {house} share {count} digits",
        f"{count} cells of {house} take {count} digits",
    )


def _hidden(argument: Argument, step: Step, tongue: Tongue) -> Forms:
    count, house = number(len(step.cells)), tongue.house(step.frame[0])
    return (
        f"{count} cells kept for {digits(step.digits)}",
        f"{count} digits of {house} need {count} cells",
        f"{the_digits(step.digits)} claim {count} cells",
    )


def _fish(argument: Argument, step: Step, tongue: Tongue) -> Forms:
    half = len(step.frame) // 2
    lines, crossed = tongue.houses(step.frame[:half]), tongue.houses(step.frame[half:])
    digit = step.digits[0]
    return (
        f"{lines} agree on their {digit}s",
        f"the {digit}s of {lines} fill {crossed}",
        f"no more {digit}s for {crossed}",
    )


def _wing(argument: Argument, step: Step, tongue: Tongue) -> Forms:
    digit = step.digits[0]
    return (
        f"either way, the {digit} is out",
        f"one of two cells is {a(digit)}, whatever happens",
        f"two roads to the same {digit}",
    )


def _hatch(argument: Argument, step: Step, tongue: Tongue) -> Forms:
    house, digit, count = tongue.house(step.frame[0]), step.digits[0], number(len(step.cells))
    return (
        f"{count} places left for the {digit} of {house}",
        f"the {digit} of {house} is down to {count} cells",
        f"{house} narrows its {digit} to {count} cells",
    )


def _scan(argument: Argument, step: Step, tongue: Tongue) -> Forms:
    only = digits(step.digits)
    if {f.digit for f in step.conclusions} <= set(step.digits):
        gone = digits(step.digits, "or")
        return (f"no room for {gone} here", f"looking around rules out {only}", f"a look around, and {only} are out")
    where = f"{number(len(step.cells))} cells" if len(step.cells) > 1 else tongue.at(step.cells[0])
    return (
        f"{number(len(step.digits))} digits left for {where}",
        f"nothing but {only} for {where}",
        f"only {only} are left here",
    )


_FORMS: dict[str, Callable[[Argument, Step, Tongue], Forms]] = {
    "last": _last,
    "place": _place,
    "cell": _cell,
    "stock": _stock,
    "locked": _locked,
    "naked": _naked,
    "hidden": _hidden,
    "fish": _fish,
    "wing": _wing,
    "hatch": _hatch,
    "scan": _scan,
}
