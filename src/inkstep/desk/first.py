"""The first visit: the demo solve lies open on the desk, and a tour of one minute shows the keys."""

from __future__ import annotations

import threading
from importlib.resources import files

from sqlalchemy import select

from inkstep.archive import keeping
from inkstep.archive.logs import begin
from inkstep.archive.opening import Archive
from inkstep.archive.tables import solves
from inkstep.trace.reading import read_sheet
from inkstep.trace.sheet import Sheet

#: settings: the key of the demo once it was put in; how the tour ended, ``done`` or ``left``
DEMO, TOUR = "demo", "tour"
TOUR_ENDS = ("done", "left")

_lock = threading.Lock()


def demo_sheet() -> Sheet:
    """The demo solve, as this program carries it."""
    return read_sheet(files(__package__).joinpath("demo", "harbour-spring.sheet").read_bytes()).sheet


def greet(archive: Archive) -> str | None:
    """On the very first visit to an empty archive, put the demo in and give its key; else None."""
    with _lock:
        if keeping.setting(archive, DEMO) is not None or newest(archive):
            return None
        return _put_in(archive)


def tour_solve(archive: Archive) -> str:
    """The key of the solve on which the tour is shown: the demo where it is, else the newest; on an empty shelf, the demo
    put in anew."""
    with _lock:
        kept = keeping.setting(archive, DEMO)
        return (kept if kept and _is_there(archive, kept) else newest(archive)) or _put_in(archive)


def newest(archive: Archive) -> str | None:
    """The key of the newest solve; None on an empty shelf."""
    with archive.reading() as connection:
        return connection.execute(select(solves.c.key).order_by(solves.c.id.desc()).limit(1)).scalar()


def _is_there(archive: Archive, key: str) -> bool:
    with archive.reading() as connection:
        return connection.execute(select(solves.c.id).where(solves.c.key == key)).first() is not None


def _put_in(archive: Archive) -> str:
    key = begin(archive, demo_sheet()).key
    keeping.keep_setting(archive, DEMO, key)
    return key
