"""Reading a sheet, forgivingly: all damage is reported by line, and what can be read is kept."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from inkstep.ground.clock import clock_text, parse_ms
from inkstep.ground.errors import InputError
from inkstep.trace.damage import Damage, DamageList, SheetError
from inkstep.trace.decoding import typed_lines
from inkstep.trace.grammar import read_action
from inkstep.trace.heading import UNREAD, HeaderReader, header_key
from inkstep.trace.paper import Paper
from inkstep.trace.quoting import comment_line, comment_text, split_comment, tidy_comment
from inkstep.trace.sheet import KIND, VERSION, Sheet, settled_lines
from inkstep.trace.strokes import Stroke

_FIRST = re.compile(r"inkstep\s+sheet\s+([0-9]{1,6})\s*", re.IGNORECASE | re.ASCII)
#: how a line of a stroke may begin; header keys begin with a letter and end in a colon
_STROKE_LIKE = re.compile(
    r"[-–—−?0-9]|(?:strike\s+)?(?:r[0-9]+c[0-9]|note\s*(?:\"|[0-9][^:]*$))", re.IGNORECASE | re.ASCII
)
_UNKNOWN_TIMES = frozenset("-–—−?")
_TIME_LIKE = re.compile(r"[-–—−+]?[0-9]", re.ASCII)


@dataclass(frozen=True)
class SheetReading:
    """A sheet and the damage found while it was read, in the order of lines.

    ``complete``: every line of the file is in the sheet, as a stroke, a header line or a comment. A file may be
    written over with the sheet only when it is.
    """

    sheet: Sheet
    damage: tuple[Damage, ...] = ()
    version: int = VERSION
    complete: bool = True

    def report(self) -> str:
        """One sentence a line for all damage; the empty text for a sound sheet."""
        return "\n".join(map(str, self.damage))


def read_sheet(text: str | bytes, *, strict: bool = False, where: str = "") -> SheetReading:
    """The sheet in ``text``, with everything that is wrong in it.

    A line that can be read is kept, even where it contradicts the paper; one that cannot is kept as a comment that begins
    with ``unread:``. ``where`` (a file's name) opens the sentences of errors.

    Raises:
        SheetError: neither a puzzle nor a stroke could be read; with ``strict``, the first damage.
    """
    damage = DamageList()
    typed = typed_lines(text, damage)
    lines = _Lines(typed.lines, damage)
    lines.read()
    header = lines.header.finish()
    if not lines.header.names_puzzle:
        expected = "a line puzzle: ... with the 81 cells in the header"
        damage.add(lines.header_end, "", expected, "the givens are not known")
    sheet = Sheet(header, lines.strokes(), lines.after())
    _compare_with_paper(sheet, lines.numbers(), typed.lines, damage)
    listed = damage.listed()
    if listed and not typed.ended and listed[-1].line == len(typed.lines):
        listed = (*listed[:-1], _perhaps_cut(listed[-1]))
    if not (sheet.strokes or lines.header.has_puzzle):
        raise SheetError(_nothing(typed.lines), listed, where=where)
    if listed and strict:
        raise SheetError(listed[0], listed, where=where)
    return SheetReading(sheet, listed, lines.version, typed.whole and lines.version <= VERSION)


def _nothing(lines: Sequence[str]) -> Damage:
    """What to say of a text in which there is no sheet."""
    first = next((line for line in lines if line.strip()), "")
    expected = f"a sheet (first {KIND} {VERSION}, then header lines with the puzzle, then strokes)"
    return Damage(1, first, expected, "neither a puzzle nor a stroke could be read")


def _perhaps_cut(damage: Damage) -> Damage:
    if damage.kept or not damage.text:
        return damage
    cut = "the sheet seems to end in the middle of this line"
    return replace(damage, why=f"{damage.why}; {cut}" if damage.why else cut)


@dataclass
class _Typed:
    """A stroke as it was typed: its line number and the lines of its comment."""

    number: int
    stroke: Stroke
    comment: list[str] = field(default_factory=list)


class _Lines:
    """Goes through the lines of a sheet once."""

    def __init__(self, lines: Sequence[str], damage: DamageList) -> None:
        self._lines = lines
        self._damage = damage
        self.header = HeaderReader(damage)
        self.header_end = 1
        self.version = VERSION
        self._in_header = True
        self._late_header = False
        self._found: list[_Typed] = []
        self._above: list[str] = []

    def read(self) -> None:
        """Read every line."""
        start = self._first_line()
        for number, line in enumerate(self._lines[start:], start + 1):
            if self._in_header and self._header_line(number, line):
                self.header_end = number
            else:
                self._in_header = False
                self._stroke_line(number, line)

    def strokes(self) -> tuple[Stroke, ...]:
        """The strokes with their comments."""
        return tuple(replace(typed.stroke, comment=tidy_comment(typed.comment)) for typed in self._found)

    def numbers(self) -> list[int]:
        """The line number of each stroke."""
        return [typed.number for typed in self._found]

    def after(self) -> tuple[str, ...]:
        """The comment lines below the last stroke."""
        return settled_lines(self._above, first=not self._found, last=True)

    def _first_line(self) -> int:
        """Read the line that names kind and version; how many lines that took."""
        for at, line in enumerate(self._lines):
            if not line.strip():
                continue
            if line.startswith("#"):
                self.header.remark(comment_line(line))
                continue
            match = _FIRST.fullmatch(line)
            if not match:
                self._damage.add(at + 1, line, f"{KIND} {VERSION} in the first line", "read as one all the same")
                return at
            self._take_version(at + 1, line, int(match[1]))
            return at + 1
        self._damage.add(1, "", f"{KIND} {VERSION} in the first line", "the sheet is empty")
        return len(self._lines)

    def _take_version(self, number: int, line: str, version: int) -> None:
        self.version = version
        if not 1 <= version <= VERSION:
            why = "a newer Inkstep wrote it: update this one; what it can read is shown"
            expected = f"{KIND} {VERSION}" if VERSION == 1 else f"{KIND} 1 to {VERSION}"
            self._damage.add(number, line, expected, why if version else "", kept=True)

    def _header_line(self, number: int, line: str) -> bool:
        """Take a line of the header; False when the header has ended."""
        if not line.strip():
            return self.header.empty or self.header.wants_rows
        if line[0] == "#":
            self.header.remark(comment_line(line))
        elif _STROKE_LIKE.match(line) and not self.header.continues(line):
            return False
        else:
            self.header.take(number, line)
        return True

    def _stroke_line(self, number: int, line: str) -> None:
        text = line.lstrip().rstrip(" \t")
        late = bool(header_key(line)) or (self._late_header and text[:1] != "#" and self.header.continues(line))
        if late and not self._late_header:
            self._damage.add(number, line, "header lines above the first empty line", kept=True)
        self._late_header = late
        if late:
            self.header.take(number, line)
        elif not text:
            self._empty_line()
        elif text[0] == "#":
            self._comment(line, text)
        else:
            self._stroke(number, line, text)

    def _empty_line(self) -> None:
        if self._above[-1:] != [""] and (self._above or self._found):
            self._above.append("")

    def _comment(self, line: str, text: str) -> None:
        if line[0] != "#" and self._found and not self._above:
            self._found[-1].comment.append(comment_text(text))
        else:
            self._above.append(comment_line(text))

    def _stroke(self, number: int, line: str, text: str) -> None:
        try:
            said, comment = split_comment(text)
            stroke, time_kept = self._timed(number, line, said)
        except InputError as error:
            self._damage.add_error(number, line, error)
            self._unread(line)
            return
        if not time_kept:
            self._unread(line)
        stroke = replace(stroke, before=settled_lines(self._above, first=not self._found))
        self._found.append(_Typed(number, stroke, [] if comment is None else [comment]))
        self._above = []

    def _unread(self, line: str) -> None:
        self._above.append(UNREAD + line.strip(" \t"))

    def _timed(self, number: int, line: str, said: str) -> tuple[Stroke, bool]:
        """The stroke on a line, and False where its time could not be read, so that it is kept as unknown."""
        first, *rest = said.split(maxsplit=1)
        if first not in _UNKNOWN_TIMES and not _TIME_LIKE.match(first):
            stroke = read_action(said)
            expected, why = "a time, or - where it is unknown, before the stroke", "kept as a stroke without time"
            self._damage.add(number, line, expected, why, kept=True)
            return stroke, True
        stroke = read_action("".join(rest))
        if first in _UNKNOWN_TIMES:
            return stroke, True
        try:
            return replace(stroke, at_ms=parse_ms(first)), True
        except InputError as error:
            self._damage.add_error(number, line, error, kept=True)
            return stroke, False


def _compare_with_paper(
    sheet: Sheet, numbers: Sequence[int], lines: Sequence[str], damage: DamageList
) -> None:
    """Report the strokes that contradict the paper they are written on, and times that run backwards."""
    paper = Paper(sheet.givens)
    before: int | None = None
    for stroke, number in zip(sheet.strokes, numbers, strict=True):
        line = lines[number - 1].strip(" \t")
        if stroke.at_ms is not None:
            if before is not None and stroke.at_ms < before:
                why = f"the stroke above it is at {clock_text(before)}"
                damage.add(number, line, "strokes in the order of their times", why, kept=True)
            before = stroke.at_ms
        for expected, why in paper.objections(stroke):
            damage.add(number, line, expected, why, kept=True)
        paper.take(stroke)
