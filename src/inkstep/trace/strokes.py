"""Strokes: one thing inked each, with its time in the recording and its place on the paper."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Kind(StrEnum):
    """What a stroke does to the paper."""

    DIGIT = "digit"  #: a digit in a cell
    MARK = "mark"  #: a pencil mark, asserting a claim
    NOTE = "note"  #: something written that claims nothing by itself
    STRIKE = "strike"  #: an earlier mark crossed out


class Reading(StrEnum):
    """What a mark asserts."""

    CELL = "cell"  #: the one cell holds one of the digits
    PLACES = "places"  #: the one digit's places in the house are the cells
    SET = "set"  #: the k cells hold exactly the k digits


class Where(StrEnum):
    """Where on the paper the ink lies."""

    CELL = "cell"  #: inside the cell, or once in each of the cells
    BORDER = "border"  #: once, across the border between two cells
    ABOVE = "above"  #: outside the frame, beside ``Place.house``: a box or column above ...
    BELOW = "below"
    LEFT = "left"  #: ... a box or row at the left ...
    RIGHT = "right"


@dataclass(frozen=True, slots=True)
class Place:
    """Where the ink lies; ``house`` anchors ink outside the frame (a row, column or box number)."""

    where: Where = Where.CELL
    house: int | None = None


@dataclass(frozen=True, slots=True)
class Stroke:
    """One thing inked.

    ``at_ms`` is milliseconds in the recording after the clock's start, or None where unknown. A digit has one cell
    and one digit; it may have ``replaces`` (the digit crossed out for it: a slip corrected) and ``over`` (written over
    a mark that stood there). A mark has a ``reading``, and ``house`` where the reading is of a digit's places. A
    strike names cells and digits of the mark crossed out (all of them, or some); with ``replaces`` it crosses out a
    digit and puts none in its place; without cells it crosses out a note. A note has ``text`` or digits and a place;
    ``comment`` is the presenter's own. ``before`` holds the lines that stand above the stroke in its sheet: ``# ...``
    or empty.
    """

    kind: Kind
    at_ms: int | None = None
    cells: tuple[int, ...] = ()
    digits: tuple[int, ...] = ()
    reading: Reading | None = None
    house: int | None = None
    place: Place = Place()
    replaces: int | None = None
    over: bool = False
    text: str = ""
    comment: str = ""
    before: tuple[str, ...] = ()

    @property
    def crosses_digit(self) -> bool:
        """Whether the stroke crosses out a digit in a cell, with or without a new one."""
        return self.replaces is not None

    @property
    def outside(self) -> bool:
        """Whether the ink lies outside the frame."""
        return self.place.where in OUTSIDE


#: the places outside the frame
OUTSIDE = frozenset({Where.ABOVE, Where.BELOW, Where.LEFT, Where.RIGHT})
