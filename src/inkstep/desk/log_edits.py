"""The edits of a log: what a request of the logging page asks for, as an edit of the archive."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from inkstep.archive.logs import ClashError, Edit, Insert, Move, Rewrite, TakeOut, Whole, stroke_text
from inkstep.desk.answers import whole, words
from inkstep.desk.desk import Desk
from inkstep.desk.heading import head_edit
from inkstep.desk.tracks import Track
from inkstep.grid.geometry import CLASSIC
from inkstep.ground.clock import parse_ms
from inkstep.ground.errors import InputError
from inkstep.trace.editing import shift
from inkstep.trace.gestures import Gesture, strokes_of
from inkstep.trace.grammar import read_action
from inkstep.trace.quoting import split_comment
from inkstep.trace.strokes import Place, Stroke, Where


def do_edit(desk: Desk, key: str, asked: dict[str, Any]) -> dict[str, Any]:
    """Do one edit, and answer with what the page that asked needs to show it; ``made`` are the ids of new strokes.

    Raises:
        InputError: the request asks for nothing that can be done.
        ClashError: what it changes was changed meanwhile.
    """
    have = whole(asked.get("have"), "have") if asked.get("have") is not None else None
    kind = words(asked.get("edit"), "edit", 20)
    made: list[int] = []
    if kind == "undo":
        desk.undo(key)
    elif kind == "redo":
        desk.redo(key)
    elif kind in _EDITS:
        before = set(desk.log(key).ids)
        made = [i for i in desk.amend(key, lambda track: _EDITS[kind](asked, track)).ids if i not in before]
    else:
        raise InputError(f"an edit, one of {', '.join((*_EDITS, 'undo', 'redo'))}", got=kind)
    return {**desk.change(key, have), "made": made}


def _write(asked: dict[str, Any], track: Track) -> Edit:
    """New strokes, from a gesture or typed as a sheet has them: before a stroke that is named, where their time puts them,
    or at the end."""
    if "typed" in asked:
        typed = _typed(words(asked["typed"], "the stroke"), asked.get("at_ms"))
        at = _place_in_order(asked, typed.at_ms, track)
        return Insert((typed,), _before(track, at))
    gesture = gesture_of(asked)
    at = _place_in_order(asked, gesture.at_ms, track)
    return Insert(strokes_of(gesture, track.pages[at]), _before(track, at))


def _before(track: Track, at: int) -> int | None:
    return track.log.ids[at] if at < len(track.log.ids) else None


def _typed(line: str, at_ms: object) -> Stroke:
    """The stroke of one line of a sheet: its time (or else that of the page's film), what was inked, a comment."""
    text, comment = split_comment(line.strip())
    first, _, rest = text.partition(" ")
    if first == "-" or first[:1].isdigit():
        at_ms, text = None if first == "-" else parse_ms(first), rest
    said = read_action(text.strip())
    return replace(said, at_ms=None if at_ms is None else whole(at_ms, "a time"), comment=comment or "")


def _place_in_order(asked: dict[str, Any], at_ms: int | None, track: Track) -> int:
    """The index at which new strokes go in."""
    if asked.get("before") is not None:
        return track.log.number(whole(asked["before"], "before")) - 1
    if at_ms is not None and not asked.get("last"):
        later = (i for i, s in enumerate(track.log.sheet.strokes) if s.at_ms is not None and s.at_ms > at_ms)
        return next(later, len(track.log.ids))
    return len(track.log.ids)


def _grow(asked: dict[str, Any], track: Track) -> Edit:
    """Strokes just written, typed on: the whole gesture anew, on the page before the first of them."""
    pairs = _pairs(asked) if "strokes" in asked else [(whole(asked.get("stroke"), "stroke"), words(asked.get("was"), "was"))]
    at = min((track.log.number(stroke) for stroke, _ in pairs if stroke in track.log.ids), default=1) - 1
    now = strokes_of(gesture_of(asked), track.pages[at])
    if len(now) == len(pairs):
        return Rewrite(tuple((stroke, was, new) for (stroke, was), new in zip(pairs, now, strict=True)))
    return _in_place_of(pairs, now, track)


def _in_place_of(pairs: Sequence[tuple[int, str]], now: tuple[Stroke, ...], track: Track) -> Whole:
    """Other strokes, more or fewer, where the first of the old ones stood."""
    log = track.log
    for stroke, was in pairs:
        theirs = stroke_text(log.sheet.strokes[log.ids.index(stroke)]) if stroke in log.ids else ""
        if theirs != was:
            raise ClashError(was, theirs, "\n".join(map(stroke_text, now)))
    out = {log.ids.index(stroke) for stroke, _ in pairs}
    first = min(out)
    kept = list(log.sheet.strokes)
    kept[first : first + 1] = [replace(now[0], before=kept[first].before), *now[1:]]
    later = {i + len(now) - 1 for i in out if i != first}
    strokes = tuple(stroke for i, stroke in enumerate(kept) if i not in later)
    return Whole(replace(log.sheet, strokes=strokes), log.revision, f"change {len(now)} strokes")


def _rewrite(asked: dict[str, Any], track: Track) -> Edit:
    """A stroke typed anew as a sheet has it, or with another time or comment."""
    stroke, was = whole(asked.get("stroke"), "stroke"), words(asked.get("was"), "was")
    old = track.log.sheet.strokes[track.log.number(stroke) - 1]
    now = old
    if "action" in asked:
        typed = read_action(words(asked["action"], "the stroke").strip())
        now = replace(typed, at_ms=old.at_ms, comment=old.comment, before=old.before)
    if "time" in asked:
        typed_time = words(asked["time"], "a time", 40).strip()
        now = replace(now, at_ms=None if typed_time in ("", "-") else parse_ms(typed_time))
    if "at_ms" in asked:
        now = replace(now, at_ms=None if asked["at_ms"] is None else whole(asked["at_ms"], "a time"))
    if "comment" in asked:
        now = replace(now, comment=words(asked["comment"], "a comment"))
    return Rewrite(((stroke, was, now),))


def _take_out(asked: dict[str, Any], _track: Track) -> Edit:
    return TakeOut(tuple(_pairs(asked)))


def _pairs(asked: dict[str, Any]) -> list[tuple[int, str]]:
    """The strokes of a request, each with the text that its page showed."""
    pairs = asked.get("strokes")
    if not isinstance(pairs, list) or not pairs or not all(isinstance(p, list) and len(p) == 2 for p in pairs):
        raise InputError("strokes, each with its text")
    return [(whole(i, "a stroke"), words(was, "was")) for i, was in pairs]


def _move(asked: dict[str, Any], track: Track) -> Edit:
    stroke, was = whole(asked.get("stroke"), "stroke"), words(asked.get("was"), "was")
    before = asked.get("before")
    if asked.get("by_time"):
        return Move(stroke, was, _by_time(stroke, track))
    return Move(stroke, was, None if before is None else whole(before, "before"))


def _by_time(stroke: int, track: Track) -> int | None:
    """The id of the stroke before which this one's time puts it."""
    rows = [(i, s.at_ms) for i, s in zip(track.log.ids, track.log.sheet.strokes, strict=True) if i != stroke]
    at_ms = track.log.sheet.strokes[track.log.number(stroke) - 1].at_ms
    if at_ms is None:
        raise InputError("a stroke with a time")
    return next((i for i, each in rows if each is not None and each > at_ms), None)


def _shift(asked: dict[str, Any], track: Track) -> Edit:
    """All times later (or earlier, where negative) by ``by_ms``."""
    by_ms = whole(asked.get("by_ms"), "a time", least=-(10**9))
    return Whole(shift(track.log.sheet, by_ms), track.log.revision, "shift all times")


_EDITS: Mapping[str, Callable[[dict[str, Any], Track], Edit]] = {
    "write": _write,
    "grow": _grow,
    "rewrite": _rewrite,
    "out": _take_out,
    "move": _move,
    "shift": _shift,
    "head": head_edit,
}


def gesture_of(asked: dict[str, Any]) -> Gesture:
    """The gesture in a request, its fields those of :class:`Gesture`.

    Raises:
        InputError: one of them is not what it should be.
    """
    place = asked.get("place") or {}
    where = place.get("where", "cell") if isinstance(place, dict) else ""
    if not isinstance(where, str) or where not in set(Where):
        raise InputError(f"a place, one of {', '.join(Where)}", got=repr(where)[:40])
    beside = place.get("house")
    return Gesture(
        cells=_numbers(asked.get("cells", []), "cells", CLASSIC.cells - 1),
        digits=_numbers(asked.get("digits", []), "digits", CLASSIC.size),
        other=asked.get("other") is True,
        strike=asked.get("strike") is True,
        note=asked.get("note") is True,
        place=Place(Where(where), None if beside is None else whole(beside, "a house", most=26)),
        house=None if asked.get("house") is None else whole(asked["house"], "a house", most=26),
        text=words(asked.get("text", ""), "a note", 500),
        at_ms=None if asked.get("at_ms") is None else whole(asked["at_ms"], "a time"),
        comment=words(asked.get("comment", ""), "a comment"),
    )


def _numbers(value: object, what: str, most: int) -> tuple[int, ...]:
    if not isinstance(value, list) or len(value) > CLASSIC.cells:
        raise InputError(f"a list of {what}")
    return tuple(whole(each, what, most=most) for each in value)


