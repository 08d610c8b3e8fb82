"""Edits of a plan made one by one: each does what it says, and nothing else moves."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import plan_edits
from inkstep.ground.errors import InputError
from inkstep.lesson import editing, pausing
from inkstep.lesson.parts import Part, Pause, Plan, Segment
from inkstep.lesson.placing import floats
from inkstep.lesson.plan import read_plan, write_plan
from inkstep.lesson.planning import make_plan
from inkstep.lesson.prints import edited, is_own
from inkstep.press.running_order import running_order
from inkstep.review.findings import Review
from plan_edits import base, edit_sheet, reviewed


def anew(plan: Plan, review: Review | None = None) -> Plan:
    """The plan made anew with its cut and its pauses kept, as the desk does after every edit."""
    return make_plan(review or base(), replace(plan, steady=True)).plan


@cache
def fresh() -> Plan:
    return anew(make_plan(base()).plan)


def cut(plan: Plan) -> list[tuple[int, int]]:
    return [(each.first or 0, each.last or 0) for each in plan.segments if not floats(each) and each.first]


def asked(plan: Plan) -> list[int]:
    return [pause.before for pause in plan.pauses if pause.shown]


def long_one(plan: Plan) -> Segment:
    """A segment of four strokes or more."""
    return next(each for each in plan.segments if each.first and each.last and each.last >= each.first + 3)


# One edit at a time


def test_a_steady_plan_is_that_of_the_program_until_something_is_edited() -> None:
    plain = make_plan(base()).plan
    assert replace(fresh(), steady=False) == plain
    assert "steady" not in write_plan(plain)
    assert read_plan(write_plan(fresh())) == fresh()


@pytest.mark.parametrize("stroke", [10, 30, 41, 55, 70, 90])
def test_a_pause_more_moves_no_other_and_cuts_only_where_it_stands(stroke: int) -> None:
    made, name = pausing.add_pause(fresh(), stroke)
    plan = anew(made)
    assert asked(plan) == sorted([*asked(fresh()), stroke])
    pause = editing.pause_of(plan, name)
    assert pause.question and pause.hints and pause.answer and pause.rest_ms and is_own(pause)
    torn = [span for span in cut(fresh()) if span not in cut(plan)]
    assert len(torn) <= 1 and all(first <= stroke <= last for first, last in torn)
    entry = next(entry for entry in running_order(plan, base()) if entry.pause and entry.pause.id == name)
    assert entry.segment and entry.segment.first == stroke and entry.page == stroke - 1


def test_without_a_steady_plan_the_program_chooses_its_pauses_anew() -> None:
    """The reason for steady plans: the program's own choice keeps a number of pauses, and drops one for one added."""
    made, _ = pausing.add_pause(make_plan(base()).plan, 30)
    assert len(asked(make_plan(base(), made).plan)) == len(asked(fresh()))
    assert len(asked(anew(made))) == len(asked(fresh())) + 1


def test_a_pause_moved_asks_for_the_other_stroke_in_the_programs_words() -> None:
    pause = fresh().pauses[1]
    plan = anew(pausing.shift(fresh(), pause.id, 30))
    moved = editing.pause_of(plan, pause.id)
    assert moved.before == 30 and moved.question != pause.question and "before" in edited(moved)
    assert asked(plan) == sorted([*(n for n in asked(fresh()) if n != pause.before), 30])
    left = next(each for each in plan.segments if each.first == pause.before)
    assert left.kind is Part.STROKES and not edited(left)


def test_a_pause_moved_with_words_of_the_teachers_keeps_them() -> None:
    pause = fresh().pauses[0]
    plan = anew(editing.write(fresh(), pause, question="Which digit, and why?", hints=("a", "b")))
    plan = anew(pausing.shift(plan, pause.id, 32))
    moved = editing.pause_of(plan, pause.id)
    assert (moved.question, moved.hints) == ("Which digit, and why?", ("a", "b"))


def test_a_pause_dropped_and_brought_back() -> None:
    pause = fresh().pauses[2]
    plan = anew(editing.write(fresh(), pause, shown=False))
    assert pause.before not in asked(plan) and cut(plan) == cut(fresh())
    again, name = pausing.add_pause(plan, pause.before)
    assert name == pause.id and anew(again) == fresh()
    assert anew(editing.leave(plan, editing.pause_of(plan, pause.id), "shown")) == fresh()


def test_only_what_is_the_teachers_own_is_taken_away() -> None:
    made, name = pausing.add_pause(fresh(), 30)
    plan = anew(made)
    assert asked(anew(pausing.remove(plan, editing.pause_of(plan, name)))) == asked(fresh())
    for item in (fresh().pauses[0], fresh().segments[3]):
        with pytest.raises(InputError, match="your own"):
            pausing.remove(fresh(), item)


def test_a_segment_split_and_joined_is_what_it_was() -> None:
    whole = long_one(fresh())
    assert whole.first and whole.last
    plan = anew(editing.split(fresh(), whole.id, whole.first + 2))
    parts = [each for each in plan.segments if each not in fresh().segments and each.first and each.last]
    assert cut(plan).count((whole.first, whole.first + 1)) == 1 == cut(plan).count((whole.first + 2, whole.last))
    assert all(part.narration and not edited(part) for part in parts if part.first in (whole.first, whole.first + 2))
    assert anew(editing.join(plan, whole.id)) == fresh()


def test_a_split_leaves_the_teachers_words_with_the_first_part_and_a_join_keeps_them() -> None:
    whole = long_one(fresh())
    assert whole.first
    plan = anew(editing.write(fresh(), whole, narration="Mine.", headline="My headline"))
    plan = anew(editing.split(plan, whole.id, whole.first + 2))
    at = [each.id for each in plan.segments].index(whole.id)
    one, two = plan.segments[at : at + 2]
    assert (one.narration, one.headline) == ("Mine.", "My headline") and two.narration
    joined = editing.segment_of(anew(editing.join(plan, whole.id)), whole.id)
    assert joined.narration == f"Mine.\n\n{two.narration}" and joined.headline == "My headline"


def test_what_cannot_be_split_or_joined_is_refused() -> None:
    opening, first = fresh().segments[:2]
    before_pause = next(
        each for each, then in zip(fresh().segments, fresh().segments[1:], strict=False) if then.kind is Part.PAUSE
    )
    for edit in (
        lambda: editing.split(fresh(), opening.id, 1),
        lambda: editing.split(fresh(), first.id, first.first or 1),
        lambda: editing.split(fresh(), first.id, (first.last or 1) + 1),
        lambda: editing.join(fresh(), opening.id),
        lambda: editing.join(fresh(), before_pause.id),
        lambda: editing.join(fresh(), fresh().segments[-1].id),
        lambda: editing.segment_of(fresh(), "nothing of that name"),
        lambda: editing.leave(fresh(), first, "first"),
        lambda: editing.leave(fresh(), first, "colour"),
        lambda: pausing.add_pause(fresh(), 0),
        lambda: pausing.add_pause(fresh(), asked(fresh())[0]),
        lambda: pausing.shift(fresh(), fresh().pauses[0].id, asked(fresh())[1]),
        lambda: pausing.discard(fresh(), 0),
    ):
        with pytest.raises(InputError):
            edit()


def test_a_field_left_to_the_program_has_its_words_again() -> None:
    segment, pause = fresh().segments[4], fresh().pauses[0]
    plan = anew(editing.write(fresh(), segment, narration="Mine.", headline="Mine"))
    plan = anew(editing.write(plan, editing.pause_of(plan, pause.id), hints=("one hint",), rest_ms=1))
    for name in ("narration", "headline"):
        plan = anew(editing.leave(plan, editing.segment_of(plan, segment.id), name))
    for name in ("hints", "rest_ms"):
        plan = anew(editing.leave(plan, editing.pause_of(plan, pause.id), name))
    assert plan == fresh()
    titled = anew(replace(fresh(), title="Mine", words_per_minute=120))
    assert set(edited(titled)) == {"title", "words_per_minute"}
    assert anew(editing.leave(editing.leave(titled, titled, "title"), titled, "words_per_minute")).title == "Mine"
    assert anew(editing.leave(titled, titled, "title")).title == fresh().title


def test_the_planned_length_is_a_further_field_of_the_file() -> None:
    assert editing.planned_ms(fresh()) is None
    plan = read_plan(write_plan(anew(editing.plan_for(fresh(), 420_000))))
    assert editing.planned_ms(plan) == 420_000
    assert editing.plan_for(plan, None) == fresh()
    assert editing.planned_ms(replace(fresh(), other={"planned_ms": "seven"})) is None


def test_an_aside_goes_where_it_is_put_and_stays_there() -> None:
    behind = fresh().segments[7]
    made, name = editing.add_aside(fresh(), behind.id)
    plan = anew(editing.write(made, editing.segment_of(made, name), narration="By the way."))
    assert [each.id for each in plan.segments].index(name) == 8
    assert anew(pausing.remove(plan, editing.segment_of(plan, name))) == fresh()


def test_what_lost_its_place_is_placed_or_thrown_away() -> None:
    segment, pause = fresh().segments[2], fresh().pauses[-1]
    assert segment.first and segment.last
    plan = anew(editing.write(fresh(), segment, narration="Words to keep.", headline="Kept"))
    plan = anew(editing.write(plan, editing.pause_of(plan, pause.id), question="A question to keep?"))
    numbers = [pause.before, *range(segment.last, segment.first - 1, -1)]
    sheet = base().sheet
    for number in numbers:
        sheet = replace(sheet, strokes=sheet.strokes[: number - 1] + sheet.strokes[number:])
    review = reviewed(sheet)
    plan = anew(plan, review)
    assert len(plan.unplaced) == 2
    for text in ("A question to keep?", "Words to keep."):
        index = next(i for i, each in enumerate(plan.unplaced) if text in write_plan(replace(plan, unplaced=(each,))))
        assert anew(pausing.discard(plan, index), review).unplaced != plan.unplaced
        made, name = pausing.place(plan, index, 12)
        plan = anew(made, review)
        items: dict[str, Segment | Pause] = {each.id: each for each in (*plan.segments, *plan.pauses)}
        assert text in (getattr(items[name], "narration", ""), getattr(items[name], "question", ""))
    assert not plan.unplaced and 12 in asked(plan)


# Any edits, one after another

Edit = Callable[[Plan, int, int], Plan]


def _segment(plan: Plan, a: int) -> Segment:
    return plan.segments[a % len(plan.segments)]


def _pause(plan: Plan, a: int) -> Pause:
    return plan.pauses[a % len(plan.pauses)]


def _moved(plan: Plan, a: int, b: int) -> Plan:
    names = [*(each.id for each in plan.segments), None]
    return editing.move(plan, _segment(plan, a).id, names[b % len(names)])


def _split(plan: Plan, a: int, b: int) -> Plan:
    segment = _segment(plan, a)
    return editing.split(plan, segment.id, (segment.first or 0) + 1 + b % 3)


EDITS: dict[str, Edit] = {
    "narrate": lambda plan, a, b: editing.write(plan, _segment(plan, a), narration=f"Mine {b}."),
    "drop": lambda plan, a, b: editing.write(plan, _segment(plan, a), shown=b % 2 == 0),
    "leave": lambda plan, a, b: editing.leave(plan, _segment(plan, a), ("narration", "headline", "shown")[b % 3]),
    "move": _moved,
    "aside": lambda plan, a, b: editing.add_aside(plan, _segment(plan, a).id)[0],
    "split": _split,
    "join": lambda plan, a, b: editing.join(plan, _segment(plan, a).id),
    "ask": lambda plan, a, b: pausing.add_pause(plan, a % len(plan.strokes) + 1)[0],
    "shift": lambda plan, a, b: pausing.shift(plan, _pause(plan, a).id, b % len(plan.strokes) + 1),
    "hide": lambda plan, a, b: editing.write(plan, _pause(plan, a), shown=b % 2 == 0),
    "word": lambda plan, a, b: editing.write(plan, _pause(plan, a), question=f"What now {b}?"),
    "remove": lambda plan, a, b: pausing.remove(plan, _pause(plan, a) if b % 2 else _segment(plan, a)),
}
edits = st.lists(st.tuples(st.sampled_from(sorted(EDITS)), plan_edits.numbers, plan_edits.numbers), min_size=1, max_size=7)


def _done(plan: Plan, wanted: list[tuple[str, int, int]]) -> Plan:
    for name, a, b in wanted:
        try:
            changed = EDITS[name](plan, a, b)
        except InputError:
            continue
        plan = anew(changed)
        _check(plan, changed)
    return plan


def _check(plan: Plan, changed: Plan) -> None:
    """Made anew, the plan has the order, the cut and the pauses that the edit left, and tells every stroke once."""
    assert [each.id for each in plan.segments] == [each.id for each in changed.segments]
    assert [(each.first, each.last) for each in plan.segments] == [(each.first, each.last) for each in changed.segments]
    assert [(each.id, each.before, each.shown) for each in plan.pauses] == [
        (each.id, each.before, each.shown) for each in sorted(changed.pauses, key=lambda each: each.before)
    ]
    told = sorted(n for first, last in cut(plan) for n in range(first, last + 1))
    assert told == list(range(1, len(base().strokes) + 1))
    assert all(each.headline for each in plan.segments if not floats(each) and "headline" not in edited(each))
    assert anew(plan) == plan == read_plan(write_plan(plan))


@settings(max_examples=25, deadline=None)
@given(edits)
def test_any_edits_leave_the_rest_as_it_was(wanted: list[tuple[str, int, int]]) -> None:
    _done(fresh(), wanted)


@settings(max_examples=12, deadline=None)
@given(edits, plan_edits.sheet_edits)
def test_a_steady_plan_follows_a_changed_sheet(
    wanted: list[tuple[str, int, int]], changes: list[tuple[str, int, int]]
) -> None:
    plan = _done(fresh(), wanted)
    review = reviewed(edit_sheet(base().sheet, changes))
    after = anew(plan, review)
    told = {n for first, last in cut(after) for n in range(first, last + 1)}
    assert told == set(range(1, len(review.strokes) + 1))
    assert anew(after, review) == after
    words = write_plan(after)
    kept = [each for each in plan.segments if "narration" in edited(each) and each.narration]
    assert all(each.narration.splitlines()[0] in words for each in kept)
    assert all(edited(each.what) or is_own(each.what) or each.what.other or each.strokes for each in after.unplaced)
