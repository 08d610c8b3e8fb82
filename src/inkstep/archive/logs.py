"""Logs: the strokes of a solve as they are entered and repaired. Every edit is one transaction, and can be undone."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

from sqlalchemy import Connection, delete, insert, select
from sqlalchemy import Row as Found

from inkstep.archive.changes import State, difference, edited, state_of
from inkstep.archive.describing import describe
from inkstep.archive.edits import ClashError, Edit, Insert, Log, Move, Rewrite, TakeOut, Whole
from inkstep.archive.faults import ArchiveError
from inkstep.archive.history import Kept, stepped
from inkstep.archive.opening import Archive
from inkstep.archive.stored import (
    edits_about,
    fresh,
    loaded,
    log_of,
    solve_row,
    tail_text,
    with_head,
    write_ends,
    write_new,
    write_rows,
)
from inkstep.archive.stroke_texts import check_size, sheet_text, stroke_text
from inkstep.archive.tables import edits
from inkstep.trace.sheet import Sheet

__all__ = [
    "ClashError",
    "Edit",
    "Insert",
    "Log",
    "Move",
    "Rewrite",
    "TakeOut",
    "Whole",
    "amend",
    "begin",
    "load",
    "redo",
    "stroke_text",
    "undo",
]


def begin(archive: Archive, sheet: Sheet) -> Log:
    """A new solve in the archive, with the strokes of ``sheet``.

    Raises:
        InputError: the sheet cannot be written, or is longer than any that is read.
        ArchiveError: the archive cannot be written.
    """
    head, state = fresh(sheet)
    log, now = log_of(archive.new_key(), 0, state), archive.now()
    with archive.writing() as connection:
        solve = write_new(connection, {"key": log.key, "head": head, "created_at": now, "changed_at": now}, state)
        describe(connection, solve, 0, log.sheet)
    return log


def load(archive: Archive, key: str) -> Log:
    """The solve named ``key``.

    Raises:
        InputError: the archive has none of that name.
        ArchiveError: the archive cannot be read, or what it holds of the solve is damaged.
    """
    with archive.reading() as connection:
        return loaded(connection, solve_row(connection, key))


def revision_of(archive: Archive, key: str) -> int:
    """The revision of the solve named ``key``.

    Raises:
        InputError: the archive has none of that name.
    """
    with archive.reading() as connection:
        return int(solve_row(connection, key).revision)


def amend(archive: Archive, key: str, edit: Edit, known: Log | None = None) -> Log:
    """Make one edit and commit it. ``known`` is the log as the caller last saw it: it saves reading it again.

    An edit that changes nothing leaves the log as it is.

    Raises:
        ClashError: what the edit changes was changed meanwhile; nothing is changed then.
        InputError: the archive has no such solve or stroke, a stroke cannot be written, or the log grew too long.
        ArchiveError: the archive cannot be written.
    """
    with archive.writing() as connection:
        solve = solve_row(connection, key, to_change=True)
        log = _known(connection, solve, known)
        old = state_of(log)
        new, what = edited(edit, log, old, solve.next_stroke)
        head, new = (solve.head, new) if new.header is old.header else with_head(new)
        if new.rows == old.rows and (head, tail_text(new)) == (solve.head, solve.tail):
            return log
        return _commit(archive, connection, solve, (old, new), head, what)


def undo(archive: Archive, key: str, known: Log | None = None) -> Log:
    """Take back the newest edit in force; with none, the log as it is."""
    return _step(archive, key, known, back=True)


def redo(archive: Archive, key: str, known: Log | None = None) -> Log:
    """Do again what was undone last; with nothing undone, the log as it is."""
    return _step(archive, key, known, back=False)


def _known(connection: Connection, solve: Found[Any], known: Log | None) -> Log:
    """The log as it stands, without reading it again where the caller knows it."""
    if known and (known.key, known.revision) == (solve.key, solve.revision):
        return known
    return loaded(connection, solve)


def _commit(
    archive: Archive, connection: Connection, solve: Found[Any], states: tuple[State, State], head: str, what: str
) -> Log:
    """Write the difference as an edit, and the log as it stands after it."""
    old, new = states
    tail, at, number = tail_text(new), archive.now(), solve.applied + 1
    log = replace(log_of(solve.key, solve.revision + 1, new), undo=what)
    check_size(sheet_text(head, log.texts, tail))
    removed, added = difference(old.rows, new.rows)
    row = {"solve": solve.id, "number": number, "made_at": at, "what": what}
    row |= {"removed": _json(removed), "added": _json(added)}
    row |= {"head": _json([solve.head, head]) if head != solve.head else None}
    row |= {"tail": _json([solve.tail, tail]) if tail != solve.tail else None}
    connection.execute(delete(edits).where(edits.c.solve == solve.id, edits.c.number >= number))
    connection.execute(insert(edits).values(row))
    write_rows(connection, solve.id, old.rows, new.rows)
    next_stroke = max((solve.next_stroke, *(placed.id + 1 for placed in added)))
    changed = {"revision": log.revision, "applied": number, "next_stroke": next_stroke, "changed_at": at}
    write_ends(connection, solve, head, tail, changed)
    return log


def _step(archive: Archive, key: str, known: Log | None, *, back: bool) -> Log:
    with archive.writing() as connection:
        solve = solve_row(connection, key, to_change=True)
        log = _known(connection, solve, known)
        number = solve.applied if back else solve.applied + 1
        edit = connection.execute(select(edits).where(edits.c.solve == solve.id, edits.c.number == number)).first()
        if edit is None:
            return log
        old = state_of(log)
        try:
            now = stepped(edit, Kept(solve.head, old), back=back)
        except ValueError as fault:
            where, hint = f"the solve {key}, edit {number}", "nothing was changed; please report this"
            raise ArchiveError("an edit that fits the log", where=where, got=str(fault), hint=hint) from fault
        applied = number - 1 if back else number
        write_rows(connection, solve.id, old.rows, now.state.rows)
        changed = {"revision": solve.revision + 1, "applied": applied, "changed_at": archive.now()}
        write_ends(connection, solve, now.head, tail_text(now.state), changed)
        said = edits_about(connection, solve.id, applied)
        return replace(log_of(key, solve.revision + 1, now.state), undo=said[0], redo=said[1])


def _json(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"))
