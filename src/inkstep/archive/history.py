"""The edits of a log as the archive keeps them: taken back, done again, and seen to fit where they come from elsewhere."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from inkstep.archive.changes import Placed, State, replaced, settled_state
from inkstep.archive.stroke_texts import head_text, read_head, read_strokes
from inkstep.ground.errors import InputError


@dataclass(frozen=True)
class Kept:
    """A log that an edit is taken back from or done again on: the head as text, and its state."""

    head: str
    state: State


def stepped(edit: Any, old: Kept, *, back: bool) -> Kept:
    """The log after an edit (a row of the table of edits) is taken back, or done again.

    Raises:
        ValueError: the edit does not fit the log.
    """
    pairs = [[Placed(*each) for each in json.loads(text)] for text in (edit.removed, edit.added)]
    removed, added = reversed(pairs) if back else pairs
    try:
        put_in = list(zip(added, read_strokes([placed.text for placed in added]), strict=True))
        state = replace(old.state, rows=replaced(old.state.rows, removed, put_in))
        head, tail = (_other_end(pair, back) for pair in (edit.head, edit.tail))
        if head is not None:
            state = replace(state, header=read_head(head))
    except InputError as fault:
        raise ValueError(f"an edit that cannot be read ({fault})") from None
    if tail is not None:
        state = replace(state, after=tuple(tail.split("\n")) if tail else ())
    return Kept(old.head if head is None else head, state)


def _other_end(pair: str | None, back: bool) -> str | None:
    return str(json.loads(pair)[not back]) if pair else None


def fits(edits: Sequence[Any], applied: int, now: Kept) -> bool:
    """Whether edits from elsewhere, of which ``applied`` are in force, lead to a log.

    They do when one gets from it back to its beginning, and on to what was undone, by logs that read as they are written.
    """
    if [edit.number for edit in edits] != list(range(1, len(edits) + 1)) or not 0 <= applied <= len(edits):
        return False
    try:
        for back, steps in ((True, reversed(edits[:applied])), (False, iter(edits[applied:]))):
            at = now
            for edit in steps:
                at = _checked(edit, at, back)
    except (ValueError, InputError):
        return False
    return True


def _checked(edit: Any, old: Kept, back: bool) -> Kept:
    """One step, from what it says that it changes to a log that is read as it stands."""
    ends = ((edit.head, old.head), (edit.tail, "\n".join(old.state.after)))
    if any(pair and json.loads(pair)[back] != end for pair, end in ends):
        raise ValueError("an edit that does not fit the log")
    new = stepped(edit, old, back=back)
    if settled_state(new.state) != new.state or head_text(new.state.header) != new.head:
        raise ValueError("an edit that leads to another log than it says")
    return new
