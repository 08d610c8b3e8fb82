"""The tables of the archive. Times (``_ms``) are milliseconds, dates (``_at``) such since 1970; JSON is kept as text."""

from __future__ import annotations

from sqlalchemy import BigInteger, Column, Float, ForeignKey, Index, Integer, MetaData, Table, Text, text

#: the steps in ``migrations/versions`` by which an archive came to its present form, oldest first
REVISIONS = ("0001",)

metadata = MetaData()


def _solve() -> Column[int]:
    """The solve that a row belongs to; the row goes with it."""
    return Column("solve", Integer, ForeignKey("solves.id", ondelete="CASCADE"), primary_key=True)


#: One row a solve. ``head`` is the sheet's text above its strokes, ``tail`` what stands below them. ``applied`` is the
#: number of the newest edit in force: what was undone has higher numbers. What follows ``changed_at`` is taken from the
#: sheet and its review for the shelf, and can always be made anew; ``described_revision`` says of which revision
#: ``title`` to ``length_ms`` tell, ``reviewed_revision`` of which ``effort``, ``hardest`` and the happenings do.
solves = Table(
    "solves",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("key", Text, nullable=False, unique=True),
    Column("revision", Integer, nullable=False, server_default=text("0")),
    Column("applied", Integer, nullable=False, server_default=text("0")),
    Column("next_stroke", Integer, nullable=False, server_default=text("1")),
    Column("head", Text, nullable=False),
    Column("tail", Text, nullable=False, server_default=""),
    Column("created_at", BigInteger, nullable=False),
    Column("changed_at", BigInteger, nullable=False),
    Column("title", Text, nullable=False, server_default=""),
    Column("event", Text, nullable=False, server_default=""),
    Column("solver", Text, nullable=False, server_default=""),
    Column("puzzle", Text, nullable=False),
    Column("canonical", Text, nullable=False, server_default=""),
    Column("last_page", Text, nullable=False, server_default=""),
    Column("strokes", Integer, nullable=False, server_default=text("0")),
    Column("length_ms", BigInteger, nullable=False, server_default=text("0")),
    Column("described_revision", Integer, nullable=False, server_default=text("-1")),
    Column("state", Text, nullable=False, server_default="logging"),
    Column("effort", Float),
    Column("hardest", Text),
    Column("reviewed_revision", Integer),
    Index("solves_by_canonical", "canonical"),
    Index("solves_by_state", "state"),
    Index("solves_by_effort", "effort"),
    Index("solves_by_hardest", "hardest"),
)

#: solves changed since they were described: few, found at once
_STALE = solves.c.described_revision != solves.c.revision
Index("solves_to_describe", solves.c.id, sqlite_where=_STALE, postgresql_where=_STALE)

#: One row a stroke of the present sheet: its lines as the sheet has them, comment lines above it included.
strokes = Table(
    "strokes",
    metadata,
    _solve(),
    Column("id", Integer, primary_key=True),
    Column("position", Integer, nullable=False),
    Column("text", Text, nullable=False),
    sqlite_with_rowid=False,
)

#: Every edit ever made and not replaced by another after it was undone. ``removed`` and ``added`` are JSON lists of
#: ``[id, position, text]``; ``head`` and ``tail`` are JSON pairs, before and after, or null.
edits = Table(
    "edits",
    metadata,
    _solve(),
    Column("number", Integer, primary_key=True),
    Column("made_at", BigInteger, nullable=False),
    Column("what", Text, nullable=False),
    Column("removed", Text, nullable=False),
    Column("added", Text, nullable=False),
    Column("head", Text),
    Column("tail", Text),
)

plans = Table(
    "plans",
    metadata,
    _solve(),
    Column("revision", Integer, nullable=False),
    Column("text", Text, nullable=False),
)

#: Which argument the teacher chose for a stroke (JSON that names it), and the teacher's own words for it.
choices = Table(
    "choices",
    metadata,
    _solve(),
    Column("stroke", Integer, primary_key=True),
    Column("argument", Text, nullable=False, server_default=""),
    Column("words", Text, nullable=False, server_default=""),
    sqlite_with_rowid=False,
)

#: The recording of a solve: a file's path, and what the desk remembers about watching it (JSON).
recordings = Table(
    "recordings",
    metadata,
    _solve(),
    Column("path", Text, nullable=False, server_default=""),
    Column("watching", Text, nullable=False, server_default="{}"),
)

settings = Table(
    "settings",
    metadata,
    Column("name", Text, primary_key=True),
    Column("value", Text, nullable=False),
)

jobs = Table(
    "jobs",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("solve", Integer, ForeignKey("solves.id", ondelete="CASCADE"), nullable=False),
    Column("asked", Text, nullable=False),
    Column("folder", Text, nullable=False),
    Column("state", Text, nullable=False),
    Column("share", Float, nullable=False, server_default=text("0")),
    Column("said", Text, nullable=False, server_default=""),
    Column("written", Text, nullable=False, server_default="[]"),
    Column("made_at", BigInteger, nullable=False),
    Column("ended_at", BigInteger),
    Index("jobs_by_solve", "solve"),
)

#: What happened in a solve, from its review, for the search: kinds are ``technique``, ``held``, ``wait``, ``verdict`` ...
#: One row a solve and thing: how many ``times`` it happened, the greatest ``value`` of them, and the ``stroke`` of that.
happenings = Table(
    "happenings",
    metadata,
    _solve(),
    Column("kind", Text, primary_key=True),
    Column("name", Text, primary_key=True, server_default=""),
    Column("value", Float, nullable=False, server_default=text("0")),
    Column("times", Integer, nullable=False, server_default=text("1")),
    Column("stroke", Integer),
    Index("happenings_by_name", "kind", "name", "solve", "value"),
    sqlite_with_rowid=False,
)
