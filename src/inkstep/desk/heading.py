"""The head of a sheet edited at the desk: its title, source, solver, the moment of the clock's start, and the rest."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from inkstep.archive.logs import ClashError, Whole
from inkstep.desk.answers import whole, words
from inkstep.desk.tracks import Track
from inkstep.grid.reading import read_puzzle
from inkstep.ground.errors import InputError
from inkstep.trace.sheet import KEYS, Audience, Header

#: the fields of a head that are plain text
TEXTS = tuple(field for field in KEYS.values() if field not in ("givens", "clock_start_ms", "audience"))


def head_json(header: Header) -> dict[str, Any]:
    """The head as plain data: texts, ``puzzle`` (81 characters), ``clock_start_ms`` or null, ``audience`` or empty."""
    found: dict[str, Any] = {field: getattr(header, field) for field in TEXTS}
    return {
        "puzzle": header.puzzle,
        **found,
        "clock_start_ms": header.clock_start_ms,
        "audience": str(header.audience or ""),
    }


def head_edit(asked: dict[str, Any], track: Track) -> Whole:
    """The edit that a request asks for: ``now`` holds the fields to change, ``was`` what the page had shown of them.

    Raises:
        ClashError: one of them was changed meanwhile.
        InputError: a field is unknown, or cannot be what it says.
    """
    now, was = asked.get("now"), asked.get("was")
    if not isinstance(now, dict) or not isinstance(was, dict) or not now:
        raise InputError("fields of the head, now and as they were")
    header = track.log.sheet.header
    shown = head_json(header)
    for name, value in now.items():
        if name not in shown:
            raise InputError(f"a field of the head, one of {', '.join(shown)}", got=name)
        if name in was and was[name] != shown[name]:
            raise ClashError(f"{name}: {was[name]}", f"{name}: {shown[name]}", f"{name}: {value}")
    changed = replace(header, **dict(_read(name, value) for name, value in now.items()))
    if changed.givens != header.givens and track.log.ids:
        raise InputError("the puzzle to stay, once strokes stand on it", hint="begin a new solve for another puzzle")
    return Whole(replace(track.log.sheet, header=changed), track.log.revision, f"change {_listed(list(now))}")


def _read(name: str, value: object) -> tuple[str, Any]:
    if name == "puzzle":
        return "givens", read_puzzle(words(value, "the puzzle")).givens
    if name == "clock_start_ms":
        return name, None if value is None else whole(value, "the clock's start")
    if name == "audience":
        if value not in ("", *Audience):
            raise InputError(f"an audience, one of {', '.join(Audience)}", got=repr(value)[:40])
        return name, Audience(str(value)) if value else None
    return name, " ".join(words(value, name, 2000).split())


def _listed(names: list[str]) -> str:
    readable = [name.removesuffix("_ms").replace("_", " ") for name in names]
    return "the " + ", ".join(readable)
