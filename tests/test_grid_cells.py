"""Cells, houses and their names; the numbers of the classic grid."""

from __future__ import annotations

import copy
import pickle

import pytest

from inkstep.grid.cells import Cell
from inkstep.grid.geometry import CLASSIC, SMALL, Geometry, bits
from inkstep.ground.errors import InputError


def test_a_cell_is_a_number_with_a_name() -> None:
    cell = Cell("r4c7")
    assert cell == 33 == Cell(33) and hash(cell) == hash(33) and isinstance(cell, int)
    assert str(cell) == f"{cell}" == "r4c7" and repr(cell) == "Cell('r4c7')"
    assert list(range(81))[cell] == 33 and {33: "here"}[cell] == "here"
    assert Cell(" R4C7 ") == Cell(cell) == cell
    assert [CLASSIC.house_name(house) for house in cell.houses] == ["row 4", "column 7", "box 6"]


@pytest.mark.parametrize("number", range(81))
def test_every_cell_both_ways(number: int) -> None:
    cell = Cell(number)
    assert Cell(str(cell)) == eval(repr(cell)) == pickle.loads(pickle.dumps(cell)) == copy.copy(cell) == number
    assert type(pickle.loads(pickle.dumps(cell))) is Cell


@pytest.mark.parametrize("wrong", ["r0c1", "r1c10", "c1r1", "", "33", "r4c7x", 81, -1, 10**40])
def test_what_is_no_cell_is_refused(wrong: str | int) -> None:
    with pytest.raises(InputError, match="a cell"):
        Cell(wrong)


def test_the_numbers_of_the_classic_grid() -> None:
    # 27 houses, 20 peers a cell, 81 x 20 / 2 = 810 pairs of cells in conflict: arithmetic.
    assert len(CLASSIC.house_cells) == 27
    assert {mask.bit_count() for mask in CLASSIC.peers} == {20}
    assert sum(mask.bit_count() for mask in CLASSIC.peers) // 2 == 810
    assert all(CLASSIC.peers[other] >> cell & 1 for cell in range(81) for other in bits(CLASSIC.peers[cell]))


@pytest.mark.parametrize("geometry", [CLASSIC, SMALL, Geometry(2, 3), Geometry(3, 2)])
def test_names_both_ways(geometry: Geometry) -> None:
    assert all(geometry.cell(geometry.cell_name(cell)) == cell for cell in range(geometry.cells))
    assert all(geometry.house(geometry.house_name(h)) == h for h in range(3 * geometry.size))
    assert all(geometry.house_kind(h) == geometry.house_name(h).split()[0] for h in range(3 * geometry.size))


def test_geometries_of_the_same_measures_are_equal() -> None:
    assert Geometry(3, 3) == CLASSIC and hash(Geometry(3, 3)) == hash(CLASSIC)
    assert Geometry(2, 3) != Geometry(3, 2) and Geometry(2, 2) == eval(repr(SMALL)) and SMALL != "Geometry(2, 2)"
    assert pickle.loads(pickle.dumps(CLASSIC)) == CLASSIC


def test_houses_that_cells_share() -> None:
    pair = 1 << CLASSIC.cell("r4c7") | 1 << CLASSIC.cell("r4c9")
    assert [CLASSIC.house_name(h) for h in CLASSIC.shared_houses(pair)] == ["row 4", "box 6"]
    assert CLASSIC.shared_houses(1 << CLASSIC.cell("r1c1") | 1 << CLASSIC.cell("r5c5")) == ()
