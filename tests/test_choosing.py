"""Choosing: names of arguments, a picked argument and what leans on it, own words, and both in the lesson."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from inkstep.lesson.narration import strokes_of
from inkstep.lesson.own import own_text, own_words
from inkstep.lesson.parts import Part, Pause, Plan, Segment
from inkstep.lesson.planning import make_plan
from inkstep.press.formats import FORMATS, Material
from inkstep.press.staging import story_of
from inkstep.press.story import Scene
from inkstep.reasoning.lightest import chances, lightest
from inkstep.reasoning.search import Search
from inkstep.reasoning.wording import explain, plain
from inkstep.review.choosing import Pick, arguments_of, choose, name_of, unmet
from inkstep.review.findings import Fate, Review, StrokeReview, Verdict
from inkstep.review.reviewing import review_sheet
from inkstep.trace.reading import read_sheet
from inkstep.trace.strokes import Kind

DEMO = Path(__file__).parents[1] / "examples" / "harbour-spring.sheet"
OWN = "Everybody looks at box 5 here, and nobody at this cell."


@cache
def demo() -> Review:
    """The demo solve, reviewed."""
    return review_sheet(read_sheet(DEMO.read_bytes()).sheet)


def with_runners_up(review: Review) -> Iterator[StrokeReview]:
    return (judged for judged in review.strokes if judged.runners_up)


# Names


def test_the_name_says_the_steps_and_none_of_the_looks() -> None:
    judged = demo().strokes[19]
    assert judged.argument is not None
    assert name_of(judged.argument) == "hidden single in box 1: 1 at r2c1, from hidden pair in box 1: 3 7 at r1c1 r1c2"


def test_the_arguments_of_a_stroke_have_names_of_their_own() -> None:
    for judged in demo().strokes:
        every = [argument for argument in (judged.argument, *judged.runners_up) if argument]
        assert list(arguments_of(judged).values()) == every


def test_a_name_does_not_depend_on_the_way_of_the_search() -> None:
    met = 0
    for judged in list(with_runners_up(demo()))[::4]:
        assert judged.goal is not None
        far = Search(judged.position)
        far.run(demo().limit)
        others = {name_of(argument) for argument in lightest(far, judged.goal, most=9, limit=demo().limit)}
        met += len(set(arguments_of(judged)) & others) / len(arguments_of(judged))
    # a search that knows more may hold other facts behind the same last step, but rarely does
    assert met >= 0.9 * len(list(with_runners_up(demo()))[::4])


def test_inner_steps_in_another_order_are_the_same_argument() -> None:
    for argument in chances(demo().strokes[74].position):
        if len(argument.steps) > 2:
            *inner, last = argument.steps
            turned = replace(argument, steps=(*reversed(inner), last))
            assert name_of(turned) == name_of(argument)
            return
    pytest.fail("no argument with two inner steps to turn round")


# Picks


def test_without_picks_the_review_is_as_it_was() -> None:
    assert choose(demo(), {}) is demo()
    assert choose(demo(), {20: Pick()}) is demo()


def test_a_picked_argument_takes_the_first_place_and_the_old_one_joins_the_others() -> None:
    judged = demo().strokes[19]
    other = judged.runners_up[0]
    chosen = choose(demo(), {20: Pick(name_of(other))})
    told = chosen.strokes[19]
    assert told.argument == other
    assert judged.argument in told.runners_up
    assert set(arguments_of(told)) == set(arguments_of(judged))
    assert [a.effort for a in told.runners_up] == sorted(a.effort for a in told.runners_up)
    assert chosen.strokes[:19] == demo().strokes[:19]
    assert chosen.strokes[20:] == demo().strokes[20:]
    assert chosen.effort == pytest.approx(demo().effort + other.effort - (judged.argument.effort if judged.argument else 0))


def test_picking_what_stands_first_changes_nothing() -> None:
    judged = demo().strokes[19]
    assert judged.argument is not None
    assert choose(demo(), {20: Pick(name_of(judged.argument))}) is demo()


def test_the_marks_that_a_picked_argument_reads_are_used_and_the_others_not() -> None:
    """Every pick that reads other marks changes what became of these marks, and nothing else does."""
    changed = 0
    for judged in with_runners_up(demo()):
        for other in judged.runners_up:
            chosen = choose(demo(), {judged.number: Pick(name_of(other))})
            used = chosen.strokes[judged.number - 1].marks_used
            assert used == tuple(sorted({int(judged.position.notes[i].name) for i in other.notes}))
            for story in chosen.marks:
                assert (judged.number in story.used_by) == (story.stroke in used)
                assert (story.fate is Fate.PAID_OFF) <= bool(story.used_by)
            changed += used != judged.marks_used
    assert changed


def test_rests_and_thirds_follow_a_pick() -> None:
    judged = demo().strokes[demo().waits[0].before - 1]
    other = judged.runners_up[-1]
    chosen = choose(demo(), {judged.number: Pick(name_of(other))})
    assert f"it took {other.effort:.0f} looks" in chosen.waits[0].behind
    assert sum(phase.effort for phase in chosen.phases) == pytest.approx(chosen.effort)


def test_a_pick_that_was_not_found_any_more_changes_nothing_and_is_told() -> None:
    gone = Pick("hidden single in box 9: 4 at r9c9", "still my words")
    picks = {20: gone, 999: Pick("gone with its stroke"), 21: Pick(words="x")}
    chosen = choose(demo(), picks)
    assert unmet(demo(), picks) == (20, 999)
    assert chosen.strokes[19].argument == demo().strokes[19].argument
    assert chosen.strokes[19].words == "still my words"


def test_how_near_the_written_digit_lay_is_counted_among_the_open_ones() -> None:
    for judged in demo().strokes:
        assert judged.rank is None or 1 <= judged.rank <= judged.open + 1
        if judged.rank is not None and judged.argument and judged.lightest_open:
            # prices are weighed anew when an argument is taken out, so a little may lie between
            assert judged.rank == 1 or judged.lightest_open.effort <= judged.argument.effort + 1
    assert {judged.rank for judged in demo().strokes if judged.stroke.kind is Kind.DIGIT} >= {None, 1, 2}


# Own words


def told(judged: StrokeReview, words: str) -> StrokeReview:
    return replace(judged, words=words)


def test_own_words_keep_the_colours_of_what_they_name() -> None:
    judged = demo().strokes[0]
    runs = own_words(told(judged, "Nothing to it: the 5s in row 4 and column 2 do it all. A 5 it is."))
    assert [(run.text, run.role) for run in runs] == [
        ("Nothing to it: ", ""),
        ("the 5s in row 4 and column 2", "seen"),
        (" do it all. A 5 it is.", ""),
    ]


def test_own_words_are_plain_text_in_paragraphs() -> None:
    judged = told(demo().strokes[0], "  One\n line.\n \n\x02seen\x1f<b>Two</b>\x03  ")
    assert own_text(judged) == "One line.\n\nseen <b>Two</b>"
    assert plain(own_words(judged)) == own_text(judged)
    assert own_words(demo().strokes[0]) == ()


# In the lesson


def segment_of(plan: Plan, number: int) -> Segment:
    return next(s for s in plan.segments if s.first and s.last and s.first <= number <= s.last)


def pause_at(plan: Plan) -> Pause:
    return plan.pauses[0]


def scene_of(plan: Plan, review: Review, number: int) -> Scene:
    name = segment_of(plan, number).id
    return next(scene for scene in story_of(plan, review).scenes if scene.id == name)


def passing() -> int:
    """A digit that the demo's plan tells together with others."""
    plan = make_plan(demo()).plan
    for judged in demo().strokes:
        segment = segment_of(plan, judged.number)
        several = segment.first is not None and segment.last is not None and segment.last - segment.first > 1
        if several and judged.stroke.kind is Kind.DIGIT and judged.verdict is Verdict.FOLLOWS:
            return judged.number
    pytest.fail("the demo's plan tells nothing in passing")


def test_a_stroke_with_own_words_is_told_alone_in_them() -> None:
    number = passing()
    review = choose(demo(), {number: Pick(words=OWN)})
    plan = make_plan(review).plan
    segment = segment_of(plan, number)
    assert (segment.first, segment.last) == (number, number)
    assert OWN in segment.narration
    scene = scene_of(plan, review, number)
    assert OWN in "".join(run.text for run in scene.words)
    assert scene.evidence.written, "its evidence is drawn, as for every stroke told alone"


def test_own_words_stand_in_for_the_reason_but_not_for_the_time() -> None:
    number = next(wait.before for wait in demo().waits if demo().strokes[wait.before - 1].argument)
    plain_plan = make_plan(demo()).plan
    review = choose(demo(), {number: Pick(words=OWN)})
    segment = segment_of(make_plan(review).plan, number)
    before = segment_of(plain_plan, number)
    if segment.kind is Part.STROKES:
        assert "seconds" in segment.narration.partition(OWN)[0]
    assert before.narration != segment.narration or segment.kind is Part.PAUSE


def test_own_words_answer_the_pause() -> None:
    number = pause_at(make_plan(demo()).plan).before
    review = choose(demo(), {number: Pick(words=OWN)})
    plan = make_plan(review).plan
    assert pause_at(plan).before == number
    assert pause_at(plan).answer == OWN
    assert pause_at(plan).question == pause_at(make_plan(demo()).plan).question
    scene = next(scene for scene in story_of(plan, review).scenes if scene.pause and scene.page == number - 1)
    assert scene.pause is not None
    assert "".join(run.text for run in scene.pause.answer) == OWN


def test_own_words_stand_among_strokes_that_a_teacher_holds_together() -> None:
    """A teacher's headline keeps a scene of several strokes as it is; the words take their stroke's clause in it."""
    number = passing()
    plan = make_plan(demo()).plan
    kept = segment_of(plan, number)
    edited = replace(plan, segments=tuple(replace(s, headline="My own") if s is kept else s for s in plan.segments))
    review = choose(demo(), {number: Pick(words=OWN)})
    again = make_plan(review, edited).plan
    segment = segment_of(again, number)
    assert (segment.headline, segment.first, segment.last) == ("My own", kept.first, kept.last)
    assert OWN in segment.narration
    assert len(strokes_of(segment, review)) > 1
    assert segment.narration != OWN


def test_own_words_tell_a_slip() -> None:
    number = next(s.number for s in demo().strokes if s.verdict is Verdict.FALSE)
    review = choose(demo(), {number: Pick(words=OWN)})
    segment = segment_of(make_plan(review).plan, number)
    assert OWN in segment.narration
    assert "slip" not in segment.narration.partition(OWN)[2]


def test_a_picked_argument_is_told_in_plan_and_story() -> None:
    plan = make_plan(demo()).plan
    for pause in plan.pauses:
        judged = demo().strokes[pause.before - 1]
        if judged.runners_up:
            break
    other = judged.runners_up[0]
    review = choose(demo(), {judged.number: Pick(name_of(other))})
    told_plan = make_plan(review).plan
    found = next((p for p in told_plan.pauses if p.before == judged.number), None)
    answer = found.answer if found else segment_of(told_plan, judged.number).narration
    assert answer != pause.answer
    scene = scene_of(told_plan, review, judged.number)
    evidence = scene.pause.evidence if scene.pause else scene.evidence
    assert evidence.seen == other.witnesses
    assert evidence.houses == other.last.frame


def test_a_teachers_plan_keeps_its_edits_when_words_are_chosen() -> None:
    number = passing()
    plan = make_plan(demo()).plan
    other = next(s for s in plan.segments if s.kind is Part.STROKES and s is not segment_of(plan, number))
    edited = replace(plan, segments=tuple(replace(s, narration="Mine.") if s is other else s for s in plan.segments))
    again = make_plan(choose(demo(), {number: Pick(words=OWN)}), edited)
    assert next(s for s in again.plan.segments if s.id == other.id).narration == "Mine."
    assert again.unplaced == ()


def test_own_words_arrive_in_everything_that_is_published() -> None:
    number = passing()
    review = choose(demo(), {number: Pick(words=f"{OWN} <script>x()</script>")})
    material = Material(review, make_plan(review).plan)
    outputs: dict[str, str] = {}
    for each in FORMATS:
        outputs.update(each.write(material))
    spoken = [name for name, text in outputs.items() if "Everybody looks at box 5 here" in " ".join(text.split())]
    assert {"lesson.html", "script.md"} <= set(spoken)
    assert "<script>x()" not in outputs["lesson.html"]


def test_words_for_an_argument_said_by_the_program_are_those_that_it_says() -> None:
    judged = demo().strokes[0]
    assert judged.argument is not None
    same = plain(explain(judged.argument, judged.position, voice="spoken"))
    assert plain(own_words(told(judged, same))) == same
