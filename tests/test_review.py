"""The review: every verdict on strokes made for it, what it says of the whole, and that it commutes with the symmetries."""

from __future__ import annotations

import random
from dataclasses import replace
from functools import cache

import pytest

from inkstep.grid.geometry import CLASSIC
from inkstep.grid.symmetry import Symmetry, random_symmetry
from inkstep.ground.errors import InputError
from inkstep.reasoning.proof import prove
from inkstep.review.findings import Fate, Review, Verdict
from inkstep.review.pace import REST_MS
from inkstep.review.report import review_json
from inkstep.review.reviewing import review_sheet
from inkstep.trace.reading import read_sheet
from inkstep.trace.sheet import Header, Sheet
from inkstep.trace.strokes import Kind, Place, Stroke
from solves import solve

#: the worked example of Wikipedia's page "Sudoku" (origin from memory; its solution is checked by two solvers elsewhere);
#: row 1 of the solution: 5 3 4 6 7 8 9 1 2
WORKED = "530070000600195000098000060800060003400803001700020006060000280000419005000080079"


def reviewed(*strokes: str, puzzle: str = WORKED) -> Review:
    """The review of the strokes, written as in a sheet."""
    text = f"inkstep sheet 1\npuzzle: {puzzle}\n\n" + "\n".join(strokes) + "\n"
    return review_sheet(read_sheet(text).sheet)


def verdicts(review: Review) -> list[Verdict]:
    """The verdict of each stroke."""
    return [stroke.verdict for stroke in review.strokes]


def test_a_digit_that_follows_says_why_and_what_else_lay_open() -> None:
    (stroke,) = reviewed("0:01.500  r3c7 = 5").strokes
    assert stroke.verdict is Verdict.FOLLOWS
    assert stroke.argument is not None
    # box 3 by the 5s of rows 1 and 2 and column 9: the exact smallest explanation has four digits too (python-sat's OptUx)
    assert {CLASSIC.cell_name(c) for c in stroke.argument.witnesses} < {"r1c1", "r2c6", "r8c9"} | {"r3c8"}
    assert stroke.wait_ms == 1500
    assert stroke.open > 5
    assert stroke.lightest_open is not None
    assert stroke.lightest_open.effort <= 4


def test_a_false_digit_is_false_and_its_replacement_a_correction() -> None:
    review = reviewed("0:01  r1c3 = 2", "0:03  r1c4 = 6", "0:05  r1c3 = 4 replaces 2")
    assert verdicts(review) == [Verdict.FALSE, Verdict.FOLLOWS, Verdict.CORRECTION]
    assert review.strokes[0].argument is None
    # nothing leans on the slip while it stands
    assert review.strokes[1].position.digits[CLASSIC.cell("r1c3")] == 0


def test_a_true_digit_that_nothing_leads_to_is_said_to_come_from_nowhere() -> None:
    hard = "800000000003600000070090200050007000000045700000100030001000068008500010090000400"
    (stroke,) = reviewed("0:01  r2c2 = 4", puzzle=hard).strokes
    assert stroke.verdict is Verdict.UNSEEN


def test_a_mark_is_wide_where_one_of_its_places_was_closed_and_the_digit_could_have_been_written() -> None:
    (stroke,) = reviewed("0:01  r5c3 r5c8 : 6 in row 5").strokes
    assert stroke.verdict in (Verdict.WIDE, Verdict.FALSE)
    (wide,) = reviewed("0:01  r3c7 r3c9 : 5 in box 3").strokes
    assert wide.verdict is Verdict.WIDE
    assert str(wide.instead[0].goal[0]) == "r3c7=5"
    assert "r3c9!=5" in [str(a.goal[0]) for a in wide.instead]


def test_a_mark_that_leaves_out_the_true_place_is_false() -> None:
    (stroke,) = reviewed("0:01  r1c3 r2c2 : 5 in box 1").strokes
    assert stroke.verdict is Verdict.FALSE


def test_a_tight_mark_follows_and_has_its_story() -> None:
    review = reviewed(
        "0:01  r1c3 r3c1 : 1 in box 1", "0:02  r9c3 = 5", "0:03  r3c7 = 5", "0:04  r1c9 r2c9 : 8 in box 3", "0:05  r1c6 = 8"
    )
    assert review.strokes[0].verdict is Verdict.FOLLOWS
    assert {story.stroke for story in review.marks} == {1, 4}


def test_notes_and_spent_marks_are_notes_and_a_note_of_digits_gets_readings() -> None:
    review = reviewed('0:01  note "look again" right of row 6', "0:02  note 124 above box 1")
    assert verdicts(review) == [Verdict.NOTE, Verdict.NOTE]
    assert review.strokes[0].readings == ()
    assert review.strokes[1].readings


def test_striking_a_true_place_is_false_and_striking_a_false_mark_a_correction() -> None:
    review = reviewed("0:01  r1c3 : 124", "0:02  strike r1c3 : 4", "0:04  r1c4 : 12", "0:05  strike r1c4 : 12")
    assert verdicts(review)[1] is Verdict.FALSE
    assert verdicts(review)[2:] == [Verdict.FALSE, Verdict.CORRECTION]


def test_a_digit_where_it_already_stands_says_nothing() -> None:
    review = reviewed("0:01  r1c1 = 5", "0:02  r3c7 = 5", "0:03  r3c7 = 5")
    assert verdicts(review) == [Verdict.NOTE, Verdict.FOLLOWS, Verdict.NOTE]


def test_long_rests_are_listed_with_what_lay_behind_them() -> None:
    review = reviewed("0:01  r3c7 = 5", f"0:{1 + REST_MS / 1000 + 0.5:06.3f}  r1c6 = 8", "-  r9c7 = 1", "0:30  r5c5 = 5")
    assert [(w.before, w.ms) for w in review.waits] == [(2, REST_MS + 500)]
    assert "looks" in review.waits[0].behind
    assert review.strokes[2].wait_ms is None
    assert review.strokes[3].wait_ms is None


def test_a_digit_left_lying_says_since_when_and_for_how_long() -> None:
    strokes = ["r1c6 = 8", "r9c7 = 1", "r5c3 = 6", "r6c3 = 3", "r6c7 = 8", "r3c7 = 5"]
    review = reviewed(*(f"0:{2 * i:02d}  {s}" for i, s in enumerate(strokes, 1)))
    (left,) = [each for each in review.lying if each.cell == CLASSIC.cell("r3c7")]
    assert (left.since, left.until, left.since_ms, left.for_ms) == (0, 6, 0, 12_000)


@pytest.mark.parametrize(
    ("puzzle", "said"),
    [
        ("1.....58.8....1..6.6..2.......59........7.....93..2....1....8.4...9.7.5.6..2..71.", "exactly one solution"),
        ("55" + "." * 79, "row 1"),
    ],
)
def test_a_puzzle_without_one_solution_is_refused(puzzle: str, said: str) -> None:
    with pytest.raises(InputError, match=said):
        reviewed("0:01  r3c7 = 5", puzzle=puzzle)


@cache
def played() -> tuple[Review, ...]:
    """Made-up solves with marks of published puzzles."""
    return tuple(review_sheet(solve(which)) for which in range(3))


def test_every_argument_of_a_whole_solve_is_proved() -> None:
    proved = 0
    for review in played():
        for stroke in review.strokes:
            arguments = (stroke.argument, *stroke.runners_up, *stroke.instead, stroke.lightest_open)
            for argument in filter(None, arguments):
                assert prove(argument, stroke.position), (stroke.number, argument)
                proved += 1
    assert proved > 300


def test_marks_used_are_marks_made_before() -> None:
    for review in played():
        marks = {s.number for s in review.strokes if s.stroke.kind is Kind.MARK}
        for stroke in review.strokes:
            assert all(number in marks and number < stroke.number for number in stroke.marks_used)
        paid = {story.stroke for story in review.marks if story.fate is Fate.PAID_OFF}
        assert paid == {number for s in review.strokes for number in s.marks_used}


def test_phases_cover_the_solve_without_gaps() -> None:
    for review in played():
        first, middle, last = review.phases
        assert (first.first, last.last) == (1, len(review.strokes))
        assert (first.last + 1, middle.last + 1) == (middle.first, last.first)


def test_the_report_is_plain_data_of_every_stroke() -> None:
    for review in played():
        report = review_json(review)
        assert len(report["strokes"]) == len(review.strokes)
        assert all(stroke["verdict"] for stroke in report["strokes"])


def turned(sheet: Sheet, symmetry: Symmetry) -> Sheet:
    """The same solve on the same puzzle, turned and relabelled."""
    givens = symmetry.apply_grid(sheet.givens)
    return Sheet(Header(givens), tuple(_turned_stroke(s, symmetry) for s in sheet.strokes))


def _turned_stroke(stroke: Stroke, symmetry: Symmetry) -> Stroke:
    house = None if stroke.house is None else symmetry.apply_house(stroke.house)
    anchor = stroke.place.house
    return replace(
        stroke,
        cells=tuple(symmetry.apply_cell(c) for c in stroke.cells),
        digits=tuple(symmetry.apply_digit(d) for d in stroke.digits),
        house=house,
        place=Place(stroke.place.where, None if anchor is None else symmetry.apply_house(anchor)),
        replaces=None if stroke.replaces is None else symmetry.apply_digit(stroke.replaces),
    )


@pytest.mark.parametrize("seed", range(4))
def test_verdicts_commute_with_the_symmetries(seed: int) -> None:
    review = played()[seed % 3]
    symmetry = random_symmetry(random.Random(seed))
    other = review_sheet(turned(review.sheet, symmetry))
    assert verdicts(other) == verdicts(review)
    assert [s.open for s in other.strokes] == [s.open for s in review.strokes]
