"""How a recording is watched: what a page remembers of speed, picture, loop and place, for the next visit."""

from __future__ import annotations

import unicodedata
from collections.abc import Callable, Mapping
from math import isfinite
from typing import Any

from inkstep.desk.answers import words
from inkstep.ground.errors import InputError


def watched(kept: Mapping[str, Any], now: object) -> dict[str, Any]:
    """What is kept, with what a page says ``now``; a null lets a field go.

    Fields: ``speed``, ``at_ms`` (of the film, where it was left), ``loop`` (two times of the film, the second null while
    it is not set), ``zoom`` (``scale``, and ``x``, ``y``: the point of the picture in the middle, as shares), ``turn``
    (degrees), ``quiet`` (no sound), ``picked`` (``name`` and ``size`` of a file picked in the page), ``memory`` (no
    recording at all).

    Raises:
        InputError: a field is unknown, or not what it should be.
    """
    if not isinstance(now, dict):
        raise InputError("how the recording is watched")
    for name, value in now.items():
        if name not in _FIELDS:
            raise InputError(f"something of watching, one of {', '.join(_FIELDS)}", got=repr(name)[:40])
        if value is not None and not _FIELDS[name](value):
            raise InputError(f"what watching keeps as {name}", got=repr(value)[:80])
    return {name: value for name, value in {**kept, **now}.items() if value is not None}


def of_another(kept: Mapping[str, Any]) -> dict[str, Any]:
    """What stays of it for another recording: not what belongs to the picture and the moments of the old one."""
    return {name: value for name, value in kept.items() if name not in ("at_ms", "loop", "zoom", "turn")}


def _number(least: float, most: float) -> Callable[[Any], bool]:
    def fits(value: Any) -> bool:
        return type(value) in (int, float) and isfinite(value) and least <= value <= most

    return fits


def _fields(**parts: Callable[[Any], bool]) -> Callable[[Any], bool]:
    def fits(value: Any) -> bool:
        return isinstance(value, dict) and value.keys() == parts.keys() and all(parts[k](v) for k, v in value.items())

    return fits


def _flag(value: Any) -> bool:
    return isinstance(value, bool)


def _file_name(value: Any) -> bool:
    return plain_name(words(value, "a file's name", 500))


def plain_name(text: str) -> bool:
    """Whether a text can be a file's name that is kept and shown: no control signs, no halves of letters."""
    return not any(unicodedata.category(sign) in ("Cc", "Cs") for sign in text)


_share = _number(0, 1)
_time = _number(0, 10**12)


def _loop(value: Any) -> bool:
    return isinstance(value, list) and len(value) == 2 and _time(value[0]) and (value[1] is None or _time(value[1]))


def _quarter(value: Any) -> bool:
    return type(value) is int and value in (0, 90, 180, 270)


_FIELDS: dict[str, Callable[[Any], bool]] = {
    "speed": _number(0.05, 16),
    "at_ms": _time,
    "loop": _loop,
    "zoom": _fields(scale=_number(0.1, 100), x=_share, y=_share),
    "turn": _quarter,
    "quiet": _flag,
    "picked": _fields(name=_file_name, size=_time),
    "memory": _flag,
}
