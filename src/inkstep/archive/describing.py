"""What the shelf shows of a solve and what the search knows of it, made from its sheet."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from sqlalchemy import Connection, select, update

from inkstep.archive.searching import keep_words
from inkstep.archive.tables import solves
from inkstep.grid.canonical import canonical_line
from inkstep.trace.pages import page_at
from inkstep.trace.sheet import Sheet


def describe(connection: Connection, solve: int, revision: int, sheet: Sheet) -> None:
    """Keep what the shelf shows of a revision, and its words for the search."""
    found = select(solves.c.puzzle, solves.c.canonical).where(solves.c.id == solve)
    row = connection.execute(found).one()
    values = description(sheet) | {"described_revision": revision}
    if not row.canonical or row.puzzle != sheet.header.puzzle:
        values["canonical"] = canonical_form(sheet.givens)
    connection.execute(update(solves).where(solves.c.id == solve).values(values))
    keep_words(connection, solve, "\n".join(said_in(sheet)))


def description(sheet: Sheet) -> dict[str, Any]:
    """What the shelf shows of a sheet, all but its puzzle's canonical form."""
    header = sheet.header
    page = page_at(sheet, len(sheet.strokes))
    return {
        "title": header.title,
        "event": header.event,
        "solver": header.solver,
        "puzzle": header.puzzle,
        "last_page": "".join(map(str, page.digits)),
        "strokes": len(sheet.strokes),
        "length_ms": sheet.length_ms,
    }


def canonical_form(givens: tuple[int, ...]) -> str:
    """The form by which puzzles are the same however they are moved and renamed; empty for a grid without givens."""
    return canonical_line(givens) if any(givens) else ""


def said_in(sheet: Sheet) -> Iterator[str]:
    """All that a person wrote in a sheet: its header, comments, and the texts of notes."""
    header = sheet.header
    yield from (header.title, header.event, header.solver, header.source, header.date, header.recording, header.credit)
    yield from (value for _, value in header.other)
    yield from (line for _, line in header.remarks)
    for stroke in sheet.strokes:
        yield from stroke.before
        yield from (stroke.text, stroke.comment)
    yield from sheet.after
