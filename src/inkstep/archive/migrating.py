"""Bringing an archive to the present form, by Alembic; one in a file as a copy that takes its place once all is well."""

from __future__ import annotations

import os
import sqlite3
from contextlib import closing
from pathlib import Path

from alembic import command
from alembic.config import Config
from sqlalchemy import Engine, create_engine, text

from inkstep.archive.faults import ArchiveError, archive_error

#: the folder of the steps
STEPS = Path(__file__).parent / "migrations"
#: a number that stands for "migrates an archive" among the locks of a PostgreSQL database
_LOCK = 0x1A4B5E9


def migrate(engine: Engine) -> None:
    """Take all steps that are missing in one transaction: all are taken, or none."""
    config = Config()
    config.set_main_option("script_location", str(STEPS).replace("%", "%%"))
    config.set_main_option("path_separator", "os")
    with engine.begin() as connection:
        if engine.dialect.name == "postgresql":
            # a second program that does the same waits here, and then finds everything done
            connection.execute(text("SELECT pg_advisory_xact_lock(:lock)"), {"lock": _LOCK})
        config.attributes["connection"] = connection
        command.upgrade(config, "head")


def migrate_file(path: Path, revision: str, *, busy_seconds: float) -> Path:
    """Migrate the archive in a file to ``revision``; gives the path at which the old one stays.

    The old file is held so that nobody writes to it, copied, and the copy migrated and checked; only then does the copy
    take its place, in one step. Whatever fails before leaves the old file as it was.

    Raises:
        ArchiveError: another program has the archive open, there is no room for a copy, or the copy did not come out well.
    """
    copy, kept = path.with_name(f"{path.name}.migrating"), _free_name(path, revision)
    try:
        with closing(_held(path, busy_seconds)) as old:
            _copied(old, copy)
            _migrate_copy(copy)
            _check(old, copy, path)
            _copied(old, kept)
            if os.name == "nt":
                # Windows moves no file over one that is open
                old.close()
            os.replace(copy, path)
    except (sqlite3.Error, OSError) as fault:
        raise archive_error(fault, str(path)) from fault
    finally:
        for leftover in (copy, *(copy.with_name(copy.name + end) for end in ("-wal", "-shm", "-journal"))):
            leftover.unlink(missing_ok=True)
    _to_disk(path.parent)
    return kept


def _held(path: Path, busy_seconds: float) -> sqlite3.Connection:
    """A connection that keeps everybody else out until it is closed, with nothing left beside the file."""
    connection = sqlite3.connect(path, isolation_level=None, timeout=busy_seconds)
    try:
        # succeeds only when nobody else has the archive open; what was in the write-ahead log is in the file then
        connection.execute("PRAGMA journal_mode=DELETE")
        connection.execute("PRAGMA locking_mode=EXCLUSIVE")
        connection.execute("BEGIN EXCLUSIVE")
        connection.execute("COMMIT")
    except BaseException:
        connection.close()
        raise
    return connection


def _copied(old: sqlite3.Connection, to: Path) -> None:
    """Copy a database by SQLite's own means, and see the copy on the disk."""
    to.unlink(missing_ok=True)
    with closing(sqlite3.connect(to)) as copy:
        old.backup(copy)
    _to_disk(to)


def _migrate_copy(copy: Path) -> None:
    engine = create_engine(f"sqlite:///{copy}")
    try:
        migrate(engine)
    finally:
        engine.dispose()
    _to_disk(copy)


def _check(old: sqlite3.Connection, copy: Path, path: Path) -> None:
    """See that the copy is sound, and that no table that both have lost or gained rows.

    Raises:
        ArchiveError: something is wrong with it.
    """
    with closing(sqlite3.connect(copy)) as new:
        found = [row[0] for row in new.execute("PRAGMA integrity_check") if row[0] != "ok"]
        found += [f"{row[0]}, row {row[1]}: without its {row[2]}" for row in new.execute("PRAGMA foreign_key_check")]
        before, after = _counts(old), _counts(new)
        both = sorted(before.keys() & after.keys() - {"alembic_version"})
        found += [f"{name}: {before[name]} rows, now {after[name]}" for name in both if before[name] != after[name]]
    if found:
        hint = "the archive was left as it is; use the Inkstep that made it, and report this"
        raise ArchiveError("a migrated copy that is sound", where=str(path), got="; ".join(found[:3]), hint=hint)


def _counts(connection: sqlite3.Connection) -> dict[str, int]:
    names = [row[0] for row in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
    own = [name for name in names if not name.startswith(("sqlite_", "words_"))]
    return {name: connection.execute(f'SELECT count(*) FROM "{name}"').fetchone()[0] for name in own}


def _free_name(path: Path, revision: str) -> Path:
    """Where the old archive stays: beside the new one, in place of nothing."""
    stem = path.name.removesuffix(path.suffix)
    names = [f"{stem}.before-{revision}{path.suffix}"]
    names += [f"{stem}.before-{revision}-{number}{path.suffix}" for number in range(2, 1000)]
    return next(found for found in map(path.with_name, names) if not found.exists())


def _to_disk(path: Path) -> None:
    """Wait until a file, or the names in a folder, are on the disk."""
    if os.name == "nt":
        return
    descriptor = os.open(path, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
