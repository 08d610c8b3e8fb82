"""Solving and counting, against two independent solvers and against published numbers."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inkstep.grid.geometry import CLASSIC, SMALL, Geometry
from inkstep.grid.places import Places
from inkstep.grid.solving import count_solutions, solutions, solve
from oracles import cp_solutions, is_complete, sat
from puzzle_data import DATA, MANY_SOLUTIONS, NO_SOLUTION, WORKED, Grid, Worked, grid, puzzle_lines, records

SIX = Geometry(2, 3)
SEVENTEEN = [grid(line) for line in puzzle_lines(DATA / "seventeen-clue.txt")]


def agree_on(givens: Grid, limit: int = 2) -> list[Grid]:
    """Our solutions, after checking that the SAT solver finds the same ones (as many, if there are more)."""
    ours = solutions(givens, limit=limit)
    theirs = sat(CLASSIC).solutions(givens, limit)
    assert len(ours) == len(set(ours)) == len(theirs)
    assert len(ours) == limit or set(ours) == set(theirs)
    assert all(is_complete(one, CLASSIC) for one in ours)
    return ours


def test_the_oracle_has_the_clauses_of_the_published_encoding() -> None:
    # Lynce & Ouaknine, Sudoku as a SAT Problem (2006): 11,988 clauses in the extended encoding (cited from memory;
    # the count is arithmetic).
    assert len(sat(CLASSIC).clauses) == 11988


@pytest.mark.parametrize("givens", SEVENTEEN[::8])
def test_a_sample_of_the_17_clue_puzzles(givens: Grid) -> None:
    assert sum(map(bool, givens)) == 17
    assert len(agree_on(givens)) == 1


@pytest.mark.slow
def test_all_17_clue_puzzles() -> None:
    assert all(len(agree_on(givens)) == 1 for givens in SEVENTEEN)


@pytest.mark.parametrize("record", records("walkthroughs.jsonl"), ids=lambda r: str(r["id"]))
def test_walkthroughs_have_their_solution(record: dict[str, str]) -> None:
    assert agree_on(grid(record["givens"])) == [grid(record["solution"])]


@pytest.mark.parametrize("record", records("positions.jsonl"), ids=lambda r: str(r["id"]))
def test_positions_have_their_solution_with_and_without_the_posted_candidates(record: dict[str, str]) -> None:
    givens, solution = grid(record["givens"]), grid(record["solution"])
    assert agree_on(givens) == [solution]
    if record["candidates"]:
        masks = [sum(1 << (int(d) - 1) for d in group) for group in record["candidates"]]
        assert solutions(givens, candidates=masks) == [solution]
        assert solutions((0,) * 81, candidates=masks, limit=9) == sat(CLASSIC).solutions((0,) * 81, 9, masks)


@pytest.mark.parametrize("record", records("wrong-inputs.jsonl"), ids=lambda r: str(r["id"]))
def test_wrong_inputs_by_three_solvers(record: dict[str, str]) -> None:
    givens = grid(record["givens"])
    ours = agree_on(givens, limit=50)
    assert set(ours) == set(cp_solutions(givens, 50, CLASSIC))
    assert len(ours) == {"0": 0, "2+": 2}[str(record["solutions"])]


@pytest.mark.parametrize("worked", WORKED, ids=lambda w: w.name)
def test_worked_grids_by_three_solvers(worked: Worked) -> None:
    assert agree_on(worked.givens) == cp_solutions(worked.givens, 2, CLASSIC) == [worked.solution]
    assert solve(worked.givens) == worked.solution


def less_one(givens: Grid) -> Iterator[Grid]:
    for cell in range(81):
        if givens[cell]:
            yield (*givens[:cell], 0, *givens[cell + 1 :])


@pytest.mark.parametrize("limit", [150, pytest.param(6_000, marks=pytest.mark.slow)])
@pytest.mark.parametrize("worked", [w for w in WORKED if w.without_one], ids=lambda w: w.name)
def test_solutions_once_a_given_is_taken_away(worked: Worked, limit: int) -> None:
    counted = tuple(count_solutions(givens, limit) for givens in less_one(worked.givens))
    assert counted == tuple(min(number, limit) for number in worked.without_one)


def test_a_hard_puzzle_without_solution_takes_few_steps(monkeypatch: pytest.MonkeyPatch) -> None:
    steps = 0
    settled = Places.settled

    def counting(self: Places, state: int, fixed: int) -> tuple[int, int] | None:
        nonlocal steps
        steps += 1
        return settled(self, state, fixed)

    monkeypatch.setattr(Places, "settled", counting)
    assert solve(NO_SOLUTION) is None
    assert 0 < steps < 200
    assert sat(CLASSIC).solutions(NO_SOLUTION, 1) == []


def test_many_solutions_are_counted_up_to_the_limit() -> None:
    assert count_solutions(MANY_SOLUTIONS, 1000) == 1000
    assert len(agree_on(MANY_SOLUTIONS, 60)) == 60
    assert count_solutions(MANY_SOLUTIONS, 0) == count_solutions(MANY_SOLUTIONS, -1) == 0
    assert len(solutions((0,) * 81, limit=5)) == 5


# Numbers of completions of the first seven, six and five rows of a grid, by a backtracker and by SAT enumeration.
@pytest.mark.parametrize(
    ("line", "numbers"),
    [
        ("534678912672195348198342567859761423426853791713924856961537284287419635345286179", (2, 120, 1284)),
        ("123456789456789123789123456231564897564897231897231564312645978645978312978312645", (8, 1728, 3000)),
    ],
)
def test_completions_of_the_first_rows(line: str, numbers: tuple[int, ...]) -> None:
    whole = grid(line)
    tops = (whole[: 9 * rows] + (0,) * (81 - 9 * rows) for rows in (7, 6, 5))
    assert tuple(count_solutions(top, 9999) for top in tops) == numbers


def test_all_grids_of_four_by_four() -> None:
    # 288 completed 4x4 grids, 12 with the first row 1234: counted here by the same code (common knowledge; also
    # counted by two other programs).
    found = solutions((0,) * 16, limit=1000, geometry=SMALL)
    assert len(found) == len(set(found)) == count_solutions((0,) * 16, 1000, SMALL) == 288
    assert all(is_complete(one, SMALL) for one in found)
    assert count_solutions((1, 2, 3, 4) + (0,) * 12, 1000, SMALL) == 12
    assert set(found) == set(sat(SMALL).solutions((0,) * 16, 1000))


@pytest.mark.slow
def test_all_grids_of_six_by_six_with_one_first_row() -> None:
    # 28,200,960 completed 6x6 grids with boxes of 2x3 (counted by two other programs), a 720th of them for a row.
    assert count_solutions((1, 2, 3, 4, 5, 6) + (0,) * 30, 50_000, SIX) == 28_200_960 // 720 == 39_168


@pytest.mark.slow
@pytest.mark.parametrize("name", ["players-hard.txt", "project-annealing.txt"])
def test_lists_that_are_not_kept_here(name: str) -> None:
    path = Path(os.environ.get("INKSTEP_CHECKS", "")) / name
    if not os.environ.get("INKSTEP_CHECKS") or not path.exists():
        pytest.skip(f"INKSTEP_CHECKS names no folder with {name}")
    lines = puzzle_lines(path)
    assert lines and all(len(agree_on(grid(line))) == 1 for line in lines)


@st.composite
def partial_grids(draw: st.DrawFn) -> tuple[Geometry, Grid, list[int] | None]:
    """A geometry and some digits, mostly of one solution, sometimes with one changed; perhaps candidates."""
    geometry = draw(st.sampled_from([SMALL, SIX, Geometry(3, 2), CLASSIC]))
    base = solve((0,) * geometry.cells, geometry)
    assert base is not None
    hidden = draw(st.sets(st.integers(0, geometry.cells - 1), max_size=geometry.cells * 2 // 3))
    givens = [0 if cell in hidden else digit for cell, digit in enumerate(base)]
    if draw(st.booleans()):
        givens[draw(st.integers(0, geometry.cells - 1))] = draw(st.integers(0, geometry.size))
    masks = None
    if draw(st.booleans()):
        full = (1 << geometry.size) - 1
        without = draw(st.dictionaries(st.integers(0, geometry.cells - 1), st.integers(0, full), max_size=9))
        masks = [without.get(cell, full) for cell in range(geometry.cells)]
    return geometry, tuple(givens), masks


@settings(max_examples=120, deadline=None)
@given(partial_grids())
def test_the_same_solutions_as_the_sat_solver(case: tuple[Geometry, Grid, list[int] | None]) -> None:
    geometry, givens, masks = case
    ours = solutions(givens, limit=40, geometry=geometry, candidates=masks)
    theirs = sat(geometry).solutions(givens, 40, masks)
    assert len(ours) == len(theirs) == len(set(ours))
    assert len(ours) == 40 or set(ours) == set(theirs)
    assert count_solutions(givens, 40, geometry, candidates=masks) == len(ours)
    for one in ours:
        assert is_complete(one, geometry)
        assert all(mine in (0, digit) for mine, digit in zip(givens, one, strict=True))


def test_clashing_givens_have_no_solution() -> None:
    assert solutions((5, 5) + (0,) * 79) == []
    assert solve((1,) * 16, SMALL) is None
    full = solve((0,) * 16, SMALL)
    assert full is not None and solutions(full, geometry=SMALL) == [full]


@pytest.mark.parametrize("givens", [(), (0,) * 80, (0,) * 80 + (10,), (0,) * 80 + (-1,)])
def test_a_grid_of_the_wrong_form_is_refused(givens: Grid) -> None:
    with pytest.raises(ValueError, match=r"entries|digit"):
        solutions(givens)


@pytest.mark.parametrize("masks", [[511] * 80, [512] + [511] * 80, [-1] + [511] * 80])
def test_candidates_of_the_wrong_form_are_refused(masks: list[int]) -> None:
    with pytest.raises(ValueError, match=r"entries|mask"):
        count_solutions((0,) * 81, 2, candidates=masks)
