"""Facts: ``r2c3=5`` (the cell is the digit) and ``r2c3!=4`` (it is not)."""

from __future__ import annotations

import re
from dataclasses import dataclass

from inkstep.grid.geometry import CLASSIC, Geometry
from inkstep.ground.errors import InputError, shown

_FACT = re.compile(r"(r\dc\d)\s*(=|!=|≠)\s*(\d)", re.IGNORECASE | re.ASCII)


@dataclass(frozen=True, order=True, slots=True)
class Fact:
    """``cell`` is ``digit`` (``holds``), or is not."""

    cell: int
    digit: int
    holds: bool

    def text(self, geometry: Geometry = CLASSIC) -> str:
        """The fact in the notation of goals: ``r2c3=5`` or ``r2c3!=4``."""
        return f"{geometry.cell_name(self.cell)}{'=' if self.holds else '!='}{self.digit}"

    def __str__(self) -> str:
        return self.text()

    @classmethod
    def parse(cls, text: str, geometry: Geometry = CLASSIC) -> Fact:
        """The fact written ``r2c3=5`` or ``r2c3!=4``.

        Raises:
            InputError: the text has another form, or the cell or digit lies outside the grid.
        """
        match = _FACT.fullmatch(text.strip())
        if not match:
            raise InputError("a fact such as r2c3=5 or r2c3!=4", got=shown(text))
        digit = int(match[3])
        if digit not in geometry.digits:
            raise InputError(f"a digit from 1 to {geometry.size}", got=shown(text))
        return cls(geometry.cell(match[1]), digit, match[2] == "=")


def is_digit(cell: int, digit: int) -> Fact:
    """``cell`` is ``digit``."""
    return Fact(cell, digit, True)


def is_not(cell: int, digit: int) -> Fact:
    """``cell`` is not ``digit``."""
    return Fact(cell, digit, False)
