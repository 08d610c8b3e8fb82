"""Pictures of a page: the same drawing, the same SVG; marks clear of one another; colours that can be told apart."""

from __future__ import annotations

import json
import math
import os
import re
from collections.abc import Sequence
from dataclasses import replace
from importlib.resources import files
from itertools import pairwise
from pathlib import Path
from random import Random
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import harbour_story
from board_drawing import cells, drawing, mark, outside, pen
from inkstep.press.drawing import (
    Change,
    Drawing,
    Evidence,
    Ink,
    difference,
    drawing_of_page,
    drawing_of_puzzle,
    givens_of,
    page_difference,
)
from inkstep.press.layout import Box, Spot, corner, lay_out, margins_for
from inkstep.press.lines import Hand, num, pen_digit
from inkstep.press.manner import manner
from inkstep.press.shapes import shapes_of
from inkstep.press.still import described, still_svg
from inkstep.trace.pages import Page, pages
from inkstep.trace.paper import Paper
from inkstep.trace.reading import read_sheet
from inkstep.trace.strokes import Kind, Place, Reading, Stroke, Where

GOLDEN = Path(__file__).parent / "goldens" / "press-board.svg"
SVG = "{http://www.w3.org/2000/svg}"


# The picture as a whole


def test_every_kind_of_ink_and_evidence_is_drawn_as_it_was() -> None:
    """INKSTEP_RENEW_GOLDENS=1 writes the picture anew: look at it before you keep it."""
    picture = still_svg(drawing())
    if os.environ.get("INKSTEP_RENEW_GOLDENS") == "1":
        GOLDEN.parent.mkdir(exist_ok=True)
        GOLDEN.write_text(picture, encoding="utf-8")
    assert picture.splitlines() == GOLDEN.read_text(encoding="utf-8").splitlines()


def test_the_picture_uses_every_paint_of_the_manner() -> None:
    worn = {shape.paint for shape in shapes_of(drawing())} | {"paper"}
    assert worn == set(manner().paints)


def test_a_still_is_whole_xml_with_a_title_and_words_for_the_digits() -> None:
    root = ElementTree.fromstring(still_svg(drawing()))
    assert root.tag == f"{SVG}svg"
    assert root.findtext(f"{SVG}title") == "Where the 8 goes in column 7 <& why>"
    words = root.findtext(f"{SVG}desc") or ""
    assert "Row 1: 3 2 9 - - - - 1 -." in words
    assert "Row 8: - 3 5 - 8 - - 6 -." in words, "the digit crossed out does not count"
    assert root.get("width") == "920"


def test_a_still_needs_nothing_from_anywhere() -> None:
    picture = still_svg(drawing())
    assert not re.search(r"href|url\(|@import|<style|<script|https?://(?!www\.w3\.org/2000/svg)", picture)
    assert "var(" not in picture


def test_a_still_without_ground_is_see_through_outside_the_sheet() -> None:
    with_ground, without = still_svg(drawing()), still_svg(drawing(), background=False)
    paper = manner().colour("paper")
    assert paper in with_ground
    assert paper not in without


def test_a_still_by_lamplight_has_the_other_colours() -> None:
    dark = still_svg(drawing(), theme="dark")
    for role in ("paper", "ink", "seen", "held", "goal", "doubt"):
        assert manner().colour(role, "dark") in dark
        assert manner().colour(role, "light") not in dark


HOSTILE = ("</text><script>alert(1)</script>", "]]>", "a\x00b\x1b\ud800", "\" onload='x", "&lt;", "<!--", "𝟘" * 90)


@pytest.mark.parametrize("words", HOSTILE)
def test_hostile_words_stay_words(words: str) -> None:
    note = Ink("note", (), (), "above", 0, text=words, stroke=1)
    root = ElementTree.fromstring(still_svg(Drawing((note,), title=words)))
    assert {element.tag.removeprefix(SVG) for element in root.iter()} <= {"svg", "title", "desc", "rect", "path", "text"}
    assert not any(name.startswith("on") for element in root.iter() for name in element.attrib)


def test_a_long_note_is_shortened_where_it_stands() -> None:
    note = Ink("note", (), (), "left", 0, text="a note that would not fit beside the grid", stroke=1)
    assert "a note that…" in still_svg(Drawing((note,)))


def test_an_empty_drawing_is_an_empty_grid() -> None:
    root = ElementTree.fromstring(still_svg(Drawing()))
    assert len(root.findall(f"{SVG}text")) == 18
    assert described(()).startswith("Row 1: - - - - - - - - -.")


# Where ink lies


def overlap(a: Box, b: Box) -> bool:
    return a[0] < b[2] - 1e-9 and b[0] < a[2] - 1e-9 and a[1] < b[3] - 1e-9 and b[1] < a[3] - 1e-9


def small(spots: Sequence[Spot]) -> list[Spot]:
    return [spot for spot in spots if spot.ink.kind in ("mark", "note") or spot.ink.state == "crossed"]


def assert_clear(spots: Sequence[Spot]) -> None:
    marks = small(spots)
    pairs = [(a, b) for i, a in enumerate(marks) for b in marks[i + 1 :] if overlap(a.box, b.box)]
    assert pairs == []


digit_sets = st.lists(st.integers(1, 9), min_size=1, max_size=4, unique=True).map(lambda found: tuple(sorted(found)))
PLACES = ((40, 41), (40, 49), (31, 40), (39, 40), (40, 58), (40,), (40,))


@st.composite
def marks_about_one_cell(draw: st.DrawFn) -> Ink:
    where = draw(st.sampled_from(PLACES))
    digits = draw(digit_sets) if len(where) == 1 else (draw(st.integers(1, 9)),)
    neighbours = len(where) == 2 and abs(where[0] - where[1]) in (1, 9)
    if neighbours and draw(st.booleans()):
        return Ink("mark", where, draw(digit_sets)[:3], "border")
    return Ink("mark", where, digits)


def is_likely(ink: list[Ink]) -> bool:
    """As full as a cell ever gets under a pencil: a dozen digits, three marks on its borders."""
    return sum(item.where == "border" for item in ink) <= 3 and sum(len(item.digits) for item in ink) <= 12


@given(st.lists(marks_about_one_cell(), max_size=7).filter(is_likely))
@settings(max_examples=150, deadline=None)
def test_marks_in_one_cell_keep_clear_of_one_another(ink: list[Ink]) -> None:
    assert_clear(lay_out(ink))


@given(st.lists(marks_about_one_cell(), min_size=1, max_size=9))
@settings(max_examples=80, deadline=None)
def test_ink_does_not_move_when_more_is_written(ink: list[Ink]) -> None:
    whole = lay_out(ink)
    for count in range(len(ink)):
        part = lay_out(ink[:count])
        assert part == whole[: len(part)]


@given(st.lists(marks_about_one_cell(), max_size=6))
@settings(max_examples=80, deadline=None)
def test_marks_stay_inside_their_cell(ink: list[Ink]) -> None:
    way = manner()
    for spot in lay_out(ink):
        if spot.cell is not None:
            left, top = corner(spot.cell, way)
            x0, y0, x1, y1 = spot.box
            assert left <= x0 < x1 <= left + way.cell
            assert top <= y0 < y1 <= top + way.cell


def test_a_whole_solve_has_no_mark_upon_a_mark() -> None:
    for page in harbour_story.pages():
        assert_clear(lay_out(drawing_of_page(page).ink))


def test_a_mark_written_over_stays_where_it_was() -> None:
    free = mark("r6c1", "25")
    before, after = lay_out((free,))[0], lay_out((replace(free, state="over"), pen("r6c1", 2)))[0]
    assert before.box == after.box


def test_notes_at_one_house_are_stacked_outwards_and_the_paper_makes_room() -> None:
    notes = [outside("above", 18, "369"), outside("above", 19, "12"), outside("above", 18, "24"), outside("above", 10, "8")]
    spots = lay_out(notes)
    assert_clear(spots)
    assert spots[2].y < spots[0].y
    assert margins_for(spots).top > margins_for(spots[:1]).top > margins_for(()).top
    left = [outside("left", 4, "8"), outside("left", 22, "57")]
    assert_clear(lay_out(left))
    assert margins_for(lay_out(left)).left > 90


@pytest.mark.parametrize(
    ("where", "house", "x", "y"),
    [
        ("above", 18, 135, -52),
        ("above", 11, 225, -52),
        ("below", 26, 675, 838),
        ("left", 4, -49, 405),
        ("right", 24, 841, 675),
    ],
)
def test_ink_outside_the_frame_lies_beside_its_house(where: str, house: int, x: float, y: float) -> None:
    (spot,) = lay_out([outside(where, house, "4")])
    assert (spot.x, spot.y) == (x, y)


def test_a_mark_across_a_border_lies_on_it() -> None:
    beside, below = (replace(mark(names, "45"), where="border") for names in ("r3c8 r3c9", "r4c8 r5c8"))
    spots = lay_out([beside, below])
    assert spots[0].x == 8 * 90
    assert spots[1].y == 4 * 90


# What becomes of ink


def page_after(*strokes: Stroke) -> Page:
    paper = Paper([0] * 81)
    for stroke in strokes:
        paper.take(stroke)
    return Page(paper.count, paper.givens, tuple(paper.digits), tuple(paper.ink.values()))


TWO_PLACES = Stroke(Kind.MARK, cells=cells("r5c1 r5c2"), digits=(7,), reading=Reading.PLACES, house=21)


def test_a_digit_over_one_of_two_places_fades_the_mark_there_alone() -> None:
    page = page_after(TWO_PLACES, Stroke(Kind.DIGIT, cells=cells("r5c1"), digits=(7,)))
    ink = drawing_of_page(page).ink[0]
    assert ink.state_at(36) == "over"
    assert ink.state_at(37) == "standing"
    paints = [shape.paint for shape in shapes_of(drawing_of_page(page)) if shape.stroke == 1]
    assert set(paints) == {"faded", "mark"}


def test_one_candidate_of_a_mark_struck_is_slashed_and_the_rest_stands() -> None:
    wide = Stroke(Kind.MARK, cells=cells("r1c1"), digits=(2, 5), reading=Reading.CELL)
    page = page_after(wide, Stroke(Kind.STRIKE, cells=cells("r1c1"), digits=(5,)))
    ink = drawing_of_page(page).ink[0]
    assert ink.is_struck(0, 5) and not ink.is_struck(0, 2)
    assert ink.state_at(0) == "standing"
    paints = [shape.paint for shape in shapes_of(Drawing((ink,))) if shape.stroke == 1]
    assert paints.count("strike") == 1
    assert {"mark", "faded"} <= set(paints)


def test_a_slip_is_small_and_crossed_and_its_correction_large() -> None:
    first, then = (Stroke(Kind.DIGIT, cells=(0,), digits=(d,), replaces=r) for d, r in ((4, None), (5, 4)))
    ink = drawing_of_page(page_after(first, then)).ink
    assert [item.state for item in ink] == ["crossed", "standing"]
    crossed, stands = lay_out(ink)
    assert crossed.size < stands.size / 2


def test_a_digit_entered_on_a_printed_one_is_not_drawn() -> None:
    paper = Paper([9] + [0] * 80)
    paper.take(Stroke(Kind.DIGIT, cells=(0,), digits=(4,)))
    page = Page(1, paper.givens, tuple(paper.digits), tuple(paper.ink.values()))
    assert [item.kind for item in drawing_of_page(page).ink] == ["given"]


def test_places_and_houses_of_a_sheet_come_through() -> None:
    note = Stroke(Kind.NOTE, digits=(3, 6, 9), place=Place(Where.ABOVE, 18))
    (ink,) = drawing_of_page(page_after(note)).ink
    assert ink == Ink("note", (), (3, 6, 9), "above", 18, stroke=1)


def test_the_difference_of_two_pages_is_what_was_written_and_what_became_of_the_rest() -> None:
    before = drawing_of_page(page_after(TWO_PLACES)).ink
    after = drawing_of_page(page_after(TWO_PLACES, Stroke(Kind.DIGIT, cells=cells("r5c1"), digits=(7,)))).ink
    added, changed = difference(before, after)
    assert [item.kind for item in added] == ["pen"]
    assert changed == (Change(1, "standing", covered=(36,)),)
    assert changed[0].to_json() == [1, "standing", [36], []]
    assert Change(3, "struck").to_json() == [3, "struck"]


def test_ink_that_vanished_is_no_difference_but_a_fault() -> None:
    ink = drawing_of_page(page_after(TWO_PLACES)).ink
    with pytest.raises(ValueError, match="stroke 1"):
        difference(ink, ())
    with pytest.raises(ValueError, match="stroke 1"):
        difference(ink, (replace(ink[0], digits=(8,)),))


def test_plain_fields_of_ink_are_left_out_of_its_json() -> None:
    assert pen("r1c1", 3).to_json() == {"kind": "pen", "cells": [0], "digits": [3]}
    assert Evidence(goal=(4,)).to_json() == {"goal": [4]}
    assert Drawing(title="x").to_json() == {"ink": [], "evidence": {}, "title": "x"}
    assert drawing_of_puzzle("." * 80 + "4").ink == givens_of("." * 80 + "4") == (Ink("given", (80,), (4,)),)


# Digits


def bezier_length(d: str) -> float:
    numbers = [float(found) for found in re.findall(r"-?\d+(?:\.\d+)?", d)]
    points = list(zip(numbers[::2], numbers[1::2], strict=True))
    total, last = 0.0, points[0]
    for start in range(1, len(points), 3):
        curve = [points[start - 1], *points[start : start + 3]]
        for step in range(1, 41):
            t = step / 40
            weights = ((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3)
            here = tuple(sum(w * p[axis] for w, p in zip(weights, curve, strict=True)) for axis in (0, 1))
            total += math.dist(last, here)
            last = here  # type: ignore[assignment]
    return total


def test_every_digit_can_be_written_and_printed() -> None:
    way = manner()
    assert set(way.pen) == set(way.printed) == set(range(10))
    for digit, parts in way.pen.items():
        for part in parts:
            assert re.fullmatch(r"M-?\d+ ?-?\d+(C[-\d ]+)?(C[-\d ]+)*", part.d), digit
            assert part.length == pytest.approx(bezier_length(part.d), abs=0.2)


def test_half_of_the_writing_is_half_of_the_line() -> None:
    way = manner()
    whole = sum(part.length for part in way.pen[4])
    shapes = pen_digit(4, 0, 0, Hand("pen", 100, 5, share=0.75), way)
    drawn = [
        float(shape.attributes["stroke-dasharray"].split()[0]) if "stroke-dasharray" in shape.attributes else None
        for shape in shapes
    ]
    first = way.pen[4][0].length
    assert drawn[0] is None
    assert drawn[1] == pytest.approx(0.75 * whole - first, abs=0.01)
    assert pen_digit(4, 0, 0, Hand("pen", 100, 5, share=0), way) == ()


def test_a_digit_being_written_is_drawn_once() -> None:
    ink = (replace(pen("r1c1", 3), stroke=1),)
    evidence = Evidence(written=((0, 3),))
    halfway = shapes_of(Drawing(ink, evidence), share=0.5)
    assert [shape.stroke for shape in halfway if shape.paint == "pen"] == [-1]


def test_the_printed_digits_carry_their_licence() -> None:
    folder = files("inkstep.press").joinpath("ink")
    origin = json.loads(folder.joinpath("digits.json").read_text(encoding="utf-8"))["printed_from"]
    licence = folder.joinpath("OFL.txt").read_text(encoding="utf-8")
    assert "SIL OPEN FONT LICENSE Version 1.1" in licence
    assert origin["copyright"].split("(")[0].strip() in licence
    assert "Reserved Font Name" not in licence.split("-----")[0], "a reserved name would bind the name of our data"


def test_coordinates_are_short_and_never_minus_nought() -> None:
    assert [num(value) for value in (12.0, 0.125, -3.5, -0.001, 1 / 3)] == ["12", "0.13", "-3.5", "0", "0.33"]


# Colours


def luminance(colour: str) -> float:
    """Relative luminance as WCAG 2.2 defines it."""
    channels = (int(colour[start : start + 2], 16) / 255 for start in (1, 3, 5))
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    """Contrast ratio as WCAG 2.2 defines it."""
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


GROUNDS = ("paper", "sheet", "tint", "goaltint")


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_every_role_can_be_told_from_every_ground(theme: str) -> None:
    """WCAG 2.2: text 4.5 (1.4.3), graphics 3.0 (1.4.11). Thin rules are decoration beside the box rules."""
    colours = manner().colours[theme]
    graphics = {"faded", "box"}
    text = set(colours) - set(GROUNDS) - graphics - {"thin"}
    low = {
        (role, ground): round(contrast(colours[role], colours[ground]), 2)
        for ground in GROUNDS
        for role in text | graphics
        if contrast(colours[role], colours[ground]) < (4.5 if role in text else 3.0)
    }
    assert low == {}


def test_both_themes_have_the_same_roles() -> None:
    colours = manner().colours
    assert list(colours["light"]) == list(colours["dark"])
    used = {value for paint in manner().paints.values() for key, value in paint.items() if key in ("fill", "stroke")}
    assert used - {"none"} <= set(colours["light"])


def test_the_same_drawing_gives_the_same_text() -> None:
    shuffled = list(drawing().ink)
    Random(1).shuffle(shuffled)
    assert still_svg(drawing()) == still_svg(drawing())
    assert still_svg(Drawing(tuple(shuffled))) == still_svg(Drawing(tuple(shuffled)))


def test_the_difference_of_pages_is_that_of_their_ink() -> None:
    """The quick way, by what two pages of a solve share, against the plain one, by what is drawn on them."""
    sheet = read_sheet((GOLDEN.parents[2] / "examples" / "harbour-spring.sheet").read_bytes()).sheet
    track = pages(sheet)
    for before, after in pairwise(track):
        plain = difference(drawing_of_page(before).ink, drawing_of_page(after).ink)
        assert page_difference(before, after) == plain
