"""The shelf: the archive's solves, newest first, found by their words and by what happened in them."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass, fields
from typing import Any

from sqlalchemy import Connection, Row, func, select

from inkstep.archive.describing import describe
from inkstep.archive.faults import ArchiveError
from inkstep.archive.finding import find
from inkstep.archive.opening import Archive
from inkstep.archive.questions import read_question
from inkstep.archive.stored import loaded, solve_row
from inkstep.archive.tables import solves
from inkstep.ground.errors import InputError, shown

#: queries that show what can be asked
EXAMPLES = (
    "spring round",
    "hidden pair held",
    "wait over 6 s",
    "x-wing",
    "left lying over 20 s",
    "false mark",
    '"the habit of table 4"',
    "state planned",
)


@dataclass(frozen=True)
class Entry:
    """A solve on the shelf.

    Dates are milliseconds since 1970. ``last_page`` are 81 digits, ``0`` for an empty cell; ``puzzle`` has ``.`` there.
    ``twins`` is how many other solves are of the same puzzle, moved or renamed as it may be.
    """

    key: str
    title: str
    event: str
    solver: str
    created_at: int
    changed_at: int
    puzzle: str
    last_page: str
    strokes: int
    length_ms: int
    state: str
    effort: float | None
    hardest: str | None
    twins: int


@dataclass(frozen=True)
class Shelf:
    """A page of the shelf.

    ``next`` is what to give as ``after`` for the page that follows, ``total`` how many solves there are in all pages (with
    ``more``, more than that: a search counts no further than a thousand).
    ``understood`` says in words how the query was read, ``unknown`` which parts of it looked like a condition and were none.
    """

    entries: tuple[Entry, ...]
    next: str | None
    total: int
    understood: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()
    more: bool = False


def shelf(archive: Archive, query: str = "", *, after: str | None = None, most: int = 30) -> Shelf:
    """The newest solves that the query finds, at most ``most``, from the one after the cursor ``after`` on.

    Raises:
        InputError: the cursor is none.
        ArchiveError: the archive cannot be read.
    """
    bring_up_to_date(archive)
    question = read_question(query)
    with archive.reading() as connection:
        found = find(connection, question, None if after is None else _cursor(after), most + 1)
        rows = connection.execute(select(solves).where(solves.c.id.in_(found.numbers[:most]))).all()
        same = _same_puzzles(connection, {row.canonical for row in rows})
    newest_first = sorted(rows, key=lambda row: -row.id)
    entries = tuple(_entry(row, same.get(row.canonical, 1) - 1) for row in newest_first)
    following = str(found.numbers[most - 1]) if len(found.numbers) > most > 0 else None
    return Shelf(entries, following, found.total, question.understood, question.unknown, found.more)


def bring_up_to_date(archive: Archive) -> None:
    """Describe anew the solves that were changed since; where the archive cannot be written, they stay as they were."""
    with archive.reading() as connection:
        stale = connection.execute(select(solves.c.key).where(solves.c.described_revision != solves.c.revision)).scalars()
        keys = list(stale)
    for key in keys:
        # taken out meanwhile, or the archive cannot be written just now: the shelf is shown all the same
        with suppress(InputError, ArchiveError), archive.writing() as connection:
            solve = solve_row(connection, key, to_change=True)
            describe(connection, solve.id, solve.revision, loaded(connection, solve).sheet)


def _cursor(after: str) -> int:
    if not (after.isascii() and after.isdigit() and len(after) < 10):
        raise InputError("a place on the shelf, as the page before it names one", got=shown(after))
    return int(after)


def _same_puzzles(connection: Connection, forms: set[str]) -> dict[str, int]:
    """How many solves there are of each puzzle, by its canonical form."""
    found = select(solves.c.canonical, func.count()).where(solves.c.canonical.in_(forms - {""}))
    return {row[0]: row[1] for row in connection.execute(found.group_by(solves.c.canonical))}


def _entry(row: Row[Any], twins: int) -> Entry:
    names = (field.name for field in fields(Entry) if field.name != "twins")
    return Entry(**{name: row._mapping[name] for name in names}, twins=twins)
