"""A drawing that holds every kind of ink and every kind of evidence, for the tests of the pictures."""

from __future__ import annotations

from dataclasses import replace

from inkstep.grid.geometry import CLASSIC
from inkstep.press.drawing import Drawing, Evidence, Ink, givens_of

ROWS = (
    ".29....1.",
    ".7..2..8.",
    "..46.1...",
    "59.1.....",
    "..1......",
    ".....5.74",
    "...5.97..",
    ".3..8..6.",
    ".8....59.",
)


def cells(names: str) -> tuple[int, ...]:
    return tuple(CLASSIC.cell(name) for name in names.split())


def pen(name: str, digit: int) -> Ink:
    return Ink("pen", cells(name), (digit,))


def mark(names: str, digits: str) -> Ink:
    return Ink("mark", cells(names), tuple(int(sign) for sign in digits))


def outside(where: str, house: int, digits: str) -> Ink:
    return Ink("mark", (), tuple(int(sign) for sign in digits), where, house)


def drawing() -> Drawing:
    """Made up: its digits need not fit together."""
    written = (
        pen("r1c1", 3),
        pen("r2c1", 1),
        mark("r1c5", "45"),
        mark("r5c1 r5c2", "7"),
        pen("r2c3", 6),
        outside("above", 18, "369"),
        replace(outside("left", 4, "8"), kind="note"),
        replace(mark("r6c1", "25"), state="over"),
        pen("r6c1", 2),
        replace(mark("r3c8 r3c9", "45"), where="border"),
        pen("r3c2", 5),
        pen("r5c9", 9),
        pen("r9c9", 3),
        replace(mark("r5c5", "27"), state="struck"),
        replace(pen("r8c3", 7), state="crossed"),
        pen("r8c3", 5),
        mark("r7c1 r8c1", "4"),
        mark("r7c1 r7c2", "6"),
        mark("r7c1", "469"),
        replace(mark("r4c8 r5c8", "38"), where="border"),
        outside("above", 18, "24"),
        Ink("note", (), (), "below", 26, text="the 4s <again> & again"),
        replace(outside("right", 2, "17"), kind="note"),
        replace(mark("r9c1 r9c3", "8"), covered=cells("r9c1")),
        replace(pen("r9c1", 6), state="over"),
        pen("r9c1", 4),
        replace(mark("r1c9", "357"), struck=((cells("r1c9")[0], 5),)),
        replace(mark("r6c3 r6c2", "68"), where="border", struck=tuple((cell, 6) for cell in cells("r6c2 r6c3"))),
        Ink("note", cells("r2c9"), (), text="here?"),
    )
    ink = tuple(replace(item, stroke=number) for number, item in enumerate(written, 1))
    r2c8, r8c5, r5c7 = cells("r2c8 r8c5 r5c7")
    evidence = Evidence(
        seen=(r2c8, r8c5),
        reach=((r2c8, *cells("r1c7")), (r2c8, *cells("r3c7")), (r8c5, *cells("r8c7"))),
        houses=(15, 8, 24),
        goal=(r5c7,),
        held=((cells("r4c6 r5c6"), (2, 7)), (cells("r2c4 r4c4"), (3, 9))),
        removed=((cells("r7c1")[0], 6), (cells("r4c3")[0], 8)),
        doubt=(10, 17),
        read=(12,),
        written=((r5c7, 8),),
    )
    return Drawing((*givens_of("".join(ROWS)), *ink), evidence, "Where the 8 goes in column 7 <& why>")
