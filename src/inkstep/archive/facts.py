"""What is known of a solve beside its sheet and plan, as a record in JSON: for the export, and read back with care."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Callable
from dataclasses import asdict, dataclass, fields
from typing import Any, NamedTuple

from sqlalchemy import Connection, Row, select

from inkstep.archive.phrases import STATES
from inkstep.archive.tables import choices, edits, happenings, plans, recordings, strokes
from inkstep.ground.errors import InputError, shown
from inkstep.ground.records import RecordKind

RECORD = RecordKind("inkstep-archived", 1, {})
#: numbers that every database takes
_MOST = 2**31 - 1
_MOST_MS = 2**53
#: what no database keeps: the zero character, and halves of characters
_NO_TEXT = re.compile("[\0\ud800-\udfff]")


class Edit(NamedTuple):
    """A row of the table of edits, without the solve that it belongs to."""

    number: int
    made_at: int
    what: str
    removed: str
    added: str
    head: str | None
    tail: str | None


#: the columns of what is kept of choices and of happenings, in order
CHOSEN = ("stroke", "argument", "words")
HAPPENED = ("kind", "name", "value", "times", "stroke")


@dataclass(frozen=True)
class Facts:
    """All of a solve but its sheet and plan.

    ``ids`` are the names of the strokes in order; ``choices`` and ``happenings`` are rows of `CHOSEN` and `HAPPENED`.
    """

    key: str = ""
    created_at: int = 0
    changed_at: int = 0
    state: str = "logging"
    revision: int = 0
    applied: int = 0
    ids: tuple[int, ...] = ()
    edits: tuple[Edit, ...] = ()
    choices: tuple[tuple[Any, ...], ...] = ()
    recording: str = ""
    watching: str = "{}"
    plan_revision: int = 0
    effort: float | None = None
    hardest: str | None = None
    reviewed_revision: int | None = None
    happenings: tuple[tuple[Any, ...], ...] = ()

    def content(self) -> dict[str, Any]:
        """What makes two solves of one name the same or not: all that a person did."""
        apart = ("key", "changed_at", "state", "effort", "hardest", "reviewed_revision", "happenings")
        return {name: value for name, value in asdict(self).items() if name not in apart}


def facts_of(connection: Connection, solve: Row[Any]) -> Facts:
    """What is kept of a solve in the archive."""
    taken = {field.name: solve._mapping[field.name] for field in fields(Facts) if field.name in solve._mapping}
    recording = connection.execute(select(recordings).where(recordings.c.solve == solve.id)).first()
    if recording:
        taken |= {"recording": recording.path, "watching": recording.watching}
    plan = connection.execute(select(plans.c.revision).where(plans.c.solve == solve.id)).scalar()
    order = select(strokes.c.id).where(strokes.c.solve == solve.id).order_by(strokes.c.position)
    return Facts(
        **taken,
        plan_revision=plan or 0,
        ids=tuple(connection.execute(order).scalars()),
        edits=tuple(map(Edit._make, _rows(connection, edits, solve.id, *Edit._fields))),
        choices=_rows(connection, choices, solve.id, *CHOSEN),
        happenings=_rows(connection, happenings, solve.id, *HAPPENED),
    )


def _rows(connection: Connection, table: Any, solve: int, *names: str) -> tuple[tuple[Any, ...], ...]:
    columns = [table.c[name] for name in names]
    found = connection.execute(select(*columns).where(table.c.solve == solve).order_by(*columns[:2]))
    return tuple(tuple(row) for row in found)


def facts_text(facts: Facts) -> str:
    """The record of what is kept; what is JSON in the archive is JSON in it."""
    told = asdict(facts)
    told["watching"] = json.loads(facts.watching)
    told["edits"] = [[*edit[:3], *(part and json.loads(part) for part in edit[3:])] for edit in facts.edits]
    return RECORD.dump(told)


def read_facts(text: str, where: str) -> Facts:
    """What a record says, each part of the kind that it must be.

    Raises:
        InputError: it is no such record, or a part of it is not what it must be.
    """
    told = RECORD.load(text, where)
    read = _Fields(told, where)
    watching = read.one("watching", lambda value: isinstance(value, dict) and _text()(_json(value)))
    return Facts(
        key=read.one("key", _text(40)),
        created_at=read.one("created_at", _ms),
        changed_at=read.one("changed_at", _ms),
        state=read.one("state", lambda value: value in STATES),
        revision=read.one("revision", _whole),
        applied=read.one("applied", _whole),
        ids=tuple(read.each("ids", _whole)),
        edits=tuple(_edit(edit) for edit in read.each("edits", _is_edit)),
        choices=tuple(map(tuple, read.each("choices", _row(_whole, _text(), _text())))),
        recording=read.one("recording", _text(4000)),
        watching=watching if isinstance(watching, str) else _json(watching),
        plan_revision=read.one("plan_revision", _whole),
        effort=read.one("effort", _or_none(_number)),
        hardest=read.one("hardest", _or_none(_text(80))),
        reviewed_revision=read.one("reviewed_revision", _or_none(_whole)),
        happenings=tuple(
            map(tuple, read.each("happenings", _row(_text(40), _text(80), _number, _whole, _or_none(_whole))))
        ),
    )


_Is = Callable[[Any], bool]


class _Fields:
    """The fields of a record, each checked as it is taken; one that is not there is as in an empty solve."""

    def __init__(self, told: dict[str, Any], where: str) -> None:
        self._told = told
        self._where = where

    def one(self, name: str, is_right: _Is) -> Any:
        """A field."""
        if name not in self._told:
            return getattr(Facts, name)
        value = self._told[name]
        if not is_right(value):
            raise InputError(f"a sound value under {name}", where=self._where, got=shown(repr(value)))
        return value

    def each(self, name: str, is_right: _Is) -> list[Any]:
        """A list, of which every part is right."""
        value = self.one(name, lambda found: isinstance(found, list | tuple))
        wrong = next((part for part in value if not is_right(part)), None)
        if wrong is not None:
            raise InputError(f"sound values under {name}", where=self._where, got=shown(repr(wrong)))
        return list(value)


def _whole(value: Any) -> bool:
    return type(value) is int and 0 <= value <= _MOST


def _ms(value: Any) -> bool:
    return type(value) is int and 0 <= value <= _MOST_MS


def _number(value: Any) -> bool:
    return type(value) in (int, float) and math.isfinite(value) and abs(value) < _MOST_MS


def _text(most: int = 100_000) -> _Is:
    def is_text(value: Any) -> bool:
        return isinstance(value, str) and len(value) <= most and not _NO_TEXT.search(value)

    return is_text


def _or_none(is_right: _Is) -> _Is:
    return lambda value: value is None or is_right(value)


def _row(*parts: _Is) -> _Is:
    def is_row(value: Any) -> bool:
        if not isinstance(value, list) or len(value) != len(parts):
            return False
        return all(is_right(each) for is_right, each in zip(parts, value, strict=True))

    return is_row


_is_placed = _row(_whole, _whole, _text())
_is_pair = _or_none(_row(_text(), _text()))


def _are_placed(value: Any) -> bool:
    return isinstance(value, list) and all(map(_is_placed, value))


_is_edit = _row(_whole, _ms, _text(1000), _are_placed, _are_placed, _is_pair, _is_pair)


def _edit(value: list[Any]) -> Edit:
    """An edit with its parts as the archive has them."""
    number, made_at, what, removed, added, head, tail = value
    return Edit(number, made_at, what, _json(removed), _json(added), head and _json(head), tail and _json(tail))


def _json(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"))
