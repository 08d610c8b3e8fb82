"""Chapters for a video's description: one line each, the time and the headline.

The rule that video platforms give: the first at 0:00, three or more, ascending, each ten seconds or longer.
Ten seconds are counted between the times as they are written, in whole seconds.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from inkstep.press.phrases import plain
from inkstep.press.telling import TimedPassage

SHORTEST_S = 10
FEWEST = 3


@dataclass(frozen=True, slots=True)
class Chapter:
    """Where a chapter starts, in whole seconds of lesson time, and its title."""

    start_s: int
    title: str


@dataclass(frozen=True, slots=True)
class Chapters:
    """The chapters of a lesson, or none where the rule cannot be kept.

    ``remark`` says in one line what was left out and why; it is empty where there is nothing to say.
    """

    chapters: tuple[Chapter, ...]
    remark: str

    @property
    def text(self) -> str | None:
        """The text of ``chapters.txt``, or None where there can be none."""
        if not self.chapters:
            return None
        return "".join(f"{_time(chapter.start_s)} {chapter.title}\n" for chapter in self.chapters)


def chapters(passages: Sequence[TimedPassage]) -> Chapters:
    """One chapter a headline; one that would be shorter than ten seconds is joined to the one before.

    A passage without a headline, or with the same one again, goes on with the chapter it stands in.
    """
    found = _headlines(passages)
    kept = _long_enough(found, passages[-1].end_ms // 1000 if passages else 0)
    if len(kept) < FEWEST:
        return Chapters((), _too_few(len(kept)))
    joined = len(found) - len(kept)
    if not joined:
        return Chapters(tuple(kept), "")
    what = "1 headline" if joined == 1 else f"{joined} headlines"
    why = f"a chapter lasts {SHORTEST_S} seconds or longer"
    return Chapters(tuple(kept), f"{what} joined to the chapter before: {why}")


def _headlines(passages: Iterable[TimedPassage]) -> list[Chapter]:
    found: list[Chapter] = []
    for passage in passages:
        title = plain(passage.passage.headline)
        if title and (not found or title != found[-1].title):
            found.append(Chapter(passage.start_ms // 1000 if found else 0, title))
    return found


def _long_enough(found: Iterable[Chapter], end_s: int) -> list[Chapter]:
    kept: list[Chapter] = []
    for chapter in found:
        if not kept or chapter.start_s - kept[-1].start_s >= SHORTEST_S:
            kept.append(chapter)
    if kept and end_s - kept[-1].start_s < SHORTEST_S:
        kept.pop()
    return kept


def _too_few(possible: int) -> str:
    room = f"only {possible}" if possible else "none"
    return f"no chapters: they need {FEWEST} of {SHORTEST_S} seconds or longer, and there is room for {room}"


def _time(seconds: int) -> str:
    minutes, seconds = divmod(seconds, 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours}:{minutes:02d}:{seconds:02d}" if hours else f"{minutes}:{seconds:02d}"
