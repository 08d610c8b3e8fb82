"""What is said: whole sentences, short enough for one breath, not twice the same, and nothing held left out."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace
from functools import cache
from itertools import groupby, pairwise

import pytest

import solves
from inkstep.grid.geometry import CLASSIC
from inkstep.lesson.narration import told
from inkstep.lesson.pauses import FEWEST, MOST, choose, rest_ms
from inkstep.lesson.plan import Part, Plan, Segment
from inkstep.lesson.planning import make_plan
from inkstep.lesson.reach import unlocked
from inkstep.lesson.scenes import Span, scenes
from inkstep.lesson.speech import Speech, said
from inkstep.lesson.whole import findings, length_words
from inkstep.reasoning.effort import LIMITS
from inkstep.reasoning.wording import plain
from inkstep.review.findings import Review, Verdict
from inkstep.trace.sheet import Sheet
from inkstep.trace.strokes import Kind, Reading, Stroke

AUDIENCES = tuple(LIMITS)
#: the demo, and a made-up solve of a published puzzle that needs more than singles
SOLVES = (solves.DEMO, 2)
CASES = [(which, audience) for which in SOLVES for audience in AUDIENCES]
#: words in a sentence that a person can say in one breath; arguments that read four marks at once are a little longer
BREATH, MOST_WORDS = 40, 60


@cache
def plan_of(which: int, audience: str) -> Plan:
    return make_plan(replace(solves.review(which), audience=audience)).plan


def sentences(text: str) -> list[str]:
    return [each for part in text.split("\n\n") for each in re.split(r"(?<=[.?!])\s+", part)]


def texts(plan: Plan) -> list[str]:
    """Everything that is read aloud, in order."""
    asked = {pause.before: pause for pause in plan.pauses}
    found = []
    for segment in plan.segments:
        pause = asked.get(segment.first or 0) if segment.kind is Part.PAUSE else None
        found += [pause.question, pause.answer] if pause else []
        found.append(segment.narration)
    return found


@pytest.mark.parametrize(("which", "audience"), CASES)
def test_nothing_is_empty_and_everything_is_whole_sentences(which: int, audience: str) -> None:
    for text in texts(plan_of(which, audience)):
        assert text.strip() == text != ""
        assert text[0].isupper() or text[0].isdigit()
        assert text[-1] in ".?!”", text
        for flaw in ("  ", " ,", " .", "..", "None", "()", "\x02", "\x03", "{", "the the", " a a ", "one digits"):
            assert flaw not in text, text
        assert not re.search(r"\br\d+c\d", text), "read aloud, a cell has a name"


@pytest.mark.parametrize(("which", "audience"), CASES)
def test_sentences_can_be_said_in_one_breath(which: int, audience: str) -> None:
    lengths = [len(each.split()) for text in texts(plan_of(which, audience)) for each in sentences(text)]
    assert max(lengths) <= MOST_WORDS
    assert sum(length > BREATH for length in lengths) <= len(lengths) * 0.04


@pytest.mark.parametrize(("which", "audience"), CASES)
def test_no_five_sentences_running_open_alike(which: int, audience: str) -> None:
    openings = [
        re.sub(r"\d+", "#", " ".join(each.split()[:3])).lower()
        for text in texts(plan_of(which, audience))
        for each in sentences(text)
    ]
    longest = max(len(list(run)) for _, run in groupby(openings))
    assert longest <= 2
    assert Counter(openings).most_common(1)[0][1] <= len(openings) * 0.09


@pytest.mark.parametrize(("which", "audience"), CASES)
def test_headlines_say_what_happened_and_differ(which: int, audience: str) -> None:
    headlines = [segment.headline for segment in plan_of(which, audience).segments]
    assert all(headline and len(headline) <= 70 and headline[-1] != "." for headline in headlines)
    assert Counter(headlines).most_common(1)[0][1] <= 2


@pytest.mark.parametrize(("which", "audience"), CASES)
def test_what_was_held_is_said(which: int, audience: str) -> None:
    plan, review = plan_of(which, audience), solves.review(which)
    answers = {pause.before: pause.answer for pause in plan.pauses}
    for segment in plan.segments:
        for judged in review.strokes[(segment.first or 1) - 1 : segment.last or 0]:
            if judged.argument and len(judged.argument.steps) > 1 and judged.verdict is Verdict.FOLLOWS:
                text = segment.narration + answers.get(judged.number, "")
                assert re.search(r"wrote|written|unwritten|in mind|held", text), text


def test_the_roles_of_the_page_are_those_of_the_words_read_aloud() -> None:
    plan, review = plan_of(solves.DEMO, "contest"), solves.review(solves.DEMO)
    page = told(review, plan.segments, plan.pauses, "contest", "page")
    spoken = told(review, plan.segments, plan.pauses, "contest", "spoken")
    assert {name: plain(text.words) for name, text in spoken.items()} == {s.id: s.narration for s in plan.segments}
    roles = Counter(run.role for text in page.values() for run in text.words)
    assert roles["seen"] and roles["held"] and roles["goal"] and roles["doubt"]
    assert re.search(r"\br\dc\d\b", "".join(plain(text.words) for text in page.values()))


@pytest.mark.parametrize("which", SOLVES)
@pytest.mark.parametrize("audience", ["club", "contest"])
def test_a_solve_is_told_in_six_to_fourteen_minutes(which: int, audience: str) -> None:
    plan = plan_of(which, audience)
    assert 6 <= sum(len(text.split()) for text in texts(plan)) / plan.words_per_minute <= 14


@pytest.mark.parametrize("which", SOLVES)
def test_newcomers_are_told_more_than_those_who_race(which: int) -> None:
    words = [sum(len(text.split()) for text in texts(plan_of(which, audience))) for audience in ("contest", "newcomer")]
    assert words[0] * 1.05 < words[1]


# Scenes


@pytest.mark.parametrize("which", SOLVES)
def test_every_stroke_is_in_one_scene_and_key_strokes_stand_alone(which: int) -> None:
    review = solves.review(which)
    found = scenes(review)
    assert [n for span in found for n in range(span.first, span.last + 1)] == [s.number for s in review.strokes]
    assert 15 <= len(found) <= 40
    for judged in review.strokes:
        span = next(s for s in found if s.first <= judged.number <= s.last)
        if judged.stroke.kind is Kind.NOTE or (judged.wait_ms or 0) > 4_500:
            assert span == Span(judged.number, judged.number)
        if judged.verdict is Verdict.FALSE and review.strokes[judged.number].verdict is Verdict.CORRECTION:
            assert span == Span(judged.number, judged.number + 1)


def test_scenes_leave_out_what_others_tell_and_start_where_asked() -> None:
    review = solves.review(solves.DEMO)
    found = scenes(review, [Span(10, 20)], [30])
    assert Span(30, 30) in found
    told_by_us = {n for span in found for n in range(span.first, span.last + 1)}
    assert told_by_us == {s.number for s in review.strokes} - set(range(10, 21))


# Pauses


@pytest.mark.parametrize(("which", "audience"), CASES)
def test_pauses_are_few_spread_and_within_reach(which: int, audience: str) -> None:
    review, plan = solves.review(which), plan_of(which, audience)
    strokes = [pause.before for pause in plan.pauses]
    assert FEWEST <= len(strokes) <= MOST
    assert strokes == sorted(strokes)
    assert min(b - a for a, b in pairwise(strokes)) >= 4
    assert strokes[0] >= 4 and strokes[-1] <= len(review.strokes) * 0.93
    assert strokes[-1] - strokes[0] > len(review.strokes) * 0.35
    for pause in plan.pauses:
        argument = review.strokes[pause.before - 1].argument
        assert argument and argument.effort <= LIMITS[audience]
        assert 5_000 <= pause.rest_ms <= 20_000
        assert pause.question.endswith("?") and len(pause.hints) == 3 and pause.answer
        assert CLASSIC.cell_name(argument.goal[0].cell) not in " ".join(pause.hints[:2]), "a mild hint names the cell"


def test_what_a_pause_asks_for_is_not_told_again() -> None:
    plan = plan_of(solves.DEMO, "contest")
    asked = {pause.before for pause in plan.pauses}
    for segment in plan.segments:
        assert (segment.kind is Part.PAUSE) is (segment.first in asked)
        if segment.kind is Part.PAUSE:
            assert "leave" not in segment.narration and len(segment.narration.split()) < 40


def test_kept_pauses_keep_others_away() -> None:
    review = solves.review(solves.DEMO)
    (one, *_) = choose(review, "contest")
    again = choose(review, "contest", kept=[one])
    assert one not in again and all(abs(number - one) >= 4 for number in again)
    assert one not in choose(review, "contest", barred=[one])


def test_a_rest_is_three_times_the_solvers_own_within_bounds() -> None:
    judged = solves.review(solves.DEMO).strokes[0]
    for wait, rest in ((100, 5_000), (2_500, 7_500), (60_000, 20_000)):
        assert rest_ms(replace(judged, wait_ms=wait)) == rest
    assert judged.argument
    unknown = rest_ms(replace(judged, wait_ms=None, argument=replace(judged.argument, effort=9.0)))
    assert unknown == 13_500


def test_what_a_stroke_unlocks_leans_on_it() -> None:
    review = solves.review(solves.DEMO)
    for judged in review.strokes[:60]:
        if judged.stroke.kind is Kind.DIGIT and unlocked(judged.number, review.strokes):
            later = review.strokes[judged.number : judged.number + 8]
            cell = judged.stroke.cells[0]
            premises = [f.cell for s in later if s.argument for step in s.argument.steps for f in step.premises]
            assert cell in premises


# Odd sheets


def bare_review(*strokes: Stroke) -> Review:
    """A review of a few strokes of the first puzzle."""
    sheet = solves.solve(solves.DEMO)
    return solves.review_sheet(Sheet(replace(sheet.header, title="", event="", solver=""), strokes))


def test_a_sheet_without_strokes_times_or_names_makes_a_lesson() -> None:
    plan = make_plan(bare_review()).plan
    assert [segment.kind for segment in plan.segments] == [Part.OPENING, Part.CLOSING]
    assert plan.title == "A solve, told"
    first = solves.solve(solves.DEMO).strokes[0]
    untimed = bare_review(replace(first, at_ms=None), Stroke(Kind.NOTE, text="hm"))
    told_plan = make_plan(untimed).plan
    assert "None" not in " ".join(texts(told_plan))
    assert "the solver" in " ".join(texts(told_plan)).lower()


def test_every_kind_of_stroke_and_verdict_has_words() -> None:
    review = solves.review(solves.DEMO)
    true = review.solution
    empty = [c for c in range(81) if not review.sheet.givens[c]]
    one, two = empty[0], empty[1]
    wrong = true[one] % 9 + 1
    strokes = (
        Stroke(Kind.MARK, cells=(one,), digits=tuple(sorted((wrong, wrong % 9 + 1))), reading=Reading.CELL),
        Stroke(Kind.STRIKE, cells=(one,), digits=tuple(sorted((wrong, wrong % 9 + 1)))),
        Stroke(Kind.DIGIT, cells=(one,), digits=(wrong,)),
        Stroke(Kind.STRIKE, cells=(one,), digits=(wrong,), replaces=wrong),
        Stroke(Kind.DIGIT, cells=(two,), digits=(true[two],)),
        Stroke(Kind.NOTE, text="why not"),
        Stroke(Kind.STRIKE, text="why not"),
        Stroke(Kind.NOTE, digits=(3, 6), cells=(empty[5],)),
    )
    odd = bare_review(*strokes)
    plan = make_plan(odd).plan
    whole = " ".join(texts(plan))
    assert {judged.verdict for judged in odd.strokes} >= {Verdict.FALSE, Verdict.CORRECTION, Verdict.NOTE}
    assert "slip" in whole and "crossed out" in whole and "why not" in whole


def test_findings_are_single_sentences() -> None:
    found = findings(solves.review(solves.DEMO))
    assert found and all(text[0].isupper() or text[0].isdigit() for text in found)
    assert all(text.endswith(".") and "\n" not in text for text in found)
    assert any("marks were never used: " in text for text in found)


def test_lengths_are_said_in_minutes_and_seconds() -> None:
    assert length_words(83_456) == "1 minute and 23.5 seconds"
    assert length_words(59_990) == "1 minute"
    assert isinstance(Segment("a", Part.ASIDE), Segment)


def test_the_same_thing_is_not_said_twice_running_in_the_same_way() -> None:
    speech = Speech("spoken")
    forms = ("one way to say it", "another way of it", "a third way")
    assert {speech.pick("it", "the same", forms) for _ in range(3)} == set(forms)
    judged = next(s for s in solves.review(solves.DEMO).strokes if s.argument and s.argument.effort > 5)
    assert judged.argument
    first, second = (plain(speech.explain(judged.argument, judged.position)) for _ in range(2))
    assert first != second
    assert plain(said("r4c7 is left", "so be it")) == "r4c7 is left. So be it."
