"""Writing the log that was merged of two: over the first of them, as an edit that can be undone, or as a new solve."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from inkstep.archive.logs import ClashError, Log, Whole, begin
from inkstep.desk.answers import whole, words
from inkstep.desk.compare_rows import on_one_clock
from inkstep.desk.compare_sides import FILE, Side, file_side, kept_side
from inkstep.desk.desk import Desk
from inkstep.ground.errors import InputError
from inkstep.trace.comparing import Pick, merged
from inkstep.trace.decoding import MOST_BYTES
from inkstep.trace.sheet import Sheet

#: where the merged log goes
INTO = ("this", "new")


def write_merged(desk: Desk, key: str, other: str, asked: dict[str, Any]) -> dict[str, Any]:
    """Write what was picked. ``asked`` holds ``into`` (one of `INTO`), ``have`` and ``other_have`` (the revisions that the
    page shows), ``clock``, ``picks`` (by the row's number from 0), and of a file its ``text`` and ``name``.

    The answer names the solve it was written to, its revision and its number of strokes.

    Raises:
        ClashError: one of the two logs was changed meanwhile; nothing is changed then.
        InputError: the request asks for nothing that can be written.
        ArchiveError: the archive cannot be written just now.
    """
    log, side = desk.log(key), _other(desk, key, other, asked)
    into = words(asked.get("into"), "where it is written", 10)
    if into not in INTO:
        raise InputError(f"where it is written, one of {', '.join(INTO)}", got=into)
    picks = _picks(asked.get("picks"))
    have = whole(asked.get("have"), "have")
    _unchanged(log, have, "this log", picks)
    if other != FILE:
        _unchanged(side.log, whole(asked.get("other_have"), "other_have"), "the other log", picks)
    theirs = on_one_clock(log.sheet, side.log.sheet, words(asked.get("clock", ""), "a clock", 20)).sheet
    sheet = merged(log.sheet, theirs, picks)
    return _into_new(desk, sheet) if into == "new" else _into_this(desk, log, sheet, have)


def _other(desk: Desk, key: str, other: str, asked: dict[str, Any]) -> Side:
    if other != FILE:
        return kept_side(desk, key, other)
    text, name = words(asked.get("text"), "the file", MOST_BYTES), words(asked.get("name", ""), "the file's name", 1000)
    # the page sends back the text that it was given: a sheet, whatever form the file had
    return file_side(desk.log(key).sheet, f"{name}.sheet", text.encode("utf-8", "surrogatepass"))


def _picks(value: object) -> Mapping[int, Pick]:
    if not isinstance(value, dict):
        raise InputError("picks, each with the number of its row")
    picks: dict[int, Pick] = {}
    for row, pick in value.items():
        if not isinstance(pick, str) or pick not in set(Pick):
            raise InputError(f"a pick, one of {', '.join(Pick)}", got=repr(pick)[:40])
        picks[whole(row, "a row")] = Pick(pick)
    return picks


def _unchanged(log: Log, have: int, what: str, picks: Mapping[int, Pick]) -> None:
    """See that what was compared is what stands; else say what was done meanwhile, and what was to be written."""
    if log.revision != have:
        theirs = f"{log.undo or 'an edit taken back'}; now {_strokes(log.sheet)}"
        raise ClashError(what, theirs, f"merge the two, with {len(picks)} {'pick' if len(picks) == 1 else 'picks'}")


def _into_this(desk: Desk, log: Log, sheet: Sheet, have: int) -> dict[str, Any]:
    if sheet == log.sheet:
        raise InputError("something to take over", got="picks that leave this log as it is")
    changed = desk.amend(log.key, Whole(sheet, have, "merge with another log"))
    return {"key": log.key, "revision": changed.revision, "strokes": len(changed.ids)}


def _into_new(desk: Desk, sheet: Sheet) -> dict[str, Any]:
    title = f"{sheet.header.title or 'A solve without a title'}, merged"
    log = begin(desk.archive, replace(sheet, header=replace(sheet.header, title=title)))
    return {"key": log.key, "revision": log.revision, "strokes": len(log.ids)}


def _strokes(sheet: Sheet) -> str:
    return "one stroke" if len(sheet.strokes) == 1 else f"{len(sheet.strokes)} strokes"
