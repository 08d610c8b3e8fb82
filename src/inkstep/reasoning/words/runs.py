"""Text with roles: which words name what was seen, what was held, what is settled and what is in doubt."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

#: control characters that no sheet can hold, so that a caller's own text is never taken for a role
_OPEN, _BAR, _CLOSE = "\x02", "\x1f", "\x03"
_ROLE = re.compile(f"{_OPEN}([a-z]+){_BAR}([^{_OPEN}{_CLOSE}]*){_CLOSE}")
_OURS = re.compile(f"{_OPEN}[a-z]+{_BAR}|{_CLOSE}")
_STRAY = re.compile(r"[\x00-\x1f\x7f]+")


@dataclass(frozen=True, slots=True)
class Run:
    """A stretch of text in one role: ``""`` for plain text, else ``seen``, ``held``, ``goal`` or ``doubt``."""

    text: str
    role: str = ""


def plain(runs: Iterable[Run]) -> str:
    """The text of ``runs`` without their roles.

    >>> plain((Run("The "), Run("8s in rows 2 and 8", "seen"), Run(" close four places.")))
    'The 8s in rows 2 and 8 close four places.'
    """
    return "".join(run.text for run in runs)


def seen(text: str) -> str:
    """``text`` as evidence that had to be looked at."""
    return f"{_OPEN}seen{_BAR}{text}{_CLOSE}"


def held(text: str) -> str:
    """``text`` as something worked out and not written."""
    return f"{_OPEN}held{_BAR}{text}{_CLOSE}"


def goal(text: str) -> str:
    """``text`` as what is being settled."""
    return f"{_OPEN}goal{_BAR}{text}{_CLOSE}"


def foreign(text: str) -> str:
    """A caller's ``text`` on one line, without control characters."""
    return " ".join(_STRAY.sub(" ", text).split())


def bare(text: str) -> str:
    """``text`` without roles."""
    return _OURS.sub("", text)


def runs(text: str) -> tuple[Run, ...]:
    """``text`` cut into runs at its roles; no run is empty."""
    cut: list[Run] = []
    at = 0
    for match in _ROLE.finditer(text):
        cut += [Run(text[at : match.start()]), Run(match[2], match[1])]
        at = match.end()
    cut.append(Run(text[at:]))
    return tuple(run for run in cut if run.text)


def sentence(text: str) -> str:
    """``text`` with a capital first letter and a stop at its end, roles kept.

    >>> sentence("the 4 goes in")
    'The 4 goes in.'
    """
    start = re.match(f"(?:{_OPEN}[a-z]+{_BAR})*", text)
    first = start.end() if start else 0
    text = text[:first] + text[first : first + 1].upper() + text[first + 1 :]
    return text if text[-1:] in ".?!" else text + "."


def two(first: str, second: str) -> str:
    """Two clauses as two sentences, the last without its stop.

    >>> two("the row is full", "in goes the 4")
    'The row is full. In goes the 4'
    """
    return f"{sentence(first)} {sentence(second)[:-1]}"


def words(text: str) -> int:
    """How many words ``text`` has, roles left out."""
    return len(bare(text).split())


def longest(text: str) -> int:
    """How many words the longest sentence of ``text`` has.

    >>> longest("The row is full. In goes the 4.")
    4
    """
    return max(words(part) for part in re.split(r"(?<=[.?!]) ", text))
