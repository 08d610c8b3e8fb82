"""Two logs side by side: what agrees, what differs, what only one has, and the sheet merged of both."""

from __future__ import annotations

import random
from dataclasses import replace
from itertools import pairwise
from time import process_time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inkstep.ground.errors import InputError
from inkstep.trace.comparing import NEAR_MS, Comparison, Difference, Pick, Row, compare, merged
from inkstep.trace.editing import insert, remove, replace_stroke, shift
from inkstep.trace.grammar import read_action
from inkstep.trace.pairing import likes, pairs, steady_offset
from inkstep.trace.reading import read_sheet
from inkstep.trace.sheet import Header, Sheet
from inkstep.trace.strokes import Kind, Stroke
from trace_sheets import GOLDEN, sheets

HEADER = Header((0,) * 81)
DEMO = read_sheet(GOLDEN.read_bytes()).sheet


def sheet_of(*lines: str) -> Sheet:
    text = "inkstep sheet 1\npuzzle: " + "." * 81 + "\n\n" + "\n".join(lines) + "\n"
    return read_sheet(text).sheet


def digits(seed: int, most: int = 60) -> Sheet:
    """Digits in cells of their own, a second or more apart."""
    rng = random.Random(seed)
    at_ms, strokes = 0, []
    for cell in rng.sample(range(81), rng.randint(8, most)):
        at_ms += rng.randint(1000, 4000)
        strokes.append(Stroke(Kind.DIGIT, at_ms, (cell,), (rng.randint(1, 9),)))
    return Sheet(HEADER, tuple(strokes))


def told(comparison: Comparison) -> list[tuple[int | None, int | None, str]]:
    return [(row.ours, row.theirs, " ".join(row.differences)) for row in comparison.rows]


SEEDS = st.integers(0, 2**32)


@settings(max_examples=50, deadline=None)
@given(sheets())
def test_a_sheet_agrees_with_itself(sheet: Sheet) -> None:
    comparison = compare(sheet, sheet)
    assert told(comparison) == [(number, number, "") for number in range(1, len(sheet.strokes) + 1)]
    assert comparison.share_agreed == 1 and comparison.taken_out_ms == 0
    assert comparison.median_ms in (0, None) and comparison.largest_ms in (0, None)


def test_strokes_that_repeat_agree_with_themselves() -> None:
    for at_ms in (None, 0, 5):
        sheet = Sheet(HEADER, (Stroke(Kind.NOTE, at_ms, text="?"),) * 60)
        assert all(row.agrees and row.ours == row.theirs for row in compare(sheet, sheet).rows)


@settings(max_examples=40, deadline=None)
@given(sheets(), sheets())
def test_every_stroke_is_in_one_row_and_in_order(ours: Sheet, theirs: Sheet) -> None:
    theirs = replace(theirs, header=ours.header)
    rows = compare(ours, theirs).rows
    assert [row.ours for row in rows if row.ours] == list(range(1, len(ours.strokes) + 1))
    assert [row.theirs for row in rows if row.theirs] == list(range(1, len(theirs.strokes) + 1))
    assert all(row.ours or row.theirs for row in rows)
    other = compare(theirs, ours)
    assert sum(row.agrees for row in other.rows) == sum(row.agrees for row in rows)


@settings(max_examples=60, deadline=None)
@given(SEEDS, st.data())
def test_changes_are_found_as_they_were_made(seed: int, data: st.DataObject) -> None:
    """Strokes dropped, added, made later, read as another digit or noted as a mark: each is one row, the others agree."""
    ours = theirs = digits(seed)
    count = len(ours.strokes)
    changed = data.draw(st.lists(st.integers(1, count), max_size=count // 4, unique=True))
    expected: dict[int, str] = {}
    for number in sorted(changed, reverse=True):
        stroke = theirs.strokes[number - 1]
        how = data.draw(st.sampled_from(["dropped", "time", "digits", "kind", "added"]))
        expected[number] = how
        if how == "dropped":
            theirs = remove(theirs, number)
        elif how == "added":
            assert stroke.at_ms is not None
            theirs = insert(theirs, number, Stroke(Kind.NOTE, stroke.at_ms, text="a second look"))
        elif how == "time":
            assert stroke.at_ms is not None
            theirs = replace_stroke(theirs, number, replace(stroke, at_ms=stroke.at_ms + NEAR_MS))
        elif how == "digits":
            theirs = replace_stroke(theirs, number, replace(stroke, digits=(stroke.digits[0] % 9 + 1,)))
        else:
            mark = replace(read_action("r1c1 : 1"), at_ms=stroke.at_ms, cells=stroke.cells, digits=stroke.digits)
            theirs = replace_stroke(theirs, number, mark)
    rows = compare(ours, theirs).rows
    found = {row.ours: row for row in rows if row.ours is not None}
    for number in range(1, count + 1):
        how = expected.get(number, "")
        assert (found[number].theirs is None) == (how == "dropped")
        told = {"time": ["time"], "digits": ["digits"], "kind": ["kind", "reading"]}.get(how, [])
        assert list(found[number].differences) == told
    assert sum(row.ours is None for row in rows) == list(expected.values()).count("added")


def test_each_difference_is_named() -> None:
    ours = sheet_of(
        "0:01 r1c1 = 1", "0:05 r2c1 : 12", "0:09 r3c1 r3c2 : 3", "0:13 r4c1 r4c2 : 45", "0:17 r5c1 = 5 over",
        '0:21 note "a" above box 1', "0:25 r7c1 r7c2 : 7 in box 7", "0:29 note 12",
    )  # fmt: skip
    theirs = sheet_of(
        "0:01.4 r1c1 = 1", "0:05 r2c1 = 1", "0:09 r3c1 r3c3 : 3", "0:13 r4c2 r4c1 : 54 across the border",
        "0:18 r5c1 = 5", '0:21 note "b" above box 1', "- r7c1 r7c2 : 7 in row 7", "0:29 note 21",
    )  # fmt: skip
    assert told(compare(ours, theirs)) == [
        (1, 1, ""), (2, 2, "kind digits reading"), (3, 3, "cells"), (4, 4, "place"), (5, 5, "time over"), (6, 6, "text"),
        (7, 7, "reading"), (8, 8, "digits"),
    ]  # fmt: skip


def test_order_and_blanks_of_cells_and_digits_do_not_matter() -> None:
    assert compare(sheet_of("0:01 r1c2 r1c1 : 32"), sheet_of("0:01 r1c1 r1c2 : 23  # so")).rows == (Row(1, 1, (), 0),)


def test_strokes_of_one_log_stand_by_their_times() -> None:
    ours = sheet_of("0:01 r1c1 = 1", "0:03 r1c2 = 2", "0:05 r1c3 = 3", "0:09 r9c9 = 9")
    theirs = sheet_of("0:02 r5c2 = 2", "0:04 r5c3 = 3", "0:09 r9c9 = 9")
    assert told(compare(ours, theirs)) == [
        (1, None, ""), (None, 1, ""), (2, None, ""), (None, 2, ""), (3, None, ""), (4, 3, ""),
    ]  # fmt: skip
    assert compare(ours, theirs).share_agreed == 1 / 6


@settings(max_examples=30, deadline=None)
@given(SEEDS, st.integers(-100_000, 100_000))
def test_the_offset_of_the_clocks_is_taken_out(seed: int, by_ms: int) -> None:
    ours = shift(digits(seed), 100_000)
    comparison = compare(ours, shift(ours, by_ms))
    assert comparison.offset_ms == by_ms and all(row.agrees for row in comparison.rows)
    assert comparison.taken_out_ms == (by_ms if abs(by_ms) >= NEAR_MS else 0)
    assert comparison.largest_ms == abs(by_ms - comparison.taken_out_ms)
    later = compare(ours, shift(shift(ours, by_ms), -comparison.offset_ms))
    assert later.offset_ms == 0 and later.largest_ms == 0


def test_an_offset_beside_dropped_and_changed_strokes() -> None:
    ours = digits(7)
    theirs = remove(shift(ours, 30_000), 3, 5)
    stroke = theirs.strokes[9]
    theirs = replace_stroke(theirs, 10, replace(stroke, at_ms=(stroke.at_ms or 0) + 700))
    comparison = compare(ours, theirs)
    assert comparison.offset_ms == comparison.taken_out_ms == 30_000
    assert [row.ours for row in comparison.rows if row.theirs is None] == [3, 4, 5]
    assert [(row.ours, row.late_ms) for row in comparison.rows if row.differences] == [(13, 700)]
    assert comparison.median_ms == 0 and comparison.largest_ms == 700


def test_no_times_are_no_difference() -> None:
    ours = digits(3)
    theirs = Sheet(HEADER, tuple(replace(stroke, at_ms=None) for stroke in ours.strokes))
    comparison = compare(ours, theirs)
    assert all(row.agrees and row.late_ms is None for row in comparison.rows)
    assert (comparison.offset_ms, comparison.taken_out_ms, comparison.median_ms) == (None, 0, None)


def test_empty_logs() -> None:
    empty, one = Sheet(HEADER), sheet_of("r1c1 = 1")
    assert compare(empty, empty).rows == () and compare(empty, empty).share_agreed == 1
    assert compare(empty, one).rows == (Row(None, 1),) and compare(one, empty).rows == (Row(1, None),)
    assert steady_offset((), ()) is None


def test_two_puzzles_are_refused() -> None:
    for function in (lambda: compare(DEMO, Sheet(HEADER)), lambda: merged(DEMO, Sheet(HEADER), {})):
        with pytest.raises(InputError, match="two sheets of one puzzle"):
            function()


@settings(max_examples=60, deadline=None)
@given(sheets(), sheets())
def test_merged_from_one_side_is_that_side(ours: Sheet, theirs: Sheet) -> None:
    theirs = replace(theirs, header=ours.header)
    count = len(compare(ours, theirs).rows)
    assert merged(ours, theirs, {}) == ours == merged(ours, theirs, dict.fromkeys(range(count), Pick.OURS))
    assert merged(ours, theirs, dict.fromkeys(range(count), Pick.THEIRS)).strokes == theirs.strokes
    assert merged(ours, theirs, dict.fromkeys(range(count), "neither")).strokes == ()
    both = merged(ours, theirs, dict.fromkeys(range(count), "both")).strokes
    assert len(both) == len(ours.strokes) + len(theirs.strokes)


def test_merged_stroke_by_stroke() -> None:
    ours = sheet_of("0:01 r1c1 = 1", "0:03 r1c2 = 2", "0:09 r9c9 = 9")
    theirs = sheet_of("0:01.9 r1c1 = 1  # early", "0:05 r5c5 = 5", "0:09 r9c9 = 8")
    assert told(compare(ours, theirs)) == [(1, 1, "time"), (2, None, ""), (None, 2, ""), (3, 3, "digits")]
    a, b, c = ours.strokes
    x, y, z = theirs.strokes
    assert merged(ours, theirs, {0: "theirs", 2: "theirs"}).strokes == (x, b, y, c)
    assert merged(ours, theirs, {1: "neither", 2: "both", 3: "both"}).strokes == (a, y, c, z)
    assert merged(ours, theirs, {1: "theirs", 2: "ours"}).strokes == (a, c)


@pytest.mark.parametrize("picks", [{4: "ours"}, {-1: "ours"}, {0: "mine"}])
def test_wrong_picks_are_refused(picks: dict[int, str]) -> None:
    sheet = sheet_of("0:01 r1c1 = 1", "0:03 r1c2 = 2", "0:05 r1c3 = 3", "0:09 r9c9 = 9")
    with pytest.raises(InputError):
        merged(sheet, sheet, picks)


def least_cost(ours: list[Stroke], theirs: list[Stroke], saved: list[dict[int, int]]) -> int:
    """The cost of the best alignment by the whole table, as Needleman & Wunsch (1970) fill it: a stroke alone costs 1000."""
    row = [1000 * j for j in range(len(theirs) + 1)]
    for i in range(len(ours)):
        above, row = row, [row[0] + 1000]
        for j in range(len(theirs)):
            pair = above[j] + 2000 - saved[i].get(j, 0)
            row.append(min(pair, above[j + 1] + 1000, row[j] + 1000))
    return row[-1]


@settings(max_examples=100, deadline=None)
@given(SEEDS, st.booleans())
def test_the_alignment_is_the_one_of_least_cost(seed: int, timed: bool) -> None:
    rng = random.Random(seed)

    def log() -> list[Stroke]:
        many = rng.randint(0, 12)
        times = sorted(rng.sample(range(30_000), many)) if timed else [None] * many
        return [Stroke(Kind.DIGIT, at_ms, (rng.randint(0, 3),), (rng.randint(1, 3),)) for at_ms in times]

    ours, theirs = log(), log()
    saved = list(likes(ours, theirs, 0))
    found = pairs(ours, theirs)
    assert all(i < k and j < m for (i, j), (k, m) in pairwise(found))
    cost = 1000 * (len(ours) + len(theirs)) - sum(saved[i][j] for i, j in found)
    assert cost == least_cost(ours, theirs, saved)


def test_a_thousand_strokes_are_quick() -> None:
    """Measured: 0.1 s for two logs of a solve of a thousand strokes, under 1 s where all strokes are alike."""
    rng = random.Random(1)
    inked = rng.choices(DEMO.strokes + digits(2).strokes, k=1000)
    ours = Sheet(HEADER, tuple(replace(stroke, at_ms=1000 * at) for at, stroke in enumerate(inked)))
    theirs = Sheet(HEADER, tuple(stroke for stroke in ours.strokes if rng.random() > 0.05))
    started = process_time()
    comparison = compare(ours, theirs)
    assert process_time() - started < 1.5
    assert sum(row.agrees for row in comparison.rows) == len(theirs.strokes)
    same = Sheet(HEADER, (Stroke(Kind.NOTE, text="?"),) * 1000)
    started = process_time()
    assert compare(same, same).share_agreed == 1
    assert process_time() - started < 5


def test_the_differences_are_words() -> None:
    assert [str(difference) for difference in Difference][:2] == ["time", "kind"]
