"""What goes wrong with a database, as sentences: what was expected, where, what happened, what to do."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy.exc import DBAPIError, SQLAlchemyError

from inkstep.ground.errors import InkstepError, shown


class ArchiveError(InkstepError):
    """The archive cannot be used just now: a full disk, a lock, a file that is none."""


#: what was expected, what happened, what to do
_Told = tuple[str, str, str]

_FULL = ("room on the disk", "a full one", "nothing was changed; make room and do it again")
_BUSY = ("the archive to be free", "another program that holds it", "nothing was changed; close that one, or try again")
_FOREIGN = ("an archive", "a file of another kind", "name another file")
_DAMAGED = ("a sound archive", "a damaged file", "go back to a copy; what can be read of this one can be exported")
_CLOSED = (
    "an archive that can be written, and its folder too",
    "one that cannot",
    "change the permissions, or keep it in another folder",
)
_DISK = ("a disk that reads and writes", "a fault of it", "nothing was changed; look after the disk and try again")

#: what the names of SQLite's result codes begin with (sqlite.org/rescode.html), the longest first
_SQLITE: tuple[tuple[str, _Told], ...] = (
    ("SQLITE_IOERR_SHMSIZE", _FULL),
    ("SQLITE_FULL", _FULL),
    ("SQLITE_BUSY", _BUSY),
    ("SQLITE_LOCKED", _BUSY),
    ("SQLITE_NOTADB", _FOREIGN),
    ("SQLITE_CORRUPT", _DAMAGED),
    ("SQLITE_CANTOPEN", _CLOSED),
    ("SQLITE_READONLY", _CLOSED),
    ("SQLITE_PERM", _CLOSED),
    ("SQLITE_AUTH", _CLOSED),
    ("SQLITE_IOERR", _DISK),
)

_ENTRY = ("a name and a password that the server takes", "others", "look at the address")
_GONE = ("a PostgreSQL server that answers", "none", "nothing was changed; see that it runs, and look at the address")

#: what PostgreSQL's error codes begin with (its manual, appendix A), the longest first
_POSTGRES: tuple[tuple[str, _Told], ...] = (
    ("3D000", ("a database that is there", "none of that name", "make it with createdb, or look at the address")),
    ("42501", ("a database that may be written", "one that may not", "ask whoever keeps it for the right to write")),
    ("25006", ("a database that may be written", "one that may not", "ask whoever keeps it for the right to write")),
    ("53100", _FULL),
    ("55P03", _BUSY),
    ("40", _BUSY),
    ("28", _ENTRY),
    ("08", _GONE),
    ("57P", _GONE),
    ("53", ("a PostgreSQL server with room for one more", "a busy one", "nothing was changed; try again")),
)


@contextmanager
def told(where: str) -> Iterator[None]:
    """Faults of the database at ``where`` as sentences of ours.

    Raises:
        ArchiveError: in place of what the database raised.
    """
    try:
        yield
    except SQLAlchemyError as fault:
        raise archive_error(fault, where) from fault


def archive_error(fault: Exception, where: str) -> ArchiveError:
    """The sentence for a fault of a database or of the disk."""
    cause = (fault.orig if isinstance(fault, DBAPIError) else None) or fault
    said = shown(" ".join(str(cause).split()), 160).strip("'\"")
    expected, got, hint = _found(cause) or ("an archive that can be used", "a fault of the database", "nothing was changed")
    return ArchiveError(expected, where=where, got=f"{got} ({said})", hint=hint)


def _found(cause: BaseException) -> _Told | None:
    if isinstance(cause, OSError):
        return _FULL if cause.errno == 28 else _CLOSED
    name = getattr(cause, "sqlite_errorname", None)
    if name is not None:
        return next((told for start, told in _SQLITE if name.startswith(start)), None)
    if type(cause).__module__.partition(".")[0] == "psycopg":
        refused = _unnumbered(str(cause)) if type(cause).__name__ == "OperationalError" else ""
        code = getattr(cause, "sqlstate", None) or refused
        return next((told for start, told in _POSTGRES if code.startswith(start)), None)
    return None


def _unnumbered(said: str) -> str:
    """The code that belongs to a refused connection: the driver gives none, only the server's words."""
    if "does not exist" in said and "database" in said:
        return "3D000"
    return "28" if "password" in said or "authentication" in said else "08"
