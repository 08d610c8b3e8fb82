"""What is wrong with a readable puzzle: all of it, without raising."""

from __future__ import annotations

import random

import pytest

from inkstep.grid.geometry import CLASSIC, SMALL
from inkstep.grid.problems import Problem
from inkstep.grid.puzzle import Puzzle
from inkstep.grid.reading import read_puzzle
from inkstep.grid.symmetry import random_symmetry
from oracles import is_complete, sat
from puzzle_data import MANY_SOLUTIONS, NO_SOLUTION, WORKED, Worked, grid, records


def wrong_input(name: str) -> tuple[Problem, ...]:
    (record,) = [r for r in records("wrong-inputs.jsonl") if r["id"] == name]
    return read_puzzle(record["givens"]).problems()


def test_every_wrong_input_is_covered_here() -> None:
    assert {r["id"] for r in records("wrong-inputs.jsonl")} == {
        "jul7-wrong-digit",
        "exactly-two-solutions",
        "times-final-official-solution",
    }


def test_a_posted_state_with_a_wrong_digit_has_no_solution_and_says_where_it_shows() -> None:
    (problem,) = wrong_input("jul7-wrong-digit")
    assert problem.kind == "no solution"
    assert problem.text == (
        "the puzzle has no solution: row 2 has no cell left for 8, column 9 has no cell left for 8, "
        "box 3 has no cell left for 8"
    )
    assert [CLASSIC.house_name(h) for h in problem.houses] == ["row 2", "column 9", "box 3"]
    assert problem.digits == (8,) and problem.cells == ()


def test_a_puzzle_with_two_solutions_shows_both_and_where_they_differ() -> None:
    (problem,) = wrong_input("exactly-two-solutions")
    assert problem.kind == "several solutions"
    one, other = problem.solutions
    assert is_complete(one, CLASSIC) and is_complete(other, CLASSIC)
    assert {one, other} == set(sat(CLASSIC).solutions(grid(records("wrong-inputs.jsonl")[1]["givens"]), 9))
    assert problem.cells == tuple(c for c in range(81) if one[c] != other[c]) and len(problem.cells) == 48
    assert all("".join(map(str, solution)) in problem.text for solution in problem.solutions)
    assert "differ in 48 cells (r1c2, " in problem.text and problem.text.endswith(" and 36 more)")
    assert problem.to_json(CLASSIC)["cells"][0] == "r1c2"


def test_a_full_grid_with_a_misprint_names_every_house_that_clashes() -> None:
    problems = wrong_input("times-final-official-solution")
    assert [problem.text for problem in problems] == [
        "row 4 holds two 4s: r4c6, r4c8",
        "column 8 holds two 4s: r4c8, r5c8",
        "box 6 holds two 4s: r4c8, r5c8",
    ]
    assert {problem.kind for problem in problems} == {"clash"}
    assert [problem.houses for problem in problems] == [(3,), (16,), (23,)]
    assert problems[0].cells == (32, 34) and problems[0].digits == (4,)


def test_all_clashes_are_named_and_nothing_is_solved() -> None:
    givens = (7, 7, 0, 0, 7, 0, 0, 0, 0) + (0,) * 54 + (7, 0, 0, 0, 3, 3, 0, 0, 0) + (0,) * 9
    assert [problem.text for problem in Puzzle(givens).problems()] == [
        "row 1 holds three 7s: r1c1, r1c2, r1c5",
        "row 8 holds two 3s: r8c5, r8c6",
        "column 1 holds two 7s: r1c1, r8c1",
        "box 1 holds two 7s: r1c1, r1c2",
        "box 8 holds two 3s: r8c5, r8c6",
    ]


def test_a_cell_in_which_no_digit_fits_is_the_reason() -> None:
    (problem,) = read_puzzle("12345678.........9" + "." * 63).problems()
    assert problem.kind == "no solution"
    assert problem.text == (
        "the puzzle has no solution: no digit fits r1c9, whose row, column and box hold them all, "
        "row 1 has no cell left for 9"
    )
    assert problem.cells == (8,) and problem.houses == (0,)


def test_no_solution_without_an_immediate_reason() -> None:
    (problem,) = Puzzle(NO_SOLUTION).problems()
    assert problem.kind == "no solution" and problem.cells == problem.houses == ()
    assert problem.text.startswith("the puzzle has no solution, though every cell")


def test_many_solutions_are_several() -> None:
    (problem,) = Puzzle(MANY_SOLUTIONS).problems()
    assert problem.kind == "several solutions" and len(problem.solutions) == 2


@pytest.mark.parametrize("worked", WORKED, ids=lambda w: w.name)
def test_sound_puzzles_have_no_problems(worked: Worked) -> None:
    assert Puzzle(worked.givens).problems() == Puzzle(worked.solution).problems() == ()


def test_candidates_that_leave_out_the_solution() -> None:
    # 1234 3412 2143 4321 is the only solution of these givens; the list of r2c2 has lost its 4.
    (problem,) = read_puzzle("1 2 3 4 3 12 1 2 2 1 34 34 4 3 2 1", geometry=SMALL).problems()
    assert problem.kind == "candidates"
    assert problem.text == "the candidates posted leave out digits of the solution: 4 in r2c2"
    assert problem.cells == (5,) and problem.digits == (4,)


def test_candidates_that_suit_no_solution_of_several() -> None:
    # Four cells of a row cannot do with two digits.
    groups = ["12", "12", "12", "12"] + ["."] * 12
    kinds = [problem.kind for problem in read_puzzle(" ".join(groups), geometry=SMALL).problems()]
    assert kinds == ["several solutions", "candidates"]


def test_problems_commute_with_symmetries() -> None:
    rng = random.Random(11)
    cases = [grid(record["givens"]) for record in records("wrong-inputs.jsonl")]
    for givens in [*cases, NO_SOLUTION, MANY_SOLUTIONS]:
        before = Puzzle(givens).problems()
        for _ in range(3):
            symmetry = random_symmetry(rng)
            after = Puzzle(symmetry.apply_grid(givens)).problems()
            assert sorted(problem.kind for problem in after) == sorted(problem.kind for problem in before)
            if before[0].kind != "several solutions":
                moved = {(symmetry.apply_house(h), symmetry.apply_digit(p.digits[0])) for p in before for h in p.houses}
                assert moved == {(h, p.digits[0]) for p in after for h in p.houses}
