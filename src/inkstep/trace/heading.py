"""Reading the header of a sheet: ``key: value`` lines, values that go on over indented lines, and comments."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import Any

from inkstep.grid.geometry import CLASSIC
from inkstep.grid.reading import read_puzzle
from inkstep.ground.clock import parse_ms
from inkstep.ground.errors import InputError, shown
from inkstep.trace.damage import DamageList
from inkstep.trace.sheet import KEYS, Audience, Header, settled_remarks

_KEY = re.compile(r"([^\W\d_][\w .-]{0,39}?)[ \t]*:(.*)", re.DOTALL)
_PUZZLE_ROW = re.compile(r"[0-9.*_ \t|+-]+")
_CELL_SIGNS = re.compile(r"[0-9.*_]")

#: what a line that could not be read is kept as
UNREAD = "# unread: "


@dataclass
class _Entry:
    line: int
    key: str
    values: list[str]
    typed: list[str]
    remarks: list[str] = field(default_factory=list)
    #: how many cells of a puzzle the value has so far
    cells: int = 0

    def __post_init__(self) -> None:
        self.cells = len(_CELL_SIGNS.findall(self.values[0]))

    def go_on(self, line: str) -> None:
        """Take another line of the value."""
        self.values.append(line.strip(" \t"))
        self.typed.append(line)
        self.cells += len(_CELL_SIGNS.findall(line))

    @property
    def known(self) -> str:
        """The known key that this is, or the empty text."""
        return known_key(self.key)

    @property
    def text(self) -> str:
        return "\n".join(value for value in self.values if value)

    def in_place(self) -> str:
        """The value with lines and columns counted as in the sheet (where it stands near the top, as it should)."""
        start = self.typed[0].index(":") + 1
        first = " " * start + self.typed[0][start:]
        above = self.line - 1 if self.line < 1000 else 0
        return "\n" * above + "\n".join((first, *self.typed[1:]))


def known_key(key: str) -> str:
    """The key of ``KEYS`` that ``key`` means, or the empty text."""
    plain = re.sub(r"[\s_]+", "-", key.strip().lower())
    return plain if plain in KEYS else ""


def is_header_key(key: str) -> bool:
    """Whether a header line can begin with ``key``."""
    match = _KEY.fullmatch(f"{key}:")
    return match is not None and match[1] == key


def header_key(line: str) -> str:
    """The known header key with which ``line`` begins, or the empty text."""
    match = _KEY.match(line)
    return known_key(match[1]) if match else ""


class HeaderReader:
    """Takes header lines one by one; ``finish`` makes the header of them."""

    def __init__(self, damage: DamageList) -> None:
        self._damage = damage
        self._entries: list[_Entry] = []
        self._remarks: list[str] = []
        #: whether a puzzle was read
        self.has_puzzle = False

    @property
    def empty(self) -> bool:
        """Whether no ``key: value`` line has come yet."""
        return not self._entries

    def continues(self, line: str) -> bool:
        """Whether ``line`` goes on with the value above it: it is indented, or a row of a puzzle not yet complete."""
        if not self._entries or not line.strip():
            return False
        return line[0] in " \t" or (self.wants_rows and bool(_PUZZLE_ROW.fullmatch(line)))

    @property
    def wants_rows(self) -> bool:
        """Whether the puzzle is the value being read, and not complete yet."""
        return bool(self._entries) and self._entries[-1].known == "puzzle" and self._entries[-1].cells < CLASSIC.cells

    @property
    def names_puzzle(self) -> bool:
        """Whether a line of the key ``puzzle`` has come, readable or not."""
        return any(entry.known == "puzzle" for entry in self._entries)

    def remark(self, line: str) -> None:
        """Take a comment line."""
        self._remarks.append(line)

    def take(self, number: int, line: str) -> None:
        """Take a line that is neither empty nor a comment."""
        if self.continues(line):
            self._entries[-1].go_on(line)
            return
        match = _KEY.fullmatch(line)
        if not match:
            expected = "a header line such as title: Spring round, or an empty line after the header"
            self._damage.add(number, line, expected)
            self._remarks.append(UNREAD + line.rstrip(" \t"))
            return
        self._entries.append(_Entry(number, match[1], [match[2].strip(" \t")], [line], self._remarks))
        self._remarks = []

    def finish(self) -> Header:
        """The header; givens are all 0 where no puzzle could be read."""
        fields: dict[str, Any] = {"givens": (0,) * CLASSIC.cells}
        other: list[tuple[str, str]] = []
        remarks: list[tuple[str, str]] = []
        waiting: list[str] = []
        for entry in self._entries:
            waiting += entry.remarks
            if not entry.known:
                other.append((entry.key, entry.text))
            elif not self._settle(entry, fields):
                waiting += [UNREAD + line.rstrip(" \t") for line in entry.typed]
                continue
            remarks += [(entry.known or entry.key, line) for line in waiting]
            waiting = []
        remarks += [("", line) for line in (*waiting, *self._remarks)]
        header = Header(**fields, other=tuple(other), remarks=tuple(remarks))
        return replace(header, remarks=settled_remarks(header))

    def _settle(self, entry: _Entry, fields: dict[str, Any]) -> bool:
        """Put the value of a known key into ``fields``; False where it could not be taken."""
        name = KEYS[entry.known]
        if self.has_puzzle if entry.known == "puzzle" else name in fields:
            self._damage.add(entry.line, entry.typed[0], f"one line {entry.known}: ...", "the first one counts")
            return False
        try:
            if entry.known == "puzzle":
                fields[name] = self._puzzle(entry)
            elif entry.text:
                fields[name] = _READERS.get(entry.known, _one_line)(entry.text)
        except InputError as error:
            self._damage.add_error(entry.line, entry.typed[0], error)
            return False
        return True

    def _puzzle(self, entry: _Entry) -> tuple[int, ...]:
        puzzle = read_puzzle(entry.in_place())
        self.has_puzzle = True
        if puzzle.candidates is not None:
            why = "a sheet keeps the givens; candidates that stand on the paper are marks"
            self._damage.add(entry.line, entry.typed[0], "a puzzle without candidates", why, kept=True)
        return puzzle.givens


def _one_line(text: str) -> str:
    return " ".join(text.split("\n"))


def _audience(text: str) -> Audience:
    try:
        return Audience(text.strip().lower())
    except ValueError:
        raise InputError("newcomer, club or contest", got=shown(text)) from None


_READERS: dict[str, Callable[[str], object]] = {"clock-start": parse_ms, "audience": _audience}
