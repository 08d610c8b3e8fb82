"""The sheet as a text: both ways, one canonical form, nothing lost; the golden of version 1; the documentation's example."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inkstep.ground.errors import InputError
from inkstep.trace.forms import flaw_of
from inkstep.trace.grammar import action_text, read_action, read_cells
from inkstep.trace.pages import pages
from inkstep.trace.quoting import quoted, unquoted
from inkstep.trace.reading import read_sheet
from inkstep.trace.sheet import Header, Sheet
from inkstep.trace.strokes import Kind, Place, Reading, Stroke, Where
from inkstep.trace.writing import write_sheet
from trace_sheets import GOLDEN, headers, sheets, strokes

DOCUMENT = Path(__file__).parents[1] / "docs" / "sheet.md"


@settings(max_examples=80, deadline=None)
@given(sheets(most=8))
def test_a_written_sheet_reads_back_as_itself(sheet: Sheet) -> None:
    text = write_sheet(sheet)
    reading = read_sheet(text)
    assert reading.sheet == sheet
    assert write_sheet(reading.sheet) == text
    assert reading.complete
    assert all(damage.kept for damage in reading.damage)


@settings(max_examples=100, deadline=None)
@given(strokes())
def test_every_well_formed_stroke_has_text_both_ways(stroke: Stroke) -> None:
    bare = replace(stroke, at_ms=None, comment="", before=())
    assert flaw_of(bare) == ""
    assert read_action(action_text(bare)) == bare


@settings(max_examples=50, deadline=None)
@given(headers())
def test_a_header_survives_without_strokes(header: Header) -> None:
    assert read_sheet(write_sheet(Sheet(header))).sheet == Sheet(header)


@settings(max_examples=30, deadline=None)
@given(sheets(most=4), st.sampled_from(["utf-8", "utf-8-sig", "utf-16"]), st.sampled_from(["\n", "\r\n", "\r"]))
def test_encodings_and_line_ends_do_not_matter(sheet: Sheet, encoding: str, line_end: str) -> None:
    data = write_sheet(sheet).replace("\n", line_end).encode(encoding)
    assert read_sheet(data).sheet == sheet


@given(st.text(st.characters(codec="utf-8")))
def test_quotes_hold_any_text(text: str) -> None:
    assert unquoted(quoted(text)) == text
    assert "\n" not in quoted(text)


def test_the_golden_of_version_1_is_read_and_written_unchanged() -> None:
    text = GOLDEN.read_text(encoding="utf-8")
    reading = read_sheet(text, strict=True)
    assert write_sheet(reading.sheet) == text
    assert reading.complete and reading.damage == ()


def test_the_golden_says_everything_a_sheet_can_say() -> None:
    sheet = read_sheet(GOLDEN.read_bytes()).sheet
    assert {stroke.kind for stroke in sheet.strokes} == set(Kind)
    assert {stroke.reading for stroke in sheet.strokes} == {None, *Reading}
    assert {stroke.place.where for stroke in sheet.strokes} == set(Where)
    assert any(stroke.over for stroke in sheet.strokes)
    assert any(stroke.at_ms is None for stroke in sheet.strokes)
    assert any("\n" in stroke.comment for stroke in sheet.strokes)
    assert {stroke.kind for stroke in sheet.strokes if stroke.crosses_digit} == {Kind.DIGIT, Kind.STRIKE}
    header = sheet.header
    assert header.clock_start_ms == 125_480
    assert header.other == (("x-paper", "cream, 100 g"), ("x-camera", "50 frames a second\nno sound"))
    assert [key for key, _ in header.remarks] == ["puzzle", "permission", ""]
    assert sheet.after == ("# The rest is lost: the reel ends here.",)


def test_values_of_the_golden() -> None:
    strokes = read_sheet(GOLDEN.read_bytes()).sheet.strokes
    assert strokes[0] == Stroke(
        Kind.DIGIT, 1200, (27,), (9,), before=("# First pass: what the row gives away",)
    )
    assert strokes[5].comment == "Two cells of row 4 are settled as a pair,\n\n  so the third is clear."
    assert strokes[8] == Stroke(Kind.DIGIT, 11_700, (48,), (4,), replaces=9, comment="the slip, mended")
    assert strokes[9] == Stroke(Kind.NOTE, text="8?", place=Place(Where.RIGHT, 5), before=("",))
    assert strokes[13].place == Place(Where.BORDER) and strokes[13].house == 26
    assert strokes[15].text == '"no 5"\n# twice'
    assert strokes[-1].at_ms == 3_602_003


def examples() -> list[str]:
    return re.findall(r"^```sheet\n(.*?)^```$", DOCUMENT.read_text(encoding="utf-8"), re.DOTALL | re.MULTILINE)


def test_the_documented_example_is_canonical_and_sound() -> None:
    (example,) = examples()
    reading = read_sheet(example, strict=True)
    assert write_sheet(reading.sheet) == example
    assert {stroke.kind for stroke in reading.sheet.strokes} == set(Kind)
    assert len(pages(reading.sheet)) == len(reading.sheet.strokes) + 1


def documented_lines() -> list[tuple[str, str]]:
    rows = re.findall(r"^\| `([^`]+)` \| `([^`]+)` \|", DOCUMENT.read_text(encoding="utf-8"), re.MULTILINE)
    return [(typed.replace("\\|", "|"), written) for typed, written in rows]


def test_the_documented_forms_are_read_as_documented() -> None:
    rows = documented_lines()
    assert len(rows) >= 10
    for typed, written in rows:
        assert action_text(read_action(typed)) == written


def test_every_header_key_is_documented() -> None:
    from_code = set(read_sheet(GOLDEN.read_bytes()).sheet.header.written_keys()) - {"x-paper", "x-camera"}
    document = DOCUMENT.read_text(encoding="utf-8")
    assert [key for key in from_code if f"| `{key}` |" not in document] == []


@pytest.mark.parametrize(
    ("typed", "written"),
    [
        ("R5C7=8", "r5c7 = 8"),
        ("r5c12 : 7", "r5c1 r5c2 : 7 in box 4"),
        ("r45c1 : 7", "r4c1 r5c1 : 7 in box 4"),
        ("r5c1,r5c9: 7", "r5c1 r5c9 : 7 in row 5"),
        ("r1c4, r9c4 : 7", "r1c4 r9c4 : 7 in column 4"),
        ("r5c12 : 7 in row 5", "r5c1 r5c2 : 7 in row 5"),
        ("r3c8 r3c9 : 4 5 across the border", "r3c8 r3c9 : 45 across the border"),
        ("r3c8 r3c9 : 4,5 on border", "r3c8 r3c9 : 45 across the border"),
        ("r1c1 : 1, 2,3", "r1c1 : 123"),
        ("r1c123 : 369 above", "r1c1 r1c2 r1c3 : 369 above box 1"),
        ("r1c1 r1c9 : 36 left", "r1c1 r1c9 : 36 left of row 1"),
        ("r1c123 : 369 in each cell", "r1c1 r1c2 r1c3 : 369"),
        ("r1c1 = 5 over the mark", "r1c1 = 5 over"),
        ("r1c1 = 5 over replaces 4", "r1c1 = 5 replaces 4 over"),
        ("r1c1 = 5 instead of 4", "r1c1 = 5 replaces 4"),
        ("note 3 6 9 above col 2", "note 369 above column 2"),
        ('note "x"left of row3', 'note "x" left of row 3'),
        ("note 33 in r5c5", "note 33 at r5c5"),
        ("strike r5c12:7", "strike r5c1 r5c2 : 7"),
        ("strike r5c5=7", "strike r5c5 = 7"),
        ("strike note 12 at r5c5", "strike r5c5 : 12"),
        ('strike note "a" above box 1', 'strike note "a" above box 1'),
    ],
)
def test_loose_forms_have_one_canonical_form(typed: str, written: str) -> None:
    assert action_text(read_action(typed)) == written


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        ("r5c7 = 0", "digits from 1 to 9"),
        ("r5c7 = 12", "one cell and one digit around ="),
        ("r10c7 = 1", "rows and columns from 1 to 9"),
        ("r5c77 : 12", "each cell once"),
        ("r5c7 : 22", "each digit once"),
        ("r5c7 : 8x", "digits from 1 to 9"),
        ("r123456c12 : 8", "at most nine cells in a short form"),
        ("r1c1 r9c9 : 8", "cells that lie in one row, column or box"),
        ("r1c1 r9c9 : 8 in box 1", "cells that all lie in box 1"),
        ("r1c12 : 123", "one digit, or 2 digits across 2 cells"),
        ("r1c1 = 3 in box 1", "replaces 3, or over after the digits"),
        ("r1c1 : 3 in box 1 in box 1", "across the border, or above box 1 after the digits"),
        ("r1c1 r9c9 : 38 above", "the column or box that the mark stands beside"),
        ("r1c1 : 3 above row 1", "a column or a box that the ink stands above"),
        ("r1c1 : 3 above box 10", "a house such as row 4, column 2 or box 7"),
        ("note 369 left of column 2", "a row or a box that the ink stands left"),
        ('note ""', "a note with text or digits, one of the two"),
        (r'note "\q"', r"an escape such as \" \\ \n or \u{1f58a} in the quotes"),
        (r'note "\u{d800}"', r"an escape such as \" \\ \n or \u{1f58a} in the quotes"),
        ("note 12 at r5c5 above box 1", "a note in cells or outside the frame, one of the two"),
        ("strike r5c5 = 7 over", "nothing more after the digits"),
        ("strike it", "strike r5c1 r5c2 : 7, strike r5c7 = 8 or strike note ..."),
        ("hello", "a stroke such as r5c7 = 8, r5c1 r5c2 : 7, note ... or strike ..."),
    ],
)
def test_what_is_no_stroke_says_what_was_expected(typed: str, expected: str) -> None:
    with pytest.raises(InputError) as caught:
        read_action(typed)
    assert caught.value.expected == expected


def test_cells_keep_the_order_in_which_they_were_written() -> None:
    assert read_cells("r5c2 r5c1") == (37, 36)


@pytest.mark.parametrize(
    "stroke",
    [
        Stroke(Kind.DIGIT, cells=(81,), digits=(1,)),
        Stroke(Kind.DIGIT, cells=(1,), digits=(0,)),
        Stroke(Kind.DIGIT, cells=(1,), digits=(1,), at_ms=-1),
        Stroke(Kind.DIGIT, cells=(1,), digits=(1,), text="a"),
        Stroke(Kind.MARK, cells=(1,), digits=(1,)),
        Stroke(Kind.MARK, cells=(0, 1), digits=(1,), reading=Reading.PLACES),
        Stroke(Kind.MARK, cells=(0, 1), digits=(1,), reading=Reading.PLACES, house=26),
        Stroke(Kind.MARK, cells=(0,), digits=(1,), reading=Reading.CELL, place=Place(Where.ABOVE)),
        Stroke(Kind.MARK, cells=(0,), digits=(1,), reading=Reading.CELL, place=Place(Where.CELL, 3)),
        Stroke(Kind.NOTE, text="a", digits=(1,)),
        Stroke(Kind.NOTE, text="\ud800"),
        Stroke(Kind.NOTE, text="a", place=Place(Where.BORDER)),
        Stroke(Kind.STRIKE, cells=(0,), digits=(1,), replaces=2),
        Stroke(Kind.STRIKE),
        Stroke(Kind.DIGIT, cells=(1,), digits=(1,), comment="a\x07"),
        Stroke(Kind.DIGIT, cells=(1,), digits=(1,), before=("no comment",)),
    ],
)
def test_the_writer_refuses_what_no_line_can_say(stroke: Stroke) -> None:
    with pytest.raises(InputError):
        write_sheet(Sheet(Header((0,) * 81), (stroke,)))


@pytest.mark.parametrize(
    "header",
    [
        Header((0,) * 80),
        Header((0,) * 81, clock_start_ms=-1),
        Header((0,) * 81, other=(("Title", "x"),)),
        Header((0,) * 81, other=(("a:b", "x"),)),
        Header((0,) * 81, title="\x00"),
        Header((0,) * 81, remarks=(("", "no comment"),)),
    ],
)
def test_the_writer_refuses_headers_that_would_not_read_back(header: Header) -> None:
    with pytest.raises(InputError):
        write_sheet(Sheet(header))


def test_untidy_blanks_are_not_kept() -> None:
    stroke = Stroke(Kind.DIGIT, 1000, (0,), (1,), comment="\n a  \n\n", before=("", "", "#  x ", "", ""))
    text = write_sheet(Sheet(Header((0,) * 81, title=" two\nlines "), (stroke,), ("", "")))
    assert text.split("\n", 2)[2] == "title: two lines\n\n#  x\n\n0:01.000  r1c1 = 1  #  a\n"
    assert write_sheet(read_sheet(text).sheet) == text
