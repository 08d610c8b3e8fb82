"""The narration as a person reads it aloud: ``script.md``.

What comes from a sheet or a plan is escaped, so that it reads as it was written: in CommonMark a backslash
before any ASCII punctuation makes it plain text (CommonMark Spec, spec.commonmark.org, "Backslash
escapes").
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from inkstep.ground.clock import clock_text, spoken_seconds
from inkstep.press.phrases import paragraphs, plain
from inkstep.press.telling import WORDS_PER_MINUTE, PauseText, Telling, TimedPassage

_SIGNS = re.compile(r"[\\`*_\[<~$]|&(?=#?\w+;)|(?:(?<=\s)|^)#(?=#*$)")
_LINE_START = re.compile(r"^(?:([-+=#>])|(\d{1,9})(?=[.)]))")


def escaped(text: str) -> str:
    r"""``text`` as Markdown that shows it as plain text, on one line and behind other words.

    >>> escaped("a *look*")
    'a \\*look\\*'
    """
    return _SIGNS.sub(r"\\\g<0>", plain(text))


def escaped_line(text: str) -> str:
    r"""``text`` as :func:`escaped` gives it, fit to begin a line.

    >>> escaped_line("1. look")
    '1\\. look'
    """
    return _LINE_START.sub(_disarmed, escaped(text))


def _disarmed(start: re.Match[str]) -> str:
    return f"\\{start[1]}" if start[1] else f"{start[2]}\\"


def script(telling: Telling, passages: Sequence[TimedPassage], words_per_minute: int = WORDS_PER_MINUTE) -> str:
    """The text of ``script.md``: title, credits, and every passage with its times, its text and its pause.

    ``passages`` are those of ``telling``, timed at ``words_per_minute``.
    """
    blocks = [f"# {escaped(telling.title) or 'Lesson'}", _opening(passages, words_per_minute)]
    blocks += _credits(telling)
    for number, passage in enumerate(passages, 1):
        blocks += _passage(number, passage, telling.clock_ms)
    return "\n\n".join(blocks) + "\n"


def _opening(passages: Sequence[TimedPassage], words_per_minute: int) -> str:
    length = _time(passages[-1].end_ms) if passages else "0:00"
    tries = sum(1 for passage in passages if passage.passage.pause)
    pauses = "1 pause" if tries == 1 else f"{tries} pauses"
    return f"Narration of {length} at {words_per_minute} words a minute, with {pauses}."


def _credits(telling: Telling) -> Iterator[str]:
    named = {
        "Solver": telling.solver,
        "Event": telling.event,
        "Recording": telling.source,
        "Permission": telling.permission,
        "Credit": telling.credit,
        "Audience": telling.audience,
    }
    lines = [f"- {name}: {escaped(value)}" for name, value in named.items() if plain(value)]
    if lines:
        yield "\n".join(lines)


def _passage(number: int, timed: TimedPassage, clock_ms: int | None) -> Iterator[str]:
    passage = timed.passage
    yield f"## {number}. {escaped(passage.headline)}".rstrip()
    yield f"*{_times(timed, clock_ms)}*"
    yield from map(escaped_line, paragraphs(passage.text))
    if passage.pause:
        yield _pause(passage.pause)


def _times(timed: TimedPassage, clock_ms: int | None) -> str:
    """Where the passage lies in the lesson, on the clock, in the recording and on the paper."""
    at_ms = timed.passage.at_ms
    where = [f"lesson {_time(timed.start_ms)} to {_time(timed.end_ms)}"]
    if at_ms is not None:
        where.append(f"clock {clock_text(at_ms)}")
        if clock_ms is not None:
            where.append(f"recording {clock_text(clock_ms + at_ms)}")
    strokes = timed.passage.page
    where.append("1 stroke on the paper" if strokes == 1 else f"{strokes} strokes on the paper")
    return " · ".join(where)


def _pause(pause: PauseText) -> str:
    """The pause as a block quotation, so that it stands apart from what is read on."""
    parts = [f"**Pause** ({spoken_seconds(pause.rest_ms)}): {escaped(pause.question)}".rstrip()]
    hints = [f"{number}. Hint: {escaped(hint)}" for number, hint in enumerate(pause.hints, 1)]
    parts += ["\n".join(hints)] if hints else []
    parts.append(f"**Answer:** {escaped(pause.answer)}".rstrip())
    lines = "\n\n".join(parts).split("\n")
    return "\n".join(f"> {line}".rstrip() for line in lines)


def _time(ms: int) -> str:
    """``ms`` to the whole second before it, as ``m:ss`` or ``h:mm:ss``."""
    return clock_text(ms).rpartition(".")[0]
