"""Edits of a plan, one by one, as a teacher makes them: a plan goes in, a plan comes out.

A plan that was edited is made anew by :func:`inkstep.lesson.planning.make_plan`, which fills in what an edit has left to
the program: a field whose print is that of its value. The cut and the pauses of an edited plan are meant to stay
(``steady``), so that a word changed here never moves a pause there.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import replace
from typing import Any, TypeVar

from inkstep.ground.errors import InputError, shown
from inkstep.lesson.parts import Part, Pause, Plan, Segment
from inkstep.lesson.placing import floats
from inkstep.lesson.prints import edited, print_of, printed_fields, prints_of

#: fields that name or number an item: nothing that could be left to the program
_FIXED = frozenset({"id", "kind", "first", "last", "before"})
#: the further field of a plan that holds how long the lesson should be, in milliseconds
PLANNED = "planned_ms"

T = TypeVar("T", Segment, Pause)


def segment_of(plan: Plan, name: str) -> Segment:
    """The segment of that id.

    Raises:
        InputError: there is none.
    """
    return _named(plan.segments, name, "segment")


def pause_of(plan: Plan, name: str) -> Pause:
    """The pause of that id.

    Raises:
        InputError: there is none.
    """
    return _named(plan.pauses, name, "pause")


def _named(items: Iterable[T], name: str, what: str) -> T:
    found = next((item for item in items if item.id == name), None)
    if found is None:
        raise InputError(f"a {what} that is in the plan", got=shown(name), hint="the plan was changed meanwhile")
    return found


# Texts and numbers


def write(plan: Plan, item: Segment | Pause, **fields: Any) -> Plan:
    """The plan with some fields of an item written by the teacher."""
    return put(plan, item, replace(item, **fields))


def leave(plan: Plan, item: Segment | Pause | Plan, name: str) -> Plan:
    """The plan with a field left to the program again.

    Raises:
        InputError: there is nothing of the program's that could stand in it.
    """
    no_text = isinstance(item, Segment) and floats(item) and name != "shown"
    if name in _FIXED or name not in printed_fields(type(item)) or no_text:
        raise InputError("a field that the program fills in", got=shown(name))
    auto = {**item.auto, name: print_of(getattr(item, name))}
    if isinstance(item, Plan):
        return replace(item, auto=auto)
    if name == "shown":
        return write(plan, item, shown=True, auto={**auto, name: True})
    return write(plan, item, auto=auto)


def planned_ms(plan: Plan) -> int | None:
    """How long the lesson should be, in milliseconds; None where nobody said."""
    found = plan.other.get(PLANNED)
    return found if type(found) is int and found > 0 else None


def plan_for(plan: Plan, length_ms: int | None) -> Plan:
    """The plan for a lesson of ``length_ms`` milliseconds, or (None) of any length."""
    others = {name: value for name, value in plan.other.items() if name != PLANNED}
    return replace(plan, other=others | ({PLANNED: length_ms} if length_ms else {}))


def put(plan: Plan, old: Segment | Pause, *new: Segment | Pause) -> Plan:
    """The plan with ``new``, of the same kind, in the place of one item."""
    if isinstance(old, Pause):
        pauses = [each for each in new if isinstance(each, Pause)]
        return replace(plan, pauses=_instead(plan.pauses, old.id, pauses))
    segments = [each for each in new if isinstance(each, Segment)]
    return replace(plan, segments=_instead(plan.segments, old.id, segments))


def _instead(items: Iterable[T], name: str, new: Iterable[T]) -> tuple[T, ...]:
    return tuple(each for item in items for each in (new if item.id == name else (item,)))


# Order, asides, the cut


def move(plan: Plan, name: str, before: str | None) -> Plan:
    """The plan with a segment moved in front of another, or (None) to the end.

    Raises:
        InputError: one of them is not in the plan.
    """
    segment = segment_of(plan, name)
    if before == name:
        return plan
    rest = [each for each in plan.segments if each.id != name]
    at = rest.index(segment_of(plan, before)) if before is not None else len(rest)
    return replace(plan, segments=(*rest[:at], segment, *rest[at:]))


def add_aside(plan: Plan, after: str | None) -> tuple[Plan, str]:
    """The plan with an empty aside behind a segment, or (None) in front of all, and the aside's id.

    Raises:
        InputError: there is no such segment.
    """
    at = plan.segments.index(segment_of(plan, after)) + 1 if after is not None else 0
    aside = Segment(own_id(plan.segments), Part.ASIDE)
    return replace(plan, segments=(*plan.segments[:at], aside, *plan.segments[at:])), aside.id


def split(plan: Plan, name: str, stroke: int) -> Plan:
    """The plan with a segment cut in two before ``stroke``. A teacher's words stay with the first part.

    Raises:
        InputError: the segment does not tell strokes on both sides of the cut.
    """
    whole = segment_of(plan, name)
    if floats(whole) or whole.first is None or whole.last is None or not whole.first < stroke <= whole.last:
        raise InputError("a stroke within the segment, not its first", got=f"stroke {stroke}")
    front = _recut(whole, whole.first, stroke - 1)
    for text in {"narration", "headline"} - set(edited(whole)):
        front = emptied(front, text)
    back = Segment(_free_key(plan, stroke), Part.STROKES, stroke, whole.last)
    return put(plan, whole, front, replace(back, auto=prints_of(back), shown=whole.shown))


def join(plan: Plan, name: str) -> Plan:
    """The plan with a segment and the one behind it made one. Words of a teacher's in either stay.

    Raises:
        InputError: the one behind does not go on where this one ends, a pause lies between, or only one is shown.
    """
    one = segment_of(plan, name)
    two = next(iter(plan.segments[plan.segments.index(one) + 1 :]), None)
    if two is None or floats(one) or floats(two) or one.last is None or two.first != one.last + 1:
        raise InputError("a segment that goes on where this one ends", hint="move the two together first")
    if any(pause.shown and pause.before == two.first for pause in plan.pauses):
        raise InputError("no pause between the two segments", hint="drop it or move it first")
    if one.shown != two.shown:
        raise InputError("two segments that are both shown, or both dropped")
    joined = _with_words_of(two, _recut(one, one.first or 1, two.last or two.first))
    return put(put(plan, two), one, replace(joined, other={**two.other, **one.other}))


def _with_words_of(two: Segment, one: Segment) -> Segment:
    """The first segment with the words of both where a teacher wrote either, else with none of the program's old ones."""
    if "narration" in (*edited(one), *edited(two)):
        one = replace(one, narration="\n\n".join(filter(None, (one.narration, two.narration))))
    else:
        one = emptied(one, "narration")
    if "headline" in edited(one):
        return one
    return replace(one, headline=two.headline) if "headline" in edited(two) else emptied(one, "headline")


def _recut(segment: Segment, first: int, last: int) -> Segment:
    """The segment with other strokes, as if the program had cut it so; what the teacher numbered has no print."""
    prints = {name: value for name, value in (("first", first), ("last", last)) if name in segment.auto}
    return replace(segment, first=first, last=last, auto={**segment.auto, **prints})


def emptied(item: Segment, name: str) -> Segment:
    """The segment with its headline or narration to be filled in by the program."""
    texts: dict[str, Any] = {name: "", "auto": {**item.auto, name: print_of("")}}
    return replace(item, **texts)


def own_id(items: Collection[Segment | Pause]) -> str:
    taken = {item.id for item in items}
    return next(name for number in range(1, len(taken) + 2) if (name := f"own-{number}") not in taken)


def _free_key(plan: Plan, stroke: int) -> str:
    """The name of a segment that begins with a stroke: that stroke's key, as the program would name it."""
    key, taken = plan.strokes[stroke - 1], {segment.id for segment in plan.segments}
    names = (key, *(f"{key} ({number})" for number in range(2, len(taken) + 3)))
    return next(name for name in names if name not in taken)
