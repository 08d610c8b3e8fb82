"""Captions as WebVTT and SubRip: one cue a phrase, in lesson time.

WebVTT follows the W3C's form (w3.org/TR/webvtt1). SubRip has no standard; what is written here is the
common part that players read: a counter from 1, a comma before the milliseconds, no markup. How long a cue
may be, and how long it stands, is said in :mod:`inkstep.press.phrases`.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from inkstep.press.phrases import GAP_MS, LONGEST_MS
from inkstep.press.telling import TimedPassage

_TAG = re.compile(r"<(?=[A-Za-z/])")


@dataclass(frozen=True, slots=True)
class Cue:
    """One caption: its own id, its times in milliseconds of lesson time, its one or two plain lines."""

    id: str
    start_ms: int
    end_ms: int
    lines: tuple[str, ...]


def cues(passages: Iterable[TimedPassage]) -> tuple[Cue, ...]:
    """A cue for every phrase that is spoken, in order, at least two frames apart."""
    spoken = (span for passage in passages for span in passage.spans if span.lines)
    return tuple(
        Cue(f"cue-{number}", span.start_ms, min(span.end_ms - GAP_MS, span.start_ms + LONGEST_MS), span.lines)
        for number, span in enumerate(spoken, 1)
    )


def webvtt(captions: Iterable[Cue]) -> str:
    """The text of a ``.vtt`` file, to be written as UTF-8 with line feeds.

    ``&``, ``<`` and ``>`` are escaped, so the arrow between times cannot appear in a line.
    """
    return "\n".join(["WEBVTT\n", *map(_vtt_block, captions)])


def _vtt_block(cue: Cue) -> str:
    times = f"{_time(cue.start_ms, '.')} --> {_time(cue.end_ms, '.')}"
    return "\n".join([cue.id, times, *map(_vtt_text, cue.lines), ""])


def _vtt_text(line: str) -> str:
    return line.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def subrip(captions: Iterable[Cue]) -> str:
    """The text of a ``.srt`` file, to be written as UTF-8 with line feeds.

    SubRip knows no escapes: the arrow between times becomes ``→``, and what a player would take for a tag
    opens with ``‹``.
    """
    return "\n".join(_srt_block(number, cue) for number, cue in enumerate(captions, 1))


def _srt_block(number: int, cue: Cue) -> str:
    times = f"{_time(cue.start_ms, ',')} --> {_time(cue.end_ms, ',')}"
    return "\n".join([str(number), times, *map(_srt_text, cue.lines), ""])


def _srt_text(line: str) -> str:
    return _TAG.sub("‹", line.replace("-->", "→"))


def _time(ms: int, point: str) -> str:
    """``ms`` as both formats write it: hours of two digits or more always in front."""
    seconds, rest = divmod(ms, 1000)
    minutes, seconds = divmod(seconds, 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours:02d}:{minutes:02d}:{seconds:02d}{point}{rest:03d}"
