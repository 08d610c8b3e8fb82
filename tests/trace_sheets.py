"""Sheets made at random for the tests of the trace: any well-formed stroke, in any order."""

from __future__ import annotations

import string
from pathlib import Path

from hypothesis import strategies as st

from inkstep.grid.geometry import CLASSIC
from inkstep.trace.forms import anchor_kinds, reading_of
from inkstep.trace.quoting import comment_line, tidy_comment
from inkstep.trace.sheet import Audience, Header, Sheet, settled_lines, settled_remarks
from inkstep.trace.strokes import OUTSIDE, Kind, Place, Reading, Stroke, Where

SHEETS = Path(__file__).parent / "data" / "sheets"
GOLDEN = SHEETS / "harbour-1.sheet"

cells = st.integers(0, 80)
digits = st.integers(1, 9)
times = st.none() | st.integers(0, 3_599_999_999)
line_text = st.text(
    st.characters(codec="utf-8", exclude_characters=tuple(map(chr, (*range(9), *range(10, 32), 127)))),
    max_size=20,
)
any_text = st.text(st.characters(codec="utf-8"), min_size=1, max_size=20)
comments = st.just("") | st.lists(line_text, min_size=1, max_size=4).map(tidy_comment)
remarks = st.lists(st.just("") | line_text.map(lambda text: comment_line(f"# {text}")), max_size=3)


def one_line(text: str) -> str:
    """A header value as it is read back."""
    return text.strip(" \t")


@st.composite
def outside_places(draw: st.DrawFn) -> Place:
    where = draw(st.sampled_from(sorted(OUTSIDE)))
    kinds = anchor_kinds(where)
    house = draw(st.sampled_from([h for h in range(27) if CLASSIC.house_kind(h) in kinds]))
    return Place(where, house)


inside_places = st.sampled_from([Place(), Place(Where.BORDER)])


@st.composite
def digit_strokes(draw: st.DrawFn) -> Stroke:
    replaces = draw(st.none() | digits)
    return Stroke(
        Kind.DIGIT, cells=(draw(cells),), digits=(draw(digits),), replaces=replaces, over=draw(st.booleans())
    )


@st.composite
def shapes(draw: st.DrawFn) -> tuple[tuple[int, ...], tuple[int, ...], int | None]:
    """Cells and digits that make a mark, and its house."""
    reading = draw(st.sampled_from(Reading))
    if reading is Reading.CELL:
        cell = draw(cells)
        house = draw(st.none() | st.sampled_from(CLASSIC.houses_of[cell]))
        return (cell,), tuple(draw(st.lists(digits, min_size=1, max_size=9, unique=True))), house
    house = draw(st.integers(0, 26))
    places = draw(st.lists(st.sampled_from(CLASSIC.house_cells[house]), min_size=2, max_size=5, unique=True))
    if reading is Reading.PLACES:
        return tuple(places), (draw(digits),), house
    if draw(st.booleans()):
        places = draw(st.lists(cells, min_size=2, max_size=5, unique=True))
        house = -1
    many = len(places)
    marked = draw(st.lists(digits, min_size=many, max_size=many, unique=True))
    return tuple(places), tuple(marked), draw(st.sampled_from([None, house])) if house >= 0 else None


@st.composite
def mark_strokes(draw: st.DrawFn) -> Stroke:
    places, marked, house = draw(shapes())
    place = draw(inside_places | outside_places())
    reading = reading_of(places, marked)
    return Stroke(Kind.MARK, cells=places, digits=marked, reading=reading, house=house, place=place)


@st.composite
def note_strokes(draw: st.DrawFn) -> Stroke:
    noted = draw(st.lists(digits, min_size=1, max_size=5))
    note = Stroke(Kind.NOTE, text=draw(any_text)) if draw(st.booleans()) else Stroke(Kind.NOTE, digits=tuple(noted))
    at = tuple(draw(st.lists(cells, max_size=3, unique=True)))
    place = draw(inside_places) if at else draw(st.just(Place()) | outside_places())
    return Stroke(Kind.NOTE, text=note.text, digits=note.digits, cells=at, place=place)


@st.composite
def strike_strokes(draw: st.DrawFn) -> Stroke:
    form = draw(st.sampled_from(["mark", "digit", "note"]))
    if form == "digit":
        digit = draw(digits)
        return Stroke(Kind.STRIKE, cells=(draw(cells),), digits=(digit,), replaces=digit)
    if form == "mark":
        places, marked, house = draw(shapes())
        return Stroke(Kind.STRIKE, cells=places, digits=marked, house=draw(st.sampled_from([None, house])))
    note = draw(note_strokes().filter(lambda note: not (note.cells and note.digits)))
    return Stroke(Kind.STRIKE, text=note.text, digits=note.digits, cells=note.cells, place=note.place)


@st.composite
def strokes(draw: st.DrawFn) -> Stroke:
    """Any well-formed stroke, with time, comment and the lines above it."""
    bare = draw(digit_strokes() | mark_strokes() | note_strokes() | strike_strokes())
    fields = {field: getattr(bare, field) for field in Stroke.__dataclass_fields__}
    fields |= {"at_ms": draw(times), "comment": draw(comments), "before": settled_lines(draw(remarks))}
    return Stroke(**fields)


keys = st.text(string.ascii_letters + "-", min_size=1, max_size=8).map(lambda key: f"x{key}")
blocks = st.lists(
    line_text.map(one_line).filter(lambda line: bool(line.strip())), max_size=3
).map("\n".join)


@st.composite
def headers(draw: st.DrawFn) -> Header:
    values = line_text.map(one_line)
    other = tuple(draw(st.lists(st.tuples(keys, blocks), max_size=3)))
    header = Header(
        givens=tuple(draw(st.lists(st.integers(0, 9), min_size=81, max_size=81))),
        source=draw(values),
        title=draw(values),
        event=draw(values),
        date=draw(values),
        solver=draw(values),
        recording=draw(values),
        clock_start_ms=draw(times),
        permission=draw(values),
        credit=draw(values),
        audience=draw(st.none() | st.sampled_from(Audience)),
        language=draw(values),
        other=other,
    )
    lines = line_text.map(lambda text: comment_line(f"# {text}"))
    above = st.sampled_from([*header.written_keys(), ""])
    placed = Header(**{**vars(header), "remarks": tuple(draw(st.lists(st.tuples(above, lines), max_size=3)))})
    return Header(**{**vars(placed), "remarks": settled_remarks(placed)})


@st.composite
def sheets(draw: st.DrawFn, most: int = 12) -> Sheet:
    """Any sheet that a file can hold, in the form in which it is read back."""
    found = draw(st.lists(strokes(), max_size=most))
    if found:
        first = {field: getattr(found[0], field) for field in Stroke.__dataclass_fields__}
        found[0] = Stroke(**{**first, "before": settled_lines(found[0].before, first=True)})
    after = settled_lines(draw(remarks), first=not found, last=True)
    return Sheet(draw(headers()), tuple(found), after)
