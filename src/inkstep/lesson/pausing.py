"""Edits of a plan's pauses, and of what found no place in it: a plan goes in, a plan comes out (see :mod:`.editing`)."""

from __future__ import annotations

from dataclasses import replace

from inkstep.ground.errors import InputError
from inkstep.lesson.editing import add_aside, own_id, pause_of, put, segment_of, split, write
from inkstep.lesson.parts import Part, Pause, Plan, Segment
from inkstep.lesson.placing import floats
from inkstep.lesson.prints import edited, is_own, print_of

#: fields of a pause that the program can fill in
_FILLED = ("goal", "question", "hints", "answer", "rest_ms", "shown")


def add_pause(plan: Plan, stroke: int) -> tuple[Plan, str]:
    """The plan with a pause before ``stroke``, its words left to the program, and the pause's id.

    One that was dropped there is shown again. The segment that tells the stroke is cut there.

    Raises:
        InputError: there is no such stroke, or a pause stands before it already.
    """
    there = _pause_before(plan, stroke)
    if there is not None:
        if there.shown:
            raise InputError("a stroke that no pause stands before", got=f"stroke {stroke}")
        return write(plan, there, shown=True), there.id
    pause = Pause(own_id(plan.pauses), stroke)
    pause = replace(pause, auto={name: print_of(getattr(pause, name)) for name in _FILLED})
    cut = _cut_before(_in_sheet(plan, stroke), stroke)
    return replace(cut, pauses=tuple(sorted((*plan.pauses, pause), key=lambda each: each.before))), pause.id


def shift(plan: Plan, name: str, stroke: int) -> Plan:
    """The plan with a pause moved before another stroke; the program's words in it become those of that stroke.

    Raises:
        InputError: there is no such stroke, or another pause stands before it.
    """
    pause = pause_of(plan, name)
    if pause.before == stroke:
        return plan
    if _pause_before(plan, stroke) is not None:
        raise InputError("a stroke that no other pause stands before", got=f"stroke {stroke}")
    plan = _cut_before(_unanswered(_in_sheet(plan, stroke), pause), stroke, alone=False)
    plan = write(plan, pause, before=stroke)
    return replace(plan, pauses=tuple(sorted(plan.pauses, key=lambda each: each.before)))


def remove(plan: Plan, item: Segment | Pause) -> Plan:
    """The plan without an item of the teacher's own.

    Raises:
        InputError: the program made it, and would make it again.
    """
    if not is_own(item):
        raise InputError("something of your own to take away", hint="what the program made can be dropped")
    return put(_unanswered(plan, item) if isinstance(item, Pause) else plan, item)


def _in_sheet(plan: Plan, stroke: int) -> Plan:
    if not 1 <= stroke <= len(plan.strokes):
        raise InputError(f"a stroke of the sheet, from 1 to {len(plan.strokes)}", got=str(stroke))
    return plan


def _pause_before(plan: Plan, stroke: int) -> Pause | None:
    return next((pause for pause in plan.pauses if pause.before == stroke), None)


def _teller(plan: Plan, stroke: int) -> Segment | None:
    """The segment that tells a stroke."""
    told = (each for each in plan.segments if not floats(each) and each.first and each.last)
    return next((each for each in told if (each.first or 0) <= stroke <= (each.last or 0)), None)


def _cut_before(plan: Plan, stroke: int, *, alone: bool = True) -> Plan:
    """The plan with a segment that begins at a stroke, and (``alone``) tells only that one where its words allow it."""
    teller = _teller(plan, stroke)
    if teller is not None and teller.first != stroke:
        plan = split(plan, teller.id, stroke)
        teller = _teller(plan, stroke)
    if alone and teller is not None and teller.last != stroke and "narration" not in edited(teller):
        plan = split(plan, teller.id, stroke + 1)
    return plan


def _unanswered(plan: Plan, pause: Pause) -> Plan:
    """The plan with the segment that answers a pause told as any other: the pause goes away."""
    teller = _teller(plan, pause.before)
    if teller is None or teller.kind is not Part.PAUSE or teller.first != pause.before:
        return plan
    prints = {"kind": print_of(Part.STROKES)} if "kind" in teller.auto else {}
    return put(plan, teller, replace(teller, kind=Part.STROKES, auto={**teller.auto, **prints}))


def place(plan: Plan, index: int, stroke: int) -> tuple[Plan, str]:
    """The plan with something unplaced put to use again, and its id: a pause before ``stroke``, a text as an aside behind
    the segment that tells it.

    Raises:
        InputError: there is nothing of that index, no such stroke, or a pause stands before it already.
    """
    what, rest = _taken_out(_in_sheet(plan, stroke), index)
    if isinstance(what, Pause):
        if _pause_before(plan, stroke) is not None:
            raise InputError("a stroke that no pause stands before", got=f"stroke {stroke}")
        what = replace(what, before=stroke)
        if what.id in {pause.id for pause in rest.pauses}:
            what = replace(what, id=own_id(rest.pauses))
        return _cut_before(replace(rest, pauses=(*rest.pauses, what)), stroke), what.id
    teller = _teller(rest, stroke)
    made, name = add_aside(rest, teller.id if teller else None)
    return write(made, segment_of(made, name), headline=what.headline, narration=what.narration, other=what.other), name


def discard(plan: Plan, index: int) -> Plan:
    """The plan without something that found no place.

    Raises:
        InputError: there is nothing of that index.
    """
    return _taken_out(plan, index)[1]


def _taken_out(plan: Plan, index: int) -> tuple[Segment | Pause, Plan]:
    if not 0 <= index < len(plan.unplaced):
        raise InputError("something that found no place", hint="the plan was changed meanwhile")
    return plan.unplaced[index].what, replace(plan, unplaced=plan.unplaced[:index] + plan.unplaced[index + 1 :])
