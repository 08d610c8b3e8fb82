"""The strokes of a sheet as a table for a spreadsheet (CSV, RFC 4180), both ways.

The table has a row a stroke. The header of the sheet, the comment lines above strokes (``Stroke.before``) and those below
the last are not in it.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from inkstep.ground.errors import InputError, shown
from inkstep.trace.damage import DamageList
from inkstep.trace.decoding import MOST_LINES, typed_lines
from inkstep.trace.reading import SheetReading
from inkstep.trace.rows import COLUMNS, RowReader, check_stroke, row_of
from inkstep.trace.sheet import Header, Sheet
from inkstep.trace.strokes import Stroke

_DELIMITERS = ",;\t"
_LINES = re.compile(r"[^\r\n]*(?:\r\n|\r|\n)|[^\r\n]+")


def sheet_to_csv(sheet: Sheet) -> str:
    """The strokes as CSV: a header row of `COLUMNS`, then a row a stroke, lines ended by CR LF.

    A text that a spreadsheet could take for a formula has an apostrophe before it; `sheet_from_csv` takes it away again.

    Raises:
        InputError: a stroke is not well formed.
    """
    lines: list[str] = []
    writer = csv.writer(_Sink(lines.append))
    writer.writerow(COLUMNS)
    for number, stroke in enumerate(sheet.strokes, 1):
        try:
            check_stroke(stroke)
        except InputError as error:
            raise InputError(error.expected, where=f"stroke {number}", got=error.got, hint=error.hint) from None
        writer.writerow(row_of(number, stroke))
    return "".join(lines)


@dataclass(frozen=True, slots=True)
class _Sink:
    """What the writer of the csv module writes to."""

    write: Callable[[str], None]


def sheet_from_csv(table: str | bytes, header: Header, *, where: str = "") -> SheetReading:
    """The sheet of ``header`` with the strokes of a table, and everything that is wrong in the table by line.

    Rows are strokes in their order; the column ``number`` is not read. Columns may come in any order, and be missing but
    for ``kind``; others are left out. Commas, semicolons or tabs may stand between, and a byte order mark in front. A
    mark without ``reading`` or ``house`` gets those of its shape. Of ``ms`` and ``time``, ``ms`` counts. A row that cannot
    be read is reported and left out: the reading is then not ``complete``. The strokes are not compared with the paper.

    Raises:
        InputError: the first row does not name the columns. ``where`` (a file's name) opens the sentence.
    """
    damage = DamageList()
    whole = True
    if isinstance(table, bytes):
        typed = typed_lines(table, damage)
        table, whole = "\n".join(typed.lines), typed.whole
    table = table.removeprefix("\ufeff")
    rows = _rows(table, damage)
    columns = _columns(next(rows, (1, [""]))[1], where)
    strokes: list[Stroke] = []
    for line, row in rows:
        values = {name: row[at] for name, at in columns.items() if at < len(row)}
        if not any(value.strip() for value in values.values()):
            continue
        try:
            strokes.append(RowReader(values, line, damage).stroke())
        except InputError as error:
            damage.add_error(line, ", ".join(filter(None, row)), error)
    listed = damage.listed()
    complete = whole and all(piece.kept for piece in listed)
    return SheetReading(Sheet(header, tuple(strokes)), listed, complete=complete)


def _rows(table: str, damage: DamageList) -> Iterator[tuple[int, list[str]]]:
    """The rows of a table, each with the line on which it begins."""
    lines = _LINES.findall(table)
    if len(lines) > MOST_LINES:
        damage.add(MOST_LINES, "", f"at most {MOST_LINES:,} lines", "what follows is not read")
        lines = lines[:MOST_LINES]
    if table.count('"') % 2:
        why = "the rows below the open one were taken for its text"
        damage.add(len(lines), "", "a closing quote for every opening one", why)
    first = lines[0] if lines else ""
    reader = csv.reader(lines, delimiter=max(_DELIMITERS, key=first.count))
    while True:
        line = reader.line_num + 1
        try:
            yield line, next(reader)
        except StopIteration:
            return
        except csv.Error as fault:
            damage.add(line, "", "a row of a table", str(fault))


def _columns(row: Sequence[str], where: str) -> dict[str, int]:
    """Where each column stands that is read."""
    names = [name.strip().lower() for name in row]
    found = {name: names.index(name) for name in COLUMNS if name in names}
    if "kind" not in found:
        expected = f"a table whose first row names its columns: {', '.join(COLUMNS)}"
        raise InputError(expected, where=where, got=shown(", ".join(row)), hint="only kind must be among them")
    return found
