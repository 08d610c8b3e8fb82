"""The phrases that may follow a stroke's digits: its house, where the ink lies, what it replaces."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, replace

from inkstep.grid.geometry import CLASSIC
from inkstep.ground.errors import InputError, shown
from inkstep.trace.strokes import Where

_HOUSE = r"(row|col(?:umn)?|box)\s*([0-9]+)"
_END = r"(?!\w)"


@dataclass(frozen=True, slots=True)
class Phrases:
    """What the phrases of one line say."""

    house: int | None = None
    where: Where = Where.CELL
    anchor: int | None = None
    replaces: int | None = None
    over: bool = False


_Say = Callable[[Phrases, re.Match[str]], Phrases]


def house_name(house: int | None) -> str:
    """``box 4``; the empty text for None."""
    return "" if house is None else CLASSIC.house_name(house)


def _house(kind: str, number: str) -> int:
    name = f"{'column' if kind.lower().startswith('col') else kind.lower()} {number}"
    return CLASSIC.house(name)


def _say_house(said: Phrases, match: re.Match[str]) -> Phrases:
    return replace(said, house=_house(match[1], match[2]))


def _say_border(said: Phrases, match: re.Match[str]) -> Phrases:
    return replace(said, where=Where.BORDER)


def _say_inside(said: Phrases, match: re.Match[str]) -> Phrases:
    return replace(said, where=Where.CELL)


def _say_outside(said: Phrases, match: re.Match[str]) -> Phrases:
    anchor = _house(match[2], match[3]) if match[2] else None
    return replace(said, where=Where(match[1].lower()), anchor=anchor)


def _say_replaces(said: Phrases, match: re.Match[str]) -> Phrases:
    return replace(said, replaces=int(match[1]))


def _say_over(said: Phrases, match: re.Match[str]) -> Phrases:
    return replace(said, over=True)


def _phrase(pattern: str) -> re.Pattern[str]:
    return re.compile(rf"[\s,]*(?:{pattern}){_END}", re.IGNORECASE | re.ASCII)


#: each phrase: its kind, its pattern, and what it says
_PHRASES = (
    ("house", _phrase(rf"in\s+{_HOUSE}"), _say_house),
    ("place", _phrase(r"(?:across|on)\s+(?:the\s+)?border"), _say_border),
    ("place", _phrase(r"inside|in\s+each\s+cell"), _say_inside),
    ("place", _phrase(rf"(above|below|left|right)(?:\s+of)?(?:\s+{_HOUSE})?"), _say_outside),
    ("replaces", _phrase(r"(?:replaces|instead\s+of)\s+([1-9])"), _say_replaces),
    ("over", _phrase(r"over(?:\s+(?:the\s+|a\s+)?marks?)?"), _say_over),
)
_EXAMPLES = {
    "house": "in box 4",
    "place": "across the border, or above box 1",
    "replaces": "replaces 3",
    "over": "over",
}


def read_phrases(text: str, *kinds: str) -> Phrases:
    """What the phrases in ``text`` say; each of ``kinds`` may come once, in any order.

    Raises:
        InputError: something else stands there, a kind comes twice, or a house is none of the grid.
    """
    said, at, seen = Phrases(), 0, set[str]()
    text = text.rstrip(" \t,")
    while at < len(text):
        kind, match, say = _next(text, at)
        if kind not in kinds or kind in seen or match is None:
            examples = [_EXAMPLES[name] for name in kinds if name not in seen]
            expected = ", or ".join(examples) or "nothing more"
            raise InputError(f"{expected} after the digits", got=shown(text[at:].strip()))
        said, at = say(said, match), match.end()
        seen.add(kind)
    return said


def _next(text: str, at: int) -> tuple[str, re.Match[str] | None, _Say]:
    for kind, pattern, say in _PHRASES:
        match = pattern.match(text, at)
        if match:
            return kind, match, say
    return "", None, _say_over
