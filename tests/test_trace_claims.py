"""Claims: what they exclude, whether they are true, their words, and what a crossed-out part leaves."""

from __future__ import annotations

from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inkstep.grid.geometry import CLASSIC, SMALL
from inkstep.grid.solving import solutions
from inkstep.trace.claims import Claim, claims_of
from inkstep.trace.forms import reading_of
from inkstep.trace.grammar import read_action
from inkstep.trace.strokes import Reading
from trace_sheets import shapes

SOLUTION = [int(sign) for sign in "853276149471839652692154873924518367138697425567423981716385294385942716249761538"]


def claim(text: str, *struck: tuple[str, int, int]) -> tuple[Claim, ...]:
    parts = [(CLASSIC.cell(cell), digit, by) for cell, digit, by in struck]
    return claims_of(1, read_action(text), parts)


@pytest.mark.parametrize(
    ("mark", "words", "true"),
    [
        ("r1c1 : 8", "r1c1 holds 8", True),
        ("r1c1 : 582", "r1c1 holds 2, 5 or 8", True),
        ("r1c1 : 52", "r1c1 holds 2 or 5", False),
        ("r2c2 r1c2 : 7", "the 7 of box 1 is in r1c2 or r2c2", True),
        ("r1c1 r1c9 r1c8 : 7", "the 7 of row 1 is in r1c1, r1c8 or r1c9", False),
        ("r4c9 r4c7 : 73", "r4c7 and r4c9 hold 3 and 7", True),
        ("r4c9 r4c7 r4c3 : 731", "r4c3, r4c7 and r4c9 hold 1, 3 and 7", False),
    ],
)
def test_words_and_truth(mark: str, words: str, true: bool) -> None:
    (found,) = claim(mark)
    assert found.text() == str(found) == words
    assert found.true_of(SOLUTION) is true


def test_what_each_reading_excludes() -> None:
    (cell,) = claim("r1c1 : 25")
    assert cell.excludes() == tuple((0, digit) for digit in (1, 3, 4, 6, 7, 8, 9))
    (places,) = claim("r5c1 r5c2 : 7")
    others = ["r4c1", "r4c2", "r4c3", "r5c3", "r6c1", "r6c2", "r6c3"]
    assert places.excludes() == tuple((CLASSIC.cell(name), 7) for name in others)
    (pair,) = claim("r3c8 r3c9 : 45")
    gone = set(pair.excludes())
    assert {(25, digit) for digit in (1, 2, 3, 6, 7, 8, 9)} <= gone
    row_and_box = (CLASSIC.house_masks[2] | CLASSIC.house_masks[20]) & ~(1 << 25 | 1 << 26)
    beyond = {(at, digit) for at, digit in gone if at not in (25, 26)}
    assert beyond == {(at, digit) for at in range(81) if row_and_box >> at & 1 for digit in (4, 5)}


def test_a_set_in_no_common_house_speaks_of_its_cells_only() -> None:
    (found,) = claim("r1c1 r9c9 : 38")
    assert {at for at, _ in found.excludes()} == {0, 80}


@settings(deadline=None)
@given(shapes())
def test_no_claim_excludes_what_it_allows(shape: tuple[tuple[int, ...], tuple[int, ...], int | None]) -> None:
    cells, digits, house = shape
    found = Claim(1, reading_of(cells, digits), cells, digits, house)
    assert not {(cell, digit) for cell in cells for digit in digits} & set(found.excludes())
    assert found.excludes() == tuple(sorted(set(found.excludes())))


def every_claim(size: int = 4) -> list[Claim]:
    found = [Claim(1, Reading.CELL, (5,), digits) for digits in [(1,), (1, 3), (2, 3, 4)]]
    for house, cells in enumerate(SMALL.house_cells):
        found += [Claim(1, Reading.PLACES, cells[:many], (3,), house) for many in (1, 2, 3)]
        found += [Claim(1, Reading.SET, cells[1:3], (2, 4), house)]
    return found


def test_a_claim_is_true_of_a_grid_exactly_when_what_it_excludes_is_false_there() -> None:
    """Over all completed 4x4 grids, ``excludes`` says no more and no less than the claim."""
    grids = solutions((0,) * 16, limit=1000, geometry=SMALL)
    assert len(grids) < 1000
    for found in every_claim():
        excluded = found.excludes(SMALL)
        for grid in grids:
            assert found.true_of(grid, SMALL) is not any(grid[cell] == digit for cell, digit in excluded)


@pytest.mark.parametrize(
    ("mark", "struck", "left"),
    [
        ("r1c1 : 258", [("r1c1", 5, 7)], ["r1c1 holds 2 or 8 (7)"]),
        ("r1c1 : 258", [("r1c1", 5, 7), ("r1c1", 2, 9)], ["r1c1 holds 8 (9)"]),
        ("r1c1 : 2", [("r1c1", 2, 7)], []),
        ("r5c12 : 7", [("r5c1", 7, 4)], ["the 7 of box 4 is in r5c2 (4)"]),
        ("r3c89 : 45", [("r3c8", 4, 3)], ["r3c8 and r3c9 hold 4 and 5 (1)", "r3c8 holds 5 (3)"]),
        ("r3c89 : 45", [("r3c8", 4, 3), ("r3c9", 5, 6)],
         ["r3c8 and r3c9 hold 4 and 5 (1)", "r3c8 holds 5 (3)", "r3c9 holds 4 (6)"]),
        ("r3c89 : 45", [("r3c8", 4, 3), ("r3c8", 5, 3)], ["r3c9 holds 4 or 5 (3)"]),
        ("r1c123 : 369", [("r1c1", 3, 3), ("r1c2", 3, 3), ("r1c3", 3, 3)],
         ["r1c1 holds 6 or 9 (3)", "r1c2 holds 6 or 9 (3)", "r1c3 holds 6 or 9 (3)"]),
    ],
)  # fmt: skip
def test_a_crossed_out_part_narrows_the_claim(
    mark: str, struck: list[tuple[str, int, int]], left: list[str]
) -> None:
    assert [f"{found} ({found.stroke})" for found in claim(mark, *struck)] == left


@settings(deadline=None)
@given(st.data())
def test_narrowed_claims_agree_with_the_mark_and_the_strikes(data: st.DataObject) -> None:
    """A way to fill the cells that the mark allows and no strike denies is allowed by what is left."""
    cells = tuple(data.draw(st.lists(st.sampled_from(CLASSIC.house_cells[0]), min_size=3, max_size=3, unique=True)))
    mark = read_action(" ".join(map(CLASSIC.cell_name, cells)) + " : 369")
    parts = data.draw(st.sets(st.tuples(st.sampled_from(cells), st.sampled_from((3, 6, 9))), max_size=4))
    left = claims_of(1, mark, [(cell, digit, 2) for cell, digit in sorted(parts)])
    for digits in permutations((3, 6, 9)):
        filled = dict(zip(cells, digits, strict=True))
        if not parts & set(filled.items()):
            grid = [filled.get(cell, 0) for cell in range(81)]
            assert all(found.true_of(grid) for found in left)


def test_a_mark_without_reading_claims_nothing() -> None:
    assert claims_of(1, read_action("note 3 above box 1")) == ()
