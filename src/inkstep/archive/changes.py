"""Edits as pure functions on the rows of a log, and the difference that an edit makes."""

from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

from inkstep.archive.edits import ClashError, Edit, Insert, Log, Move, Rewrite, TakeOut, Whole
from inkstep.archive.stroke_texts import settled, settled_first, settled_tail, stroke_text
from inkstep.trace.grammar import action_text
from inkstep.trace.sheet import Header
from inkstep.trace.strokes import Stroke


class Row(NamedTuple):
    """A stroke of a log: its name for ever, the stroke, and its lines."""

    id: int
    stroke: Stroke
    text: str


class Placed(NamedTuple):
    """A row as an edit remembers it: its name, its place counted from 0, and its lines."""

    id: int
    at: int
    text: str


@dataclass(frozen=True)
class State:
    """A log's rows, header and tail; what an edit is made on, and what comes of it."""

    rows: list[Row]
    header: Header
    after: tuple[str, ...]


def state_of(log: Log) -> State:
    """The rows of a log."""
    rows = list(map(Row._make, zip(log.ids, log.sheet.strokes, log.texts, strict=True)))
    return State(rows, log.sheet.header, log.sheet.after)


def edited(edit: Edit, log: Log, state: State, next_id: int) -> tuple[State, str]:
    """The state after an edit on ``state``, that of ``log``, and what the edit is called.

    Raises:
        ClashError: what it changes is no longer as the editor saw it.
        InputError: a stroke that it names is not there, or cannot be written.
    """
    if isinstance(edit, Whole):
        return _whole(edit, log, state, next_id), edit.what
    changed, what = _EDITS[type(edit)](edit, log, state.rows, next_id)
    return settled_state(replace(state, rows=changed)), what


def settled_state(state: State) -> State:
    """The state as it is read again: no empty lines above the first stroke, or above a tail without strokes."""
    rows = state.rows
    if rows and rows[0].stroke.before:
        first = settled_first(rows[0].stroke)
        rows = [Row(rows[0].id, first, stroke_text(first)), *rows[1:]]
    after = settled_tail(state.after, alone=not rows) if state.after else ()
    return State(rows, state.header, after)


def _insert(edit: Insert, log: Log, rows: list[Row], next_id: int) -> tuple[list[Row], str]:
    at = len(rows) if edit.before is None else log.number(edit.before) - 1
    new = [Row(next_id + i, *settled(stroke)) for i, stroke in enumerate(edit.strokes)]
    return [*rows[:at], *new, *rows[at:]], f"write {_short([row.stroke for row in new])}"


def _rewrite(edit: Rewrite, _log: Log, rows: list[Row], _next_id: int) -> tuple[list[Row], str]:
    places, changed = _places(rows), list(rows)
    for stroke, was, now in edit.changes:
        text = settled(now)[1]
        at = _checked(places, rows, stroke, was, text)
        changed[at] = Row(stroke, *settled(now if now.before else replace(now, before=changed[at].stroke.before)))
    return changed, f"change {_short([change[2] for change in edit.changes])}"


def _take_out(edit: TakeOut, _log: Log, rows: list[Row], _next_id: int) -> tuple[list[Row], str]:
    places = _places(rows)
    out = {_checked(places, rows, stroke, was, "") for stroke, was in edit.strokes}
    left = [row for at, row in enumerate(rows) if at not in out]
    return left, f"take out {_short([rows[at].stroke for at in sorted(out)])}"


def _move(edit: Move, log: Log, rows: list[Row], _next_id: int) -> tuple[list[Row], str]:
    at = _checked(_places(rows), rows, edit.stroke, edit.was, edit.was)
    to = len(rows) if edit.before is None else log.number(edit.before) - 1
    left = [*rows[:at], *rows[at + 1 :]]
    to -= at < to
    return [*left[:to], rows[at], *left[to:]], f"move {_short([rows[at].stroke])}"


_EDITS: dict[type, Callable[..., tuple[list[Row], str]]] = {
    Insert: _insert,
    Rewrite: _rewrite,
    TakeOut: _take_out,
    Move: _move,
}


def _places(rows: Sequence[Row]) -> dict[int, int]:
    return {row.id: at for at, row in enumerate(rows)}


def _checked(places: dict[int, int], rows: Sequence[Row], stroke: int, was: str, ours: str) -> int:
    """The index of the stroke, when its text is still what the editor saw."""
    at = places.get(stroke)
    if at is None:
        raise ClashError(was, "", ours)
    if rows[at].text != was:
        raise ClashError(was, rows[at].text, ours)
    return at


def _short(changed: Sequence[Stroke]) -> str:
    return action_text(changed[0]) if len(changed) == 1 else f"{len(changed)} strokes"


def _whole(edit: Whole, log: Log, state: State, next_id: int) -> State:
    """A new sheet in place of the old; strokes keep their names where they can be told to be the same."""
    if edit.revision != log.revision:
        raise ClashError(edit.what, f"revision {log.revision}", f"revision {edit.revision}")
    stood = {id(row.stroke): row.text for row in state.rows}
    fresh = [
        (stroke, stood[id(stroke)]) if id(stroke) in stood else settled(stroke) for stroke in edit.sheet.strokes
    ]
    names = _names(state.rows, fresh)
    new_ids = iter(range(next_id, next_id + len(fresh)))
    rows = [Row(next(new_ids) if name is None else name, *found) for name, found in zip(names, fresh, strict=True)]
    return settled_state(State(rows, edit.sheet.header, edit.sheet.after))


def _names(rows: Sequence[Row], fresh: Sequence[tuple[Stroke, str]]) -> list[int | None]:
    """The id that each new stroke keeps: that of the same text at the same end, of the same text anywhere, of the same
    action at another time; and where as many are left on both sides, of the stroke that stood in its place."""
    names: list[int | None] = [None] * len(fresh)
    left = list(range(len(rows)))
    left = _matched(rows, fresh, names, left, lambda _stroke, text: text)
    left = _matched(rows, fresh, names, left, lambda stroke, _text: _action(stroke))
    open_places = [at for at, name in enumerate(names) if name is None]
    if len(open_places) == len(left):
        for at, old in zip(open_places, left, strict=True):
            names[at] = rows[old].id
    return names


def _action(stroke: Stroke) -> Hashable:
    """All that a stroke is beside its time and its comments."""
    written = (stroke.kind, stroke.cells, stroke.digits, stroke.house, stroke.place)
    return (*written, stroke.replaces, stroke.over, stroke.text)


def _matched(
    rows: Sequence[Row],
    fresh: Sequence[tuple[Stroke, str]],
    names: list[int | None],
    left: Sequence[int],
    same: Callable[[Stroke, str], Hashable],
) -> list[int]:
    """Give names to the new strokes that are the same as old ones that are left, in order; gives those left after it."""
    waiting: dict[Hashable, deque[int]] = defaultdict(deque)
    for old in left:
        waiting[same(rows[old].stroke, rows[old].text)].append(old)
    for at, (stroke, text) in enumerate(fresh):
        if names[at] is None and (found := waiting.get(same(stroke, text))):
            names[at] = rows[found.popleft()].id
    return sorted(old for each in waiting.values() for old in each)


def difference(old: Sequence[Row], new: Sequence[Row]) -> tuple[list[Placed], list[Placed]]:
    """The rows that are no more, and those that are new; a row that only slid along with others is neither.

    Rows in both lists, in the same order, keep out of it; places are those of each list.
    """
    first = first_difference(old, new)
    texts = {row.id: (at, row.text) for at, row in enumerate(old[first:])}
    stayed = [row.id for row in new[first:] if row.id in texts and texts[row.id][1] == row.text]
    kept = set(_in_order(stayed, [texts[name][0] for name in stayed]))
    removed = [Placed(row.id, at, row.text) for at, row in enumerate(old[first:], first) if row.id not in kept]
    added = [Placed(row.id, at, row.text) for at, row in enumerate(new[first:], first) if row.id not in kept]
    return removed, added


def first_difference(old: Sequence[Row], new: Sequence[Row]) -> int:
    """The index of the first row in which two logs differ; of equal ones, their length."""
    pairs = enumerate(zip(old, new, strict=False))
    differ = (at for at, (one, other) in pairs if one is not other and (one.id, one.text) != (other.id, other.text))
    return next(differ, min(len(old), len(new)))


def _in_order(names: Sequence[int], places: Sequence[int]) -> Iterator[int]:
    """Names whose places grow, leaving out the few that were moved."""
    latest = -1
    for index, place in enumerate(places):
        ahead = places[index + 1] if index + 1 < len(places) else place
        if place < latest or (ahead < place and ahead > latest):
            continue
        latest = place
        yield names[index]


def replaced(rows: Iterable[Row], removed: Iterable[Placed], added: Sequence[tuple[Placed, Stroke]]) -> list[Row]:
    """The rows with some taken out, and others put in at their places.

    Raises:
        ValueError: what is to be taken out is not there, or what is put in is there already.
    """
    found = list(rows)
    names = {row.id: row.text for row in found}
    out = {row.id: row.text for row in removed}
    if any(names.get(name) != text for name, text in out.items()):
        raise ValueError("an edit that does not fit the log")
    left = [row for row in found if row.id not in out]
    ids = {row.id for row in left} | {placed.id for placed, _ in added}
    places = {placed.at for placed, _ in added}
    most = len(left) + len(added)
    if len(ids) < most or len(places) < len(added) or not all(0 <= at < most for at in places):
        raise ValueError("an edit that does not fit the log")
    return list(_merged(left, added))


def _merged(left: Sequence[Row], added: Sequence[tuple[Placed, Stroke]]) -> Iterator[Row]:
    places = {placed.at: Row(placed.id, stroke, placed.text) for placed, stroke in added}
    rest = iter(left)
    for at in range(len(left) + len(added)):
        yield places[at] if at in places else next(rest)
