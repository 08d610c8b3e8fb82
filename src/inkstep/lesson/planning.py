"""Making the plan of a lesson from a review, and making it anew with every edit of the teacher's kept."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import TypeVar

from inkstep.ground.errors import InputError, shown
from inkstep.lesson.keys import stroke_keys
from inkstep.lesson.narration import Told, told
from inkstep.lesson.parts import WORDS_PER_MINUTE, Part, Pause, Plan, Segment, Unplaced
from inkstep.lesson.pauses import choose, pause_before
from inkstep.lesson.placing import Edits, Kept, Sheets, edits_of, floats, ordered
from inkstep.lesson.prints import Item, edited, print_of, printed_fields, prints_of
from inkstep.lesson.scenes import Span, scenes
from inkstep.reasoning.effort import LIMITS
from inkstep.review.findings import Review

T = TypeVar("T", Plan, Segment, Pause)

#: numbers that follow the sheet, so that they never differ from the program's own
_NUMBERS = frozenset({"first", "last", "before"})
_OPENING, _CLOSING = "opening", "closing"


@dataclass(frozen=True)
class Planned:
    """A plan, with one line for everything of the teacher's that was kept, and for everything that found no place."""

    plan: Plan
    kept: tuple[str, ...] = ()
    unplaced: tuple[str, ...] = ()


def make_plan(review: Review, previous: Plan | None = None) -> Planned:
    """The plan of a lesson on ``review``; everything that the teacher edited in ``previous`` is kept.

    Raises:
        InputError: the plan names an audience that there is not.
    """
    frame = _frame(review, previous)
    keys = stroke_keys(review.sheet.strokes)
    sheets = Sheets(previous.strokes or keys if previous else keys, keys)
    edits = _with_free_ids(edits_of(previous, keys))
    pauses = _pauses(review, frame.audience, edits, keys)
    segments = _segments(review, edits, pauses, keys)
    texts = told(review, segments, pauses, frame.audience)
    segments = tuple(_filled(segment, texts, edits) for segment in segments)
    plan = replace(
        frame,
        segments=ordered(segments, previous, edits, sheets),
        pauses=pauses,
        strokes=keys,
        unplaced=edits.unplaced,
    )
    kept = [*_kept_of_frame(plan), *(str(each) for each in (*edits.segments, *edits.pauses) if each.is_teachers)]
    return Planned(plan, tuple(kept), tuple(map(_lost, edits.unplaced)))


def _frame(review: Review, previous: Plan | None) -> Plan:
    """The plan's own fields, without segments and pauses."""
    program = Plan(title=_title(review), audience=review.audience, words_per_minute=WORDS_PER_MINUTE)
    if previous is None:
        return replace(program, auto=prints_of(program))
    frame = _settled(replace(previous, segments=(), pauses=(), strokes=(), unplaced=()), program, edited(previous))
    if frame.audience not in LIMITS:
        expected = f"an audience, one of {', '.join(LIMITS)}"
        raise InputError(expected, where="the plan, audience", got=shown(frame.audience))
    return frame


def _title(review: Review) -> str:
    header = review.sheet.header
    return header.title or header.event or (f"How {header.solver} solved it" if header.solver else "A solve, told")


def _kept_of_frame(plan: Plan) -> list[str]:
    names = edited(plan)
    return [f"plan: {', '.join(names)}"] if names else []


def _settled(item: T, program: T, teachers: Collection[str], *, own: bool = False) -> T:
    """``item`` with the program's value in every field that is not the teacher's, and the prints of the program's.

    A number that the teacher chose has no print any more, since it follows the sheet from now on; nor has
    anything that is the teacher's own.
    """
    names = printed_fields(type(item))
    values = {name: getattr(item if name in teachers else program, name) for name in names}
    bare = {name for name in teachers if own or name in _NUMBERS}
    prints = {name: print_of(getattr(program, name)) for name in names if name not in bare}
    return replace(item, **values, auto=prints)


def _with_free_ids(edits: Edits) -> Edits:
    """The edits, where two have one id the later with another."""
    return replace(edits, segments=_freed(edits.segments), pauses=_freed(edits.pauses))


def _freed(kept: Iterable[Kept]) -> tuple[Kept, ...]:
    taken: set[str] = set()
    found = []
    for each in kept:
        name = _free(each.item.id, taken)
        taken.add(name)
        found.append(each if name == each.item.id else replace(each, item=replace(each.item, id=name)))
    return tuple(found)


def _free(name: str, taken: Collection[str]) -> str:
    number = 2
    found = name
    while found in taken:
        found = f"{name} ({number})"
        number += 1
    return found


def _pauses(review: Review, audience: str, edits: Edits, keys: Sequence[str]) -> tuple[Pause, ...]:
    """The teacher's pauses, those that the teacher's segments answer to, and the ones most worth it beside them."""
    kept = [_kept_pause(each, review) for each in edits.pauses]
    strokes = {pause.before for pause in kept}
    answered = {
        span.first
        for each in edits.segments
        if (span := each.span) and each.is_teachers and isinstance(each.item, Segment) and each.item.kind is Part.PAUSE
    }
    forced = sorted(number for number in answered - strokes if review.strokes[number - 1].argument)
    barred = {n for each in edits.segments if (span := each.span) for n in range(span.first, span.last + 1)}
    chosen = [*forced, *choose(review, audience, strokes | set(forced), barred)]
    taken = {pause.id for pause in kept}
    made = [pause_before(review.strokes[n - 1], _free(f"pause/{keys[n - 1]}", taken)) for n in chosen]
    return tuple(sorted([*kept, *made], key=lambda pause: pause.before))


def _kept_pause(kept: Kept, review: Review) -> Pause:
    """A teacher's pause; what the teacher left to the program is the program's new word."""
    item = kept.item
    if not isinstance(item, Pause):
        raise TypeError("a pause is wanted here")
    judged = review.strokes[item.before - 1]
    program = pause_before(judged, item.id)
    if judged.argument is None and item.question:
        # the stroke follows from nothing now: the program's older words are better than none
        program = replace(program, question=item.question, hints=item.hints, answer=item.answer)
    return _settled(item, program, kept.fields, own=kept.own)


def _segments(review: Review, edits: Edits, pauses: Sequence[Pause], keys: Sequence[str]) -> tuple[Segment, ...]:
    """The teacher's segments, and the program's for every stroke that these do not tell; texts are still to come."""
    kept = [each.item for each in edits.segments if isinstance(each.item, Segment)]
    taken = {segment.id for segment in kept}
    stops = {pause.before for pause in pauses if pause.shown}
    spans = scenes(review, [span for each in edits.segments if (span := each.span)], stops)
    found = [_with_kind(each, stops) for each in edits.segments]
    kinds = {segment.kind for segment in kept}
    found += [Segment(_free(str(p), taken), p) for p in (Part.OPENING, Part.CLOSING) if p not in kinds]
    for span in spans:
        name = _free(keys[span.first - 1], taken)
        taken.add(name)
        found.append(Segment(name, _kind(span, stops), span.first, span.last))
    return tuple(found)


def _kind(span: Span, stops: Collection[int]) -> Part:
    return Part.PAUSE if span.first in stops else Part.STROKES


def _with_kind(kept: Kept, stops: Collection[int]) -> Segment:
    """A teacher's segment; whether it answers a pause is settled anew unless its text was written for one or the other."""
    segment, span = kept.item, kept.span
    if not isinstance(segment, Segment):
        raise TypeError("a segment is wanted here")
    if span is None or kept.own or {"kind", "narration"} & set(kept.fields):
        return segment
    return replace(segment, kind=_kind(span, stops))


def _filled(segment: Segment, texts: dict[str, Told], edits: Edits) -> Segment:
    """The segment with the program's texts, save where the teacher's stand."""
    text = texts.get(segment.id)
    program = replace(segment, shown=True)
    if text:
        words = "".join(run.text for run in text.words)
        program = replace(program, headline=text.headline, narration=words)
    kept = next((each for each in edits.segments if each.item.id == segment.id), None)
    if kept is None:
        return replace(program, auto=prints_of(program))
    if floats(segment) or text is None:
        program = replace(program, headline="", narration="")
    # what was moved keeps its strokes, even should it come to stand in the order of the solve again
    teachers = {*kept.fields, *(("first", "last") if kept.moved else ())}
    return _settled(segment, program, teachers, own=kept.own)


def _lost(each: Unplaced) -> str:
    what = "pause" if isinstance(each.what, Pause) else "segment"
    return f"{what} {each.what.id}: {each.why}"


__all__ = ["Item", "Planned", "make_plan"]
