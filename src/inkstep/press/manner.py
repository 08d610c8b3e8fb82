"""The manner in which pages are drawn: measures, colours, kinds of line, and the digits as paths.

The data lies in ``ink/paper.json`` and ``ink/digits.json``; the board in the browser draws from the same two files.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

#: how many cells a row has, and a box; pictures are of the classic grid
SIDE = 9
BOX = 3

Paint = Mapping[str, str | int | float]


@dataclass(frozen=True, slots=True)
class PenStroke:
    """One stroke of a handwritten digit: a path in a box 60 wide and 100 high about 0,0, and its ``length``."""

    d: str
    length: float


@dataclass(frozen=True)
class Manner:
    """Measures in units of which a cell has ``cell``; heights of digits (``size``), how far apart (``pitch``), how heavy."""

    cell: int
    overshoot: int
    margin: Mapping[str, float]
    size: Mapping[str, float]
    pitch: Mapping[str, float]
    weight: Mapping[str, float]
    tilt: int
    colours: Mapping[str, Mapping[str, str]]
    paints: Mapping[str, Paint]
    pen: Mapping[int, tuple[PenStroke, ...]]
    printed: Mapping[int, str]

    @property
    def grid(self) -> int:
        """The side of the whole grid in units."""
        return SIDE * self.cell

    def colour(self, role: str, theme: str = "light") -> str:
        """The colour of a role as ``#RRGGBB``."""
        return self.colours[theme][role]


def ink_data(name: str) -> Any:
    """The data of one file of the ``ink`` folder (``paper.json``, ``digits.json``)."""
    return json.loads(files(__package__).joinpath("ink", name).read_text(encoding="utf-8"))


@cache
def manner() -> Manner:
    """The one manner of this program, read once."""
    paper, digits = ink_data("paper.json"), ink_data("digits.json")
    fields = {name: value for name, value in paper.items() if name != "about"}
    pen = {
        int(digit): tuple(PenStroke(part["d"], part["length"]) for part in parts) for digit, parts in digits["pen"].items()
    }
    printed = {int(digit): path for digit, path in digits["printed"].items()}
    return Manner(pen=pen, printed=printed, **fields)


def manner_for_browser() -> dict[str, Any]:
    """What the board in the browser needs to draw in this manner, without the remarks in the files."""
    paper, digits = ink_data("paper.json"), ink_data("digits.json")
    return {
        **{name: value for name, value in paper.items() if name != "about"},
        "pen": digits["pen"],
        "printed": digits["printed"],
    }
