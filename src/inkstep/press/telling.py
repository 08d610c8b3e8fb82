"""What a lesson reads aloud, in order, and when: the one model below script, captions, chapters and film.

The pace of 145 words a minute is that of educational narration (130 to 160, common practice) and stays
under the 160 above which words captioned verbatim are too fast to read (DCMP, Captioning Key,
dcmp.org/learn/captioningkey).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from inkstep.ground.errors import InputError
from inkstep.press.phrases import paragraphs, phrases

WORDS_PER_MINUTE = 145
#: silence after a paragraph, a question or an answer, so that a viewer hears it end (common practice)
BREATH_MS = 700


@dataclass(frozen=True, slots=True)
class PauseText:
    """A moment at which viewers try for themselves.

    ``question`` and ``answer`` are read aloud with ``rest_ms`` milliseconds of rest between them;
    ``hints``, the mildest first, are for the page and the presenter.
    """

    question: str
    hints: tuple[str, ...]
    answer: str
    rest_ms: int


@dataclass(frozen=True, slots=True)
class Passage:
    """What is said while one page lies before the viewer: ``text`` first, then the pause where there is one.

    ``page`` is the number of strokes on the paper, ``at_ms`` the moment after the clock's start, or None
    where the sheet has no times. A blank line in ``text`` begins a paragraph.
    """

    id: str
    headline: str
    text: str
    page: int
    at_ms: int | None = None
    pause: PauseText | None = None


@dataclass(frozen=True, slots=True)
class Telling:
    """Everything that is read aloud, in order, with whom to thank for it.

    ``clock_ms`` is the moment in the source recording at which the clock starts, or None where unknown.
    """

    title: str
    passages: tuple[Passage, ...]
    solver: str = ""
    event: str = ""
    source: str = ""
    permission: str = ""
    credit: str = ""
    audience: str = ""
    clock_ms: int | None = None


class Part(StrEnum):
    """What a span of lesson time is for."""

    TEXT = "text"
    QUESTION = "question"
    REST = "rest"  #: nobody speaks: the viewer tries
    ANSWER = "answer"


@dataclass(frozen=True, slots=True)
class Span:
    """One phrase of at most two ``lines``, or a rest without lines; milliseconds of lesson time."""

    part: Part
    lines: tuple[str, ...]
    start_ms: int
    end_ms: int


@dataclass(frozen=True, slots=True)
class TimedPassage:
    """A passage with its place in lesson time, the breath after it included, and its spans in order."""

    passage: Passage
    start_ms: int
    end_ms: int
    spans: tuple[Span, ...]


def timed(telling: Telling, words_per_minute: int = WORDS_PER_MINUTE) -> tuple[TimedPassage, ...]:
    """The passages one after another from 0 ms, each as long as saying it, reading it and resting take.

    Raises:
        ValueError: ``words_per_minute`` is under 1.
        InputError: a pause has a negative rest.
    """
    if words_per_minute < 1:
        raise ValueError(f"a pace is at least 1 word a minute: {words_per_minute}")
    told: list[TimedPassage] = []
    now = 0
    for passage in telling.passages:
        spans: list[Span] = []
        end = now
        for part, text in _parts(passage):
            end = _say(part, text, end, words_per_minute, spans)
            if part is Part.QUESTION:
                end = _rest(passage, end, spans)
        end = max(end, now + BREATH_MS)
        told.append(TimedPassage(passage, now, end, tuple(spans)))
        now = end
    return tuple(told)


def _parts(passage: Passage) -> Iterator[tuple[Part, str]]:
    yield Part.TEXT, passage.text
    if passage.pause:
        yield Part.QUESTION, passage.pause.question
        yield Part.ANSWER, passage.pause.answer


def _say(part: Part, text: str, now: int, words_per_minute: int, spans: list[Span]) -> int:
    """Adds the phrases of ``text`` from ``now`` on, and gives the moment after the last breath."""
    for paragraph in paragraphs(text):
        for phrase in phrases(paragraph, words_per_minute):
            end = now + phrase.slot_ms(words_per_minute)
            spans.append(Span(part, phrase.lines, now, end))
            now = end
        now += BREATH_MS
    return now


def _rest(passage: Passage, now: int, spans: list[Span]) -> int:
    rest_ms = passage.pause.rest_ms if passage.pause else 0
    if rest_ms < 0:
        raise InputError("a rest of 0 ms or longer", where=f"pause at {passage.id}", got=f"{rest_ms} ms")
    if rest_ms:
        spans.append(Span(Part.REST, (), now, now + rest_ms))
    return now + rest_ms
