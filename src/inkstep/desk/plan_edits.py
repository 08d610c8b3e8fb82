"""Edits of a plan as the page asks for them: fields of a request in, a plan out."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from inkstep.archive.logs import ClashError
from inkstep.desk.answers import whole, words
from inkstep.desk.plan_book import Edited
from inkstep.ground.errors import InputError
from inkstep.lesson import editing, pausing
from inkstep.lesson.parts import Pause, Plan, Segment
from inkstep.reasoning.effort import LIMITS

Asked = dict[str, Any]

#: milliseconds: no rest is longer, no lesson either; hints of one pause; characters of one text
_LONGEST_REST, _LONGEST, _MOST_HINTS, _MOST_SIGNS = 600_000, 36_000_000, 12, 20_000
#: words a minute that a person can read aloud at all, as the plan's file has it
_SLOWEST, _FASTEST = 40, 400


def edit_of(asked: Asked) -> Callable[[Plan], Edited]:
    """The edit that a request asks for.

    Raises:
        InputError: there is no such edit.
    """
    kind = words(asked.get("edit"), "edit", 20)
    if kind not in _EDITS:
        raise InputError(f"an edit, one of {', '.join((*_EDITS, 'undo', 'redo'))}", got=kind)
    return lambda plan: _EDITS[kind](asked, plan)


def _item(asked: Asked, plan: Plan) -> Segment | Pause:
    if "pause" in asked:
        return editing.pause_of(plan, words(asked["pause"], "a pause", 2000))
    return editing.segment_of(plan, words(asked.get("segment"), "a segment", 2000))


def _called(item: Segment | Pause) -> str:
    """An item in a few words, for what is taken back."""
    if isinstance(item, Pause):
        return f"the pause before stroke {item.before}"
    name = item.headline or item.narration
    short = name if len(name) <= 40 else f"{name[:39].rstrip()}…"
    return f"“{short}”" if name else "an aside"


# Texts and numbers


def _write(asked: Asked, plan: Plan) -> Edited:
    """One field of a segment, of a pause, or (neither is named) of the plan."""
    field = words(asked.get("field"), "a field", 40)
    is_plans = "segment" not in asked and "pause" not in asked
    item = None if is_plans else _item(asked, plan)
    readers = _FRAME if item is None else _OF_PAUSE if isinstance(item, Pause) else _OF_SEGMENT
    if field not in readers:
        raise InputError(f"a field that can be written, one of {', '.join(readers)}", got=field)
    now, was = (readers[field](asked.get(name)) for name in ("now", "was"))
    stands = _stands(plan if item is None else item, field)
    if was != stands and now != stands:
        raise ClashError(_shown(was), _shown(stands), _shown(now))
    what = _NAMES.get(field, f"the {field}")
    if item is not None:
        return Edited(editing.write(plan, item, **{field: now}), f"{what} of {_called(item)}")
    if field == editing.PLANNED:
        return Edited(editing.plan_for(plan, now), what)
    changed: Any = {field: now}
    return Edited(replace(plan, **changed), what)


def _stands(item: Segment | Pause | Plan, field: str) -> Any:
    return editing.planned_ms(item) if isinstance(item, Plan) and field == editing.PLANNED else getattr(item, field)


def _shown(value: Any) -> str:
    return "\n".join(value) if isinstance(value, tuple) else "" if value is None else str(value)


def _text(value: object) -> str:
    # half a character, as JSON can hold it, cannot be kept
    return words(value, "a text", _MOST_SIGNS).replace("\r\n", "\n").encode("utf-8", "replace").decode()


def _line(value: object) -> str:
    return _text(value).replace("\n", " ")


def _hints(value: object) -> tuple[str, ...]:
    if not isinstance(value, list) or len(value) > _MOST_HINTS:
        raise InputError(f"a list of at most {_MOST_HINTS} hints")
    return tuple(map(_line, value))


def _audience(value: object) -> str:
    if value not in LIMITS:
        raise InputError(f"an audience, one of {', '.join(LIMITS)}", got=repr(value)[:40])
    return str(value)


def _pace(value: object) -> int:
    return whole(value, "words a minute", least=_SLOWEST, most=_FASTEST)


def _length(value: object) -> int | None:
    return None if value is None else whole(value, "a length", least=1, most=_LONGEST)


def _rest(value: object) -> int:
    return whole(value, "a rest", most=_LONGEST_REST)


_Reader = Callable[[object], Any]
_FRAME: dict[str, _Reader] = {
    "title": _line,
    "audience": _audience,
    "words_per_minute": _pace,
    editing.PLANNED: _length,
}
_OF_SEGMENT: dict[str, _Reader] = {"headline": _line, "narration": _text}
_OF_PAUSE: dict[str, _Reader] = {"question": _text, "hints": _hints, "answer": _text, "rest_ms": _rest}
_NAMES = {
    "words_per_minute": "the pace",
    editing.PLANNED: "the planned length",
    "rest_ms": "the rest",
}


def _leave(asked: Asked, plan: Plan) -> Edited:
    """A field as the program says it."""
    field = words(asked.get("field"), "a field", 40)
    item: Segment | Pause | Plan = _item(asked, plan) if {"segment", "pause"} & asked.keys() else plan
    of = "" if isinstance(item, Plan) else f" of {_called(item)}"
    return Edited(editing.leave(plan, item, field), f"back to the program: {_NAMES.get(field, f'the {field}')}{of}")


def _show(asked: Asked, plan: Plan) -> Edited:
    item, shown = _item(asked, plan), asked.get("shown") is True
    what = f"{'bring back' if shown else 'drop'} {_called(item)}"
    return Edited(editing.leave(plan, item, "shown") if shown else editing.write(plan, item, shown=False), what)


def _remove(asked: Asked, plan: Plan) -> Edited:
    item = _item(asked, plan)
    return Edited(pausing.remove(plan, item), f"take away {_called(item)}")


# Order and cut


def _move(asked: Asked, plan: Plan) -> Edited:
    segment = editing.segment_of(plan, words(asked.get("segment"), "a segment", 2000))
    before = None if asked.get("before") is None else words(asked["before"], "a segment", 2000)
    return Edited(editing.move(plan, segment.id, before), f"move {_called(segment)}")


def _aside(asked: Asked, plan: Plan) -> Edited:
    after = None if asked.get("after") is None else words(asked["after"], "a segment", 2000)
    made, name = editing.add_aside(plan, after)
    return Edited(made, "a new aside", name)


def _split(asked: Asked, plan: Plan) -> Edited:
    segment = editing.segment_of(plan, words(asked.get("segment"), "a segment", 2000))
    return Edited(editing.split(plan, segment.id, _stroke(asked)), f"split {_called(segment)}")


def _join(asked: Asked, plan: Plan) -> Edited:
    segment = editing.segment_of(plan, words(asked.get("segment"), "a segment", 2000))
    return Edited(editing.join(plan, segment.id), f"join {_called(segment)} with the next")


def _ask(asked: Asked, plan: Plan) -> Edited:
    made, name = pausing.add_pause(plan, _stroke(asked))
    return Edited(made, f"a pause before stroke {_stroke(asked)}", name)


def _shift(asked: Asked, plan: Plan) -> Edited:
    pause = editing.pause_of(plan, words(asked.get("pause"), "a pause", 2000))
    return Edited(pausing.shift(plan, pause.id, _stroke(asked)), f"move {_called(pause)}")


def _place(asked: Asked, plan: Plan) -> Edited:
    index = _unplaced(asked, plan)
    made, name = pausing.place(plan, index, _stroke(asked))
    return Edited(made, "place what had no place", name)


def _discard(asked: Asked, plan: Plan) -> Edited:
    return Edited(pausing.discard(plan, _unplaced(asked, plan)), "throw away what had no place")


def _unplaced(asked: Asked, plan: Plan) -> int:
    """The index of something unplaced; ``was`` is its id, lest another has moved there."""
    index = whole(asked.get("index"), "an index")
    if index >= len(plan.unplaced) or plan.unplaced[index].what.id != asked.get("was"):
        raise InputError("something that found no place", hint="the plan was changed meanwhile")
    return index


def _anew(_asked: Asked, plan: Plan) -> Edited:
    return Edited(plan, "cut and pauses as the program has them", anew=True)


def _stroke(asked: Asked) -> int:
    return whole(asked.get("stroke"), "a stroke", least=1)


_EDITS: dict[str, Callable[[Asked, Plan], Edited]] = {
    "write": _write,
    "leave": _leave,
    "show": _show,
    "remove": _remove,
    "move": _move,
    "aside": _aside,
    "split": _split,
    "join": _join,
    "pause": _ask,
    "shift": _shift,
    "place": _place,
    "discard": _discard,
    "anew": _anew,
}
