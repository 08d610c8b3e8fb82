"""Finding the solves that a question asks for: newest first, a few at a time, however many there are.

Every condition is a query for numbers of solves. One of them is walked through, newest first, until there are enough; the
others are kept at hand as sets meanwhile. So what is common ends soon, and what is rare is in a small set.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, Select, func, select

from inkstep.archive.phrases import Bound, Condition, Happened, Is
from inkstep.archive.questions import Question
from inkstep.archive.searching import Asked, with_words
from inkstep.archive.tables import happenings, solves

#: so many that a search finds are counted; beyond them it is said that there are more
MOST_COUNTED = 1_000


@dataclass(frozen=True)
class Found:
    """The numbers of the newest solves that were asked for, and how many there are in all (``more``: more than that)."""

    numbers: list[int]
    total: int
    more: bool


def find(connection: Connection, question: Question, before: int | None, most: int) -> Found:
    """The newest solves that are asked for, at most ``most``, of those with a number under ``before``."""
    query = _together(connection, question)
    if not question.conditions:
        total = connection.execute(select(func.count()).select_from(solves)).scalar_one()
        return Found(_newest(connection, query, before, most), total, False)
    newest = _newest(connection, query, None, max(MOST_COUNTED + 1, most))
    total, more = min(len(newest), MOST_COUNTED), len(newest) > MOST_COUNTED
    numbers = [number for number in newest if before is None or number < before]
    if more and len(numbers) < most:
        numbers = _newest(connection, query, before, most)
    return Found(numbers[:most], total, more)


def _newest(connection: Connection, query: Select[int], before: int | None, most: int) -> list[int]:
    number = query.selected_columns[0]
    here = query if before is None else query.where(number < before)
    return list(connection.execute(here.order_by(number.desc()).limit(most)).scalars())


def _together(connection: Connection, question: Question) -> Select[int]:
    queries = list(_queries(connection, question))
    if not queries:
        return select(solves.c.id)
    walked, *others = queries
    number: Any = walked.selected_columns[0]
    # with a term added, SQLite does not look up the text of each number of the set by itself
    looked_up = number + 0 if connection.dialect.name == "sqlite" else number
    return walked.where(*(looked_up.in_(other) for other in others))


def _queries(connection: Connection, question: Question) -> Iterator[Select[int]]:
    """A query a condition, the one to walk through first: all words as one, then what happens in nearly every solve."""
    words = tuple(each for each in question.conditions if isinstance(each, Asked))
    if words:
        yield with_words(connection, words)
    others = [each for each in question.conditions if not isinstance(each, Asked)]
    yield from map(_query, sorted(others, key=_rarity))


def _rarity(asked: Condition) -> int:
    """Where a condition comes in that order: waits and the like, techniques and marks, columns of the solves."""
    if isinstance(asked, Happened):
        return 0 if asked.over is not None else 1
    return 2


def _query(asked: Condition) -> Select[int]:
    if isinstance(asked, Is):
        return select(solves.c.id).where(solves.c[asked.column] == asked.text)
    if isinstance(asked, Bound):
        column = solves.c[asked.column]
        return select(solves.c.id).where(column > asked.number if asked.over else column < asked.number)
    happened = select(happenings.c.solve).where(happenings.c.kind == asked.kind, happenings.c.name == asked.name)
    return happened if asked.over is None else happened.where(happenings.c.value > asked.over)
