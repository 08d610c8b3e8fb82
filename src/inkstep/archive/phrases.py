"""The phrases of a search that are conditions: techniques, facts held, waits, digits left lying, marks, states, puzzles."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from inkstep.archive.describing import canonical_form
from inkstep.grid.reading import read_puzzle
from inkstep.ground.errors import InputError
from inkstep.reasoning.techniques import CATALOGUE

STATES = ("logging", "reviewed", "planned", "published")


@dataclass(frozen=True)
class Happened:
    """Something of a kind and name happened, of a value over ``over`` where that is given."""

    kind: str
    name: str = ""
    over: float | None = None


@dataclass(frozen=True)
class Is:
    """A column of the solves (``state``, ``hardest``, ``canonical``) is a text."""

    column: str
    text: str


@dataclass(frozen=True)
class Bound:
    """A column of the solves (``effort``, ``strokes``, ``length_ms``) is over a number, or under it."""

    column: str
    over: bool
    number: float


Condition = Happened | Is | Bound
#: the condition that a phrase says, and what it is in words; None where it says none after all
_Read = Callable[[re.Match[str]], tuple[Condition, str] | None]


@dataclass(frozen=True)
class Phrase:
    """A phrase by its pattern, and the condition that it says."""

    pattern: re.Pattern[str]
    read: _Read


def _phrase(pattern: str, read: _Read) -> Phrase:
    return Phrase(re.compile(rf"{pattern}(?!\w)", re.IGNORECASE), read)


#: milliseconds of a unit
_UNITS: Mapping[str, int] = MappingProxyType(
    {"ms": 1, "s": 1000, "sec": 1000, "second": 1000, "min": 60_000, "minute": 60_000, "h": 3_600_000, "hour": 3_600_000}
)


def _plain(written: str) -> str:
    return re.sub(r"[-\s]+", "", written.lower())


#: techniques by their names without blanks and dashes, so that ``X wing`` is ``x-wing``
_NAMES = {_plain(technique.name): technique.name for technique in CATALOGUE}
_SPELLINGS = (re.escape(name).replace(r"\-", r"[-\s]?").replace(r"\ ", r"[-\s]+") for name in _NAMES.values())

_OVER = r"(?:for\s+)?(?P<side>(?:more|longer)\s+than|over|above|>)\s*"
_UNDER = r"(?P<side>(?:more|longer)\s+than|over|above|>|(?:less|shorter)\s+than|under|below|<)\s*"
_NUMBER = r"(?P<number>[0-9]{1,9}(?:[.,][0-9]{1,3})?)"
_LENGTH = rf"{_NUMBER}(?:\s*(?P<unit>{'|'.join(sorted(_UNITS, key=len, reverse=True))})s?)?"
_TECHNIQUE = rf"(?:an?\s+)?(?P<technique>{'|'.join(sorted(_SPELLINGS, key=len, reverse=True))})(?:e?s)?"

#: what became of a mark, or what the review said of it when it was made
_MARKS = {
    "false": Happened("mark", "false"),
    "unused": Happened("mark", "never used"),
    "stale": Happened("mark", "stale"),
    "wide": Happened("verdict", "wider than it need be"),
}


def _technique(match: re.Match[str]) -> str:
    return _NAMES.get(_plain(match["technique"])) or _NAMES[_plain(match["technique"].removesuffix("s"))]


def _ms(match: re.Match[str]) -> float:
    unit = (match["unit"] or "s").lower()
    return float(match["number"].replace(",", ".")) * _UNITS[unit]


def _span(ms: float) -> str:
    return f"{ms / 60_000:g} min" if ms >= 60_000 and ms % 60_000 == 0 else f"{ms / 1000:g} s"


def _a(name: str) -> str:
    """The article before a name, as it is spoken: an x-wing."""
    return "an" if name[0] in "aeioux" else "a"


def _held(match: re.Match[str]) -> tuple[Condition, str]:
    name = _technique(match)
    return Happened("held", name), f"{_a(name)} {name} held, not written"


def _hardest(match: re.Match[str]) -> tuple[Condition, str]:
    name = _technique(match)
    return Is("hardest", name), f"the hardest technique: {name}"


def _needed(match: re.Match[str]) -> tuple[Condition, str]:
    name = _technique(match)
    return Happened("technique", name), f"{_a(name)} {name} needed"


def _wait(match: re.Match[str]) -> tuple[Condition, str]:
    return Happened("wait", over=_ms(match)), f"a wait of more than {_span(_ms(match))}"


def _lying(match: re.Match[str]) -> tuple[Condition, str]:
    return Happened("lying", over=_ms(match)), f"a digit left lying for more than {_span(_ms(match))}"


def _mark(match: re.Match[str]) -> tuple[Condition, str]:
    fate = match["fate"].lower()
    return _MARKS[fate], f"{_a(fate)} {fate} mark"


def _state(match: re.Match[str]) -> tuple[Condition, str]:
    state = match["state"].lower()
    return Is("state", state), f"state: {state}"


def _side(match: re.Match[str]) -> bool:
    return match["side"].lower().split()[0] in ("more", "longer", "over", "above", ">")


def _bound(match: re.Match[str]) -> tuple[Condition, str]:
    column, over, number = match["column"].lower(), _side(match), float(match["number"].replace(",", "."))
    return Bound(column, over, number), f"{column} {'over' if over else 'under'} {number:g}"


def _length(match: re.Match[str]) -> tuple[Condition, str]:
    over = _side(match)
    return Bound("length_ms", over, _ms(match)), f"length {'over' if over else 'under'} {_span(_ms(match))}"


def _puzzle(match: re.Match[str]) -> tuple[Condition, str] | None:
    try:
        form = canonical_form(read_puzzle(match[0]).givens)
    except InputError:
        return None
    return (Is("canonical", form), "this puzzle, moved or renamed as it may be") if form else None


def _says(condition: Condition, said: str) -> _Read:
    return lambda _match: (condition, said)


_WAS_HELD = r"(?:(?:is|was|were)\s+)?held"
_LEFT_LYING = r"(?:(?:digits?\s+)?left\s+lying|lay\s+open)"

#: what begins like a condition on a number, and names none
UNCLEAR = re.compile(
    rf"(?:waits?|{_LEFT_LYING}|effort|length|strokes)\s+{_UNDER}\S*(?:\s+(?:{'|'.join(_UNITS)})s?)?(?!\S)", re.IGNORECASE
)

#: what is looked for at a place, the first that fits is taken
PHRASES: tuple[Phrase, ...] = (
    _phrase(r"[0-9.]{81}", _puzzle),
    _phrase(rf"held\s+{_TECHNIQUE}", _held),
    _phrase(rf"{_TECHNIQUE}\s+{_WAS_HELD}", _held),
    _phrase(rf"hardest\s*:?\s*{_TECHNIQUE}", _hardest),
    _phrase(_TECHNIQUE, _needed),
    _phrase(rf"(?:an?\s+)?waits?\s+(?:of\s+)?{_OVER}{_LENGTH}", _wait),
    _phrase(rf"{_LEFT_LYING}\s+{_OVER}{_LENGTH}", _lying),
    _phrase(rf"{_LEFT_LYING}(?!\s+{_UNDER})", _says(Happened("lying"), "a digit left lying")),
    _phrase(r"(?:an?\s+)?(?P<fate>false|unused|stale|wide)\s+marks?", _mark),
    _phrase(r"(?:a\s+)?slips?\s+put\s+right", _says(Happened("verdict", "correction"), "a slip put right")),
    _phrase(rf"state\s*:?\s*(?P<state>{'|'.join(STATES)})", _state),
    _phrase(rf"(?P<column>effort|strokes)\s+{_UNDER}{_NUMBER}(?:\s*looks)?", _bound),
    _phrase(rf"length\s+{_UNDER}{_LENGTH}", _length),
)
