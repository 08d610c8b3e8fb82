"""Archives for tests: an empty one in SQLite and in PostgreSQL, with keys and a clock that tell what happened when."""

from __future__ import annotations

from dataclasses import replace
from itertools import count
from pathlib import Path

import pytest
from sqlalchemy import create_engine, text

from inkstep.archive.opening import Archive, open_archive
from inkstep.trace.grammar import read_action
from inkstep.trace.reading import read_sheet
from inkstep.trace.sheet import Header, Sheet
from inkstep.trace.strokes import Stroke

ROOT = Path(__file__).parents[1]
DEMO = read_sheet((ROOT / "examples" / "harbour-spring.sheet").read_bytes()).sheet
#: archives of every version that there was
GOLDENS = ROOT / "tests" / "data" / "archives"

_KEYS = count(1)


def opened(where: str | Path) -> Archive:
    """The archive at ``where``: keys are never given twice, and its clock starts at one second and goes on by one."""
    seconds = count(1)
    return open_archive(where, now=lambda: next(seconds) * 1000, new_key=lambda: f"key-{next(_KEYS)}")


_DATABASES: dict[object, str] = {}


@pytest.fixture(params=("sqlite", "postgresql"))
def place(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """Where a new archive may be made: a file, or an empty database."""
    return str(tmp_path / "archive.db") if request.param == "sqlite" else emptied(request)


def emptied(request: pytest.FixtureRequest) -> str:
    """A database of the session with nothing in it: to make a new one each time takes a second."""
    server = request.getfixturevalue("postgres_server")
    address = _DATABASES.setdefault(server, "") or server.fresh_database()
    _DATABASES[server] = address
    engine = create_engine(address)
    with engine.begin() as connection:
        connection.execute(text("DROP SCHEMA public CASCADE"))
        connection.execute(text("CREATE SCHEMA public"))
    engine.dispose()
    return address


def stroke(action: str, at_ms: int | None = None, comment: str = "", before: tuple[str, ...] = ()) -> Stroke:
    """A stroke from its text."""
    return replace(read_action(action), at_ms=at_ms, comment=comment, before=before)


def sheet(*strokes: Stroke, **header: object) -> Sheet:
    """A sheet of the demo's puzzle."""
    return Sheet(replace(Header(DEMO.givens, title="A solve"), **header), strokes)  # type: ignore[arg-type]
