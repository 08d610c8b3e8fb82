"""Symmetries: a group, of the published size, under which solving does not change."""

from __future__ import annotations

import random
from itertools import islice, product
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inkstep.grid.geometry import CLASSIC, SMALL, Geometry
from inkstep.grid.solving import solutions
from inkstep.grid.symmetry import Symmetry, all_geometric, geometric_count, identity, random_symmetry
from oracles import is_complete
from puzzle_data import WORKED, Worked

SIX = Geometry(2, 3)
GEOMETRIES = st.sampled_from([SMALL, SIX, Geometry(3, 2), CLASSIC])
SEEDS = st.integers(0, 2**32)
Grid = tuple[int, ...]


def moved_cells(symmetry: Symmetry) -> tuple[int, ...]:
    return tuple(map(symmetry.apply_cell, range(symmetry.geometry.cells)))


def test_the_published_numbers_of_symmetries() -> None:
    # 2 x 6^8 = 3,359,232 (Russell & Jarvis, Mathematical Spectrum 39 (2006) 54-58, cited from memory); 128 for 4x4 and
    # 3,456 for 6x6 recomputed by another program.
    assert geometric_count(CLASSIC) == 2 * 6**8 == 3_359_232
    assert geometric_count(SMALL) == len(set(map(moved_cells, all_geometric(SMALL)))) == 128
    assert geometric_count(SIX) == len(set(map(moved_cells, all_geometric(SIX)))) == 3456
    assert geometric_count(Geometry(3, 2)) == 3456


def test_the_classic_symmetries_come_one_by_one() -> None:
    some = list(islice(all_geometric(), 5000))
    assert some[0] == identity() and len(set(map(moved_cells, some))) == 5000


def test_the_symmetries_of_four_by_four_are_a_group() -> None:
    group = {moved_cells(symmetry) for symmetry in all_geometric(SMALL)}
    some = list(all_geometric(SMALL))[::9]
    assert {moved_cells(one.then(other)) for one in some for other in some} <= group
    assert {moved_cells(one.inverse()) for one in all_geometric(SMALL)} == group


def relabelled(grid: Grid) -> Grid:
    """The same grid with the digits renamed so that the first row reads 1, 2, 3, ..."""
    names = {digit: name for name, digit in enumerate(grid[: max(grid)], 1)}
    return tuple(names[digit] for digit in grid)


def classes(grids: list[Grid], symmetries: list[Symmetry]) -> int:
    """How many classes the grids fall into when each step is one of the symmetries and a renaming."""
    left, count = set(grids), 0
    while left:
        count += 1
        edge = [left.pop()]
        while edge:
            grid = edge.pop()
            for near in {relabelled(symmetry.apply_grid(grid)) for symmetry in symmetries} & left:
                left.remove(near)
                edge.append(near)
    return count


def test_four_by_four_grids_are_of_two_kinds() -> None:
    # 2 essentially different 4x4 grids: recomputed by another program.
    grids = solutions((1, 2, 3, 4) + (0,) * 12, limit=999, geometry=SMALL)
    assert classes(grids, list(all_geometric(SMALL))) == 2


@pytest.mark.slow
def test_six_by_six_grids_are_of_49_kinds() -> None:
    # 49 essentially different 6x6 grids: recomputed by another program. Swaps of neighbours and of bands generate all.
    grids = solutions((1, 2, 3, 4, 5, 6) + (0,) * 30, limit=50_000, geometry=SIX)
    lines, digits = (0, 1, 2, 3, 4, 5), (1, 2, 3, 4, 5, 6)
    rows = [(1, 0, 2, 3, 4, 5), (2, 3, 0, 1, 4, 5), (0, 1, 4, 5, 2, 3)]
    columns = [(1, 0, 2, 3, 4, 5), (0, 2, 1, 3, 4, 5), (3, 4, 5, 0, 1, 2)]
    swaps = [Symmetry(False, row, lines, digits, SIX) for row in rows]
    swaps += [Symmetry(False, lines, column, digits, SIX) for column in columns]
    assert classes(grids, swaps) == 49


@settings(max_examples=150, deadline=None)
@given(GEOMETRIES, SEEDS)
def test_inverse_and_composition(geometry: Geometry, seed: int) -> None:
    rng = random.Random(seed)
    one, two, three = (random_symmetry(rng, geometry) for _ in range(3))
    assert one.then(one.inverse()) == one.inverse().then(one) == identity(geometry)
    assert one.then(identity(geometry)) == identity(geometry).then(one) == one
    assert one.then(two).then(three) == one.then(two.then(three))
    assert one.then(two).inverse() == two.inverse().then(one.inverse())
    grid = tuple(rng.choices(range(geometry.size + 1), k=geometry.cells))
    assert two.apply_grid(one.apply_grid(grid)) == one.then(two).apply_grid(grid)
    assert one.inverse().apply_grid(one.apply_grid(grid)) == grid


@settings(max_examples=80, deadline=None)
@given(GEOMETRIES, SEEDS)
def test_cells_houses_and_peers_move_together(geometry: Geometry, seed: int) -> None:
    symmetry = random_symmetry(random.Random(seed), geometry)
    assert sorted(moved_cells(symmetry)) == list(range(geometry.cells))
    for house, cells in enumerate(geometry.house_cells):
        moved = symmetry.apply_house(house)
        assert {symmetry.apply_cell(cell) for cell in cells} == set(geometry.house_cells[moved])
        kinds = (geometry.house_kind(house), geometry.house_kind(moved))
        assert symmetry.transpose or kinds[0] == kinds[1]
    assert sorted(map(symmetry.apply_digit, geometry.digits)) == list(geometry.digits)
    assert symmetry.apply_digit(0) == 0


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(WORKED), SEEDS)
def test_solving_commutes(worked: Worked, seed: int) -> None:
    symmetry = random_symmetry(random.Random(seed))
    assert solutions(symmetry.apply_grid(worked.givens)) == [symmetry.apply_grid(worked.solution)]


@settings(max_examples=60, deadline=None)
@given(st.sampled_from([SMALL, SIX]), SEEDS)
def test_all_solutions_move_along(geometry: Geometry, seed: int) -> None:
    rng = random.Random(seed)
    symmetry = random_symmetry(rng, geometry)
    base = solutions((0,) * geometry.cells, limit=1, geometry=geometry)[0]
    givens = tuple(digit if rng.random() < 0.4 else 0 for digit in base)
    here = solutions(givens, limit=500, geometry=geometry)
    there = solutions(symmetry.apply_grid(givens), limit=500, geometry=geometry)
    if len(here) < 500:
        assert {symmetry.apply_grid(grid) for grid in here} == set(there)
    assert all(is_complete(symmetry.apply_grid(grid), geometry) for grid in here)


def test_random_symmetries_reach_everything_and_repeat_with_the_seed() -> None:
    rng = random.Random(3)
    seen = {(s.transpose, s.rows[0], s.columns[0], s.digits[0]) for s in (random_symmetry(rng, SMALL) for _ in range(2000))}
    assert seen == set(product((False, True), range(4), range(4), range(1, 5)))
    assert random_symmetry(random.Random(5)) == random_symmetry(random.Random(5))
    assert not any(random_symmetry(rng, SIX).transpose for _ in range(50))


def test_a_symmetry_can_be_pasted_back() -> None:
    symmetry = random_symmetry(random.Random(8), SIX)
    assert eval(repr(symmetry)) == symmetry


@pytest.mark.parametrize(
    ("change", "complaint"),
    [
        ({"rows": (0, 2, 1, 3)}, "bands"),
        ({"rows": (0, 0, 1, 3)}, "bands"),
        ({"columns": (1, 2, 3, 0)}, "stacks"),
        ({"digits": (1, 2, 3, 3)}, "digits"),
        ({"geometry": SIX, "transpose": True}, "square"),
    ],
)
def test_what_is_no_symmetry_is_refused(change: dict[str, Any], complaint: str) -> None:
    fields: dict[str, Any] = {"transpose": False, "rows": (0, 1, 2, 3), "columns": (0, 1, 2, 3), "digits": (1, 2, 3, 4)}
    with pytest.raises(ValueError, match=complaint):
        Symmetry(**{"geometry": SMALL, **fields, **change})
    with pytest.raises(ValueError, match="one geometry"):
        identity(SMALL).then(identity(SIX))
