"""Searching the words of solves: full text by FTS5 in SQLite and by tsvector in PostgreSQL, cut into words here for both."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass

from sqlalchemy import Connection, Integer, Select, column, literal, select, table, text

#: the search's table in SQLite, and in PostgreSQL
_FTS5 = table("words", column("rowid", Integer), column("text"))
_TSVECTOR = table("words", column("solve", Integer), column("text"))

_WORD = re.compile(r"[^\W_]+")
#: PostgreSQL counts places in a text up to here
_MOST_PLACES = 16_383
#: letters of a word that are kept
_MOST_LETTERS = 60


@dataclass(frozen=True)
class Asked:
    """Words that must stand in a text, in this order one after another; the last may go on where ``open_end``."""

    words: tuple[str, ...]
    open_end: bool = False


def words_of(said: str) -> tuple[str, ...]:
    """The words of a text as they are searched: in small letters, without accents.

    >>> words_of("Table 4's Übung: r5c1 = 5")
    ('table', '4', 's', 'ubung', 'r5c1', '5')
    """
    # taken apart twice: what is in a circle or of another hand has small letters only once it is plain
    plain = unicodedata.normalize("NFKD", unicodedata.normalize("NFKD", said).casefold())
    return tuple(word[:_MOST_LETTERS] for word in _WORD.findall("".join(c for c in plain if not unicodedata.combining(c))))


def keep_words(connection: Connection, solve: int, said: str) -> None:
    """Keep a solve's text for the search, in place of what was kept of it."""
    words = words_of(said)
    if connection.dialect.name == "sqlite":
        connection.execute(text("DELETE FROM words WHERE rowid = :solve"), {"solve": solve})
        if words:
            values = {"solve": solve, "text": " ".join(words)}
            connection.execute(text("INSERT INTO words (rowid, text) VALUES (:solve, :text)"), values)
        return
    vector = " ".join(f"{word}:{min(at, _MOST_PLACES)}" for at, word in enumerate(words, 1))
    connection.execute(
        text(
            "INSERT INTO words (solve, text) VALUES (:solve, CAST(:text AS tsvector))"
            " ON CONFLICT (solve) DO UPDATE SET text = excluded.text"
        ),
        {"solve": solve, "text": vector},
    )


def with_words(connection: Connection, asked: Iterable[Asked]) -> Select[int]:
    """The numbers of the solves whose text has all that is asked."""
    if connection.dialect.name == "sqlite":
        match = _FTS5.c.text.op("MATCH")(" AND ".join(map(_for_fts5, asked)))
        return select(_FTS5.c.rowid.label("id")).where(match)
    query = literal(" & ".join(map(_for_tsquery, asked))).op("::")(text("tsquery"))
    return select(_TSVECTOR.c.solve.label("id")).where(_TSVECTOR.c.text.op("@@")(query))


def _for_fts5(asked: Asked) -> str:
    return f'"{" ".join(asked.words)}"{"*" if asked.open_end else ""}'


def _for_tsquery(asked: Asked) -> str:
    phrase = " <-> ".join(f"'{word}'" for word in asked.words)
    return f"({phrase}{':*' if asked.open_end else ''})"
