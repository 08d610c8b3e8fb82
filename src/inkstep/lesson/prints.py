"""Prints of what the program filled in, by which it knows a teacher's edit."""

from __future__ import annotations

import hashlib
from dataclasses import fields
from typing import Any

from inkstep.lesson.parts import Pause, Plan, Segment

Item = Plan | Segment | Pause

#: fields that are no single value of their own
_UNPRINTED = frozenset({"auto", "other", "segments", "pauses", "strokes", "unplaced", "steady"})


def printed_fields(kind: type[Item]) -> tuple[str, ...]:
    """The names of the fields that have a print."""
    return tuple(each.name for each in fields(kind) if each.name not in _UNPRINTED)


def print_of(value: object) -> Any:
    """What is kept of a value to know it again: a number itself, of a text the first twelve signs of its SHA-256.

    >>> print_of(37), print_of("")
    (37, 'e3b0c44298fc')
    """
    if value is None or isinstance(value, bool | int):
        return value
    text = "\n\n".join(map(str, value)) if isinstance(value, tuple) else str(value)
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()[:12]


def prints_of(item: Item) -> dict[str, Any]:
    """The prints of everything in ``item``, for one that the program has filled in."""
    return {name: print_of(getattr(item, name)) for name in printed_fields(type(item))}


def edited(item: Item) -> tuple[str, ...]:
    """The names of the fields that differ from what the program filled in, and of those that it never did."""
    return tuple(name for name in printed_fields(type(item)) if _differs(item, name))


def _differs(item: Item, name: str) -> bool:
    # 1 and True are equal and print alike, but a file may hold either
    value, known = print_of(getattr(item, name)), item.auto.get(name, _NEVER)
    return type(value) is not type(known) or bool(value != known)


_NEVER = object()


def is_own(item: Segment | Pause) -> bool:
    """Whether the teacher added it: it has no print of an id, or that of another (a copy)."""
    return bool(item.auto.get("id") != print_of(item.id))
