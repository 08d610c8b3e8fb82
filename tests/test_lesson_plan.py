"""The plan's file: nothing is lost on a round trip, and what cannot be read is said."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inkstep.ground.errors import InputError
from inkstep.lesson.keys import stroke_keys
from inkstep.lesson.plan import Part, Pause, Plan, Segment, Unplaced, read_plan, write_plan
from inkstep.lesson.prints import edited, is_own, print_of, prints_of
from inkstep.trace.grammar import read_action
from trace_sheets import strokes

texts = st.text(st.characters(exclude_categories=("Cs",)), max_size=20)
flat = st.none() | st.booleans() | st.integers(-9, 9) | texts
values = st.recursive(
    flat, lambda inner: st.lists(inner, max_size=3) | st.dictionaries(texts, inner, max_size=3), max_leaves=5
)
numbers = st.integers(1, 120)
PARTS = {"id", "kind", "first", "last", "headline", "narration", "shown", "auto", "before", "goal", "question", "hints"}
PARTS |= {"answer", "rest_ms", "record", "title", "audience", "words_per_minute", "segments", "pauses", "strokes"}
PARTS |= {"unplaced", "segment", "pause", "why"}
others = st.dictionaries(texts.filter(lambda name: name not in PARTS), values, max_size=2)
prints = st.dictionaries(texts, st.integers(0, 9) | texts, max_size=2)


@st.composite
def segments(draw: st.DrawFn, name: str) -> Segment:
    first = draw(st.none() | numbers)
    last = None if first is None else first + draw(st.integers(0, 5))
    kind, shown = draw(st.sampled_from(Part)), draw(st.booleans())
    return Segment(name, kind, first, last, draw(texts), draw(texts), shown, draw(prints), draw(others))


@st.composite
def pauses(draw: st.DrawFn, name: str) -> Pause:
    hints = tuple(draw(st.lists(texts, max_size=3)))
    return Pause(
        name, draw(numbers), draw(texts), draw(texts), hints, draw(texts), draw(st.integers(0, 10**6)),
        draw(st.booleans()), draw(prints), draw(others),
    )  # fmt: skip


@st.composite
def plans(draw: st.DrawFn) -> Plan:
    """Any plan that a file can hold."""
    names = draw(st.lists(texts.filter(bool), max_size=6, unique=True))
    half = len(names) // 2
    lost = draw(st.lists(st.sampled_from(("segment", "pause")), max_size=2))
    keys = st.lists(texts, max_size=2).map(tuple)
    unplaced = tuple(
        Unplaced(draw(segments("x") if each == "segment" else pauses("x")), draw(keys), draw(texts)) for each in lost
    )
    return Plan(
        draw(texts), draw(texts), draw(st.integers(40, 400)),
        tuple(draw(segments(name)) for name in names[:half]), tuple(draw(pauses(name)) for name in names[half:]),
        tuple(draw(st.lists(texts, max_size=4))), unplaced, draw(prints), draw(others),
    )  # fmt: skip


@settings(deadline=None, max_examples=60)
@given(plans())
def test_a_plan_is_read_as_it_was_written(plan: Plan) -> None:
    text = write_plan(plan)
    assert read_plan(text) == plan
    assert write_plan(read_plan(text)) == text


@settings(deadline=None)
@given(
    st.recursive(
        flat, lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.sampled_from(sorted(PARTS)), inner)
    )
)
def test_whatever_stands_in_the_file_only_our_own_errors_come_out(value: Any) -> None:
    fields = value if isinstance(value, dict) else {"segments": value, "pauses": value}
    for text in (json.dumps({**fields, "record": "inkstep-plan/1"}), json.dumps(value)):
        try:
            plan = read_plan(text)
        except InputError as fault:
            assert str(fault)
        else:
            assert read_plan(write_plan(plan)) == plan


@settings(deadline=None)
@given(st.text(max_size=60))
def test_noise_is_refused(text: str) -> None:
    with pytest.raises(InputError):
        read_plan(text, "solve.plan.json")


HEAD = '"record": "inkstep-plan/1", "title": "t", "audience": "club"'


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ('"segments": [{"kind": "song"}]', "segment 1, kind: expected one of opening, strokes, pause, aside, closing"),
        ('"segments": [{"first": 0}]', "segment 1, first: expected a whole number from 1"),
        ('"segments": [{"first": 5, "last": 3}]', "segment 1: expected first not after last, got 5 and 3"),
        ('"segments": [{"first": true}]', "got 'True'"),
        ('"segments": [{"id": "a"}, {"id": "a"}]', "segment 2: expected an id of its own, got 'a'; give the copy another"),
        ('"segments": [3]', "segment 1: expected an object"),
        ('"segments": {}', "segments: expected a list"),
        ('"pauses": [{"question": "?"}]', 'pause 1: expected the stroke it stands before, as "before": 12'),
        ('"pauses": [{"before": 3, "hints": "look"}]', "pause 1, hints: expected a list of texts"),
        ('"pauses": [{"before": 3, "shown": "no"}]', "pause 1, shown: expected true or false"),
        ('"words_per_minute": 3', "words_per_minute: expected a whole number from 40 to 400, got '3'"),
        ('"unplaced": [{}]', 'unplaced 1: expected a "segment" or a "pause"'),
        ('"segments": [{"narration": "\\ud800"}]', "whole characters"),
    ],
)
def test_what_is_wrong_is_said_with_its_place(fields: str, said: str) -> None:
    with pytest.raises(InputError) as caught:
        read_plan(f"{{{HEAD}, {fields}}}", "solve.plan.json")
    assert said in str(caught.value)
    assert "solve.plan.json" in str(caught.value)


def test_a_plan_of_another_kind_or_of_tomorrow_is_refused() -> None:
    for tag in ("inkstep-edition/1", "inkstep-plan/2", "inkstep-plan/0"):
        with pytest.raises(InputError):
            read_plan(json.dumps({"record": tag, "title": "t"}))


def test_a_teacher_need_write_only_what_matters() -> None:
    parts = '"segments": [{"narration": "By the way."}, {"first": 4}], "pauses": [{"before": 7}]'
    plan = read_plan(f"{{{HEAD}, {parts}}}")
    aside, strokes_segment = plan.segments
    assert (aside.id, aside.kind, aside.first) == ("own-1", Part.ASIDE, None)
    assert (strokes_segment.id, strokes_segment.kind, strokes_segment.last) == ("own-2", Part.STROKES, 4)
    assert plan.pauses[0].id == "own-1"
    assert "narration" in edited(aside) and "narration" not in edited(strokes_segment)
    assert is_own(aside) and is_own(plan.pauses[0])


def test_an_edit_is_known_by_comparison() -> None:
    segment = Segment("s", Part.STROKES, 1, 3, "A headline", "A text.")
    segment = Segment(**{**vars(segment), "auto": prints_of(segment)})
    assert edited(segment) == () and not is_own(segment)
    changed = Segment(**{**vars(segment), "narration": "Another text.", "last": 4})
    assert edited(changed) == ("last", "narration")
    copy = Segment(**{**vars(segment), "id": "s2"})
    assert is_own(copy)
    assert print_of("A text.") != print_of("Another text.")


@settings(deadline=None)
@given(st.lists(strokes(), max_size=12))
def test_keys_are_all_different_and_owe_nothing_to_number_or_time(found: list[Any]) -> None:
    keys = stroke_keys(found)
    assert len(set(keys)) == len(keys)
    assert stroke_keys([replace(each, at_ms=None) for each in found]) == keys
    assert stroke_keys(found[1:]) == keys[1:] or set(stroke_keys(found[1:])) <= set(keys)


def test_keys_can_be_read() -> None:
    lines = ("r5c7 = 8", "r5c12 : 7", "r4c7 r5c7 : 27", "note 369 above box 1", "strike r5c12 : 7")
    assert stroke_keys(map(read_action, (*lines, "strike note 369 above box 1"))) == (
        "r5c7=8",
        "r5c1+r5c2:7/box4",
        "r4c7+r5c7:27",
        "note/369@above/box1",
        "strike/r5c1+r5c2:7",
        "strike/369@above/box1",
    )
