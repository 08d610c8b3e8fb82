"""The demo sheet holds what a demo must show, and the scripts that make sheets make them as documented."""

from __future__ import annotations

import importlib
import json
import subprocess
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from inkstep.grid.geometry import CLASSIC
from inkstep.grid.solving import solutions
from inkstep.reasoning.argument import Argument, Step
from inkstep.reasoning.proof import prove
from inkstep.review.findings import Fate, Review, StrokeReview, Verdict
from inkstep.review.reviewing import review_sheet
from inkstep.trace.grammar import action_text
from inkstep.trace.reading import read_sheet
from inkstep.trace.sheet import Audience, Sheet
from inkstep.trace.strokes import Kind, Reading, Stroke, Where
from inkstep.trace.writing import write_sheet

ROOT = Path(__file__).resolve().parents[1]
SCRIPTS = ROOT / "scripts"
DEMO = ROOT / "examples" / "harbour-spring.sheet"

#: the walkthroughs that become sheets: their marks, and the removals left out
WALKTHROUGHS = {
    "dailysudoku-2005-12-13-full": (0, 2),
    "simetric-times": (1, 0),
    "enjoysudoku-t4071": (2, 0),
}


@cache
def demo() -> Sheet:
    return read_sheet(DEMO.read_bytes(), strict=True).sheet


@cache
def review() -> Review:
    return review_sheet(demo())


def judged(kind: Kind, *readings: Reading | None) -> list[StrokeReview]:
    """The reviewed strokes of a kind, of marks those of the readings."""
    found = [r for r in review().strokes if r.stroke.kind is kind]
    return [r for r in found if not readings or r.stroke.reading in readings]


def steps(argument: Argument | None) -> tuple[Step, ...]:
    return argument.steps if argument else ()


# -- the file ------------------------------------------------------------------------------------------------------


def test_the_file_is_in_canonical_form() -> None:
    assert write_sheet(demo()) == DEMO.read_text("utf-8")


def test_the_header_tells_all_that_a_header_can_tell() -> None:
    header = demo().header
    assert set(header.written_keys()) >= {"puzzle", "source", "title", "event", "date", "solver", "recording", "clock-start"}
    assert header.permission and header.credit
    assert header.solver == "table 4" and header.event.startswith("Harbour Town Puzzle League")
    assert header.audience is Audience.CLUB


def test_the_puzzle_has_few_givens_that_lie_symmetrically_and_one_solution() -> None:
    givens = demo().givens
    assert 24 <= sum(map(bool, givens)) <= 28
    assert [bool(digit) for digit in givens] == [bool(digit) for digit in reversed(givens)]
    assert len(solutions(givens, limit=2)) == 1


def test_the_solve_is_long_enough_and_fills_the_grid() -> None:
    digits = sum(stroke.kind is Kind.DIGIT for stroke in demo().strokes)
    assert 55 <= digits <= 58
    assert len(demo().strokes) - digits >= 52
    assert len(demo().strokes) >= 110
    assert review().pages[-1].digits == review().solution


# -- the habits of the pencil --------------------------------------------------------------------------------------


def test_every_kind_of_mark_is_made() -> None:
    marks = [r.stroke for r in judged(Kind.MARK)]
    assert sum(m.reading is Reading.CELL and len(m.digits) == 2 for m in marks) >= 3
    places = [len(m.cells) for m in marks if m.reading is Reading.PLACES]
    assert places.count(2) >= 20 and places.count(3) == 1
    sets = {m.place.where for m in marks if m.reading is Reading.SET}
    assert Where.BORDER in sets
    assert any(where in sets for where in (Where.ABOVE, Where.BELOW, Where.LEFT, Where.RIGHT))


def test_two_notes_stand_outside_the_grid_one_digit_and_what_a_row_lacks() -> None:
    margin, lacks = judged(Kind.NOTE)
    assert margin.stroke.outside and lacks.stroke.outside
    assert len(margin.stroke.digits) == 1 and any("to be placed" in offer for offer in margin.readings)
    assert any("still lacks" in offer for offer in lacks.readings)


def test_marks_are_written_over_and_one_is_struck_out() -> None:
    assert sum(r.stroke.over for r in judged(Kind.DIGIT)) >= 3
    (strike,) = judged(Kind.STRIKE)
    assert strike.verdict is Verdict.FOLLOWS and not strike.stroke.crosses_digit


def test_one_slip_is_put_right_a_few_strokes_later() -> None:
    (slip,) = [r for r in review().strokes if r.verdict is Verdict.FALSE]
    (mended,) = [r for r in review().strokes if r.stroke.replaces is not None]
    assert slip.stroke.kind is Kind.DIGIT and mended.verdict is Verdict.CORRECTION
    assert mended.stroke.cells == slip.stroke.cells and (mended.stroke.replaces,) == slip.stroke.digits
    assert 2 <= mended.number - slip.number <= 6


def test_a_time_is_unknown_and_the_presenter_comments() -> None:
    assert sum(stroke.at_ms is None for stroke in demo().strokes) >= 1
    assert sum(bool(stroke.comment) for stroke in demo().strokes) >= 10


# -- what the review finds -----------------------------------------------------------------------------------------


def test_every_stroke_follows_but_the_slip_and_the_chance_missed() -> None:
    odd = [r for r in review().strokes if r.verdict not in (Verdict.FOLLOWS, Verdict.NOTE)]
    assert sorted(r.verdict for r in odd) == sorted([Verdict.WIDE, Verdict.FALSE, Verdict.CORRECTION])


def test_every_argument_is_proved() -> None:
    for found in review().strokes:
        for argument in filter(None, (found.argument, *found.instead)):
            assert prove(argument, found.position), action_text(found.stroke)


def test_a_digit_leans_on_a_hidden_pair_that_nobody_had_written() -> None:
    assert list(unwritten_pairs())


def unwritten_pairs() -> Iterator[StrokeReview]:
    for found in judged(Kind.DIGIT):
        claims = review().pages[found.number - 1].claims
        for step in steps(found.argument)[:-1]:
            written = any(set(c.cells) & set(step.cells) and set(c.digits) & set(step.digits) for c in claims)
            if step.technique == "hidden pair" and step.held and not written:
                yield found


def test_a_naked_pair_in_a_box_and_a_line_clears_both() -> None:
    assert any(clears_both(mark) for mark in judged(Kind.MARK, Reading.SET))


def clears_both(mark: StrokeReview) -> bool:
    """Whether the mark says a naked pair of a box and a line, and later arguments take removals from both of them."""
    shared = CLASSIC.shared_houses(sum(1 << cell for cell in mark.stroke.cells))
    if len(mark.stroke.cells) != 2 or len(shared) != 2 or any(s.technique == "hidden pair" for s in steps(mark.argument)):
        return False
    seen_from = [set(shared) & set(CLASSIC.houses_of[cell]) for cell in cells_cleared(mark)]
    return all({house} in seen_from for house in shared)


def cells_cleared(mark: StrokeReview) -> set[int]:
    """The cells outside the mark of which later arguments read in it that they lose a digit."""
    found: set[int] = set()
    for user in review().strokes[mark.number :]:
        for step in steps(user.argument):
            for note in (user.position.notes[index] for index in step.notes):
                if note.name == str(mark.number):
                    found |= {fact.cell for fact in step.premises if fact in note.excludes}
    return found - set(mark.stroke.cells)


def test_one_chance_is_missed_a_digit_marked_in_two_places_of_which_one_was_closed() -> None:
    (wide,) = [r for r in review().strokes if r.verdict is Verdict.WIDE]
    assert wide.stroke.reading is Reading.PLACES and len(wide.stroke.cells) == 2
    digit, right = wide.stroke.digits[0], {c for c in wide.stroke.cells if review().solution[c] == wide.stroke.digits[0]}
    assert any(fact.holds and fact.cell in right and fact.digit == digit for a in wide.instead for fact in a.goal)
    written = next(r for r in judged(Kind.DIGIT) if set(r.stroke.cells) == right)
    assert written.number - wide.number >= 4


def test_most_marks_pay_off_and_at_least_one_is_never_used() -> None:
    fates = [story.fate for story in review().marks]
    assert fates.count(Fate.UNUSED) >= 1 and fates.count(Fate.FALSE) == 0
    assert fates.count(Fate.PAID_OFF) >= 0.75 * len(fates)


# -- pace ----------------------------------------------------------------------------------------------------------


def test_the_solve_takes_between_80_and_120_seconds() -> None:
    assert 80_000 <= demo().length_ms <= 120_000


def test_the_hand_rests_as_a_fast_hand_does_and_longest_before_hard_strokes() -> None:
    waits = [r.wait_ms for r in review().strokes if r.wait_ms is not None]
    assert min(waits) >= 200
    assert sum(400 <= wait <= 2500 for wait in waits) >= 0.75 * len(waits)
    long = [r for r in review().strokes if r.wait_ms is not None and r.wait_ms > 4000]
    assert 2 <= len(long) <= 6
    assert all(r.argument is not None and len(r.argument.steps) > 1 for r in long)


def test_it_ends_in_a_run_of_digits_that_follow_one_another() -> None:
    ending = review().strokes[-15:]
    assert all(r.stroke.kind is Kind.DIGIT for r in ending)
    assert all(r.argument is not None and r.argument.effort < 4 for r in ending)


# -- the scripts ---------------------------------------------------------------------------------------------------


@pytest.fixture
def make_demo(monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    monkeypatch.syspath_prepend(str(SCRIPTS))
    return importlib.import_module("make_demo")


def test_the_script_makes_the_puzzle_of_the_demo(make_demo: ModuleType) -> None:
    assert make_demo.new_puzzle(make_demo.PUZZLE) == (demo().givens, review().solution)


def test_every_comment_of_the_script_stands_in_the_demo(make_demo: ModuleType) -> None:
    comments = {action_text(stroke): stroke.comment for stroke in demo().strokes if stroke.comment}
    above = {action_text(stroke): stroke.before for stroke in demo().strokes if stroke.before}
    assert (comments, above) == (make_demo.COMMENTS, make_demo.ABOVE)


@pytest.mark.slow
def test_the_script_makes_the_strokes_of_the_demo(make_demo: ModuleType) -> None:
    """Where weights of the effort table change, the solver sees other things first: then make the demo anew."""
    assert skeleton(make_demo.demo().strokes) == skeleton(demo().strokes)


def skeleton(strokes: tuple[Stroke, ...]) -> list[str]:
    return [action_text(stroke) for stroke in strokes]


@pytest.fixture(scope="module")
def walkthroughs(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("walkthroughs")
    subprocess.run([sys.executable, SCRIPTS / "walkthrough_sheets.py", folder], check=True, capture_output=True)
    return folder


def record(name: str) -> dict[str, Any]:
    """The walkthrough in the data that the sheet was made from; it says itself how many digits it places."""
    lines = (ROOT / "tests" / "data" / "walkthroughs.jsonl").read_text("utf-8").splitlines()
    return next(found for found in map(json.loads, lines) if found["id"] == name)


def test_three_walkthroughs_become_sheets(walkthroughs: Path) -> None:
    assert {path.stem for path in walkthroughs.iterdir()} == set(WALKTHROUGHS)


@pytest.mark.parametrize("name", WALKTHROUGHS)
def test_a_walkthrough_becomes_a_sheet_without_times_and_without_damage(walkthroughs: Path, name: str) -> None:
    text = (walkthroughs / f"{name}.sheet").read_text("utf-8")
    sheet = read_sheet(text, strict=True).sheet
    kinds = [stroke.kind for stroke in sheet.strokes]
    marks, left_out = WALKTHROUGHS[name]
    digits = record(name)["placed"]
    assert (kinds.count(Kind.DIGIT), kinds.count(Kind.MARK), len(kinds)) == (digits, marks, digits + marks)
    assert all(stroke.at_ms is None for stroke in sheet.strokes)
    assert sum(line.count("!=") for line in text.splitlines() if line.startswith("# not ink")) == left_out


@pytest.mark.parametrize("name", WALKTHROUGHS)
def test_a_walkthrough_is_reviewed_and_nothing_in_it_is_false(walkthroughs: Path, name: str) -> None:
    sheet = read_sheet((walkthroughs / f"{name}.sheet").read_bytes(), strict=True).sheet
    found = review_sheet(sheet)
    assert {r.verdict for r in found.strokes} <= {Verdict.FOLLOWS, Verdict.WIDE}
    assert sum(r.verdict is Verdict.FOLLOWS for r in found.strokes) >= len(found.strokes) - 1


def test_a_walkthrough_that_contradicts_its_solution_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.syspath_prepend(str(SCRIPTS))
    script = importlib.import_module("walkthrough_sheets")
    times = script.records()["simetric-times"]
    step = {**times["steps"][0], "conclude": [{"cell": "r1c2", "is": 4}]}
    with pytest.raises(script.InputError, match="step 1: expected 8 in r1c2, got 4"):
        script.sheet_of({**times, "steps": [step]})
    wrong = times["solution"].translate(str.maketrans("12", "21"))
    with pytest.raises(script.InputError, match="one solution listed"):
        script.sheet_of({**times, "solution": wrong})
