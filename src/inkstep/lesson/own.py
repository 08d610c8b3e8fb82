"""A teacher's own words for a stroke, in the colours of the program's where they name the same."""

from __future__ import annotations

import re
from collections.abc import Iterator

from inkstep.lesson.speech import Words
from inkstep.reasoning.wording import Run, Voice, explain
from inkstep.reasoning.words.runs import foreign
from inkstep.review.findings import StrokeReview

_BETWEEN_PARAGRAPHS = re.compile(r"\n[ \t\r]*\n")
#: characters of the shortest name that is known again: a bare digit may mean anything
_SHORTEST = 4
_VOICES: tuple[Voice, ...] = ("page", "spoken")


def own_words(judged: StrokeReview) -> Words:
    """The words that the teacher wrote for the stroke, a blank line between paragraphs; empty where there are none.

    What the program's explanation names as seen, held or settled keeps its role where the teacher names it just so.
    """
    text = own_text(judged)
    roles = dict(_named(judged))
    if not text or not roles:
        return (Run(text),) if text else ()
    names = "|".join(re.escape(name) for name in sorted(roles, key=len, reverse=True))
    found: list[Run] = []
    at = 0
    for match in re.finditer(rf"(?<!\w)(?:{names})(?!\w)", text, re.IGNORECASE):
        found += [Run(text[at : match.start()]), Run(match[0], roles[match[0].lower()])]
        at = match.end()
    return tuple(run for run in (*found, Run(text[at:])) if run.text)


def own_text(judged: StrokeReview) -> str:
    """The teacher's words as plain text, each paragraph on one line."""
    return "\n\n".join(filter(None, map(foreign, _BETWEEN_PARAGRAPHS.split(judged.words))))


def _named(judged: StrokeReview) -> Iterator[tuple[str, str]]:
    """What the program names, in small letters, with its role."""
    if judged.argument is None:
        return
    for voice in _VOICES:
        for run in explain(judged.argument, judged.position, voice=voice):
            if run.role and len(run.text) >= _SHORTEST:
                yield run.text.lower(), run.role
