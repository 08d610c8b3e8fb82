"""The plan's file: JSON that a teacher edits by hand. What this program does not know in it is kept."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from typing import Any, TypeVar

from inkstep.ground.errors import InputError, shown
from inkstep.ground.records import RecordKind
from inkstep.lesson.parts import WORDS_PER_MINUTE, Part, Pause, Plan, Segment, Unplaced
from inkstep.lesson.prints import print_of

__all__ = ["Part", "Pause", "Plan", "Segment", "Unplaced", "read_plan", "write_plan"]

_RECORD = RecordKind("inkstep-plan", 1, {})
#: words a minute that a person can read aloud at all
_SLOWEST, _FASTEST = 40, 400
#: strokes, and milliseconds: beyond this nothing can be meant
_MOST = 10**9

T = TypeVar("T")


def write_plan(plan: Plan) -> str:
    """The text of the plan's file, newest version, ending in a line feed."""
    return _RECORD.dump(
        {
            "title": plan.title,
            "audience": plan.audience,
            "words_per_minute": plan.words_per_minute,
            "segments": [_segment_fields(segment) for segment in plan.segments],
            "pauses": [_pause_fields(pause) for pause in plan.pauses],
            "unplaced": [_unplaced_fields(each) for each in plan.unplaced],
            **({"steady": True} if plan.steady else {}),
            **plan.other,
            "strokes": list(plan.strokes),
            "auto": dict(plan.auto),
        }
    )


def _segment_fields(segment: Segment) -> dict[str, Any]:
    span = {} if segment.first is None else {"first": segment.first, "last": segment.last}
    return {
        "id": segment.id,
        "kind": str(segment.kind),
        **span,
        "headline": segment.headline,
        "narration": segment.narration,
        "shown": segment.shown,
        **segment.other,
        "auto": dict(segment.auto),
    }


def _pause_fields(pause: Pause) -> dict[str, Any]:
    return {
        "id": pause.id,
        "before": pause.before,
        "goal": pause.goal,
        "question": pause.question,
        "hints": list(pause.hints),
        "answer": pause.answer,
        "rest_ms": pause.rest_ms,
        "shown": pause.shown,
        **pause.other,
        "auto": dict(pause.auto),
    }


def _unplaced_fields(each: Unplaced) -> dict[str, Any]:
    is_pause = isinstance(each.what, Pause)
    what = _pause_fields(each.what) if isinstance(each.what, Pause) else _segment_fields(each.what)
    return {"pause" if is_pause else "segment": what, "strokes": list(each.strokes), "why": each.why, **each.other}


def read_plan(text: str, where: str = "") -> Plan:
    """The plan in ``text``; ``where`` (a file's name) opens the sentences of errors.

    A text that is missing is one for the program to fill in, an id that is missing is made up.

    Raises:
        InputError: the text is no plan, or a field of it cannot be what it says.
    """
    fields = _RECORD.load(text, where)
    _refuse_broken_text(fields, where)
    reader = _Reader(fields, where or "the plan")
    plan = Plan(
        title=reader.text("title"),
        audience=reader.text("audience"),
        words_per_minute=reader.number("words_per_minute", WORDS_PER_MINUTE, _SLOWEST, _FASTEST),
        segments=reader.each("segments", _segment),
        pauses=reader.each("pauses", _pause),
        strokes=reader.texts("strokes"),
        unplaced=reader.each("unplaced", _unplaced),
        steady=reader.has("steady") and reader.flag("steady"),
        auto=reader.auto(),
        other=reader.rest(),
    )
    return Plan(**{**vars(plan), "segments": _named(plan.segments, reader), "pauses": _named(plan.pauses, reader)})


def _refuse_broken_text(fields: Mapping[str, Any], where: str) -> None:
    """Half characters and endless nesting can be read from JSON, but not be written again."""
    try:
        json.dumps(fields, ensure_ascii=False).encode()
    except (UnicodeEncodeError, RecursionError) as fault:
        expected = "text of whole characters, and nothing nested without end"
        raise InputError(expected, where=where, got=shown(str(fault), 80)) from None


class _Reader:
    """One JSON object, read field by field; what was never asked for is the rest."""

    def __init__(self, fields: object, where: str) -> None:
        self.where = where
        if not isinstance(fields, dict):
            raise InputError("an object with fields in { }", where=where, got=shown(repr(fields)))
        self._fields = dict(fields)
        self._missing: dict[str, Any] = {}

    def _take(self, name: str, default: T, expected: str, fits: Callable[[Any], bool]) -> T:
        if name not in self._fields:
            # an empty print under a missing field: the program may fill it in
            self._missing[name] = print_of(tuple(default) if isinstance(default, list) else default)
            return default
        value: T = self._fields.pop(name)
        if not fits(value):
            raise InputError(expected, where=f"{self.where}, {name}", got=shown(repr(value)))
        return value

    def text(self, name: str) -> str:
        """A text, empty where it is missing."""
        return self._take(name, "", "a text in quotes", lambda value: isinstance(value, str))

    def texts(self, name: str) -> tuple[str, ...]:
        """A list of texts, empty where it is missing."""
        none: list[str] = []
        return tuple(self._take(name, none, "a list of texts in [ ]", _is_texts))

    def flag(self, name: str) -> bool:
        """True or false, true where it is missing."""
        return self._take(name, True, "true or false", lambda value: isinstance(value, bool))

    def number(self, name: str, default: int, least: int, most: int = _MOST) -> int:
        """A whole number in a range."""
        expected = f"a whole number from {least}" + (f" to {most}" if most < _MOST else "")
        return self._take(name, default, expected, lambda value: type(value) is int and least <= value <= most)

    def each(self, name: str, read: Callable[[_Reader], T]) -> tuple[T, ...]:
        """A list of objects."""
        none: list[Any] = []
        values = self._take(name, none, "a list in [ ]", lambda value: isinstance(value, list))
        self._missing.pop(name, None)
        where = f"{self.where}, {name.removesuffix('s')}"
        return tuple(read(_Reader(value, f"{where} {number}")) for number, value in enumerate(values, 1))

    def inner(self, name: str) -> _Reader:
        """A field that is an object of its own."""
        return _Reader(self._fields.pop(name), f"{self.where}, {name}")

    def has(self, name: str) -> bool:
        """Whether the field is there and was not asked for yet."""
        return name in self._fields

    def auto(self) -> dict[str, Any]:
        """The prints; what is no object of them counts as none."""
        prints = self._fields.pop("auto", None)
        known = prints if isinstance(prints, dict) else {}
        return {**known, **self._missing}

    def rest(self) -> dict[str, Any]:
        """The fields that nobody asked for."""
        return self._fields


def _is_texts(value: Any) -> bool:
    return isinstance(value, list) and all(isinstance(each, str) for each in value)


def _segment(reader: _Reader) -> Segment:
    first, last = _span(reader)
    kind = reader.text("kind") or (Part.ASIDE if first is None else Part.STROKES)
    if kind not in set(Part):
        raise InputError(f"one of {', '.join(Part)}", where=f"{reader.where}, kind", got=shown(kind))
    return Segment(
        id=_id(reader),
        kind=Part(kind),
        first=first,
        last=last,
        headline=reader.text("headline"),
        narration=reader.text("narration"),
        shown=reader.flag("shown"),
        auto=reader.auto(),
        other=reader.rest(),
    )


def _span(reader: _Reader) -> tuple[int | None, int | None]:
    """Strokes from first to last; where one is missing, both are the other."""
    names = [name for name in ("first", "last") if reader.has(name)]
    if not names:
        return None, None
    numbers = [reader.number(name, 1, 1) for name in names]
    if numbers[0] > numbers[-1]:
        raise InputError("first not after last", where=reader.where, got=f"{numbers[0]} and {numbers[-1]}")
    return numbers[0], numbers[-1]


def _pause(reader: _Reader) -> Pause:
    if not reader.has("before"):
        raise InputError('the stroke it stands before, as "before": 12', where=reader.where)
    return Pause(
        id=_id(reader),
        before=reader.number("before", 1, 1),
        goal=reader.text("goal"),
        question=reader.text("question"),
        hints=reader.texts("hints"),
        answer=reader.text("answer"),
        rest_ms=reader.number("rest_ms", 0, 0),
        shown=reader.flag("shown"),
        auto=reader.auto(),
        other=reader.rest(),
    )


def _id(reader: _Reader) -> str:
    return reader.text("id") if reader.has("id") else ""


def _unplaced(reader: _Reader) -> Unplaced:
    what: Segment | Pause
    if reader.has("pause"):
        what = _pause(reader.inner("pause"))
    elif reader.has("segment"):
        what = _segment(reader.inner("segment"))
    else:
        raise InputError('a "segment" or a "pause" that was not placed', where=reader.where)
    return Unplaced(what, reader.texts("strokes"), reader.text("why"), reader.rest())


def _named(items: tuple[T, ...], reader: _Reader) -> tuple[T, ...]:
    """The items, those without an id given one of their own.

    Raises:
        InputError: two have the same.
    """
    taken: set[str] = set()
    for number, item in enumerate(items, 1):
        name = vars(item)["id"]
        if name in taken:
            where = f"{reader.where}, {type(item).__name__.lower()} {number}"
            raise InputError("an id of its own", where=where, got=shown(name), hint="give the copy another id, or none")
        taken |= {name} - {""}
    free = (f"own-{number}" for number in range(1, len(items) * 2 + 2) if f"own-{number}" not in taken)
    return tuple(type(item)(**{**vars(item), "id": vars(item)["id"] or next(free)}) for item in items)
