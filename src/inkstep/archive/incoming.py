"""A solve on its way into the archive: read from the files of an export, checked, compared with what is there, written."""

from __future__ import annotations

import json
from dataclasses import dataclass, replace
from typing import Any

from sqlalchemy import Connection, Row, Table, insert, select, update

from inkstep.archive.changes import State, state_of
from inkstep.archive.describing import canonical_form, describe
from inkstep.archive.facts import CHOSEN, HAPPENED, Facts, facts_of, read_facts
from inkstep.archive.history import Kept, fits
from inkstep.archive.stored import fresh, loaded, log_of, write_new
from inkstep.archive.tables import choices, edits, happenings, plans, recordings, solves
from inkstep.archive.zips import Unzipped
from inkstep.ground.errors import InputError, shown
from inkstep.lesson.plan import read_plan
from inkstep.trace.reading import read_sheet

#: the kinds of file that an import may name as a recording; anything else the desk must not be led to show
_FILMS = (".avi", ".m4v", ".mkv", ".mov", ".mp4", ".mpg", ".ogv", ".ts", ".webm")


@dataclass(frozen=True)
class Incoming:
    """A solve on its way in: its head as text, its state, its plan (or nothing), and the rest."""

    head: str
    state: State
    plan: str
    facts: Facts

    def content(self) -> tuple[object, ...]:
        """What makes two solves the same or not."""
        return self.head, self.state, self.plan, self.facts.content()


def read_solve(files: Unzipped, folder: str, faults: list[str]) -> Incoming | None:
    """A solve from its files; what of it cannot be read is left out and told."""
    name = f"{folder}solve.sheet"
    try:
        sheet = read_sheet(files.text(name), where=name)
        faults += [f"{name}, {damage}" for damage in sheet.damage if not damage.kept][:3]
        head, state = fresh(sheet.sheet)
        facts = _facts(files, f"{folder}facts.json", Kept(head, state), faults)
        plan = _plan(files, f"{folder}plan.json", faults)
    except InputError as fault:
        faults.append(str(fault))
        return None
    if len(facts.ids) == len(state.rows):
        named = zip(facts.ids, state.rows, strict=True)
        state = replace(state, rows=[row._replace(id=stroke) for stroke, row in named])
    return Incoming(head, state, plan, facts)


def _facts(files: Unzipped, name: str, now: Kept, faults: list[str]) -> Facts:
    """What is known of the solve; of a sheet that was changed by hand, without what belonged to the old strokes."""
    text = files.text(name)
    if not text:
        return Facts()
    facts = read_facts(text, name)
    if facts.recording and not facts.recording.lower().endswith(_FILMS):
        faults.append(f"{name}: the recording was left out, since {shown(facts.recording)} is not named as a film")
        facts = replace(facts, recording="")
    rows = [row._replace(id=stroke) for stroke, row in zip(facts.ids, now.state.rows, strict=False)]
    whole = len(facts.ids) == len(set(facts.ids)) == len(now.state.rows)
    if not whole:
        faults.append(f"{name}: the strokes are others than those of the sheet: edits and choices were left out")
        return replace(facts, ids=(), edits=(), applied=0, choices=())
    if not fits(facts.edits, facts.applied, Kept(now.head, replace(now.state, rows=rows))):
        faults.append(f"{name}: the edits do not lead to the sheet, and were left out")
        return replace(facts, edits=(), applied=0)
    return facts


def _plan(files: Unzipped, name: str, faults: list[str]) -> str:
    text = files.text(name)
    try:
        if text:
            read_plan(text, name)
    except InputError as fault:
        faults.append(f"{fault}; the plan was left out")
        return ""
    return text


def is_there(connection: Connection, solve: Incoming) -> bool:
    """Whether a solve of the same content is in the archive, under its own name or another."""
    found = select(solves).where(solves.c.puzzle == solve.state.header.puzzle, solves.c.head == solve.head)
    alike = found.where(solves.c.created_at == solve.facts.created_at, solves.c.canonical == _form(solve))
    return any(_stored(connection, row).content() == solve.content() for row in connection.execute(alike).all())


def _form(solve: Incoming) -> str:
    return canonical_form(solve.state.header.givens)


def _stored(connection: Connection, row: Row[Any]) -> Incoming:
    plan = connection.execute(select(plans.c.text).where(plans.c.solve == row.id)).scalar()
    return Incoming(row.head, state_of(loaded(connection, row)), plan or "", facts_of(connection, row))


def write_solve(connection: Connection, solve: Incoming, key: str) -> None:
    facts = solve.facts
    shown_of = ("created_at", "changed_at", "state", "revision", "applied", "effort", "hardest", "reviewed_revision")
    values = {"key": key, "head": solve.head, **{name: getattr(facts, name) for name in shown_of}}
    number = write_new(connection, values, solve.state)
    edited = [placed[0] for edit in facts.edits for part in (edit.removed, edit.added) for placed in json.loads(part)]
    following = max((row.id for row in solve.state.rows), default=0), *edited
    connection.execute(update(solves).where(solves.c.id == number).values(next_stroke=max(following) + 1))
    describe(connection, number, facts.revision, log_of(key, facts.revision, solve.state).sheet)
    watched = (facts.recording, facts.watching) != ("", "{}")
    beside: list[tuple[Table, list[dict[str, Any]]]] = [
        (edits, [edit._asdict() for edit in facts.edits]),
        (choices, [dict(zip(CHOSEN, each, strict=True)) for each in facts.choices]),
        (happenings, [dict(zip(HAPPENED, each, strict=True)) for each in facts.happenings]),
        (recordings, [{"path": facts.recording, "watching": facts.watching}] if watched else []),
        (plans, [{"revision": max(facts.plan_revision, 1), "text": solve.plan}] if solve.plan else []),
    ]
    for table, rows in beside:
        if rows:
            connection.execute(insert(table), [{"solve": number, **row} for row in rows])
