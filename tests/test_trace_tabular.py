"""A sheet as a table and as JSON: nothing lost either way, formulas kept harmless, damage told by line."""

from __future__ import annotations

import csv
import io
import json
import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inkstep.ground.errors import InputError
from inkstep.trace.grammar import action_text, read_action
from inkstep.trace.plain import sheet_from_json, sheet_to_json
from inkstep.trace.reading import read_sheet
from inkstep.trace.rows import COLUMNS
from inkstep.trace.sheet import Header, Sheet
from inkstep.trace.strokes import Kind, Place, Reading, Stroke, Where
from inkstep.trace.tabular import sheet_from_csv, sheet_to_csv
from inkstep.trace.writing import write_sheet
from trace_sheets import GOLDEN, sheets

DOCUMENT = Path(__file__).parents[1] / "docs" / "sheet.md"
HEADER = Header((0,) * 81)
DEMO = read_sheet(GOLDEN.read_bytes()).sheet


def settled(sheet: Sheet) -> Sheet:
    return read_sheet(write_sheet(sheet)).sheet


def in_table(sheet: Sheet) -> Sheet:
    """What of a sheet a table holds: not the comment lines between strokes."""
    return Sheet(sheet.header, tuple(replace(stroke, before=()) for stroke in sheet.strokes))


def rows(table: str) -> list[dict[str, str]]:
    """The table as Python's csv module reads it."""
    return list(csv.DictReader(io.StringIO(table, newline="")))


def one(*fields: str, columns: str = "kind,cells,digits") -> Stroke:
    """The stroke of a table with one row."""
    reading = sheet_from_csv(f"{columns}\r\n{','.join(fields)}\r\n", HEADER)
    assert reading.damage == () and reading.complete
    (stroke,) = reading.sheet.strokes
    return stroke


@settings(max_examples=80, deadline=None)
@given(sheets())
def test_a_table_read_back_has_all_strokes(sheet: Sheet) -> None:
    sheet = settled(sheet)
    table = sheet_to_csv(sheet)
    reading = sheet_from_csv(table, sheet.header)
    assert reading.sheet == in_table(sheet)
    assert reading.damage == () and reading.complete
    assert sheet_to_csv(reading.sheet) == table


@settings(max_examples=40, deadline=None)
@given(sheets())
def test_every_row_is_one_stroke_for_the_csv_module(sheet: Sheet) -> None:
    found = rows(sheet_to_csv(sheet))
    assert [row["number"] for row in found] == [str(number) for number in range(1, len(sheet.strokes) + 1)]
    for row, stroke in zip(found, sheet.strokes, strict=True):
        assert tuple(row) == COLUMNS
        assert row["ms"] == ("" if stroke.at_ms is None else str(stroke.at_ms))
        assert row["kind"] == stroke.kind
        for name in ("text", "comment"):
            assert row[name].removeprefix("'") == getattr(stroke, name).removeprefix("'")


def test_the_demo_as_a_table() -> None:
    table = sheet_to_csv(DEMO)
    assert table.startswith(f"{','.join(COLUMNS)}\r\n1,0:01.200,1200,digit,r4c1,9,,,cell,,,,,\r\n")
    assert all(line.endswith("\r\n") for line in table.splitlines(keepends=True)[:3])
    found = rows(table)
    places = next(row for row in found if row["reading"] == "places")
    assert places["cells"] == "r1c2 r2c2 r3c2" and places["digits"] == "7" and places["house"] == "box 1"
    assert [row["beside"] for row in found if row["where"] == "left"] == ["row 8"]
    assert [row["replaces"] for row in found if row["replaces"] and row["kind"] == "digit"] == ["9"]
    assert [row["cells"] for row in found if row["over"] == "yes"] == ["r2c2", "r7c8"]


def test_pandas_reads_the_demo() -> None:
    pandas = pytest.importorskip("pandas")
    frame = pandas.read_csv(io.StringIO(sheet_to_csv(DEMO)))
    assert len(frame) == len(DEMO.strokes) and tuple(frame.columns) == COLUMNS
    known = [stroke.at_ms for stroke in DEMO.strokes if stroke.at_ms is not None]
    assert frame["ms"].dropna().astype(int).tolist() == known
    assert frame["comment"].fillna("").tolist() == [stroke.comment for stroke in DEMO.strokes]
    # and what it writes again is read, with its floating numbers
    assert ".0," in frame.to_csv(index=False)
    reading = sheet_from_csv(frame.to_csv(), DEMO.header)
    assert reading.damage == () and reading.sheet == in_table(DEMO)


@settings(max_examples=30, deadline=None)
@given(sheets())
def test_pandas_reads_any_text_of_a_table(sheet: Sheet) -> None:
    pandas = pytest.importorskip("pandas")
    if not sheet.strokes or any("\0" in stroke.text or "\r" in stroke.text for stroke in sheet.strokes):
        return  # pandas ends a text at a null character, and takes every line end for one of its own
    frame = pandas.read_csv(io.StringIO(sheet_to_csv(sheet)), dtype=str, keep_default_na=False)
    assert frame["cells"].tolist() == [row["cells"] for row in rows(sheet_to_csv(sheet))]
    assert frame["text"].tolist() == [row["text"] for row in rows(sheet_to_csv(sheet))]


FORMULAS = ["=1+1", "+1", "-1", "@sum(a1)", "\t=1", "\r=1", "\n=1", "＝1", "'=1", "''@x", "=", "'", "'tis", "a=1", ""]
signs = st.text(st.sampled_from(list("'=+-@\t\r\nx\"")), max_size=6)


@pytest.mark.parametrize("text", FORMULAS[:11])
def test_no_text_becomes_a_formula(text: str) -> None:
    note = Stroke(Kind.NOTE, text=text, comment=text.replace("\r", "="))
    (row,) = rows(sheet_to_csv(Sheet(HEADER, (note,))))
    assert row["text"] == f"'{text}" and row["comment"] == f"'{note.comment}"


@given(signs.filter(bool))
def test_the_guard_comes_off_again(text: str) -> None:
    table = sheet_to_csv(Sheet(HEADER, (Stroke(Kind.NOTE, text=text),)))
    assert rows(table)[0]["text"][:1] not in set("=+-@\t\r\n")
    assert sheet_from_csv(table, HEADER).sheet.strokes[0].text == text


@pytest.mark.parametrize("text", FORMULAS[11:])
def test_other_text_stays_as_it_is(text: str) -> None:
    note = Stroke(Kind.NOTE, text=text or "?", comment=text)
    (row,) = rows(sheet_to_csv(Sheet(HEADER, (note,))))
    assert row["comment"] == text


def as_other(table: str, delimiter: str, names: list[str]) -> str:
    """A table written again with other columns and another sign between."""
    written = io.StringIO(newline="")
    writer = csv.DictWriter(written, names, delimiter=delimiter, restval="99", extrasaction="ignore", lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows(table))
    return written.getvalue()


@pytest.mark.parametrize("delimiter", [";", "\t", ","])
@pytest.mark.parametrize("front", ["", "\ufeff"])
def test_any_order_of_columns_and_any_common_delimiter(delimiter: str, front: str) -> None:
    names = ["colour", *sorted(COLUMNS), "weight"]
    table = front + as_other(sheet_to_csv(DEMO), delimiter, names)
    reading = sheet_from_csv(table.replace("kind", " Kind ", 1), DEMO.header)
    assert reading.sheet == in_table(DEMO) and reading.damage == ()


def test_bytes_in_the_encodings_of_spreadsheets() -> None:
    sheet = Sheet(HEADER, (Stroke(Kind.NOTE, text="é?"),))
    table = sheet_to_csv(sheet)
    for data in (table.encode("utf-8"), table.encode("utf-8-sig"), table.encode("utf-16")):
        reading = sheet_from_csv(data, HEADER)
        assert reading.sheet == sheet and reading.damage == () and reading.complete
    reading = sheet_from_csv(table.encode("latin-1"), HEADER)
    assert reading.sheet == sheet and "Latin-1" in str(reading.damage[0])


def test_a_short_table_is_enough() -> None:
    assert one("digit", "r5c7", "8") == read_action("r5c7 = 8")
    assert one("MARK", "r5c12", "7") == read_action("r5c1 r5c2 : 7 in box 4")
    assert one("mark", "r5c1 r5c4", "7") == read_action("r5c1 r5c4 : 7 in row 5")
    assert one("mark", "r5c1", "25") == one("mark", "r5c1", "2 5") == read_action("r5c1 : 25")
    assert one("note", "3", columns="kind,digits") == read_action("note 3")
    assert one("digit", "r5c7", "8.0", "2.0", "TRUE", columns="kind,cells,digits,replaces,over") == read_action(
        "r5c7 = 8 replaces 2 over"
    )


@pytest.mark.parametrize(
    ("time", "ms", "expected"),
    [
        ("0:01.5", "", 1500),
        ("", "1500", 1500),
        ("", "1500.0", 1500),
        ("0:01", "1500", 1500),
        ("1,5", "", 1500),
        ("", "", None),
    ],
)
def test_either_column_of_time(time: str, ms: str, expected: int | None) -> None:
    assert one(f'"{time}"', ms, "digit", "r1c1", "1", columns="time,ms,kind,cells,digits").at_ms == expected


DAMAGED: list[tuple[str, str, bool]] = [
    ("dot,r5c7,8,,", "line 2: expected digit, mark, note or strike, got 'dot, r5c7, 8'; found 'dot'", False),
    (",r5c7,8,,", "found ''; in the column kind", False),
    ("digit,r5c0,8,,", "expected rows and columns from 1 to 9", False),
    ("digit,r5c7,0,,", "expected digits from 1 to 9", False),
    ("digit,r5c7,²,,", "expected digits from 1 to 9", False),
    ("digit,r5c7,8,25,", "expected one digit", False),
    ("digit,r5c7 r5c8,8,,", "expected one digit in one cell", False),
    ("mark,r5c7 r5c8 r5c9,12,,", "expected one digit, or 3 digits across 3 cells", False),
    ("mark,r5c7 r1c1,1,,", "expected the house of a digit's places", False),
    ("digit,r5c7,8,,soon", "expected a whole number, got 'soon'; in the column ms", True),
    ("digit,r5c7,8,,9999999999999", "expected a whole number", True),
]


@pytest.mark.parametrize(("row", "sentence", "kept"), DAMAGED)
def test_damage_is_told_by_line_and_the_rest_is_read(row: str, sentence: str, kept: bool) -> None:
    table = f"kind,cells,digits,replaces,ms\n{row}\n,,,,\ndigit,r1c1,1,,\n"
    reading = sheet_from_csv(table, HEADER)
    assert sentence in reading.report() and reading.damage[0].line == 2
    assert len(reading.sheet.strokes) == (2 if kept else 1) and reading.complete is kept
    assert action_text(reading.sheet.strokes[-1]) == "r1c1 = 1"


def test_lines_are_counted_through_texts_of_several_lines() -> None:
    table = 'kind,cells,digits,text\r\nnote,,,"a\r\nb\nc"\r\ndigit,r1c1,x,\r\n'
    reading = sheet_from_csv(table, HEADER)
    assert reading.sheet.strokes[0].text == "a\r\nb\nc"
    assert [damage.line for damage in reading.damage] == [5]


def test_times_that_disagree_are_told() -> None:
    reading = sheet_from_csv("time,ms,kind,cells,digits\n0:09,1500,digit,r1c1,1\n", HEADER)
    assert reading.sheet.strokes[0].at_ms == 1500 and reading.complete
    assert "expected the same moment in the columns time and ms, got '+7500 ms'; ms was taken" in reading.report()


def test_an_open_quote_and_a_row_too_long_are_told() -> None:
    reading = sheet_from_csv('kind,text\nnote,"a\nnote,b\n', HEADER)
    assert "closing quote" in reading.report() and len(reading.sheet.strokes) == 1 and not reading.complete
    reading = sheet_from_csv(f"kind,text\nnote,{'a' * 200_000}\nnote,b\n", HEADER)
    assert "expected a row of a table" in reading.report() and reading.sheet.strokes[-1].text == "b"
    reading = sheet_from_csv("kind,text\n" + "note,b\n" * 10_001, HEADER)
    assert "at most 10,000 lines" in reading.report() and len(reading.sheet.strokes) == 9_999
    assert not reading.complete


@pytest.mark.parametrize("table", ["", "\n", "a,b\n1,2\n", "inkstep sheet 1\n"])
def test_what_is_no_table_is_refused(table: str) -> None:
    with pytest.raises(InputError, match=r"league\.csv: expected a table whose first row names its columns"):
        sheet_from_csv(table, HEADER, where="league.csv")


@settings(max_examples=100, deadline=None)
@given(st.text(st.sampled_from(list('kindcellsdigitstext,;"\r\n=18r note')), max_size=80) | st.binary(max_size=60))
def test_only_our_own_errors_come_out_and_what_was_read_can_be_written(noise: str | bytes) -> None:
    front = "kind,text,comment,digits,ms,time,house,cells\r\nnote,"
    table = front.encode() + noise if isinstance(noise, bytes) else front + noise
    sheet = sheet_from_csv(table, HEADER).sheet
    assert read_sheet(write_sheet(sheet)).sheet.strokes == sheet.strokes
    try:
        sheet_from_csv(noise, HEADER)
    except InputError as error:
        assert str(error)


def test_line_ends_of_spreadsheets_inside_a_comment() -> None:
    assert one('"a\r\nb\rc"', "digit", "r1c1", "1", columns="comment,kind,cells,digits").comment == "a\nb\nc"


def test_a_stroke_that_no_table_can_say_is_refused() -> None:
    with pytest.raises(InputError, match="stroke 1: expected one digit in one cell"):
        sheet_to_csv(Sheet(HEADER, (Stroke(Kind.DIGIT),)))
    with pytest.raises(InputError, match="stroke 1"):
        sheet_to_json(Sheet(HEADER, (Stroke(Kind.DIGIT),)))


@settings(max_examples=80, deadline=None)
@given(sheets())
def test_json_loses_nothing(sheet: Sheet) -> None:
    sheet = settled(sheet)
    text = sheet_to_json(sheet)
    assert sheet_from_json(text) == sheet
    assert sheet_to_json(sheet_from_json(text)) == text


def test_the_demo_as_json() -> None:
    record = json.loads(sheet_to_json(DEMO))
    assert record["record"] == "inkstep-solve/1"
    assert record["header"]["puzzle"] == DEMO.header.puzzle and record["header"]["clock_start_ms"] == 125_480
    mark = next(stroke for stroke in record["strokes"] if stroke["where"] == "border")
    assert mark == {
        "at_ms": 17_100, "kind": "mark", "cells": ["r7c7", "r7c8"], "digits": [2, 9], "reading": "set", "house": "box 9",
        "where": "border", "beside": None, "replaces": None, "over": False, "text": "", "comment": "", "before": [],
    }  # fmt: skip
    assert {tuple(stroke) for stroke in record["strokes"]} == {tuple(mark)}


def test_a_notebook_reads_the_strokes() -> None:
    pandas = pytest.importorskip("pandas")
    frame = pandas.DataFrame(json.loads(sheet_to_json(DEMO))["strokes"])
    assert (frame["kind"] == "digit").sum() == sum(stroke.kind is Kind.DIGIT for stroke in DEMO.strokes)


def test_missing_fields_are_empty_and_unknown_ones_left_out() -> None:
    strokes = [{"kind": "digit", "cells": ["r1c1"], "digits": [1.0], "at_ms": 20.0, "colour": "red"}]
    text = json.dumps({"record": "inkstep-solve/1", "header": {"puzzle": "." * 81}, "strokes": strokes, "pages": 3})
    assert sheet_from_json(text) == Sheet(HEADER, (Stroke(Kind.DIGIT, 20, (0,), (1,)),))


STROKE: dict[str, Any] = {"kind": "digit", "cells": ["r1c1"], "digits": [1]}
WRONG: list[tuple[dict[str, Any], str]] = [
    ({"kind": "dot"}, "a.json, stroke 1, kind: expected digit, mark, note or strike, got 'dot'"),
    ({"kind": None}, "stroke 1, kind: expected digit, mark, note or strike"),
    ({"cells": ["r1c0"]}, "stroke 1, cells: expected a cell such as r4c7"),
    ({"cells": "r1c1"}, "stroke 1, cells: expected a list"),
    ({"cells": [1]}, "stroke 1, cells: expected text"),
    ({"digits": [True]}, "stroke 1, digits: expected a whole number"),
    ({"digits": [1.5]}, "stroke 1, digits: expected a whole number"),
    ({"digits": [10]}, "stroke 1: expected digits from 1 to 9"),
    ({"at_ms": -1}, "stroke 1: expected a time from 0"),
    ({"house": "box 10"}, "stroke 1, house: expected a house"),
    ({"over": "yes"}, "stroke 1, over: expected true or false"),
    ({"comment": "\x00"}, "expected text without control characters"),
    ({"before": ["no comment"]}, "expected a comment line"),
]


@pytest.mark.parametrize(("change", "sentence"), WRONG)
def test_wrong_json_is_told_by_stroke_and_field(change: dict[str, Any], sentence: str) -> None:
    text = json.dumps({"record": "inkstep-solve/1", "header": {"puzzle": "." * 81}, "strokes": [{**STROKE, **change}]})
    with pytest.raises(InputError, match=re.escape(sentence)):
        sheet_from_json(text, "a.json")


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({}, "header: expected an object"),
        ({"header": {}}, "header, puzzle: expected text"),
        ({"header": {"puzzle": "."}}, "header, puzzle: expected 81 characters"),
        ({"header": {"puzzle": "٣" * 81}}, "header, puzzle: expected 81 characters"),
        ({"header": {"puzzle": "." * 81, "audience": "all"}}, "header, audience: expected newcomer, club or contest"),
        ({"header": {"puzzle": "." * 81, "other": [["a"]]}}, "header, other: expected a list of two texts"),
        ({"header": {"puzzle": "." * 81}, "strokes": [1]}, "strokes: expected an object"),
        ({"header": {"puzzle": "." * 81}, "after": "x"}, "after: expected a list"),
    ],
)
def test_wrong_records_are_told(fields: dict[str, Any], sentence: str) -> None:
    with pytest.raises(InputError, match=re.escape(sentence)):
        sheet_from_json(json.dumps({"record": "inkstep-solve/1", **fields}))


def test_other_records_are_refused() -> None:
    for text in ("", "[]", "{}", '{"record": "inkstep-plan/1"}', '{"record": "inkstep-solve/2"}'):
        with pytest.raises(InputError):
            sheet_from_json(text, "a.json")


def test_the_document_names_every_column() -> None:
    section = DOCUMENT.read_text(encoding="utf-8").split("## As a table, as JSON")[1].split("\n## ")[0]
    assert set(COLUMNS) <= set(re.findall(r"`(\w+)`", section))
    assert "inkstep-solve/1" in section
    for name in (*Kind, *Reading, *Where):
        assert f"`{name}`" in section
    fields = set(json.loads(sheet_to_json(Sheet(HEADER, (Stroke(Kind.NOTE, text="?", place=Place()),))))["strokes"][0])
    assert fields - {"at_ms", "before"} <= set(COLUMNS) and {"at_ms", "before"} <= set(re.findall(r"`(\w+)`", section))
