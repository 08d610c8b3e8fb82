"""The plans on the desk: each edit made on the plan as it stands, kept before it is answered, and taken back again."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import Any
from weakref import WeakKeyDictionary

from sqlalchemy import select

from inkstep.archive import keeping
from inkstep.archive.logs import ClashError
from inkstep.archive.tables import solves
from inkstep.desk.desk import Desk
from inkstep.desk.studies import Study
from inkstep.ground.errors import InputError
from inkstep.lesson.plan import Plan, read_plan, write_plan
from inkstep.lesson.planning import Planned, make_plan

#: edits that can be taken back, and plans that are kept at hand
MOST_STEPS, MOST_BOOKS = 120, 4
#: times an edit is made anew when another program keeps a plan in the same moment
_TRIES = 3


@dataclass(frozen=True)
class Edited:
    """What an edit comes to: the plan, the edit in a few words, and the id of what it made, if anything.

    With ``anew`` the program cuts the solve and chooses its pauses again, around what the teacher edited.
    """

    plan: Plan
    what: str
    made: str = ""
    anew: bool = False


@dataclass(frozen=True)
class Standing:
    """A plan as it stands: its revision in the archive (None: not kept yet), and what can be taken back or done again."""

    study: Study
    revision: int | None
    planned: Planned
    undo: str = ""
    redo: str = ""

    @property
    def plan(self) -> Plan:
        """The plan itself."""
        return self.planned.plan


@dataclass(frozen=True)
class _Step:
    """A plan's text, and the edit that lies between it and the one after it. ``visit``: where the user was writing."""

    text: str
    what: str
    visit: str = ""


@dataclass
class _Book:
    """What is remembered of one plan."""

    lock: threading.RLock = field(default_factory=threading.RLock)
    standing: Standing | None = None
    undo: list[_Step] = field(default_factory=list)
    redo: list[_Step] = field(default_factory=list)


class PlanBook:
    """The plans of the solves on the desk. Every method may be called from any thread, and may take as long as a review."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._lock = threading.Lock()
        self._books: OrderedDict[str, _Book] = OrderedDict()

    def standing(self, key: str) -> Standing:
        """The plan as it stands, made anew where the log or the choices changed.

        Raises:
            InputError: there is no such solve, its puzzle has no one solution, or its plan cannot be read.
        """
        book = self._book(key)
        with book.lock:
            return self._standing(key, book)

    def edit(self, key: str, edit: Callable[[Plan], Edited], visit: str = "") -> tuple[Standing, str]:
        """Make an edit and keep it; gives the plan as it stands then, and the id of what was made.

        Edits of one ``visit`` (not empty) are taken back together.

        Raises:
            ClashError: what it changes was changed meanwhile.
            InputError: it cannot be made.
            ArchiveError: the archive cannot be written just now; nothing was changed.
        """
        book = self._book(key)
        with book.lock:
            for left in reversed(range(_TRIES)):
                before = self._standing(key, book)
                edited = edit(before.plan)
                try:
                    after = self._keep(key, book, before, _steady(edited, before.study))
                except ClashError:
                    if not left:
                        raise
                    continue
                if after is not before:
                    step = _Step(write_plan(before.plan), edited.what, visit)
                    _remember(book, step)
                return self._told(key, book), edited.made
        raise AssertionError("an edit is made or refused")

    def undo(self, key: str) -> Standing:
        """Take the newest edit back.

        Raises:
            InputError: there is nothing to take back.
        """
        return self._step(key, back=True)

    def redo(self, key: str) -> Standing:
        """Do again what was taken back last.

        Raises:
            InputError: nothing was taken back.
        """
        return self._step(key, back=False)

    def _step(self, key: str, *, back: bool) -> Standing:
        book = self._book(key)
        with book.lock:
            before = self._standing(key, book)
            steps, others = (book.undo, book.redo) if back else (book.redo, book.undo)
            if not steps:
                raise InputError("an edit of the plan to take back" if back else "an edit that was taken back")
            step = steps[-1]
            text = write_plan(before.plan)
            self._keep(key, book, before, read_plan(step.text))
            steps.pop()
            others.append(replace(step, text=text, visit=""))
            return self._told(key, book)

    def _book(self, key: str) -> _Book:
        with self._lock:
            book = self._books.setdefault(key, _Book())
            self._books.move_to_end(key)
            while len(self._books) > MOST_BOOKS:
                self._books.popitem(last=False)
            return book

    def _standing(self, key: str, book: _Book) -> Standing:
        study = self._desk.study(key)
        kept = keeping.plan_of(self._desk.archive, key)
        revision = kept[0] if kept else None
        known = book.standing
        if known is None or known.revision != revision:
            # another program wrote the plan: what was remembered would take its edits back too
            book.undo.clear()
            book.redo.clear()
            known = None
        if known is None or known.study is not study:
            previous = read_plan(kept[1], "the plan") if kept else None
            known = Standing(study, revision, make_plan(study.review, previous))
        book.standing = _with_steps(known, book)
        return book.standing

    def _keep(self, key: str, book: _Book, before: Standing, plan: Plan) -> Standing:
        """The plan made anew and kept, where that changes anything."""
        planned = make_plan(before.study.review, plan)
        if before.revision is not None and planned.plan == before.plan:
            return before
        revision = keeping.keep_plan(self._desk.archive, key, write_plan(planned.plan), before.revision)
        book.standing = Standing(before.study, revision, planned)
        if before.revision is None and _state(self._desk, key) in ("logging", "reviewed"):
            keeping.keep_state(self._desk.archive, key, "planned")
        return book.standing

    def _told(self, key: str, book: _Book) -> Standing:
        assert book.standing is not None
        book.standing = _with_steps(book.standing, book)
        self._desk.hub.tell(key, "planned", {"revision": book.standing.revision})
        return book.standing


def plans_of(desk: Desk) -> PlanBook:
    """The one book of a desk's plans."""
    if desk not in _BOOKS:
        _BOOKS[desk] = PlanBook(desk)
    return _BOOKS[desk]


_BOOKS: WeakKeyDictionary[Desk, PlanBook] = WeakKeyDictionary()


def _steady(edited: Edited, study: Study) -> Plan:
    """The edited plan, its cut and its pauses from now on kept."""
    plan = make_plan(study.review, replace(edited.plan, steady=False)).plan if edited.anew else edited.plan
    return replace(plan, steady=True)


def _remember(book: _Book, step: _Step) -> None:
    book.redo.clear()
    if step.visit and book.undo and book.undo[-1].visit == step.visit:
        return
    book.undo.append(step)
    del book.undo[:-MOST_STEPS]


def _with_steps(standing: Standing, book: _Book) -> Standing:
    undo, redo = (steps[-1].what if steps else "" for steps in (book.undo, book.redo))
    return replace(standing, undo=undo, redo=redo)


def _state(desk: Desk, key: str) -> str:
    with desk.archive.reading() as connection:
        found: Any = connection.execute(select(solves.c.state).where(solves.c.key == key)).scalar()
        return str(found)
