"""Edits of the stream: pure, and in agreement with each other."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inkstep.ground.errors import InputError
from inkstep.trace.editing import cut_idle, insert, move, remove, replace_stroke, shift, splice, trim, trim_time
from inkstep.trace.pages import pages
from inkstep.trace.reading import read_sheet
from inkstep.trace.sheet import Header, Sheet
from inkstep.trace.strokes import Kind, Stroke
from inkstep.trace.writing import write_sheet
from trace_sheets import GOLDEN, sheets, strokes

EMPTY = Sheet(Header((0,) * 81))


def digit(cell: int, at_ms: int | None = None, *before: str) -> Stroke:
    return Stroke(Kind.DIGIT, at_ms, (cell,), (1,), before=before)


def sheet_of(*strokes: Stroke, after: tuple[str, ...] = ()) -> Sheet:
    return Sheet(EMPTY.header, strokes, after)


def times(sheet: Sheet) -> list[int | None]:
    return [stroke.at_ms for stroke in sheet.strokes]


ABC = sheet_of(digit(0, 1000, "# a"), digit(1, 2000, "", "# b"), digit(2, 3000, "# c"), after=("# end",))


@settings(max_examples=25, deadline=None)
@given(sheets(), strokes(), st.data())
def test_what_was_inserted_can_be_removed(sheet: Sheet, stroke: Stroke, data: st.DataObject) -> None:
    number = data.draw(st.integers(1, len(sheet.strokes) + 1))
    stroke = Stroke(stroke.kind, cells=(0,), digits=(1,)) if stroke.before else stroke
    edited = insert(sheet, number, stroke)
    assert edited.strokes[number - 1] == stroke
    assert remove(edited, number) == sheet


@settings(max_examples=25, deadline=None)
@given(sheets(), st.data())
def test_moving_there_and_back_changes_nothing(sheet: Sheet, data: st.DataObject) -> None:
    if not sheet.strokes:
        return
    places = st.integers(1, len(sheet.strokes))
    number, to = data.draw(places), data.draw(places)
    assert move(move(sheet, number, to), to, number) == sheet
    assert sorted(map(id, move(sheet, number, to).strokes)) == sorted(map(id, sheet.strokes))


@settings(max_examples=25, deadline=None)
@given(sheets(), st.integers(0, 100_000))
def test_shifting_there_and_back_changes_nothing(sheet: Sheet, by_ms: int) -> None:
    assert shift(shift(sheet, by_ms), -by_ms) == sheet


@settings(max_examples=25, deadline=None)
@given(sheets(), st.data())
def test_trimming_the_end_keeps_the_first_pages(sheet: Sheet, data: st.DataObject) -> None:
    if not sheet.strokes:
        return
    last = data.draw(st.integers(1, len(sheet.strokes)))
    assert pages(trim(sheet, last=last)) == pages(sheet)[: last + 1]


@settings(max_examples=25, deadline=None)
@given(sheets(), st.data())
def test_the_two_ends_of_a_trimmed_sheet_splice_to_the_whole(sheet: Sheet, data: st.DataObject) -> None:
    if len(sheet.strokes) < 2:
        return
    last = data.draw(st.integers(1, len(sheet.strokes) - 1))
    whole = splice(trim(sheet, 1, last), trim(sheet, last + 1))
    assert whole.strokes == sheet.strokes
    assert whole.after == sheet.after


def test_removed_strokes_leave_the_lines_above_them() -> None:
    assert remove(ABC, 1).strokes[0].before == ("# a", "", "# b")
    assert remove(ABC, 1, 2).strokes[0].before == ("# a", "", "# b", "# c")
    assert remove(ABC, 3).after == ("# c", "# end")
    assert remove(ABC, 1, 3) == sheet_of(after=("# a", "", "# b", "# c", "# end"))
    assert "# b" in write_sheet(remove(ABC, 2))


def test_a_replaced_stroke_keeps_the_lines_above_it() -> None:
    assert replace_stroke(ABC, 2, digit(9)).strokes[1] == digit(9, None, "", "# b")
    assert replace_stroke(ABC, 2, digit(9, 5, "# new")).strokes[1] == digit(9, 5, "# new")


def test_shifting_a_range() -> None:
    assert times(shift(ABC, 500, 2)) == [1000, 2500, 3500]
    assert times(shift(ABC, -500, 1, 2)) == [500, 1500, 3000]
    assert times(shift(sheet_of(digit(0), digit(1, 5)), 10)) == [None, 15]
    assert shift(EMPTY, 10) == EMPTY


def test_cutting_an_idle_stretch() -> None:
    assert times(cut_idle(ABC, 1200, 1900)) == [1000, 1300, 2300]
    assert times(cut_idle(ABC, 1000, 2000)) == [1000, 1000, 2000]
    assert times(cut_idle(ABC, 4000, 5000)) == [1000, 2000, 3000]
    with pytest.raises(InputError, match="nothing was written"):
        cut_idle(ABC, 1500, 2500)


def test_splicing_in_the_middle() -> None:
    other = sheet_of(digit(9, 100, "# o"), after=("# tail",))
    joined = splice(ABC, other, 1, shift_ms=1200)
    assert times(joined) == [1000, 1300, 2000, 3000]
    assert joined.strokes[1].before == ("# o",) and joined.strokes[2].before == ("# tail", "", "# b")
    assert splice(ABC, other).after == ("# tail", "# end")
    assert splice(ABC, other, 0).strokes[0].cells == (9,)


def test_trimming_by_time() -> None:
    sheet = sheet_of(digit(0), digit(1, 1000), digit(2), digit(3, 2000), digit(4), digit(5, 3000))
    assert [stroke.cells[0] for stroke in trim_time(sheet, 0, 2000).strokes] == [0, 1, 2, 3, 4]
    assert [stroke.cells[0] for stroke in trim_time(sheet, 1500, 9000).strokes] == [3, 4, 5]


@pytest.mark.parametrize(
    "edit",
    [
        lambda: insert(ABC, 0, digit(5)),
        lambda: insert(ABC, 5, digit(5)),
        lambda: remove(ABC, 4),
        lambda: remove(ABC, 2, 1),
        lambda: remove(EMPTY, 1),
        lambda: replace_stroke(ABC, 0, digit(5)),
        lambda: move(ABC, 1, 4),
        lambda: shift(ABC, -1001),
        lambda: shift(ABC, 5, 1, 9),
        lambda: cut_idle(ABC, 500, 500),
        lambda: splice(ABC, Sheet(Header((1,) + (0,) * 80))),
        lambda: splice(ABC, ABC, 4),
        lambda: trim(ABC, 2, 4),
    ],
)
def test_edits_that_cannot_be_made_say_why(edit: Callable[[], Sheet]) -> None:
    with pytest.raises(InputError):
        edit()


def test_edits_leave_the_sheet_as_it_was() -> None:
    sheet = read_sheet(GOLDEN.read_bytes()).sheet
    before = write_sheet(sheet)
    remove(insert(shift(sheet, 100), 3, digit(5)), 1, 4)
    assert write_sheet(sheet) == before
