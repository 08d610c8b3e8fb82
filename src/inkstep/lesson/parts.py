"""The plan of a lesson: what is told in which order, and where viewers pause. A file, and the teacher's.

Beside every field that the program fills lies a print of what it filled in (``auto``, see :mod:`inkstep.lesson.prints`).
A field that no longer agrees with its print has been edited, and stays as the teacher left it however often the plan is
made anew. What has no print of its id is the teacher's own.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any

#: a pace for reading aloud, in words a minute: educational narration is 130 to 160 (common practice)
WORDS_PER_MINUTE = 145

Fields = Mapping[str, Any]


class Part(StrEnum):
    """What a segment is for."""

    OPENING = "opening"  #: who, what, and what to watch for
    STROKES = "strokes"  #: tells the strokes ``first`` to ``last``
    PAUSE = "pause"  #: the strokes that a pause asks for: its answer tells them, the segment what came of it
    ASIDE = "aside"  #: something said between, wherever the teacher puts it
    CLOSING = "closing"  #: what the solve shows


@dataclass(frozen=True)
class Segment:
    """One passage of the lesson.

    ``first`` and ``last`` are strokes, counted from 1; None where it tells no strokes. ``narration`` is plain text to
    be read aloud, a blank line between paragraphs. ``shown`` is False where the teacher dropped it. ``other`` keeps
    fields that this program does not know.
    """

    id: str
    kind: Part
    first: int | None = None
    last: int | None = None
    headline: str = ""
    narration: str = ""
    shown: bool = True
    auto: Fields = field(default_factory=dict)
    other: Fields = field(default_factory=dict)


@dataclass(frozen=True)
class Pause:
    """A moment at which viewers try for themselves, before stroke ``before``.

    ``goal`` is what is asked for, as a sheet writes it. ``hints`` are graded: where to look, which digit, which
    evidence. ``rest_ms`` is how long the narration rests after the question, in milliseconds.
    """

    id: str
    before: int
    goal: str = ""
    question: str = ""
    hints: tuple[str, ...] = ()
    answer: str = ""
    rest_ms: int = 0
    shown: bool = True
    auto: Fields = field(default_factory=dict)
    other: Fields = field(default_factory=dict)


@dataclass(frozen=True)
class Unplaced:
    """A teacher's segment or pause whose strokes are no longer in the sheet, with the keys of the strokes it was about.

    The numbers in ``what`` count the strokes of a sheet that is gone; ``strokes`` say which they were.
    """

    what: Segment | Pause
    strokes: tuple[str, ...]
    why: str
    other: Fields = field(default_factory=dict)


@dataclass(frozen=True)
class Plan:
    """The whole plan.

    ``strokes`` are the keys of the sheet that it was made from: the numbers in it count these. ``unplaced`` waits to be
    placed again when its strokes come back. While it is ``steady``, its cut into segments and its choice of pauses stay as
    they are, whoever made them: only strokes that no segment tells are planned.
    """

    title: str
    audience: str
    words_per_minute: int = WORDS_PER_MINUTE
    segments: tuple[Segment, ...] = ()
    pauses: tuple[Pause, ...] = ()
    strokes: tuple[str, ...] = ()
    unplaced: tuple[Unplaced, ...] = ()
    auto: Fields = field(default_factory=dict)
    other: Fields = field(default_factory=dict)
    steady: bool = False
