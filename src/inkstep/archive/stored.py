"""The rows of a log in the archive: read, checked, and written where they differ."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

from sqlalchemy import Connection, bindparam, delete, insert, select, update
from sqlalchemy import Row as Found

from inkstep.archive.changes import Row, State, first_difference, settled_state
from inkstep.archive.edits import Log
from inkstep.archive.faults import ArchiveError
from inkstep.archive.stroke_texts import check_size, head_text, read_head, settled, sheet_text, stroke_text
from inkstep.archive.tables import edits, solves, strokes
from inkstep.ground.errors import InputError, shown
from inkstep.trace.reading import read_sheet
from inkstep.trace.sheet import Sheet


def solve_row(connection: Connection, key: str, *, to_change: bool = False) -> Found[Any]:
    """The row of a solve; ``to_change``: no other writer has it until the transaction ends.

    Raises:
        InputError: there is none of that name.
    """
    found = select(solves).where(solves.c.key == key)
    row = connection.execute(found.with_for_update() if to_change else found).first()
    if row is None:
        raise InputError("a solve that is in the archive", got="one that is not, or was taken out")
    return row


def loaded(connection: Connection, solve: Found[Any]) -> Log:
    """The log of a solve, read from its rows.

    Raises:
        ArchiveError: the rows do not say a sheet any more; nothing of them is left out or changed.
    """
    found = select(strokes.c.id, strokes.c.text).where(strokes.c.solve == solve.id).order_by(strokes.c.position)
    rows = connection.execute(found).all()
    texts = tuple(row.text for row in rows)
    sheet = read_sheet(sheet_text(solve.head, texts, solve.tail)).sheet
    _check_read(solve, texts, sheet)
    said = edits_about(connection, solve.id, solve.applied)
    return Log(solve.key, solve.revision, sheet, tuple(row.id for row in rows), *said, texts)


def _check_read(solve: Found[Any], texts: Sequence[str], sheet: Sheet) -> None:
    """See that every row was read as the stroke that it is."""
    read = tuple(map(stroke_text, sheet.strokes))
    if read == texts and head_text(sheet.header) == solve.head:
        return
    pairs = enumerate(zip((*read, ""), (*texts, ""), strict=False), 1)
    at, text = next(((at, text) for at, (got, text) in pairs if got != text), (0, solve.head))
    hint = "nothing was changed; the export of the archive keeps it as it is: please report this"
    where = f"the solve {solve.key}, {f'stroke {at}' if at else 'its head'}"
    raise ArchiveError("lines of a sheet as Inkstep wrote them", where=where, got=shown(text, 80), hint=hint)


def fresh(sheet: Sheet) -> tuple[str, State]:
    """The head and the state of a new solve from a sheet, as they are read again.

    Raises:
        InputError: the sheet cannot be written, or is longer than any that is read.
    """
    rows = [Row(number, *settled(stroke)) for number, stroke in enumerate(sheet.strokes, 1)]
    head, state = with_head(settled_state(State(rows, sheet.header, sheet.after)))
    check_size(sheet_text(head, (row.text for row in rows), tail_text(state)))
    return head, state


def with_head(state: State) -> tuple[str, State]:
    """The text of a new header, and the state with the header as it is read again.

    Raises:
        InputError: the header cannot be written, or would be read as another.
    """
    head = head_text(state.header)
    header = read_head(head)
    if head_text(header) != head:
        raise InputError("a head that can be read again", got=shown(head, 80))
    return head, replace(state, header=header)


def tail_text(state: State) -> str:
    """What stands below the strokes."""
    return "\n".join(state.after)


def log_of(key: str, revision: int, state: State) -> Log:
    """The log of a state."""
    sheet = Sheet(state.header, tuple(row.stroke for row in state.rows), state.after)
    return Log(key, revision, sheet, tuple(row.id for row in state.rows), texts=tuple(row.text for row in state.rows))


def write_new(connection: Connection, values: dict[str, Any], state: State) -> int:
    """A new solve with its strokes; gives its number in the tables. It is not described yet."""
    next_stroke = max((row.id + 1 for row in state.rows), default=1)
    row = {"tail": tail_text(state), "puzzle": state.header.puzzle, "next_stroke": next_stroke, **values}
    number = connection.execute(insert(solves).values(row)).inserted_primary_key
    assert number is not None
    write_rows(connection, number[0], [], state.rows)
    return int(number[0])


def edits_about(connection: Connection, solve: int, applied: int) -> tuple[str, str]:
    """What the newest edit in force is called, and the one that would be done again."""
    here = (edits.c.solve == solve, edits.c.number.in_((applied, applied + 1)))
    said = {row.number: row.what for row in connection.execute(select(edits.c.number, edits.c.what).where(*here))}
    return said.get(applied, ""), said.get(applied + 1, "")


def write_ends(connection: Connection, solve: Found[Any], head: str, tail: str, changed: dict[str, Any]) -> None:
    """Change the solve's own row; its description is made anew when the shelf is read."""
    changed |= {name: text for name, text in (("head", head), ("tail", tail)) if text != getattr(solve, name)}
    connection.execute(update(solves).where(solves.c.id == solve.id).values(changed))


def write_rows(connection: Connection, solve: int, old: Sequence[Row], new: Sequence[Row]) -> None:
    """Make the rows of ``old`` those of ``new``: each that differs is written once."""
    first = first_difference(old, new)
    before = {row.id: (at, row.text) for at, row in enumerate(old[first:], first)}
    after = {row.id: (at, row.text) for at, row in enumerate(new[first:], first)}
    for statement, rows in _writes(solve, before, after):
        if rows:
            connection.execute(statement, rows)


_Places = dict[int, tuple[int, str]]


def _writes(solve: int, before: _Places, after: _Places) -> Iterator[tuple[Any, list[dict[str, Any]]]]:
    """What to run, and the values for it: rows taken out, moved, changed, and put in."""
    here = (strokes.c.solve == solve, strokes.c.id == bindparam("row"))
    place: dict[str, Any] = {"position": bindparam("at")}
    yield delete(strokes).where(*here), [{"row": name} for name in before if name not in after]
    both = [(name, now, before[name]) for name, now in after.items() if name in before and before[name] != now]
    moved = [{"row": name, "at": now[0]} for name, now, was in both if now[1] == was[1]]
    yield update(strokes).where(*here).values(place), moved
    changed = [{"row": name, "at": now[0], "now": now[1]} for name, now, was in both if now[1] != was[1]]
    yield update(strokes).where(*here).values(place | {"text": bindparam("now")}), changed
    fresh = [(name, now) for name, now in after.items() if name not in before]
    yield insert(strokes), [{"solve": solve, "id": name, "position": now[0], "text": now[1]} for name, now in fresh]
