"""The subject of a clause: one or several things that close cells together."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from inkstep.reasoning.words.naming import number
from inkstep.reasoning.words.runs import bare


@dataclass(frozen=True, slots=True)
class Subject:
    """What does something in a clause, in ``parts``; ``many`` asks for the plural of the verb."""

    parts: tuple[str, ...]
    many: bool = False

    @property
    def text(self) -> str:
        """The parts as one list, parted so that nobody reads the last into the list before it."""
        if len(self.parts) < 2:
            return "".join(self.parts)
        *before, last = self.parts
        nested = any(" and " in bare(part) for part in before)
        if len(before) == 1:
            return f"{before[0]} {'together with' if nested else 'and'} {last}"
        return f"{', '.join(before)}{',' if nested or ' and ' in bare(last) else ''} and {last}"

    def does(self, singular: str, plural: str) -> str:
        """The subject with its verb.

        >>> Subject(("the 8 in row 2", "that pair"), many=True).does("closes", "close")
        'the 8 in row 2 and that pair close'
        """
        return f"{self.text} {plural if self.many else singular}"


def together(subjects: Iterable[Subject | None]) -> Subject | None:
    """Several subjects as one; None where there is none."""
    present = [s for s in subjects if s]
    parts = tuple(part for s in present for part in s.parts)
    return Subject(parts, len(parts) > 1 or present[0].many) if present else None


def places(count: int, of: int) -> str:
    """``count`` of the ``of`` places that have to close.

    >>> places(4, 4), places(2, 2), places(1, 1), places(1, 3)
    ('the other four places', 'both other places', 'the only other place', 'one of the other three places')
    """
    if count < of:
        return f"{number(count)} of the other {number(of)} places"
    return {1: "the only other place", 2: "both other places"}.get(of, f"the other {number(of)} places")
