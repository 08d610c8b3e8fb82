"""The first form of the archive: solves with their strokes and edits, what is kept beside them, and the search."""

from __future__ import annotations

from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make every table."""
    _solves()
    _logs()
    _beside()
    _jobs()
    _search()


def _solve() -> sa.Column[Any]:
    return sa.Column("solve", sa.Integer, sa.ForeignKey("solves.id", ondelete="CASCADE"), primary_key=True)


def _text(name: str, default: str | None = "", **more: Any) -> sa.Column[Any]:
    return sa.Column(name, sa.Text, nullable=False, server_default=default, **more)


def _whole(name: str, default: str | None = "0", kind: Any = sa.Integer) -> sa.Column[Any]:
    return sa.Column(name, kind, nullable=False, server_default=sa.text(default) if default else None)


def _solves() -> None:
    op.create_table(
        "solves",
        sa.Column("id", sa.Integer, primary_key=True),
        _text("key", None, unique=True),
        _whole("revision"),
        _whole("applied"),
        _whole("next_stroke", "1"),
        _text("head", None),
        _text("tail"),
        _whole("created_at", None, sa.BigInteger),
        _whole("changed_at", None, sa.BigInteger),
        _text("title"),
        _text("event"),
        _text("solver"),
        _text("puzzle", None),
        _text("canonical"),
        _text("last_page"),
        _whole("strokes"),
        _whole("length_ms", "0", sa.BigInteger),
        _whole("described_revision", "-1"),
        _text("state", "logging"),
        sa.Column("effort", sa.Float),
        sa.Column("hardest", sa.Text),
        sa.Column("reviewed_revision", sa.Integer),
    )
    for column in ("canonical", "state", "effort", "hardest"):
        op.create_index(f"solves_by_{column}", "solves", [column])
    stale = sa.text("described_revision != revision")
    op.create_index("solves_to_describe", "solves", ["id"], sqlite_where=stale, postgresql_where=stale)


def _logs() -> None:
    op.create_table(
        "strokes",
        _solve(),
        sa.Column("id", sa.Integer, primary_key=True),
        _whole("position", None),
        _text("text", None),
        sqlite_with_rowid=False,
    )
    op.create_table(
        "edits",
        _solve(),
        sa.Column("number", sa.Integer, primary_key=True),
        _whole("made_at", None, sa.BigInteger),
        _text("what", None),
        _text("removed", None),
        _text("added", None),
        sa.Column("head", sa.Text),
        sa.Column("tail", sa.Text),
    )


def _beside() -> None:
    op.create_table("plans", _solve(), _whole("revision", None), _text("text", None))
    op.create_table(
        "choices",
        _solve(),
        sa.Column("stroke", sa.Integer, primary_key=True),
        _text("argument"),
        _text("words"),
        sqlite_with_rowid=False,
    )
    op.create_table("recordings", _solve(), _text("path"), _text("watching", "{}"))
    op.create_table("settings", sa.Column("name", sa.Text, primary_key=True), _text("value", None))


def _jobs() -> None:
    op.create_table(
        "jobs",
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("solve", sa.Integer, sa.ForeignKey("solves.id", ondelete="CASCADE"), nullable=False),
        _text("asked", None),
        _text("folder", None),
        _text("state", None),
        sa.Column("share", sa.Float, nullable=False, server_default=sa.text("0")),
        _text("said"),
        _text("written", "[]"),
        _whole("made_at", None, sa.BigInteger),
        sa.Column("ended_at", sa.BigInteger),
    )
    op.create_index("jobs_by_solve", "jobs", ["solve"])


def _search() -> None:
    op.create_table(
        "happenings",
        _solve(),
        sa.Column("kind", sa.Text, primary_key=True),
        sa.Column("name", sa.Text, primary_key=True, server_default=""),
        sa.Column("value", sa.Float, nullable=False, server_default=sa.text("0")),
        _whole("times", "1"),
        sa.Column("stroke", sa.Integer),
        sqlite_with_rowid=False,
    )
    op.create_index("happenings_by_name", "happenings", ["kind", "name", "solve", "value"])
    if op.get_bind().dialect.name == "sqlite":
        op.execute("CREATE VIRTUAL TABLE words USING fts5(text, tokenize='unicode61 remove_diacritics 0', prefix='2 3')")
        op.execute("CREATE TRIGGER words_go AFTER DELETE ON solves BEGIN DELETE FROM words WHERE rowid = old.id; END")
    else:
        op.execute(
            "CREATE TABLE words (solve INTEGER PRIMARY KEY REFERENCES solves (id) ON DELETE CASCADE, text TSVECTOR NOT NULL)"
        )
        op.execute("CREATE INDEX words_by_text ON words USING gin (text)")
