"""Gestures: what is selected and typed becomes the strokes that the paper takes, or a sentence that says why not."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inkstep.grid.geometry import CLASSIC
from inkstep.ground.errors import InputError
from inkstep.trace.gestures import Gesture, meaning, stroke_of, strokes_of
from inkstep.trace.grammar import action_text, read_action, read_cells
from inkstep.trace.pages import Page, page_at, pages
from inkstep.trace.paper import Paper, State
from inkstep.trace.reading import read_sheet
from inkstep.trace.sheet import Header, Sheet
from inkstep.trace.strikes import struck_by
from inkstep.trace.strokes import OUTSIDE, Kind, Place, Stroke, Where
from inkstep.trace.telling import told
from trace_sheets import GOLDEN, any_text, strike_strokes, strokes

PUZZLE = "......1..4....965...2..4....2.518.6.1..6..4....7.2....71.3....4385..2.......6...."
BORDER = Place(Where.BORDER)


def page_of(*lines: str) -> Page:
    strokes = tuple(map(read_action, lines))
    return page_at(Sheet(Header(tuple(int(c) if c != "." else 0 for c in PUZZLE)), strokes), len(strokes))


def gesture(cells: str = "", digits: str = "", **more: Any) -> Gesture:
    return Gesture(read_cells(cells) if cells else (), tuple(map(int, digits)), **more)


def house(name: str) -> int:
    return CLASSIC.house(name)


def written(asked: Gesture, *lines: str) -> str:
    """What the gesture writes on the page with ``lines``, one after the other."""
    return " / ".join(map(action_text, strokes_of(asked, page_of(*lines))))


def refused(asked: Gesture, *lines: str) -> str:
    with pytest.raises(InputError) as error:
        strokes_of(asked, page_of(*lines))
    return str(error.value)


WRITTEN: list[tuple[Gesture, tuple[str, ...], str]] = [
    (gesture("r5c3", "8"), ("r5c2 = 1",), "r5c3 = 8"),
    (gesture("r5c3", "8"), ("r5c3 = 9",), "r5c3 = 8 replaces 9"),
    (gesture("r5c3", "8"), ("r5c3 : 89",), "r5c3 = 8 over"),
    (gesture("r5c3", "8"), ("r5c3 r5c2 : 8",), "r5c3 = 8 over"),
    (gesture("r5c3", "8"), ("r5c3 r5c2 : 89 across the border",), "r5c3 = 8 over"),
    (gesture("r5c3", "8"), ("note 8 at r5c3",), "r5c3 = 8 over"),
    (gesture("r5c3", "8"), ("r5c3 r5c2 : 89 above box 4",), "r5c3 = 8"),
    (gesture("r5c3", "8"), ("r5c3 : 89", "strike r5c3 : 89"), "r5c3 = 8"),
    (gesture("r5c3", "8"), ("r5c3 : 89", "r5c3 = 9 over", "strike r5c3 = 9"), "r5c3 = 8"),
    (gesture("r5c3", "8"), ("r5c3 : 89", "r5c3 = 9 over", "r5c3 : 8"), "r5c3 = 8 replaces 9 over"),
    (gesture("r5c3", "8", house=house("row 1")), (), "r5c3 = 8"),
    (gesture("r5c3", "8", other=True), (), "r5c3 : 8"),
    (gesture("r5c3", "8", place=Place(Where.ABOVE)), (), "r5c3 : 8 above box 4"),
    (gesture("r5c3", "98"), (), "r5c3 : 98"),
    (gesture("r5c3", "98", other=True), (), "r5c3 : 98"),
    (gesture("r5c2,r5c3", "8"), (), "r5c2 r5c3 : 8 in box 4"),
    (gesture("r5c2,r5c3", "8", house=house("row 5")), (), "r5c2 r5c3 : 8 in row 5"),
    (gesture("r5c2,r5c5", "8"), (), "r5c2 r5c5 : 8 in row 5"),
    (gesture("r5c2,r9c2", "8", place=Place(Where.BELOW)), (), "r5c2 r9c2 : 8 in column 2 below column 2"),
    (gesture("r5c2,r5c5", "8", place=Place(Where.LEFT)), (), "r5c2 r5c5 : 8 in row 5 left of row 5"),
    (gesture("r5c2,r5c3", "89"), (), "r5c2 r5c3 : 89"),
    (gesture("r5c2,r5c3", "89", house=house("row 5"), place=BORDER), (), "r5c2 r5c3 : 89 in row 5 across the border"),
    (gesture("r5c2,r1c9", "89"), (), "r5c2 r1c9 : 89"),
    (gesture("r5c2,r1c9", "89", place=Place(Where.RIGHT, house("row 5"))), (), "r5c2 r1c9 : 89 right of row 5"),
    (gesture("r5c2,r5c3,r6c1", "89", other=True), (), "r5c2 : 89 / r5c3 : 89 / r6c1 : 89"),
    (gesture("r5c2,r5c3", "8", other=True), (), "r5c2 : 8 / r5c3 : 8"),
    (gesture("r5c2", "8", note=True), (), "note 8 at r5c2"),
    (gesture("r5c2,r5c3", "88", note=True), (), "note 88 at r5c2 r5c3"),
    (gesture("r5c2,r5c3", "8", note=True, place=BORDER), (), "note 8 at r5c2 r5c3 across the border"),
    (gesture("r5c2,r5c3", "89", note=True, place=Place(Where.ABOVE)), (), "note 89 above box 4"),
    (gesture("", "89", note=True, place=Place(Where.LEFT, house("row 3"))), (), "note 89 left of row 3"),
    (gesture("", "", text="8?"), (), 'note "8?"'),
    (gesture("r5c2", "", text="8?"), (), 'note "8?" at r5c2'),
]


@pytest.mark.parametrize(("asked", "lines", "line"), WRITTEN)
def test_the_selection_decides_what_digits_mean(asked: Gesture, lines: tuple[str, ...], line: str) -> None:
    assert written(asked, *lines) == line


STRUCK: list[tuple[Gesture, tuple[str, ...], str]] = [
    (gesture("r5c3", "9"), ("r5c3 = 9",), "strike r5c3 = 9"),
    (gesture("r5c3"), ("r5c3 = 9",), "strike r5c3 = 9"),
    (gesture("r5c3"), ("r5c3 : 98", "r5c3 = 9 over"), "strike r5c3 = 9"),
    (gesture("r5c3"), ("r5c3 : 98",), "strike r5c3 : 98"),
    (gesture("r5c3"), ("r5c3 : 98", "r5c3 : 7"), "strike r5c3 : 7"),
    (gesture("r5c3"), ("r5c3 : 98", "r5c3 : 7", "strike r5c3 : 7"), "strike r5c3 : 98"),
    (gesture("r5c3"), ("r5c3 : 98", "strike r5c3 : 9"), "strike r5c3 : 8"),
    (gesture("r5c3"), ("r5c2 r5c3 : 8 in row 5", "r5c2 : 7"), "strike r5c2 r5c3 : 8 in row 5"),
    (gesture("r5c3,r6c1"), ("r5c2 r5c3 : 8 in row 5", "r6c1 : 7"), "strike r6c1 : 7"),
    (gesture("r5c3,r5c2"), ("r5c2 r5c3 : 8 in row 5", "r5c2 : 7"), "strike r5c2 r5c3 : 8 in row 5"),
    (gesture("r5c3"), ("r5c2 r5c3 : 8 in row 5", "r5c2 = 8 over"), "strike r5c2 r5c3 : 8 in row 5"),
    (gesture("r5c3"), ("r5c2 r5c3 : 89", "strike r5c2 : 8", "r5c2 = 9 over"), "strike r5c3 : 89"),
    (gesture("r5c3"), ("note 8 at r5c3",), "strike r5c3 : 8"),
    (gesture("r5c3", "8"), ("r5c3 : 98",), "strike r5c3 : 8"),
    (gesture("r5c3", "8"), ("r5c2 r5c3 : 8 in row 5", "r5c3 : 8"), "strike r5c3 : 8"),
    (gesture("r5c3", "8", house=house("row 5")), ("r5c2 r5c3 : 8 in row 5", "r5c3 : 8"), "strike r5c3 : 8 in row 5"),
    (gesture("r5c3", "8", other=True), ("r5c2 r5c3 : 8 above box 4", "r5c3 = 8"), "strike r5c3 : 8"),
    (gesture("r5c3,r5c2", "9"), ("r5c2 r5c3 : 98",), "strike r5c3 r5c2 : 9"),
    (gesture("r5c3", "", place=Place(Where.ABOVE)), ("r5c2 r5c3 : 98 above box 4", "r5c3 : 5"), "strike r5c2 r5c3 : 98"),
    (gesture("", "", place=Place(Where.ABOVE, house("box 1"))), ("note 369 above box 1",), "strike note 369 above box 1"),
    (gesture("r5c3", "", note=True), ('note "8?" at r5c3', "r5c3 : 8"), 'strike note "8?" at r5c3'),
    (gesture("r5c3", "88", note=True), ("note 88 at r5c3", "note 9 at r5c3"), "strike r5c3 : 8"),
    (gesture("", "", note=True), ("note 8 above box 1", "r5c3 : 8"), "strike note 8 above box 1"),
    (gesture("", "", text="a"), ('note "a"', 'note "b"'), 'strike note "a"'),
]


@pytest.mark.parametrize(("asked", "lines", "line"), STRUCK)
def test_a_strike_finds_what_stands_there(asked: Gesture, lines: tuple[str, ...], line: str) -> None:
    assert written(replace(asked, strike=True), *lines) == line


REFUSED: list[tuple[Gesture, tuple[str, ...], str]] = [
    (gesture("r1c7", "8"), (), "r1c7 holds the given 1"),
    (gesture("r5c3", "8"), ("r5c3 = 8",), "r5c3 holds the 8 already"),
    (gesture("r5c1,r5c2,r5c3", "12"), (), "expected 1 digit or 3 for 3 cells, got 2 digits; ask for the other meaning"),
    (gesture("r5c1,r5c2", "123"), (), "expected 1 digit or 2 for 2 cells, got 3 digits"),
    (gesture("r5c1,r1c2", "1"), (), "expected cells of one row, column or box, got r5c1 r1c2"),
    (gesture("r5c1,r5c2", "1", house=house("row 4")), (), "expected cells that all lie in row 4, got r5c1 r5c2"),
    (gesture("r5c1,r5c2", "11"), (), "expected each digit once"),
    (gesture("r5c3"), (), "expected a digit; type what is written in r5c3"),
    (gesture("", "8"), (), "expected a cell to write in"),
    (gesture("r5c3", "8", place=BORDER), (), "expected two cells that share a border, got r5c3"),
    (gesture("r5c1,r6c2", "89", place=BORDER), (), "two neighbours"),
    (gesture("r5c9,r6c1", "89", place=BORDER), (), "two neighbours"),
    (gesture("r5c1", "8", note=True, place=BORDER), (), "two neighbours"),
    (gesture("r5c1,r1c9", "89", place=Place(Where.ABOVE)), (), "expected cells of one box or column, for the ink above it"),
    (gesture("", "89", note=True, place=Place(Where.LEFT)), (), "for the ink left of it, got no cells"),
    (gesture("r5c1", "8", place=Place(Where.LEFT, house("column 1"))), (), "a row or a box that the ink stands left"),
    (gesture("r5c1", "8", place=Place(Where.CELL, house("row 1"))), (), "a house beside ink outside the frame only"),
    (gesture("r5c1", "8", text="8"), (), "in words or in digits"),
    (gesture("r5c1", "", note=True), (), "expected words or digits for the note"),
    (gesture("r5c1", "", text="\ud800"), (), "text of whole characters"),
    (gesture("r5c3", "8", comment="\x00"), (), "text without control characters"),
    (gesture("r5c3", "8", at_ms=-1), (), "a time from 0"),
    (Gesture((3, 3), (1, 2)), (), "expected cells of the grid, each once"),
    (Gesture((81,), (1,)), (), "expected cells of the grid, each once"),
    (Gesture((3,), (0,)), (), "expected digits from 1 to 9"),
    (Gesture((3,), (1,), house=27), (), "expected a row, column or box"),
    (gesture("r5c3", strike=True), (), "expected a mark or note that still stands here"),
    (gesture("r1c7", strike=True), (), "r1c7 holds the given 1"),
    (gesture("r5c3", "8", strike=True), ("r5c3 : 79",), "digits that stand in a mark of these cells"),
    (gesture("", "8", strike=True), ("r5c3 : 79",), "expected a cell, or a place outside the frame"),
    (gesture("", "", strike=True, note=True), ("r5c3 : 79",), "expected a mark or note that still stands here"),
    (gesture("", "8", strike=True, place=Place(Where.ABOVE, 18)), ("r1c1 : 8 above box 1",), "got 8 at no cell"),
    (gesture("r5c3", strike=True), ("r5c2 r5c3 : 89", "strike r5c2 : 8"), "a mark that one stroke can cross out"),
    (gesture("r5c3", strike=True), ("r5c3 : 89", "note 89 at r5c3"), "cross out the newer ink"),
]  # fmt: skip


@pytest.mark.parametrize(("asked", "lines", "sentence"), REFUSED)
def test_what_means_nothing_is_refused_with_a_sentence(asked: Gesture, lines: tuple[str, ...], sentence: str) -> None:
    assert sentence in refused(asked, *lines)


def test_time_and_comment_go_with_the_strokes() -> None:
    page = page_of()
    first, second = strokes_of(gesture("r5c2,r5c3", "89", other=True, at_ms=1500, comment="  why? \n\n"), page)
    assert (first.at_ms, second.at_ms) == (1500, 1500)
    assert (first.comment, second.comment) == ("  why?", "")
    assert stroke_of(gesture("r5c3", "8", at_ms=20), page).at_ms == 20
    with pytest.raises(InputError, match="one stroke, got 2 marks"):
        stroke_of(gesture("r5c2,r5c3", "89", other=True), page)


MEANT: list[tuple[Gesture, tuple[str, ...], str]] = [
    (gesture("r5c7", "8"), (), "8 in row 5, column 7"),
    (gesture("r5c7", "8"), ("r5c7 = 9", "r5c7 : 8"), "8 in row 5, column 7, instead of the 9, over the mark"),
    (gesture("r5c2", "25"), (), "candidates 2 and 5 in row 5, column 2"),
    (gesture("r5c2", "2", other=True), (), "candidate 2 in row 5, column 2"),
    (gesture("r5c2,r5c3,r6c1", "259", other=True), (), "candidates 2, 5 and 9 in each of three cells"),
    (gesture("r5c2,r5c3", "7"), (), "7 in two places of box 4"),
    (gesture("r3c8,r3c9", "45", place=BORDER), (), "4 and 5 in two cells of row 3, across the border"),
    (gesture("r3c8,r1c2", "45"), (), "4 and 5 in two cells"),
    (gesture("r8c4,r8c5,r8c7", "467", place=Place(Where.LEFT)), (), "4, 6 and 7 in three cells of row 8, left of row 8"),
    (gesture("", "", text="8?", place=Place(Where.LEFT, 4)), (), 'note "8?" left of row 5'),
    (gesture("r5c2", "88", note=True), (), "note 88 in row 5, column 2"),
    (gesture("r5c2,r5c3", "8", note=True, place=BORDER), (), "note 8 in two cells of row 5, across the border"),
    (gesture("r5c3", strike=True), ("r5c3 = 9",), "crossed out: the 9 in row 5, column 3"),
    (gesture("r5c3", strike=True), ("r5c2 r5c3 : 7 in box 4",), "crossed out: 7 in two cells of box 4"),
    (gesture("", "", strike=True, note=True), ("note 369 above box 1",), "crossed out: note 369 above box 1"),
]  # fmt: skip


@pytest.mark.parametrize(("asked", "lines", "sentence"), MEANT)
def test_the_status_line_says_what_would_be_written(asked: Gesture, lines: tuple[str, ...], sentence: str) -> None:
    assert meaning(asked, empty_page(*lines)) == sentence


def empty_page(*lines: str) -> Page:
    """The page of a puzzle without givens."""
    strokes = tuple(map(read_action, lines))
    return page_at(Sheet(Header((0,) * 81), strokes), len(strokes))


def test_the_demo_solve_can_be_made_by_gestures_alone() -> None:
    """Every stroke of the golden sheet but the notes' text comes back from what a person would select and type for it."""
    sheet = read_sheet(GOLDEN.read_text(encoding="utf-8")).sheet
    for page, stroke in zip(pages(sheet), sheet.strokes, strict=False):
        asked = Gesture(
            cells=stroke.cells,
            digits=stroke.digits,
            other=stroke.kind is Kind.MARK and len(stroke.cells) == len(stroke.digits) == 1,
            strike=stroke.kind is Kind.STRIKE,
            place=stroke.place,
            house=stroke.house,
            text=stroke.text,
            note=stroke.kind is Kind.NOTE or (stroke.kind is Kind.STRIKE and not stroke.cells),
            at_ms=stroke.at_ms,
            comment=stroke.comment,
        )
        found = stroke_of(asked, page)
        assert found == replace(stroke, before=(), over=found.over)
        assert found.over or not stroke.over


cells = st.lists(st.sampled_from([0, 1, 2, 9, 10, 20, 40, 42]), max_size=4).map(tuple)
digits = st.lists(st.sampled_from([1, 2, 8, 9]), max_size=4).map(tuple)
places = st.just(Place()) | st.builds(
    Place, st.sampled_from([Where.CELL, Where.BORDER, *sorted(OUTSIDE)]), st.none() | st.integers(0, 26)
)
gestures = st.builds(
    Gesture,
    cells=cells,
    digits=digits,
    other=st.booleans(),
    strike=st.booleans(),
    place=places,
    house=st.none() | st.integers(0, 26),
    text=st.just("") | st.sampled_from(["?", '"#']) | any_text,
    note=st.booleans(),
    at_ms=st.none() | st.integers(0, 10_000_000),
    comment=st.just("") | any_text,
)
plain_gestures = st.builds(Gesture, cells=cells, digits=digits, strike=st.booleans(), other=st.booleans())
GIVENS = (0,) * 9 + (5, 3) + (0,) * 70


def drawn(data: st.DataObject) -> tuple[Paper, list[Stroke]]:
    """A paper on which gestures, and some strokes that no gesture made, were written, and those strokes."""
    paper, made = Paper(GIVENS), list[Stroke]()
    for asked in data.draw(st.lists(gestures | plain_gestures | strokes(), max_size=10)):
        try:
            found = (asked,) if isinstance(asked, Stroke) else strokes_of(asked, page_after(made))
        except InputError:
            continue
        for stroke in found:
            paper.take(stroke)
            made.append(stroke)
    return paper, made


def page_after(made: list[Stroke]) -> Page:
    return page_at(Sheet(Header(GIVENS), tuple(made)), len(made))


@settings(max_examples=150, deadline=None)
@given(st.data())
def test_a_gesture_is_refused_or_can_be_written_read_and_taken(data: st.DataObject) -> None:
    paper, made = drawn(data)
    asked = data.draw(gestures | plain_gestures)
    page = page_after(made)
    try:
        found = strokes_of(asked, page)
    except InputError as error:
        assert str(error)
        with pytest.raises(InputError):
            meaning(asked, page)
        return
    assert found and meaning(asked, page)
    for stroke in found:
        bare = replace(stroke, at_ms=None, comment="")
        assert read_action(action_text(bare)) == bare and told(stroke)
        if stroke.kind is not Kind.MARK:
            assert paper.objections(stroke) == []
        paper.take(stroke)


@settings(max_examples=150, deadline=None)
@given(st.data(), st.sampled_from(range(81)), st.integers(1, 9))
def test_a_digit_contradicts_nothing(data: st.DataObject, cell: int, digit: int) -> None:
    paper, made = drawn(data)
    asked = Gesture((cell,), (digit,))
    if GIVENS[cell] or paper.digits[cell] == digit:
        with pytest.raises(InputError):
            stroke_of(asked, page_after(made))
        return
    stroke = stroke_of(asked, page_after(made))
    assert paper.objections(stroke) == []
    paper.take(stroke)
    assert paper.digits[cell] == digit


@st.composite
def aimed_strikes(draw: st.DrawFn, page: Page) -> Stroke:
    """A strike of some parts of something on the page."""
    ink = draw(st.sampled_from([inked.stroke for inked in page.ink]))
    struck = tuple(draw(st.lists(st.sampled_from(ink.cells), min_size=1, unique=True))) if ink.cells else ()
    some = tuple(draw(st.lists(st.sampled_from(ink.digits), min_size=1, unique=True))) if ink.digits else ()
    place = Place() if struck and some else ink.place
    named = draw(st.sampled_from([None, ink.house]))
    return Stroke(Kind.STRIKE, cells=struck, digits=some, text=ink.text, place=place, house=named)


@settings(max_examples=150, deadline=None)
@given(st.data())
def test_page_and_paper_agree_on_what_a_strike_hits(data: st.DataObject) -> None:
    paper, made = drawn(data)
    page = page_after(made)
    strike = data.draw(aimed_strikes(page) if page.ink else strike_strokes())
    if not strike.crosses_digit:
        hit = struck_by(page, strike)
        assert (hit and hit.number) == paper.struck_by(strike)


@settings(max_examples=100, deadline=None)
@given(st.data())
def test_a_strike_without_digits_leaves_nothing_of_what_it_hits(data: st.DataObject) -> None:
    paper, made = drawn(data)
    asked = replace(data.draw(plain_gestures), strike=True, digits=())
    try:
        stroke = stroke_of(asked, page_after(made))
    except InputError:
        return
    if not stroke.crosses_digit:
        number = paper.struck_by(stroke)
        paper.take(stroke)
        assert number and paper.ink[number].state is State.STRUCK
