"""Marks on the page as evidence: what a mark says, and no more than it excludes."""

from __future__ import annotations

from collections.abc import Sequence

from inkstep.reasoning.position import Note
from inkstep.reasoning.words.naming import Tongue, digits, number
from inkstep.reasoning.words.runs import seen
from inkstep.reasoning.words.subject import Subject

#: the name of notes that say what the page is known to rule out, without a mark of their own
KNOWN = "known"
#: more cells than this are counted, not named
_NAMED = 3
#: a mark that keeps more digits than this is said by its place alone
_KEPT = 4


def noted(notes: Sequence[Note], here: Sequence[int], tongue: Tongue) -> list[Subject]:
    """The notes as subjects: each mark by what it says, what else is known by where it is noted.

    ``here`` are the cells that the sentence speaks of: notes at these are "there".
    """
    marks = [note for note in notes if note.name != KNOWN]
    rest = [note for note in notes if note.name == KNOWN]
    if len(marks) > _NAMED:
        marks, rest = [], list(notes)
    subjects = [Subject((seen(_mark(note, here, tongue)),)) for note in marks]
    cells = sorted({cell for note in rest for cell in note.cells})
    if len(cells) <= _NAMED or set(cells) <= set(here):
        return [*subjects, Subject((seen(f"what is already noted {_at(cells, here, tongue)}"),))] if cells else subjects
    return [*subjects, Subject((seen(f"the notes in {number(len(cells))} other cells"),), True)]


def _at(cells: Sequence[int], here: Sequence[int], tongue: Tongue) -> str:
    # of several cells that the sentence speaks of, a mark in one of them has to be named
    if set(cells) == set(here) or (len(set(here)) > _NAMED and set(cells) <= set(here)):
        return "there"
    return f"{'in' if len(cells) > 1 and tongue.in_line(cells) else 'at'} {tongue.cells(cells)}"


def _mark(note: Note, here: Sequence[int], tongue: Tongue) -> str:
    """A digit's places, the digits kept for a few cells, or only where the mark stands."""
    if len(note.cells) > _NAMED and not set(note.cells) <= set(here):
        return f"the mark over {number(len(note.cells))} cells"
    place = _at(note.cells, here, tongue)
    said = {fact.digit for fact in note.excludes}
    own = set(note.cells)
    if len(said) == 1 and not any(fact.cell in own for fact in note.excludes):
        return f"the mark for the {said.pop()} {place}"
    kept = [d for d in tongue.geometry.digits if d not in said]
    if all(fact.cell in own for fact in note.excludes) and 1 < len(kept) <= _KEPT:
        return f"the mark {digits(kept)} {place}"
    return f"the mark {place}"
