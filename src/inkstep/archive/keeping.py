"""What the archive keeps beside strokes: plans, choices, recordings, jobs, what reviews found; and settings."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Any

from sqlalchemy import Connection, Row, Table, delete, insert, select, update

from inkstep.archive.logs import ClashError
from inkstep.archive.opening import Archive
from inkstep.archive.tables import choices, happenings, jobs, plans, recordings, settings, solves
from inkstep.ground.errors import InputError


@dataclass(frozen=True)
class Choice:
    """What the teacher chose for a stroke: an argument by its name (empty: the lightest), and their own words (or none)."""

    argument: str = ""
    words: str = ""


@dataclass(frozen=True)
class Recording:
    """The recording of a solve: the path of its file (empty where it is only picked in the page), and how it was watched."""

    path: str = ""
    watching: dict[str, Any] = field(default_factory=dict)


@dataclass(frozen=True)
class Job:
    """Something that takes its time. ``state`` is waiting, running, done, failed or stopped; ``share`` goes from 0 to 1."""

    id: int
    key: str
    asked: dict[str, Any]
    folder: str
    state: str
    share: float
    said: str
    written: tuple[str, ...]
    made_at: int
    ended_at: int | None


@dataclass(frozen=True)
class Happening:
    """What happened in a solve, for the search: ``technique`` "x-wing", ``held`` "hidden pair", ``wait`` 6200 (ms) ..."""

    kind: str
    name: str = ""
    value: float = 0
    stroke: int | None = None


def plan_of(archive: Archive, key: str) -> tuple[int, str] | None:
    """The plan's revision and text; None where there is no plan yet."""
    with archive.reading() as connection:
        solve = solve_id(connection, key)
        row = connection.execute(select(plans).where(plans.c.solve == solve)).first()
        return (row.revision, row.text) if row else None


def keep_plan(archive: Archive, key: str, text: str, have: int | None) -> int:
    """Keep a plan in place of revision ``have`` (None: the first); gives its revision.

    Raises:
        ClashError: the plan was changed meanwhile; it stays as it is.
    """
    with archive.writing() as connection:
        solve = solve_id(connection, key)
        row = connection.execute(select(plans.c.revision, plans.c.text).where(plans.c.solve == solve)).first()
        if (row.revision if row else None) != have:
            raise ClashError("the plan", row.text if row else "", text)
        revision = (have or 0) + 1
        _put(connection, plans, {"solve": solve}, {"revision": revision, "text": text})
        return revision


def choices_of(archive: Archive, key: str) -> dict[int, Choice]:
    """The teacher's choices by the stroke's id."""
    with archive.reading() as connection:
        rows = connection.execute(select(choices).where(choices.c.solve == solve_id(connection, key)))
        return {row.stroke: Choice(row.argument, row.words) for row in rows}


def keep_choice(archive: Archive, key: str, stroke: int, choice: Choice) -> None:
    """Keep a choice for a stroke; an empty one takes it back."""
    with archive.writing() as connection:
        names = {"solve": solve_id(connection, key), "stroke": stroke}
        if choice == Choice():
            connection.execute(delete(choices).where(choices.c.solve == names["solve"], choices.c.stroke == stroke))
        else:
            _put(connection, choices, names, {"argument": choice.argument, "words": choice.words})


def recording_of(archive: Archive, key: str) -> Recording:
    """The recording of a solve."""
    with archive.reading() as connection:
        row = connection.execute(select(recordings).where(recordings.c.solve == solve_id(connection, key))).first()
        return Recording(row.path, json.loads(row.watching)) if row else Recording()


def keep_recording(archive: Archive, key: str, recording: Recording) -> None:
    """Keep where a solve's recording lies, and how it was watched."""
    with archive.writing() as connection:
        values = {"path": recording.path, "watching": _json(recording.watching)}
        _put(connection, recordings, {"solve": solve_id(connection, key)}, values)


def setting(archive: Archive, name: str, default: Any = None) -> Any:
    """A setting of the whole desk, such as its keys."""
    with archive.reading() as connection:
        value = connection.execute(select(settings.c.value).where(settings.c.name == name)).scalar()
        return default if value is None else json.loads(value)


def keep_setting(archive: Archive, name: str, value: Any) -> None:
    """Keep a setting."""
    with archive.writing() as connection:
        _put(connection, settings, {"name": name}, {"value": _json(value)})


def begin_job(archive: Archive, key: str, asked: dict[str, Any], folder: str) -> Job:
    """A new job that waits to be run."""
    with archive.writing() as connection:
        values = {"solve": solve_id(connection, key), "asked": _json(asked), "folder": folder, "state": "waiting"}
        made = connection.execute(insert(jobs).values(made_at=archive.now(), **values)).inserted_primary_key
        return _job(connection, made[0] if made else 0)


def change_job(archive: Archive, job: int, **changed: Any) -> Job:
    """A job with some fields changed: ``state``, ``share``, ``said``, ``written`` (paths), ``ended_at``."""
    if "written" in changed:
        changed["written"] = _json(list(changed["written"]))
    with archive.writing() as connection:
        connection.execute(update(jobs).where(jobs.c.id == job).values(changed))
        return _job(connection, job)


def jobs_of(archive: Archive, key: str, most: int = 20) -> tuple[Job, ...]:
    """The newest jobs of a solve, newest first."""
    with archive.reading() as connection:
        found = select(jobs.c.id).where(jobs.c.solve == solve_id(connection, key)).order_by(jobs.c.id.desc()).limit(most)
        return tuple(_job(connection, job) for job in connection.execute(found).scalars().all())


def job_of(archive: Archive, job: int) -> Job:
    """One job.

    Raises:
        InputError: there is none of that number.
    """
    with archive.reading() as connection:
        return _job(connection, job)


def keep_state(archive: Archive, key: str, state: str) -> None:
    """How far a solve has come: logging, reviewed, planned or published."""
    with archive.writing() as connection:
        connection.execute(update(solves).where(solves.c.key == key).values(state=state))


def keep_review(
    archive: Archive, key: str, revision: int, *, effort: float, hardest: str | None, happened: Iterable[Happening]
) -> None:
    """What the review of a revision found, for the shelf and the search. A solve that was only logged becomes reviewed."""
    with archive.writing() as connection:
        solve = solve_id(connection, key)
        values = {"effort": effort, "hardest": hardest, "reviewed_revision": revision}
        connection.execute(update(solves).where(solves.c.id == solve).values(values))
        fresh = (solves.c.id == solve, solves.c.state == "logging")
        connection.execute(update(solves).where(*fresh).values(state="reviewed"))
        connection.execute(delete(happenings).where(happenings.c.solve == solve))
        rows = [{"solve": solve, **row} for row in _once_each(happened)]
        if rows:
            connection.execute(insert(happenings), rows)


def _once_each(happened: Iterable[Happening]) -> Iterator[dict[str, Any]]:
    """One row a kind and name: how often it happened, and the greatest of them (of equal ones the first)."""
    found: dict[tuple[str, str], list[Happening]] = {}
    for each in happened:
        found.setdefault((each.kind, each.name), []).append(each)
    for (kind, name), all_of_it in found.items():
        greatest = max(all_of_it, key=lambda each: each.value)
        row = {"kind": kind, "name": name, "times": len(all_of_it)}
        yield row | {"value": greatest.value, "stroke": greatest.stroke}


def solve_id(connection: Connection, key: str) -> int:
    """The number of the solve in the tables.

    Raises:
        InputError: there is none of that name.
    """
    found = connection.execute(select(solves.c.id).where(solves.c.key == key)).scalar()
    if found is None:
        raise InputError("a solve that is in the archive", got="one that is not, or was taken out")
    return int(found)


def _put(connection: Connection, table: Table, names: dict[str, Any], values: dict[str, Any]) -> None:
    """A row in place of the one of the same names, or a new one."""
    here = [table.c[name] == value for name, value in names.items()]
    if not connection.execute(update(table).where(*here).values(values)).rowcount:
        connection.execute(insert(table).values(names | values))


def _job(connection: Connection, job: int) -> Job:
    row: Row[Any] | None = connection.execute(
        select(jobs, solves.c.key).join(solves, solves.c.id == jobs.c.solve).where(jobs.c.id == job)
    ).first()
    if row is None:
        raise InputError("a job that is there", got=str(job))
    written = tuple(json.loads(row.written))
    asked = json.loads(row.asked)
    return Job(
        row.id, row.key, asked, row.folder, row.state, row.share, row.said, written, row.made_at, row.ended_at
    )


def _json(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"))
