"""What a search asks for, read from a line of words: conditions on what happened, and words that must stand in the text."""

from __future__ import annotations

import re
from dataclasses import dataclass

from inkstep.archive.phrases import PHRASES, UNCLEAR, Condition
from inkstep.archive.searching import Asked, words_of

#: letters of a query that are read
MOST_LETTERS = 1000

_QUOTED = re.compile(r'"([^"]*)"|“([^”]*)”')
#: what asks for nothing by itself
_IDLE = re.compile(r"\s+|solves?\s+(?:in\s+which|with|where|that\s+have)(?!\w)", re.IGNORECASE)
_WORD = re.compile(r'[^\s"“”]+|["“”]')


@dataclass(frozen=True)
class Question:
    """A whole query: all its conditions must hold.

    ``understood`` says in words what was asked for; ``unknown`` are parts that begin like a condition and are none.
    """

    conditions: tuple[Condition | Asked, ...] = ()
    understood: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()


def read_question(query: str) -> Question:
    """The question that a line of words asks; any line asks one.

    >>> read_question('spring hidden pair held').understood
    ('a hidden pair held, not written', 'the word spring')
    """
    reader = _Reader(query[:MOST_LETTERS])
    at = 0
    while at < len(reader.query):
        at = reader.take(at)
    reader.finish()
    # asked for twice is asked for once
    conditions = tuple(dict.fromkeys(reader.conditions))
    return Question(conditions, tuple(dict.fromkeys(reader.understood)), tuple(dict.fromkeys(reader.unknown)))


class _Reader:
    """Reads a query from left to right; what no condition takes is text."""

    def __init__(self, query: str) -> None:
        self.query = query
        self.conditions: list[Condition | Asked] = []
        self.understood: list[str] = []
        self.unknown: list[str] = []
        self._words: list[tuple[str, ...]] = []
        self._last_ends = 0

    def take(self, at: int) -> int:
        """Take what stands at index ``at``; gives where it ends."""
        idle = _IDLE.match(self.query, at)
        if idle:
            return idle.end()
        quoted = _QUOTED.match(self.query, at)
        if quoted:
            self._quoted(quoted[1] or quoted[2] or "")
            return quoted.end()
        for phrase in PHRASES:
            match = phrase.pattern.match(self.query, at)
            if match and (read := phrase.read(match)):
                condition, said = read
                self.conditions.append(condition)
                self.understood.append(said)
                return match.end()
        return self._unclear(at) or self._word(at)

    def _quoted(self, said: str) -> None:
        words = words_of(said)
        if words:
            self.conditions.append(Asked(words))
            self.understood.append(f"the text “{' '.join(said.split())}”")

    def _unclear(self, at: int) -> int | None:
        """A part that begins like a condition on a number, and names none."""
        match = UNCLEAR.match(self.query, at)
        if match:
            self.unknown.append(" ".join(match[0].split()))
        return match.end() if match else None

    def _word(self, at: int) -> int:
        match = _WORD.match(self.query, at)
        assert match is not None
        words = words_of(match[0])
        if words:
            self._words.append(words)
            self._last_ends = match.end()
        return match.end()

    def finish(self) -> None:
        """The words that no condition took; the last one may go on where it is still being typed."""
        if not self._words:
            return
        last = self._words[-1][-1]
        # a single letter, or a number, is meant as it stands: "table 4" is not table 41
        open_end = self._last_ends == len(self.query) and len(last) > 1 and not last.isdigit()
        self.conditions += map(Asked, self._words[:-1])
        self.conditions.append(Asked(self._words[-1], open_end))
        said = ", ".join(" ".join(words) for words in self._words)
        self.understood.append(f"the word{'s' if len(self._words) > 1 else ''} {said}{'…' if open_end else ''}")
