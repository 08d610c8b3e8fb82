"""The story a lesson page is made from: what was written when, told in scenes, with pauses to try.

Everything in it is said already: the page replays strokes and shows words, and knows no rules.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

from inkstep.press.drawing import NOTHING, Cells, Change, Evidence, Ink

Role = Literal["", "seen", "held", "goal", "doubt"]


@dataclass(frozen=True, slots=True)
class Run:
    """Words in one colour role: what was seen, what was held, what is settled, what is in doubt; or plain."""

    text: str
    role: Role = ""

    def to_json(self) -> dict[str, str]:
        """The run as plain data."""
        return {"text": self.text, "role": self.role} if self.role else {"text": self.text}


Runs = tuple[Run, ...]


@dataclass(frozen=True, slots=True)
class StoryStroke:
    """One stroke to replay: its number from 1, its time in milliseconds or None, what it adds and what it changes.

    ``kind`` is a value of ``inkstep.trace.strokes.Kind``; ``label`` says in a few words what was written and where.
    """

    n: int
    at_ms: int | None
    kind: str
    label: str
    add: tuple[Ink, ...] = ()
    change: tuple[Change, ...] = ()

    def to_json(self) -> dict[str, Any]:
        """The stroke as plain data."""
        fields: dict[str, Any] = {
            "n": self.n,
            "at_ms": self.at_ms,
            "kind": self.kind,
            "label": self.label,
            "add": [ink.to_json() for ink in self.add],
        }
        return fields | ({"change": [change.to_json() for change in self.change]} if self.change else {})


@dataclass(frozen=True, slots=True)
class Expected:
    """The answer a pause can recognise: the digit, and every cell that has to be named with it (mostly one)."""

    cells: Cells
    digit: int

    def to_json(self) -> dict[str, Any]:
        """The answer as plain data."""
        return {"cells": list(self.cells), "digit": self.digit}


@dataclass(frozen=True, slots=True)
class Pause:
    """A question that stays closed until it is tried, opened or passed by.

    ``hints`` are graded, the gentlest first. ``expects`` is None where the answer is free. ``solver_ms`` is how long the
    solver took, in milliseconds; ``evidence`` belongs to the answer.
    """

    question: str
    hints: tuple[str, ...] = ()
    answer: Runs = ()
    expects: Expected | None = None
    solver_ms: int | None = None
    evidence: Evidence = NOTHING

    def to_json(self) -> dict[str, Any]:
        """The pause as plain data."""
        return {
            "question": self.question,
            "hints": list(self.hints),
            "answer": [run.to_json() for run in self.answer],
            "expects": self.expects.to_json() if self.expects else None,
            "solver_ms": self.solver_ms,
            "evidence": self.evidence.to_json(),
        }


@dataclass(frozen=True, slots=True)
class Scene:
    """One scene: the page after ``page`` strokes, what is pointed out on it, and what is told.

    A scene with a pause shows, while that is closed, its kicker, the question and ``evidence``: these three must not give
    the answer away. Headline, words and asides follow with the answer.
    """

    id: str
    page: int
    at_ms: int | None
    kicker: str
    headline: str
    words: Runs = ()
    evidence: Evidence = NOTHING
    asides: tuple[str, ...] = ()
    pause: Pause | None = None

    def to_json(self) -> dict[str, Any]:
        """The scene as plain data."""
        return {
            "id": self.id,
            "page": self.page,
            "at_ms": self.at_ms,
            "kicker": self.kicker,
            "headline": self.headline,
            "words": [run.to_json() for run in self.words],
            "evidence": self.evidence.to_json(),
            "asides": list(self.asides),
            "pause": self.pause.to_json() if self.pause else None,
        }


@dataclass(frozen=True, slots=True)
class Technique:
    """A technique defined at the end of the page."""

    name: str
    teaches: str


@dataclass(frozen=True, slots=True)
class Story:
    """A whole lesson page: what stands above it, the puzzle, the strokes, the scenes, and what follows them.

    ``solver`` is who solved, as ``table 4``; ``total`` the time taken, as text. ``puzzle`` and ``solution`` are lines of 81
    characters. ``waits`` are the long rests, from and to in milliseconds.
    """

    title: str
    puzzle: str
    solution: str
    strokes: tuple[StoryStroke, ...] = ()
    scenes: tuple[Scene, ...] = ()
    event: str = ""
    solver: str = ""
    total: str = ""
    source: str = ""
    credit: str = ""
    permission: str = ""
    waits: tuple[tuple[int, int], ...] = ()
    techniques: tuple[Technique, ...] = ()
    findings: tuple[str, ...] = ()

    def to_json(self) -> dict[str, Any]:
        """The story as plain data, as the page embeds it."""
        return {
            **self._heading(),
            "puzzle": self.puzzle,
            "solution": self.solution,
            "strokes": [stroke.to_json() for stroke in self.strokes],
            "scenes": [scene.to_json() for scene in self.scenes],
            "waits": [list(wait) for wait in self.waits],
            "techniques": [{"name": each.name, "teaches": each.teaches} for each in self.techniques],
            "findings": list(self.findings),
        }

    def _heading(self) -> Mapping[str, str]:
        return {
            "title": self.title,
            "event": self.event,
            "solver": self.solver,
            "total": self.total,
            "source": self.source,
            "credit": self.credit,
            "permission": self.permission,
        }
