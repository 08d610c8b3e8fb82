"""The sheet of one solve: a header, and the strokes in order."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from inkstep.trace.strokes import Stroke

#: the kind and version that the first line of a sheet names
KIND = "inkstep sheet"
VERSION = 1


class Audience(StrEnum):
    """For whom a lesson is made from the sheet."""

    NEWCOMER = "newcomer"  #: knows the rules
    CLUB = "club"  #: knows the usual techniques
    CONTEST = "contest"  #: solves against the clock


#: the header keys of version 1 in canonical order, with the field of ``Header`` that each fills
KEYS = {
    "puzzle": "givens",
    "source": "source",
    "title": "title",
    "event": "event",
    "date": "date",
    "solver": "solver",
    "recording": "recording",
    "clock-start": "clock_start_ms",
    "permission": "permission",
    "credit": "credit",
    "audience": "audience",
    "language": "language",
}


@dataclass(frozen=True)
class Header:
    """What is known of a solve beside its strokes.

    ``givens`` are 81 digits, 0 for an empty cell; all are 0 where the sheet's puzzle could not be read. ``source`` is
    the puzzle's, ``recording`` names the recording that the strokes were taken from, and ``clock_start_ms`` is the moment
    in it, in milliseconds, from which the strokes' times count. ``other`` keeps header lines of unknown
    keys, in order. ``remarks`` keeps comment lines of the header, each with the key it stands above ("" for the end).
    """

    givens: tuple[int, ...]
    source: str = ""
    title: str = ""
    event: str = ""
    date: str = ""
    solver: str = ""
    recording: str = ""
    clock_start_ms: int | None = None
    permission: str = ""
    credit: str = ""
    audience: Audience | None = None
    language: str = ""
    other: tuple[tuple[str, str], ...] = ()
    remarks: tuple[tuple[str, str], ...] = ()

    @property
    def puzzle(self) -> str:
        """The givens as 81 characters, ``.`` for an empty cell."""
        return "".join(str(digit) if digit else "." for digit in self.givens)

    def written_keys(self) -> tuple[str, ...]:
        """The keys that the header's lines have when it is written, in order."""
        known = [key for key, field in KEYS.items() if getattr(self, field) not in ("", None)]
        return (*known, *(key for key, _ in self.other))


@dataclass(frozen=True)
class Sheet:
    """One solve; ``after`` keeps the lines below the last stroke: ``# ...`` or empty."""

    header: Header
    strokes: tuple[Stroke, ...] = ()
    after: tuple[str, ...] = ()

    @property
    def givens(self) -> tuple[int, ...]:
        """The puzzle's 81 digits, 0 for an empty cell."""
        return self.header.givens

    @property
    def length_ms(self) -> int:
        """The time of the latest stroke in milliseconds after the clock's start, 0 where no time is known."""
        return max((stroke.at_ms for stroke in self.strokes if stroke.at_ms is not None), default=0)


def settled_remarks(header: Header) -> tuple[tuple[str, str], ...]:
    """The header's remarks in the order in which they are written, those above no written key at the end."""
    keys = header.written_keys()
    order = {key: rank for rank, key in reversed(list(enumerate(keys)))}
    placed = [(key if key in order else "", line) for key, line in header.remarks]
    return tuple(sorted(placed, key=lambda remark: order.get(remark[0], len(keys))))


def settled_lines(lines: Iterable[str], *, first: bool = False, last: bool = False) -> tuple[str, ...]:
    """Comment lines with every run of empty lines as one; none at the very start or end of the strokes."""
    kept: list[str] = []
    for line in lines:
        if line or (kept[-1] if kept else not first):
            kept.append(line)
    if last and kept and not kept[-1]:
        kept.pop()
    return tuple(kept)
