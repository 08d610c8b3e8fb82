"""From plan to page and script: both follow the plan, in its order and in the teacher's words."""

from __future__ import annotations

import json
from dataclasses import replace
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import plan_edits
import solves
import trace_sheets
from inkstep.grid.geometry import CLASSIC
from inkstep.lesson.plan import Part, Plan, Segment
from inkstep.lesson.planning import make_plan
from inkstep.press.captions import cues, subrip, webvtt
from inkstep.press.chapters import chapters
from inkstep.press.drawing import Evidence, drawing_of_page
from inkstep.press.lesson_page import lesson_page
from inkstep.press.pointing import evidence_of
from inkstep.press.reading_aloud import telling_of
from inkstep.press.script import script
from inkstep.press.staging import story_of
from inkstep.press.still import still_svg
from inkstep.press.story import Scene, Story
from inkstep.press.telling import timed
from inkstep.reasoning.effort import LIMITS
from inkstep.review.findings import Review, Verdict
from inkstep.review.reviewing import review_sheet
from inkstep.trace.sheet import Sheet
from inkstep.trace.strokes import Kind, Stroke
from plan_edits import base, edit_plan, edit_sheet, reviewed


@cache
def plan() -> Plan:
    return make_plan(base()).plan


@cache
def story() -> Story:
    return story_of(plan(), base())


def words(scene: Scene) -> str:
    return "".join(run.text for run in scene.words)


def test_every_shown_segment_is_a_scene_and_every_pause_is_asked() -> None:
    assert [scene.id for scene in story().scenes] == [segment.id for segment in plan().segments]
    assert [scene.pause.question for scene in story().scenes if scene.pause] == [p.question for p in plan().pauses]
    assert [scene.headline for scene in story().scenes] == [segment.headline for segment in plan().segments]


def test_pages_go_forward_and_stop_before_what_is_asked() -> None:
    pages = [scene.page for scene in story().scenes]
    assert pages == sorted(pages)
    assert pages[0] == 0 and pages[-1] == len(base().strokes)
    asked = {pause.question: pause.before for pause in plan().pauses}
    for scene in story().scenes:
        if scene.pause:
            assert scene.page == asked[scene.pause.question] - 1


def test_a_closed_pause_gives_nothing_away() -> None:
    for scene in story().scenes:
        if scene.pause and scene.pause.expects:
            assert "after the last" not in scene.kicker and "digit" not in scene.kicker
            shown = scene.evidence
            assert shown == Evidence(houses=shown.houses, goal=shown.goal)
            if f"r{scene.pause.expects.cells[0]}" and shown.goal:
                assert str(scene.pause.expects.digit) not in scene.pause.question.split(" at ")[0].split(",")[0]


def test_a_pause_expects_what_the_solver_wrote() -> None:
    for item, scene in zip(plan().pauses, (s for s in story().scenes if s.pause), strict=True):
        assert scene.pause and scene.pause.expects
        stroke = base().strokes[item.before - 1].stroke
        assert (scene.pause.expects.cells, scene.pause.expects.digit) == (stroke.cells, stroke.digits[0])
        assert scene.pause.solver_ms == base().strokes[item.before - 1].wait_ms
        assert scene.pause.evidence.written == ((stroke.cells[0], stroke.digits[0]),) or stroke.kind is Kind.MARK
        assert "".join(run.text for run in scene.pause.answer)


def test_the_programs_words_come_with_their_roles_and_a_teachers_without() -> None:
    roles = {run.role for scene in story().scenes for run in scene.words}
    assert roles == {"", "seen", "held", "goal", "doubt"}
    segment = next(s for s in plan().segments if s.kind is Part.STROKES)
    mine = replace(plan(), segments=tuple(replace(s, narration="Mine.") if s is segment else s for s in plan().segments))
    scene = next(s for s in story_of(mine, base()).scenes if s.id == segment.id)
    assert [(run.text, run.role) for run in scene.words] == [("Mine.", "")]
    others = [s for s in story_of(mine, base()).scenes if s.id != segment.id]
    assert others == [s for s in story().scenes if s.id != segment.id]


def test_evidence_is_drawn_on_the_page_it_speaks_of() -> None:
    for scene in story().scenes:
        page = base().pages[scene.page]
        for cell, digit in scene.evidence.written:
            assert not page.digits[cell] and base().solution[cell] == digit
        for evidence in (scene.evidence, scene.pause.evidence if scene.pause else Evidence()):
            assert all(page.digits[cell] for cell in evidence.seen)
            assert all(CLASSIC.peers[one] >> two & 1 for one, two in evidence.reach)
            assert not any(page.digits[two] for _, two in evidence.reach)
            assert not any(page.digits[cell] for cell, _ in evidence.removed)
        still_svg(drawing_of_page(page, scene.evidence))


def test_evidence_reaches_every_cell_that_a_single_had_to_close() -> None:
    for judged in base().strokes:
        argument = judged.argument
        if argument is None or len(argument.steps) > 1 or argument.notes or argument.last.technique != "hidden single":
            continue
        evidence = evidence_of(argument, judged.position)
        house = CLASSIC.house_cells[argument.last.frame[0]]
        page = base().pages[judged.number - 1]
        still_open = {cell for cell in house if not page.digits[cell]} - set(evidence.goal)
        assert {target for _, target in evidence.reach} == still_open


def test_the_story_carries_the_solve() -> None:
    assert story().puzzle == base().sheet.header.puzzle
    assert len(story().strokes) == len(base().strokes)
    assert story().total and story().waits and story().findings and story().techniques
    assert len({technique.name for technique in story().techniques}) == len(story().techniques)
    used = {step.technique for s in base().strokes if s.argument for step in s.argument.steps}
    assert {technique.name for technique in story().techniques} - {"taking stock"} <= used
    assert all("r1c" not in stroke.label for stroke in story().strokes)


def test_a_presenters_remark_stands_beside_its_scene() -> None:
    strokes = [replace(s.stroke, comment="a lucky one") if s.number == 7 else s.stroke for s in base().strokes]
    review = reviewed(replace(base().sheet, strokes=tuple(strokes)))
    scenes = story_of(make_plan(review).plan, review).scenes
    assert [scene.id for scene in scenes if "a lucky one" in scene.asides] != []


# The script


def test_the_script_reads_what_the_plan_says_in_its_order() -> None:
    telling = telling_of(plan(), base())
    read = [passage.text for passage in telling.passages if passage.text]
    assert read == [segment.narration for segment in plan().segments if segment.narration]
    asked = [passage.pause for passage in telling.passages if passage.pause]
    assert [(p.question, p.answer, p.rest_ms) for p in asked] == [(p.question, p.answer, p.rest_ms) for p in plan().pauses]
    assert telling.clock_ms == base().sheet.header.clock_start_ms
    assert len({passage.id for passage in telling.passages}) == len(telling.passages)
    for passage in telling.passages:
        if passage.pause:
            assert passage.headline.startswith("Pause ") and passage.text == ""


def test_page_and_script_show_the_same_pages() -> None:
    pages = {scene.id: scene.page for scene in story().scenes}
    for passage in telling_of(plan(), base()).passages:
        if passage.id in pages and not any(p.before == pages[passage.id] + 1 for p in plan().pauses):
            assert passage.page == pages[passage.id]


@pytest.mark.parametrize("which", [2])
def test_other_solves_go_through_to_every_format(which: int) -> None:
    review = solves.review(which)
    made = make_plan(review).plan
    _press(made, review)
    chaptered = chapters(timed(telling_of(made, review), made.words_per_minute))
    assert chaptered.text and len(chaptered.chapters) > 8


def _press(made: Plan, review: Review) -> str:
    """Everything an edition holds, as one text."""
    telling = telling_of(made, review)
    passages = timed(telling, made.words_per_minute)
    captions = cues(passages)
    page = lesson_page(story_of(made, review))
    return "\n".join([page, script(telling, passages, made.words_per_minute), webvtt(captions), subrip(captions)])


@settings(max_examples=12, deadline=None)
@given(plan_edits.plan_edits, plan_edits.sheet_edits)
def test_a_teachers_words_reach_page_and_script(
    edits: list[tuple[str, int, int]], changes: list[tuple[str, int, int]]
) -> None:
    edited_plan, _ = edit_plan(plan(), edits)
    for review in (base(), reviewed(edit_sheet(base().sheet, changes))):
        made = make_plan(review, edited_plan).plan
        told_story, telling = story_of(made, review), telling_of(made, review)
        shown = [s for s in made.segments if s.shown]
        for item in shown:
            if item.narration.startswith("the teacher's"):
                assert item.narration in [words(scene) for scene in told_story.scenes]
                assert any(item.narration in passage.text for passage in telling.passages)
        for pause in made.pauses:
            asked = [scene.pause.question for scene in told_story.scenes if scene.pause]
            assert asked.count(pause.question) >= pause.shown
            assert (pause.question in [p.pause.question for p in telling.passages if p.pause]) or not pause.shown
        hidden = {s.id for s in made.segments if not s.shown}
        assert not hidden & {scene.id for scene in told_story.scenes}
        assert len(told_story.scenes) >= len(shown)
        json.dumps(told_story.to_json())


def test_a_pause_in_the_midst_of_a_teachers_segment_stands_before_it() -> None:
    segment = next(s for s in plan().segments if s.first and s.last and s.last - s.first >= 3 and s.kind is Part.STROKES)
    assert segment.first
    texts = {"narration": "My words for all four."}
    mine = replace(plan(), segments=tuple(replace(s, **texts) if s is segment else s for s in plan().segments))
    pause = replace(mine.pauses[0], id="mine", before=segment.first + 2, question="And now?", auto={})
    made = make_plan(base(), replace(mine, pauses=(*mine.pauses, pause))).plan
    scenes = story_of(made, base()).scenes
    at = next(i for i, scene in enumerate(scenes) if scene.pause and scene.pause.question == "And now?")
    assert scenes[at].id == "mine" and scenes[at].page == segment.first + 1
    assert scenes[at + 1].id == segment.id


def test_a_pause_that_is_dropped_by_hand_leaves_its_answer_to_the_segment() -> None:
    pause = plan().pauses[0]
    dropped = replace(plan(), pauses=(replace(pause, shown=False), *plan().pauses[1:]))
    segment = next(s for s in plan().segments if s.first == pause.before)
    scene = next(s for s in story_of(dropped, base()).scenes if s.id == segment.id)
    assert scene.pause is None and scene.page == pause.before - 1
    assert scene.evidence.written
    assert any(run.role == "goal" for run in scene.words)
    assert any(pause.answer in passage.text for passage in telling_of(dropped, base()).passages)


def test_a_goal_of_the_teachers_own_is_what_is_expected() -> None:
    pause = plan().pauses[0]
    for goal, expected in (("r1c1=5", (0, 5)), ("which pair?", None), ("r1c1!=5", None)):
        other = replace(plan(), pauses=(replace(pause, goal=goal), *plan().pauses[1:]))
        scene = next(s for s in story_of(other, base()).scenes if s.pause)
        assert scene.pause
        found = scene.pause.expects
        assert (found and (found.cells[0], found.digit)) == expected


def test_a_wide_mark_is_underlined_and_what_it_could_have_said_is_drawn() -> None:
    wide = [s for s in base().strokes if s.verdict is Verdict.WIDE]
    assert wide
    alone = {s.first: s.id for s in plan().segments if isinstance(s, Segment) and s.first == s.last}
    for judged in wide:
        if judged.number in alone:
            scene = next(scene for scene in story().scenes if scene.id == alone[judged.number])
            assert scene.evidence.doubt == (judged.number,) and scene.page == judged.number


@settings(max_examples=8, deadline=None)
@given(st.lists(trace_sheets.strokes(), max_size=5), st.sampled_from(sorted(LIMITS)))
def test_whatever_was_written_can_be_told(strokes: list[Stroke], audience: str) -> None:
    review = review_sheet(Sheet(base().sheet.header, tuple(strokes)), audience=audience)
    made = make_plan(review).plan
    assert make_plan(review, made).plan == made
    assert all(segment.narration and segment.headline for segment in made.segments)
    assert _press(made, review)
