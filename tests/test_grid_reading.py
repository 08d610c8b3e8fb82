"""Reading puzzles in every form that people post, and saying everything that is wrong with a form."""

from __future__ import annotations

import random
from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from inkstep.grid.geometry import CLASSIC, SMALL, Geometry
from inkstep.grid.puzzle import Puzzle
from inkstep.grid.reading import MOST_PROBLEMS, PuzzleError, read_puzzle
from inkstep.ground.errors import InputError
from puzzle_data import WORKED, records

LINE = "53..7....6..195....98....6.8...6...34..8.3..17...2...6.6....28....419..5....8..79"
ROWS = [LINE[start : start + 9] for start in range(0, 81, 9)]
SPACED = "\n".join(" ".join(row) for row in ROWS)
BARRED = "\n".join(f"|{row[:3]}|{row[3:6]}|{row[6:]}|" for row in ROWS)


def ruled(rows: list[str], rule: str) -> str:
    return "\n".join([rule, *rows[:3], rule, *rows[3:6], rule, *rows[6:], rule])


@pytest.mark.parametrize(
    "text",
    [
        LINE,
        f"  {LINE}\n",
        "\ufeff" + LINE,
        *(LINE.replace(".", empty) for empty in "0*_"),
        "\n".join(ROWS),
        "\r\n".join(ROWS) + "\r\n",
        "\r".join(ROWS),
        "\n\n".join(ROWS),
        " ".join(ROWS),
        "/".join(ROWS),
        SPACED,
        SPACED.replace(" ", ","),
        SPACED.replace(" ", "\t"),
        SPACED.replace(" ", "\u00a0"),
        BARRED,
        ruled(BARRED.split("\n"), "+---+---+---+"),
        ruled(BARRED.split("\n"), ".---.---.---."),
        ruled(BARRED.split("\n"), "*-----------*"),
        ruled(BARRED.split("\n"), "'===:===:==='"),
        ruled(BARRED.replace("|", "│").split("\n"), "├───┼───┼───┤"),
        LINE[:30] + "\n" + LINE[30:],
        "\n".join(f"{row[:3]}--{row[3:6]}--{row[6:]}" for row in ROWS),
    ],
)
def test_one_puzzle_in_many_forms(text: str) -> None:
    assert read_puzzle(text) == Puzzle(tuple(0 if c == "." else int(c) for c in LINE))
    assert read_puzzle(text).line == LINE


GROUPS = ["1", "23", "234", "4", "3", "4", "1", "2", ".", "1", "*34", "3", "4", "3", "2", "1"]


@pytest.mark.parametrize(
    "text",
    [
        " ".join(GROUPS),
        "\n".join(" ".join(GROUPS[start : start + 4]) for start in (0, 4, 8, 12)),
        "*------*------*\n| 1 23 | 234 4 |\n| 3 4 | 1 2|\n:--+--:\n| _ 1 | 34* 3 |\n| 4 3* | 2 1 |\n'--+--'",
        "1 : 23 : 234 : 4 3:4:1:2 0:1:34:3 4:3:2:1",
    ],
)
def test_a_candidate_grid_in_many_forms(text: str) -> None:
    puzzle = read_puzzle(text, geometry=SMALL)
    assert puzzle.givens == (1, 0, 0, 4, 3, 4, 1, 2, 0, 1, 0, 3, 4, 3, 2, 1)
    assert puzzle.candidates == (1, 6, 14, 8, 4, 8, 1, 2, 15, 1, 12, 4, 8, 4, 2, 1)
    assert puzzle.text == "1 23 234 4 3 4 1 2 1234 1 34 3 4 3 2 1"
    assert read_puzzle(puzzle.text, geometry=SMALL) == read_puzzle(str(puzzle), geometry=SMALL) == puzzle


@pytest.mark.parametrize("record", [r for r in records("positions.jsonl") if r["candidates"]], ids=lambda r: r["id"])
def test_posted_candidate_grids(record: dict[str, Any]) -> None:
    puzzle = read_puzzle(" ".join(record["candidates"]))
    assert puzzle.line == (record["digits"] or record["givens"])
    assert read_puzzle(str(puzzle)) == puzzle
    assert puzzle.problems() == ()
    listed = {(cell, int(digit)) for cell, group in enumerate(record["candidates"]) for digit in group}
    removals = puzzle.known_removals()
    assert list(removals) == sorted(set(removals)) and not listed & set(removals)
    for cell, digit in removals:
        seen = {puzzle.givens[peer] for peer in range(81) if CLASSIC.peers[cell] >> peer & 1}
        assert puzzle.givens[cell] == 0 and digit not in seen


def test_known_removals_are_what_the_placed_digits_do_not_say() -> None:
    # r1c2 sees the placed 1 and 4, r1c3 too: only the missing 3 of r1c2 was worked out by somebody.
    puzzle = read_puzzle("1 2 23 4 . . . . . . . . . . . .", geometry=SMALL)
    assert puzzle.known_removals() == ()
    puzzle = read_puzzle("1 234 34 4 . . . . . . . . . . . .", geometry=SMALL)
    assert puzzle.known_removals() == ((2, 2),)
    assert Puzzle(puzzle.givens, geometry=SMALL).known_removals() == ()


def problems_of(text: str, geometry: Geometry = CLASSIC) -> list[str]:
    with pytest.raises(PuzzleError) as caught:
        read_puzzle(text, "sheet.txt", geometry)
    assert str(caught.value).startswith("sheet.txt: expected a puzzle")
    assert all(str(problem) in str(caught.value) for problem in caught.value.problems)
    return [problem.text for problem in caught.value.problems]


def test_all_problems_of_a_form_at_once() -> None:
    rows = list(ROWS)
    rows[1] = "6.O195..."
    rows[4] = "4..8.3..1."
    rows[6] = ".6...l28"
    rows[8] = "....8..7"
    assert problems_of("\n".join(rows)) == [
        "78 cells, 3 too few",
        "10 cells in line 5, where a row has 9",
        "7 cells in line 7, where a row has 9",
        "8 cells in line 9, where a row has 9",
        "the strange character 'O' in line 2, column 3",
        "the strange character 'l' in line 7, column 6",
    ]


@pytest.mark.parametrize(
    ("text", "problems"),
    [
        ("", ["no cells at all"]),
        ("\n---+---\n", ["no cells at all"]),
        (LINE[:-1], ["80 cells, 1 too few"]),
        (LINE + "12", ["83 cells, 2 too many"]),
        (LINE.replace("5", "x", 1), ["the strange character 'x' in line 1, column 1"]),
        ("x" + LINE, ["the strange character 'x' in line 1, column 1"]),
        (f"\n {LINE}\n #", ["the strange character '#' in line 3, column 2"]),
        (LINE.replace("5", "５", 1), ["the strange character '５' in line 1, column 1"]),
        (LINE.replace("5", "\x00", 1), ["the strange character '\\x00' in line 1, column 1"]),
        (
            "\n".join(["53..7....6", "..195...", *ROWS[2:]]),
            ["10 cells in line 1, where a row has 9", "8 cells in line 2, where a row has 9"],
        ),
        (f"{LINE}\n{LINE}", ["162 cells, 81 too many"]),
    ],
)
def test_what_is_wrong_with_a_grid(text: str, problems: list[str]) -> None:
    assert problems_of(text) == problems


@pytest.mark.parametrize(
    ("text", "problems"),
    [
        ("1 23 234 4 3 4 1 2 23 1 34 3 4 3 2", ["15 groups, 1 too few"]),
        ("1 23 234 4 3 4 1 2 23 1 34 3 4 3 2 1 34", ["17 groups, 1 too many"]),
        ("1 22 234 4 3 4 1 2 23 1 34 3 4 3 2 1", ["a digit twice in the group '22' in line 1, column 3"]),
        ("1 203 24 4 3 4 1 2 23 1 34 3 4 3 2 1", ["a 0 among the digits of '203' in line 1, column 3"]),
        ("1 2a3 24 4 3 4 1 2 23 1 34 3 4 3 2 1", ["the strange character 'a' in line 1, column 4"]),
        (
            "1 275 24 4 3 4 1 2 23 1 34 3 4 3 2 1",
            [
                "the digit 7 in line 1, column 4, where 4 is the highest",
                "the digit 5 in line 1, column 5, where 4 is the highest",
            ],
        ),
        ("1234 3412 2143 432", ["15 cells, 1 too few"]),
    ],
)
def test_what_is_wrong_with_a_candidate_grid(text: str, problems: list[str]) -> None:
    assert problems_of(text, SMALL) == problems


def test_a_row_of_empty_cells_between_dashes_is_no_drawn_line() -> None:
    rows = ["1 2 -- 3 4", ". . -- . .", ". . -- . .", "4 3 -- 2 1"]
    assert read_puzzle("\n".join(rows), geometry=SMALL).line == "1234........4321"


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_lines_are_counted_at_every_kind_of_line_end(end: str) -> None:
    assert problems_of(end.join([*ROWS, "?"])) == ["the strange character '?' in line 10, column 1"]


def test_places_are_on_the_problems() -> None:
    with pytest.raises(PuzzleError) as caught:
        read_puzzle(f"{ROWS[0]}\n{ROWS[1]}\n?")
    places = [(problem.line, problem.column) for problem in caught.value.problems]
    assert places == [(None, None), (3, 1)]
    assert caught.value.exit_code == 1


@pytest.mark.parametrize("alphabet", ["0123456789", "x", " ", "\n", "é\x00x\u2028\ud800 \n1.", "-\n", "|1"])
def test_ten_megabytes_are_refused_with_few_words(alphabet: str) -> None:
    rng = random.Random(7)
    text = "".join(rng.choices(alphabet, k=10_000)) * 1000
    problems = problems_of(text)
    assert problems[0] == "10,000,000 characters of text, far more than a puzzle has"
    assert len(problems) <= MOST_PROBLEMS + 1
    assert sum(map(len, problems)) < 3000


def test_many_strange_characters_are_counted_not_listed() -> None:
    problems = problems_of("?" * 100)
    assert len(problems) == MOST_PROBLEMS + 1
    assert problems[-1] == "and 81 problems more"


NOISE = st.text(
    st.one_of(st.sampled_from("0123456789.*_|-+=: \n\r\t'x\ufeff"), st.characters(exclude_categories=())), max_size=300
)


@settings(max_examples=300, deadline=None)
@given(st.one_of(NOISE, st.binary(max_size=300).map(lambda raw: raw.decode("utf-8", "surrogateescape"))))
@example("--" * 5000)
@example("." * 81 + "\ud800")
def test_only_our_own_errors_escape(text: str) -> None:
    for geometry in (SMALL, CLASSIC):
        try:
            puzzle = read_puzzle(text, geometry=geometry)
        except InputError as error:
            assert isinstance(error, PuzzleError) and error.problems and str(error)
        else:
            assert read_puzzle(puzzle.text, geometry=geometry) == puzzle


@settings(max_examples=150, deadline=None)
@given(st.data())
def test_a_damaged_puzzle_is_read_or_refused(data: st.DataObject) -> None:
    text = data.draw(st.sampled_from([LINE, SPACED, ruled(BARRED.split("\n"), "+---+---+---+"), GRID_OF_GROUPS]))
    for _ in range(data.draw(st.integers(1, 4))):
        at = data.draw(st.integers(0, len(text)))
        cut = data.draw(st.integers(0, 3))
        text = text[:at] + data.draw(st.text("019.x|-\n ", max_size=3)) + text[at + cut :]
    try:
        read_puzzle(text).problems()
    except PuzzleError as error:
        assert error.problems


@st.composite
def puzzles(draw: st.DrawFn) -> Puzzle:
    geometry = draw(st.sampled_from([SMALL, Geometry(2, 3), Geometry(3, 2), CLASSIC]))
    masks = [draw(st.integers(1, (1 << geometry.size) - 1)) for _ in range(geometry.cells)]
    givens = tuple(mask.bit_length() if mask.bit_count() == 1 else 0 for mask in masks)
    return Puzzle(givens, tuple(masks) if draw(st.booleans()) else None, geometry)


@settings(max_examples=100, deadline=None)
@given(puzzles())
def test_text_both_ways(puzzle: Puzzle) -> None:
    for text in (puzzle.text, str(puzzle)):
        assert read_puzzle(text, geometry=puzzle.geometry) == puzzle
    assert read_puzzle(puzzle.line, geometry=puzzle.geometry).line == puzzle.line
    assert eval(repr(puzzle)) == puzzle


def test_a_grid_is_shown_in_its_boxes() -> None:
    assert str(read_puzzle("1..4........4..1", geometry=SMALL)).splitlines() == [
        "1 . | . 4",
        ". . | . .",
        "----+----",
        ". . | . .",
        "4 . | . 1",
    ]
    groups = str(read_puzzle(" ".join(GROUPS), geometry=SMALL)).splitlines()
    assert groups == ["1    23 | 234 4", "3    4  | 1   2", "--------+------", "1234 1  | 34  3", "4    3  | 2   1"]
    assert str(read_puzzle(LINE)).splitlines()[3] == "------+-------+------"


def test_a_full_candidate_grid_is_a_grid_of_digits() -> None:
    full = WORKED[0].solution
    assert Puzzle(full, tuple(1 << (digit - 1) for digit in full)) == Puzzle(full)


@pytest.mark.parametrize(
    ("givens", "candidates"),
    [
        ((0,) * 15, None),
        ((5,) + (0,) * 15, None),
        ((0,) * 16, (3,) * 15),
        ((0,) * 16, (1,) + (3,) * 15),
        ((0,) * 16, (0,) + (3,) * 15),
        ((0,) * 16, (19,) + (3,) * 15),
        ((2,) + (0,) * 15, (1,) + (3,) * 15),
    ],
)
def test_values_that_are_no_puzzle_are_refused(givens: tuple[int, ...], candidates: tuple[int, ...] | None) -> None:
    with pytest.raises(ValueError, match=r"givens are|mask"):
        Puzzle(givens, candidates, SMALL)


GRID_OF_GROUPS = str(read_puzzle(" ".join(next(r for r in records("positions.jsonl") if r["candidates"])["candidates"])))
