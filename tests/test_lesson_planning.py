"""Making the plan anew: everything of the teacher's stays, and is found again where its strokes are."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from functools import cache

import pytest
from hypothesis import given, settings

import plan_edits
import solves
from inkstep.ground.errors import InputError
from inkstep.lesson.narration import solve_order
from inkstep.lesson.placing import floats
from inkstep.lesson.plan import Part, Pause, Plan, Segment, read_plan, write_plan
from inkstep.lesson.planning import Planned, make_plan
from inkstep.lesson.prints import edited, is_own, prints_of
from inkstep.review.findings import Review
from inkstep.review.reviewing import review_sheet
from inkstep.trace import editing
from inkstep.trace.sheet import Sheet
from plan_edits import Teacher, base, edit_plan, edit_sheet, reviewed


@cache
def fresh() -> Plan:
    """The plan of the whole solve, unedited."""
    return make_plan(base()).plan


def kept_texts(plan: Plan) -> str:
    """Every text of a plan as one, as the file has it."""
    return json.dumps(json.loads(write_plan(plan)), ensure_ascii=False)


def lost(plan: Plan, teacher: Teacher) -> list[str]:
    whole = kept_texts(plan)
    return [text for text in teacher.texts if json.dumps(text, ensure_ascii=False) not in whole]


def overwritten(plan: Plan, teacher: Teacher) -> set[str]:
    """Texts that a later edit of the same teacher replaced, so that nobody expects them."""
    whole = json.dumps(teacher.fields, ensure_ascii=False)
    return {text for text in teacher.texts if json.dumps(text, ensure_ascii=False) not in whole}


@settings(max_examples=10, deadline=None)
@given(plan_edits.plan_edits, plan_edits.sheet_edits, plan_edits.sheet_edits)
def test_nothing_the_teacher_wrote_is_ever_lost(
    edits: list[tuple[str, int, int]], changes: list[tuple[str, int, int]], more: list[tuple[str, int, int]]
) -> None:
    plan, teacher = edit_plan(fresh(), edits)
    sheet = edit_sheet(base().sheet, changes)
    gone = overwritten(plan, teacher)
    for each in (base().sheet, sheet, edit_sheet(sheet, more), base().sheet):
        planned = make_plan(reviewed(each), plan)
        plan = read_plan(write_plan(planned.plan))
        assert plan == planned.plan
        assert set(lost(plan, teacher)) <= gone
        assert len(planned.unplaced) == len(plan.unplaced)
        _check_dropped(plan, teacher)
        _check_whole(plan, reviewed(each))
        assert make_plan(reviewed(each), plan).plan == plan


def _check_dropped(plan: Plan, teacher: Teacher) -> None:
    """What was dropped stays dropped, wherever it is now."""
    items: list[Segment | Pause] = [*plan.segments, *plan.pauses, *(each.what for each in plan.unplaced)]
    for name in teacher.dropped:
        assert any(item.id == name and not item.shown for item in items), name


def _check_whole(plan: Plan, review: Review) -> None:
    """Every stroke is told by some segment, ids are unique, and numbers are those of the sheet."""
    told = {n for s in plan.segments if not floats(s) and s.first and s.last for n in range(s.first, s.last + 1)}
    assert told == set(range(1, len(review.strokes) + 1))
    for items in (plan.segments, plan.pauses):
        assert len({item.id for item in items}) == len(items)
    assert all(1 <= pause.before <= len(review.strokes) for pause in plan.pauses)
    assert len(plan.strokes) == len(review.strokes)


@settings(max_examples=10, deadline=None)
@given(plan_edits.plan_edits)
def test_without_a_change_of_the_sheet_every_edit_stays_where_it_was_made(edits: list[tuple[str, int, int]]) -> None:
    plan, _ = edit_plan(fresh(), edits)
    again = make_plan(base(), plan).plan
    touched = [segment.id for segment in plan.segments if is_own(segment) or edited(segment)]
    assert [segment.id for segment in again.segments if segment.id in touched] == touched
    for before in plan.segments:
        after = next((s for s in again.segments if s.id == before.id), None)
        for name in edited(before) if before.auto.get("id") else ():
            assert after is not None
            assert getattr(after, name) == getattr(before, name), name
    for pause in plan.pauses:
        after_pause = next((p for p in again.pauses if p.id == pause.id), None)
        for name in edited(pause) if pause.auto.get("id") else ():
            assert after_pause is not None
            assert getattr(after_pause, name) == getattr(pause, name), name


@settings(max_examples=10, deadline=None)
@given(plan_edits.plan_edits, plan_edits.sheet_edits)
def test_what_was_not_placed_comes_back_with_its_strokes(
    edits: list[tuple[str, int, int]], changes: list[tuple[str, int, int]]
) -> None:
    plan, teacher = edit_plan(fresh(), edits)
    away = make_plan(reviewed(edit_sheet(base().sheet, changes)), plan)
    back = make_plan(base(), away.plan)
    assert back.unplaced == ()
    assert set(lost(back.plan, teacher)) <= overwritten(plan, teacher)


def test_an_unedited_plan_is_made_anew_as_if_there_were_none() -> None:
    sheet = editing.remove(base().sheet, 20, 24)
    again = make_plan(reviewed(sheet), fresh())
    assert again.plan == make_plan(reviewed(sheet)).plan
    assert again.kept == again.unplaced == ()


# One edit of each kind through one change of each kind, on a true review


def edited_segment(plan: Plan, segment: Segment, **fields: object) -> Plan:
    return replace(plan, segments=tuple(replace(s, **fields) if s is segment else s for s in plan.segments))


def telling(plan: Plan, number: int) -> Segment:
    """The segment that tells stroke ``number``."""
    return next(s for s in plan.segments if not floats(s) and s.first and s.last and s.first <= number <= s.last)


@cache
def short() -> Sheet:
    return editing.trim(solves.solve(solves.DEMO), 1, 24)


@cache
def short_review() -> Review:
    return review_sheet(short())


CHANGES: dict[str, Callable[[Sheet], Sheet]] = {
    "a stroke inserted before": lambda sheet: editing.insert(sheet, 1, plan_edits._NEW[1]),
    "a stroke inserted within": lambda sheet: editing.insert(sheet, 15, plan_edits._NEW[1]),
    "a stroke moved": lambda sheet: editing.move(sheet, 2, 20),
    "a stroke removed": lambda sheet: editing.remove(sheet, 5),
    "times changed": lambda sheet: editing.shift(sheet, 4000, 10),
}


@pytest.mark.parametrize("change", CHANGES)
def test_an_edit_follows_its_strokes(change: str) -> None:
    plan = make_plan(short_review()).plan
    segment = telling(plan, 15)
    pause = plan.pauses[0]
    plan = edited_segment(plan, segment, narration="My own words.")
    plan = replace(plan, pauses=(replace(pause, question="My own question?"), *plan.pauses[1:]))
    sheet = CHANGES[change](short())
    planned = make_plan(review_sheet(sheet), plan)
    (mine,) = [s for s in planned.plan.segments if s.narration == "My own words."]
    assert mine.id == segment.id
    assert segment.first and mine.first
    assert sheet.strokes[mine.first - 1].cells == short().strokes[segment.first - 1].cells
    (asked,) = [p for p in planned.plan.pauses if p.question == "My own question?"]
    assert sheet.strokes[asked.before - 1].cells == short().strokes[pause.before - 1].cells
    assert asked.hints and asked.answer, "what the teacher left alone is the program's"
    assert planned.unplaced == ()
    assert any("narration" in line for line in planned.kept) and any("question" in line for line in planned.kept)


def test_what_has_no_place_is_reported_and_waits() -> None:
    plan = make_plan(base()).plan
    pause = plan.pauses[0]
    plan = replace(plan, pauses=(replace(pause, answer="My own answer."), *plan.pauses[1:]))
    planned = make_plan(reviewed(editing.remove(base().sheet, pause.before)), plan)
    assert len(planned.unplaced) == 1
    assert pause.id in planned.unplaced[0] and "not in the sheet any more" in planned.unplaced[0]
    (waiting,) = planned.plan.unplaced
    assert isinstance(waiting.what, Pause) and waiting.what.answer == "My own answer."
    assert "My own answer." not in [p.answer for p in planned.plan.pauses]
    back = make_plan(base(), planned.plan)
    assert "My own answer." in [p.answer for p in back.plan.pauses]


def test_a_dropped_segment_stays_dropped_and_told_by_nobody_else() -> None:
    segment = telling(fresh(), 40)
    plan = edited_segment(fresh(), segment, shown=False)
    again = make_plan(base(), plan)
    assert not next(s for s in again.plan.segments if s.id == segment.id).shown
    assert "dropped" in again.kept[0]
    assert sum(s.first <= 40 <= s.last for s in again.plan.segments if s.first and s.last) == 1


def test_a_dropped_pause_makes_room_for_no_other() -> None:
    plan = replace(fresh(), pauses=(replace(fresh().pauses[0], shown=False), *fresh().pauses[1:]))
    again = make_plan(base(), plan).plan
    assert [p.before for p in again.pauses] == [p.before for p in fresh().pauses]
    assert [p.shown for p in again.pauses] == [False] + [True] * (len(again.pauses) - 1)
    told = telling(again, fresh().pauses[0].before)
    assert told.kind is Part.STROKES, "its stroke is told like any other"


def test_a_moved_segment_follows_what_it_followed() -> None:
    segments = list(fresh().segments)
    moved = segments.pop(4)
    segments.insert(9, moved)
    plan = make_plan(base(), replace(fresh(), segments=tuple(segments))).plan
    assert [s.id for s in plan.segments] == [s.id for s in segments]
    changed = make_plan(reviewed(editing.insert(base().sheet, 2, plan_edits._NEW[1])), plan).plan
    order = [s.id for s in changed.segments]
    assert order.index(moved.id) == order.index(segments[8].id) + 1


def test_a_teachers_own_parts_are_filled_in_where_left_open() -> None:
    fields = json.loads(write_plan(fresh()))
    fields["segments"].insert(3, {"kind": "aside", "narration": "A word on pencils."})
    fields["pauses"].append({"before": 50})
    plan = make_plan(base(), read_plan(json.dumps(fields))).plan
    assert plan.segments[3].narration == "A word on pencils."
    mine = next(p for p in plan.pauses if p.before == 50)
    assert mine.question and mine.answer and len(mine.hints) in (0, 3)
    assert telling(plan, 50).first == 50
    again = make_plan(base(), plan).plan
    assert again == plan


def test_a_teachers_range_stays_the_teachers() -> None:
    segment = next(s for s in fresh().segments if s.kind is Part.STROKES and s.first and s.last and s.last > s.first)
    assert segment.last is not None
    plan = edited_segment(fresh(), segment, last=segment.last - 1)
    for _ in range(2):
        plan = make_plan(base(), plan).plan
        mine = next(s for s in plan.segments if s.id == segment.id)
        assert (mine.first, mine.last) == (segment.first, segment.last - 1)
        assert telling(plan, segment.last) is not mine


def test_ids_come_from_the_strokes_not_from_their_numbers() -> None:
    later = make_plan(reviewed(editing.insert(base().sheet, 1, plan_edits._NEW[1]))).plan
    shared = {s.id for s in later.segments} & {s.id for s in fresh().segments}
    assert len(shared) > len(fresh().segments) * 0.7
    assert {p.id for p in later.pauses} & {p.id for p in fresh().pauses}


def test_the_teachers_settings_stay() -> None:
    plan = replace(fresh(), title="My title", words_per_minute=120, audience="newcomer")
    planned = make_plan(base(), plan)
    assert (planned.plan.title, planned.plan.words_per_minute, planned.plan.audience) == ("My title", 120, "newcomer")
    assert planned.kept[0] == "plan: title, audience, words_per_minute"
    with pytest.raises(InputError, match="newcomer, club, contest"):
        make_plan(base(), replace(fresh(), audience="children"))


def test_the_programs_own_texts_have_prints() -> None:
    for item in (*fresh().segments, *fresh().pauses):
        assert item.auto == prints_of(item) and edited(item) == ()
    assert isinstance(make_plan(base()), Planned)


def test_segments_stand_in_the_order_of_the_solve() -> None:
    assert list(fresh().segments) == sorted(fresh().segments, key=solve_order)
    assert fresh().segments[0].kind is Part.OPENING and fresh().segments[-1].kind is Part.CLOSING


def test_a_text_keeps_the_kind_of_segment_that_it_was_written_for() -> None:
    pause = fresh().pauses[0]
    answering = telling(fresh(), pause.before)
    assert answering.kind is Part.PAUSE
    plan = edited_segment(fresh(), answering, narration="And so it went on.")
    plan = replace(plan, pauses=(replace(pause, shown=False), *plan.pauses[1:]))
    assert telling(make_plan(base(), plan).plan, pause.before).kind is Part.PAUSE, "the answer is still to be told before it"
    whole = next(s for s in fresh().segments if s.kind is Part.STROKES and s.first and s.first > 8)
    mine = Pause("mine", whole.first or 0, question="And here?", answer="So.")
    plan = edited_segment(fresh(), whole, narration="All of it in my words.")
    plan = make_plan(base(), replace(plan, pauses=(*plan.pauses, mine))).plan
    assert telling(plan, mine.before).kind is Part.STROKES
    unedited = make_plan(base(), replace(fresh(), pauses=(*fresh().pauses, mine))).plan
    assert telling(unedited, mine.before).kind is Part.PAUSE
