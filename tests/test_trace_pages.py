"""Pages: digits, ink and its states, claims, fresh ink, moments."""

from __future__ import annotations

import pytest
from hypothesis import given, settings

from inkstep.grid.geometry import CLASSIC
from inkstep.trace.pages import Page, moments, page_at, page_at_time, pages
from inkstep.trace.paper import Inked, State
from inkstep.trace.reading import read_sheet
from inkstep.trace.sheet import Sheet
from inkstep.trace.strokes import Kind
from trace_sheets import sheets

PUZZLE = "......1..4....965...2..4....2.518.6.1..6..4....7.2....71.3....4385..2.......6...."


def sheet_of(*lines: str) -> Sheet:
    timed = (line if line[0] in "-0123456789" else f"- {line}" for line in lines)
    return read_sheet("\n".join([f"inkstep sheet 1\npuzzle: {PUZZLE}\n", *timed, ""])).sheet


def last(*lines: str) -> Page:
    return pages(sheet_of(*lines))[-1]


def inked(page: Page, number: int) -> Inked:
    (found,) = (ink for ink in page.ink if ink.number == number)
    return found


def claims(page: Page) -> list[str]:
    return [f"{claim.stroke}: {claim}{' (spent)' if claim.spent else ''}" for claim in page.claims]


def at(name: str) -> int:
    return CLASSIC.cell(name)


def test_page_0_has_the_givens_only() -> None:
    page = pages(sheet_of("r4c1 = 9"))[0]
    assert page == Page(0, page.givens, page.givens)
    assert "".join(str(digit) if digit else "." for digit in page.digits) == PUZZLE


def test_a_digit_stands() -> None:
    page = last("r4c1 = 9")
    assert page.digits[at("r4c1")] == 9 and page.fresh == (at("r4c1"),)
    assert inked(page, 1) == Inked(1, page.ink[0].stroke)


def test_a_digit_covers_the_marks_inside_its_cell() -> None:
    page = last("r4c3 : 34", "r4c3 r4c7 : 3", "r4c3 r4c9 : 34 across the border", "note 8 at r4c3", "r4c3 = 4")
    assert [ink.state for ink in page.ink] == [
        State.COVERED, State.STANDING, State.STANDING, State.COVERED, State.STANDING,
    ]  # fmt: skip
    assert inked(page, 1).by == 5 and inked(page, 1).covered == (at("r4c3"),)
    assert inked(page, 2).covered == (at("r4c3"),) and inked(page, 2).by is None
    assert claims(page) == [
        "1: r4c3 holds 3 or 4 (spent)",
        "2: the 3 of row 4 is in r4c3 or r4c7",
        "3: r4c3 and r4c9 hold 3 and 4",
    ]
    assert [claim.stroke for claim in page.open_claims] == [2, 3]


def test_a_mark_covered_in_all_its_cells_is_written_over() -> None:
    lines = ["r4c3 r4c7 : 3", "r4c3 = 4", "r4c7 = 3"]
    page = last(*lines)
    assert inked(page, 1).state is State.COVERED and inked(page, 1).by == 3
    assert claims(page) == ["1: the 3 of row 4 is in r4c3 or r4c7 (spent)"]


def test_written_over_a_border_mark() -> None:
    plain = last("r7c7 r7c8 : 29 across the border", "r7c8 = 9")
    assert inked(plain, 1).covered == ()
    over = last("r7c7 r7c8 : 29 across the border", "r7c8 = 9 over")
    assert inked(over, 1).covered == (at("r7c8"),) and inked(over, 1).state is State.STANDING


def test_a_replaced_digit_is_crossed_out() -> None:
    page = last("r4c1 = 8", "r6c6 = 3", "r4c1 = 9 replaces 8")
    assert inked(page, 1).state is State.CROSSED and inked(page, 1).by == 3
    assert page.digits[at("r4c1")] == 9
    assert page.fresh == (at("r4c1"), at("r6c6"))


def test_a_second_digit_without_replaces_is_the_one_that_stands() -> None:
    page = last("r4c1 = 8", "r4c1 = 9")
    assert inked(page, 1).state is State.COVERED and page.digits[at("r4c1")] == 9


def test_a_crossed_out_digit_leaves_its_cell_empty_and_claims_open() -> None:
    lines = ["r4c3 : 34", "r4c3 = 4", "strike r4c3 = 4"]
    page = last(*lines)
    assert page.digits[at("r4c3")] == 0 and page.fresh == ()
    assert inked(page, 2).state is State.CROSSED
    assert claims(page) == ["1: r4c3 holds 3 or 4"]
    assert last(*lines, "strike r4c3 = 4").digits == page.digits


def test_a_given_always_stands() -> None:
    page = last("r1c7 = 5", "r1c7 = 6 replaces 5", "strike r1c7 = 1")
    assert page.digits[at("r1c7")] == 1 and page.fresh == ()


def test_a_struck_mark_claims_nothing() -> None:
    page = last("r5c2 r5c3 : 8", "strike r5c3 r5c2 : 8")
    assert inked(page, 1).state is State.STRUCK and inked(page, 1).by == 2
    assert page.claims == () and [ink.number for ink in page.ink] == [1]


def test_a_strike_takes_the_whole_of_a_mark_before_a_part_of_a_newer_one() -> None:
    page = last("r5c2 : 3", "r5c2 : 359", "strike r5c2 : 3")
    assert inked(page, 1).state is State.STRUCK and inked(page, 2).state is State.STANDING
    page = last("r5c2 : 39", "r5c2 : 359", "strike r5c2 : 3")
    assert claims(page) == ["1: r5c2 holds 3 or 9", "3: r5c2 holds 5 or 9"]


def test_of_two_equal_marks_the_newest_is_struck() -> None:
    page = last("r5c2 : 39", "r5c2 : 93", "strike r5c2 : 39")
    assert [ink.state for ink in page.ink] == [State.STANDING, State.STRUCK]


def test_a_strike_with_a_house_takes_the_mark_of_that_house() -> None:
    page = last("r5c2 r5c3 : 8 in box 4", "r5c2 r5c3 : 8 in row 5", "strike r5c2 r5c3 : 8 in box 4")
    assert [ink.state for ink in page.ink] == [State.STRUCK, State.STANDING]


def test_a_part_struck_narrows_and_the_last_part_ends_the_mark() -> None:
    lines = ["r5c2 r5c3 : 8", "strike r5c2 : 8"]
    page = last(*lines)
    assert claims(page) == ["2: the 8 of box 4 is in r5c3"]
    assert inked(page, 1).state is State.STANDING and inked(page, 1).struck == ((at("r5c2"), 8, 2),)
    assert inked(page, 1).open_cells() == (at("r5c3"),)
    page = last(*lines, "strike r5c3 : 8")
    assert page.claims == () and inked(page, 1).state is State.STRUCK


def test_what_is_left_of_a_mark_partly_written_over_can_be_struck() -> None:
    page = last("r5c2 r5c3 : 8", "r5c2 = 3", "strike r5c3 : 8")
    assert inked(page, 1).state is State.STRUCK and page.claims == ()


def test_notes_claim_nothing_and_can_be_struck() -> None:
    page = last("note 369 above box 1", 'note "8?" at r5c2', "note 12 at r5c3", "strike note 369 above box 1",
                'strike note "8?" at r5c2', "strike r5c3 : 12")  # fmt: skip
    assert page.claims == ()
    assert [ink.state for ink in page.ink] == [State.STRUCK] * 3


def test_a_strike_of_nothing_changes_nothing() -> None:
    page = last("r5c2 : 39", "strike r5c2 : 4", "strike r5c3 : 3", 'strike note "x"')
    assert claims(page) == ["1: r5c2 holds 3 or 9"] and len(page.ink) == 1


def test_fresh_ink_is_the_newest_six() -> None:
    names = ["r4c1", "r6c6", "r7c6", "r5c6", "r4c3", "r5c5", "r6c4"]
    page = last(*(f"{name} = 9" for name in names))
    assert page.fresh == tuple(at(name) for name in reversed(names))[:6]
    assert last(*(f"{name} = 9" for name in names), "strike r6c4 = 9").fresh == tuple(
        at(name) for name in reversed(names[:6])
    )


def test_moments_never_run_backwards() -> None:
    sheet = sheet_of("- r4c1 = 9", "0:02 r6c6 = 3", "- r7c6 = 5", "0:01 r5c6 = 7", "0:03 r4c3 = 4")
    assert moments(sheet.strokes) == (0, 2000, 2000, 2000, 3000)
    assert [page_at_time(sheet, ms).number for ms in (0, 1999, 2000, 2999, 3000, 9000)] == [1, 1, 4, 4, 5, 5]


def test_there_is_no_page_beyond_the_last() -> None:
    sheet = sheet_of("r4c1 = 9")
    for number in (-1, 2):
        with pytest.raises(ValueError, match="pages run from 0 to 1"):
            page_at(sheet, number)


def test_a_page_shows_its_grid_and_marks() -> None:
    text = str(last("r5c2 r5c3 : 8", "r5c2 = 3", "r4c1 = 8", "strike r4c1 = 8"))
    lines = text.split("\n")
    assert lines[0] == "page 4" and lines[1] == ". . . | . . . | 1 . .     1  r5c2 r5c3 : 8 in box 4  (written over at r5c2)"
    assert lines[2] == "4 . . | . . 9 | 6 5 .     3  r4c1 = 8  (crossed out)"
    assert lines[4] == "------+-------+------" and lines[6] == "1 3 . | 6 . . | 4 . ."


@settings(max_examples=30, deadline=None)
@given(sheets())
def test_all_pages_agree_with_each_replayed_alone(sheet: Sheet) -> None:
    found = pages(sheet)
    assert [page.number for page in found] == list(range(len(sheet.strokes) + 1))
    for page in found:
        assert page == page_at(sheet, page.number)
        assert all(page.digits[cell] == digit for cell, digit in enumerate(sheet.givens) if digit)
        assert all(claim.spent is all(page.digits[cell] for cell in claim.cells) for claim in page.claims)
        struck = {ink.number for ink in page.ink if ink.state is State.STRUCK}
        assert not struck & {claim.stroke for claim in page.claims}
        assert all(page.digits[cell] and not page.givens[cell] for cell in page.fresh)
        assert str(page)


@settings(max_examples=30, deadline=None)
@given(sheets())
def test_what_stands_is_written_by_standing_ink(sheet: Sheet) -> None:
    page = pages(sheet)[-1]
    standing = {
        ink.stroke.cells[0]: ink.stroke.digits[0]
        for ink in page.ink
        if ink.stroke.kind is Kind.DIGIT and ink.state is State.STANDING and not page.givens[ink.stroke.cells[0]]
    }
    assert standing == {cell: page.digits[cell] for cell in range(81) if page.digits[cell] and not page.givens[cell]}
