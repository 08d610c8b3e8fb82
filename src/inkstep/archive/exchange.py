"""Taking the archive out and in: every solve as its sheet, its plan and what else is known of it, in one zip file."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import BinaryIO

from sqlalchemy import Connection, delete, select

from inkstep.archive.facts import facts_of, facts_text
from inkstep.archive.incoming import Incoming, is_there, read_solve, write_solve
from inkstep.archive.keeping import solve_id
from inkstep.archive.opening import Archive
from inkstep.archive.searching import words_of
from inkstep.archive.stroke_texts import sheet_text
from inkstep.archive.tables import plans, solves, strokes
from inkstep.archive.zips import Unzipped, zipped
from inkstep.ground.records import RecordKind
from inkstep.trace.reading import read_sheet

RECORD = RecordKind("inkstep-archive", 1, {})
#: the file of a zip that says what it is
FRONT = "inkstep-archive.json"

#: solves that are read, or written, at once
AT_ONCE = 100
_FOLDER = re.compile(r"(solves/[a-z0-9-]{1,120}/)solve\.sheet")


@dataclass
class Imported:
    """What an import did: how many solves it added (``beside``: of these, how many beside another of the same name), how
    many it skipped because they are in the archive already; and a sentence for each that could not be taken as it was."""

    added: int = 0
    skipped: int = 0
    beside: int = 0
    faults: list[str] = field(default_factory=list)


def export_archive(archive: Archive, keys: Iterable[str] | None = None) -> Iterator[bytes]:
    """A zip file of the whole archive, or of the solves named, in pieces: sheets, plans and all that is known of them.

    Settings and jobs stay out. Solves that are taken out meanwhile are left out.

    Raises:
        ArchiveError: the archive cannot be read.
    """
    with archive.reading() as connection:
        found = select(solves.c.key).order_by(solves.c.id)
        chosen = list(connection.execute(found).scalars()) if keys is None else list(keys)
    return zipped(_files(archive, chosen))


def _files(archive: Archive, keys: list[str]) -> Iterator[tuple[str, str]]:
    yield FRONT, RECORD.dump({"solves": len(keys), "exported_at": archive.now()})
    for start in range(0, len(keys), AT_ONCE):
        with archive.reading() as connection:
            batch = list(_batch(connection, keys[start : start + AT_ONCE], start + 1))
        yield from batch


def _batch(connection: Connection, keys: list[str], first: int) -> Iterator[tuple[str, str]]:
    for number, key in enumerate(keys, first):
        solve = connection.execute(select(solves).where(solves.c.key == key)).first()
        if solve is None:
            continue
        folder = f"solves/{'-'.join((f'{number:06d}', *_ascii(solve.head)))}"
        order = select(strokes.c.text).where(strokes.c.solve == solve.id).order_by(strokes.c.position)
        # as it lies in the archive, unread: what is damaged there is in the export too
        yield f"{folder}/solve.sheet", sheet_text(solve.head, connection.execute(order).scalars(), solve.tail)
        plan = connection.execute(select(plans.c.text).where(plans.c.solve == solve.id)).scalar()
        if plan is not None:
            yield f"{folder}/plan.json", plan
        yield f"{folder}/facts.json", facts_text(facts_of(connection, solve))


def _ascii(head: str) -> list[str]:
    """The first words of a title, for the name of a folder."""
    title = read_sheet(head).sheet.header.title
    return [word for word in words_of(title) if word.isascii()][:6]


def import_archive(archive: Archive, data: bytes | BinaryIO) -> Imported:
    """Add the solves of a zip file that an archive was exported to. One that is there already is skipped; one that differs
    from the one of its name is added beside it.

    Raises:
        InputError: it is no such file, or made to do harm; nothing was taken in.
        ArchiveError: the archive cannot be written; what was added before stays.
    """
    files = Unzipped(data)
    RECORD.load(files.text(FRONT), FRONT)
    folders = [match[1] for name in files.names() if (match := _FOLDER.fullmatch(name))]
    done = Imported()
    for start in range(0, len(folders), AT_ONCE):
        read = [read_solve(files, folder, done.faults) for folder in folders[start : start + AT_ONCE]]
        with archive.writing() as connection:
            for solve in filter(None, read):
                _take_in(archive, connection, solve, done)
    return done


def _take_in(archive: Archive, connection: Connection, solve: Incoming, done: Imported) -> None:
    """Add a solve, unless it is there."""
    key = solve.facts.key
    taken = connection.execute(select(solves.c.id).where(solves.c.key == key)).first() is not None
    if taken and is_there(connection, solve):
        done.skipped += 1
        return
    write_solve(connection, solve, archive.new_key() if taken or not key else key)
    done.added += 1
    done.beside += taken


def remove_solve(archive: Archive, key: str) -> None:
    """Take a solve out of the archive for good, with all that belongs to it. Offer its export before.

    Raises:
        InputError: there is none of that name.
    """
    with archive.writing() as connection:
        connection.execute(delete(solves).where(solves.c.id == solve_id(connection, key)))
