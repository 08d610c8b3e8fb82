"""The canonical form: the least of all grids that the symmetries give, and the same for each of them."""

from __future__ import annotations

import random
from collections import Counter
from itertools import permutations
from statistics import median
from time import process_time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inkstep.grid.canonical import canonical, canonical_line
from inkstep.grid.geometry import CLASSIC, SMALL, Geometry
from inkstep.grid.symmetry import Symmetry, all_geometric, random_symmetry
from puzzle_data import DATA, WORKED, grid, puzzle_lines

SIX = Geometry(2, 3)
SEEDS = st.integers(0, 2**32)
SEVENTEEN = [grid(line) for line in puzzle_lines(DATA / "seventeen-clue.txt")]

# Least of all 3,359,232 x 9! grids; computed with an independent program, checked once. The first and the last are the
# solutions of puzzles in puzzle_data, the second has 648 symmetries of its own, the most that a full grid can have.
FULL = {
    "534678912672195348198342567859761423426853791713924856961537284287419635345286179":
        "123456789457189263698273514271895346539764128864312957345928671786531492912647835",
    "123456789456789123789123456231564897564897231897231564312645978645978312978312645":
        "123456789456789123789123456231564897564897231897231564312645978645978312978312645",
    "123456789456789123789123456234567891567891234891234567345678912678912345912345678":
        "123456789456789123789123456234567891567891234891234567345678912678912345912345678",
    "987654321246173985351928746128537694634892157795461832519286473472319568863745219":
        "123456789456789123798213564231845976589367412647192835364978251815624397972531648",
}  # fmt: skip
MOST_SYMMETRIC = grid(list(FULL)[1])


@pytest.mark.parametrize("line", FULL)
def test_full_grids_have_the_forms_that_another_program_found(line: str) -> None:
    assert canonical_line(grid(line)) == FULL[line]


def least_by_trying(values: tuple[int, ...], geometry: Geometry) -> tuple[int, ...]:
    """The least grid of all, found by making every one of them but for the names, which are given in order of sight."""
    found = []
    for symmetry in all_geometric(geometry):
        names = {0: 0}
        moved = symmetry.apply_grid(values)
        found.append(tuple(names.setdefault(digit, len(names)) for digit in moved))
    return min(found)


def small_grids(geometry: Geometry) -> st.SearchStrategy[tuple[int, ...]]:
    """Any filling, sound or not, many of them nearly empty, nearly full, or of few digits."""
    most = st.integers(1, geometry.size)
    lists = most.flatmap(
        lambda high: st.lists(st.integers(0, high), min_size=geometry.cells, max_size=geometry.cells)
    )
    scarce = st.dictionaries(st.integers(0, geometry.cells - 1), st.integers(1, geometry.size), max_size=6)
    return lists.map(tuple) | scarce.map(lambda placed: tuple(placed.get(cell, 0) for cell in range(geometry.cells)))


@settings(max_examples=150, deadline=None)
@given(small_grids(SMALL))
def test_it_is_the_least_of_all_four_by_four_grids(values: tuple[int, ...]) -> None:
    assert canonical(values, SMALL) == least_by_trying(values, SMALL)


@settings(max_examples=8, deadline=None)
@given(small_grids(SIX))
def test_it_is_the_least_where_boxes_are_not_square(values: tuple[int, ...]) -> None:
    assert canonical(values, SIX) == least_by_trying(values, SIX)


def test_naming_in_order_of_sight_is_the_least_naming() -> None:
    """What `least_by_trying` leans on, tried with all renamings of one grid."""
    values = (0, 3, 0, 1, 0, 0, 2, 0, 0, 2, 0, 0, 4, 0, 0, 3)
    orders = permutations(range(1, 5))
    renamed = [tuple((0, *order)[digit] for digit in values) for order in orders]
    names = {0: 0}
    assert min(renamed) == tuple(names.setdefault(digit, len(names)) for digit in values)


def classic_grids() -> st.SearchStrategy[tuple[int, ...]]:
    """Puzzles, full grids, and full grids with some cells emptied."""
    full = [grid(line) for line in FULL] + [worked.solution for worked in WORKED]
    kept = st.sets(st.integers(0, 80))
    emptied = st.builds(
        lambda values, cells: tuple(d if c in cells else 0 for c, d in enumerate(values)), st.sampled_from(full), kept
    )
    return st.sampled_from([*SEVENTEEN, *(worked.givens for worked in WORKED), *full]) | emptied


@settings(max_examples=60, deadline=None)
@given(classic_grids(), SEEDS)
def test_every_symmetry_leaves_the_form_as_it_is(values: tuple[int, ...], seed: int) -> None:
    symmetry = random_symmetry(random.Random(seed))
    form = canonical(values)
    assert canonical(symmetry.apply_grid(values)) == form == canonical(form)


@settings(max_examples=20, deadline=None)
@given(classic_grids(), SEEDS)
def test_no_symmetry_gives_less(values: tuple[int, ...], seed: int) -> None:
    rng, form = random.Random(seed), canonical(values)
    assert all(form <= random_symmetry(rng).apply_grid(values) for _ in range(30))


def shape(values: tuple[int, ...]) -> tuple[list[int], list[list[int]]]:
    """What every symmetry keeps: how often digits stand, and how full rows and columns are (in either role)."""
    counts = Counter(digit for digit in values if digit)
    lines = [sorted(sum(map(bool, values[at::9])) for at in range(9))]
    lines.append(sorted(sum(map(bool, values[at : at + 9])) for at in range(0, 81, 9)))
    return sorted(counts.values()), sorted(lines)


@settings(max_examples=40, deadline=None)
@given(classic_grids())
def test_the_form_is_one_of_the_grids_that_symmetries_give(values: tuple[int, ...]) -> None:
    form = canonical(values)
    assert shape(form) == shape(values)
    assert [d for d in dict.fromkeys(form) if d] == list(range(1, len({*values} - {0}) + 1))


def test_some_symmetry_gives_the_form() -> None:
    """Looked for exhaustively on the small grid."""
    values = (0, 3, 0, 1, 0, 0, 2, 0, 0, 2, 0, 0, 4, 0, 0, 3)
    form = canonical(values, SMALL)
    names = list(permutations(range(1, 5)))
    assert any(
        Symmetry(moved.transpose, moved.rows, moved.columns, digits, SMALL).apply_grid(values) == form
        for moved in all_geometric(SMALL)
        for digits in names
    )


def test_puzzles_that_are_not_the_same_have_other_forms() -> None:
    """All 500 puzzles with 17 givens are different ones (so their list says)."""
    assert len({canonical(values) for values in SEVENTEEN}) == len(SEVENTEEN)


def test_the_line_shows_empty_cells_as_points() -> None:
    line = canonical_line(SEVENTEEN[0])
    assert len(line) == 81 and line.count(".") == 64 and line == "".join(
        str(digit) if digit else "." for digit in canonical(SEVENTEEN[0])
    )


@pytest.mark.parametrize("values", [(0,) * 80, (0,) * 80 + (10,), (0,) * 80 + (-1,)])
def test_other_values_are_refused(values: tuple[int, ...]) -> None:
    with pytest.raises(ValueError, match="81 numbers from 0 to 9"):
        canonical(values)


def seconds(values: tuple[int, ...]) -> float:
    started = process_time()
    canonical(values)
    return process_time() - started


def test_it_is_quick_for_puzzles_and_full_grids() -> None:
    """Measured: 2 to 5 ms for a puzzle with 17 givens, 12 to 30 ms for a full grid; the bounds allow for slow machines."""
    assert median(map(seconds, SEVENTEEN[:60])) < 0.05
    assert median(map(seconds, (worked.solution for worked in WORKED))) < 0.15


@pytest.mark.parametrize(
    "values",
    [
        (0,) * 81,
        MOST_SYMMETRIC,
        (1,) + (0,) * 80,
        (1,) * 81,
        tuple(range(1, 10)) + (0,) * 72,
        tuple(cell // 9 + 1 if cell // 9 == cell % 9 else 0 for cell in range(81)),
        tuple(cell // 9 + 1 for cell in range(81)),
        tuple(int(digit == 1) for digit in MOST_SYMMETRIC),
        tuple(0 if cell // 9 == cell % 9 else digit for cell, digit in enumerate(MOST_SYMMETRIC)),
    ],
)
def test_symmetric_grids_do_not_explode(values: tuple[int, ...]) -> None:
    """The slowest, nine digits on a diagonal, takes about 0.2 s; the most symmetric full grid about 0.1 s."""
    assert seconds(values) < 2
    assert canonical(values) == canonical(random_symmetry(random.Random(5), CLASSIC).apply_grid(values))
