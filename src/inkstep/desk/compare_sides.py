"""The other log of a comparison: another solve of the archive, or a file that is only laid beside."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import PurePath
from typing import Any

from inkstep.archive.logs import Log, load, stroke_text
from inkstep.archive.shelf import Entry, shelf
from inkstep.desk.desk import Desk
from inkstep.desk.tracks import Track
from inkstep.ground.errors import InputError
from inkstep.trace.plain import sheet_from_json
from inkstep.trace.reading import SheetReading, read_sheet
from inkstep.trace.sheet import Header, Sheet
from inkstep.trace.tabular import sheet_from_csv

#: what stands in an address for a file, in place of a solve's key
FILE = "file"
#: solves that are offered
MOST_OTHERS = 60
_MOST_NAME = 200


@dataclass(frozen=True)
class Side:
    """One of the two logs, with its pages; ``damage`` is what was wrong in the file that it came from."""

    track: Track
    title: str
    damage: tuple[str, ...] = ()

    @property
    def log(self) -> Log:
        """Its log."""
        return self.track.log


def others(desk: Desk, key: str) -> list[dict[str, Any]]:
    """The other solves of the very same puzzle, those of the same recording first."""
    header = desk.log(key).sheet.header
    if not any(header.givens):
        return []
    found = [_choice(desk, header, entry) for entry in _twins(desk, header.puzzle) if entry.key != key]
    return sorted(found, key=lambda choice: not choice["same_recording"])


def _twins(desk: Desk, puzzle: str) -> Iterator[Entry]:
    """Solves whose givens stand in the same cells; the shelf also finds puzzles that were turned or renamed."""
    after: str | None = None
    for _ in range(MOST_OTHERS // 30):
        found = shelf(desk.archive, puzzle, after=after)
        yield from (entry for entry in found.entries if entry.puzzle == puzzle)
        after = found.next
        if after is None:
            return


def _choice(desk: Desk, ours: Header, entry: Entry) -> dict[str, Any]:
    theirs = load(desk.archive, entry.key).sheet.header
    return {
        "key": entry.key,
        "title": entry.title or "A solve without a title",
        "by": " · ".join(part for part in (entry.solver, entry.event, theirs.date) if part),
        "strokes": entry.strokes,
        "length_ms": entry.length_ms,
        "recording": theirs.recording,
        "same_recording": bool(ours.recording) and theirs.recording == ours.recording,
    }


def kept_side(desk: Desk, key: str, other: str) -> Side:
    """Another solve of the archive, beside the solve ``key``.

    Raises:
        InputError: there is none of that name, or it is the same solve, or one of another puzzle.
    """
    if other == key:
        raise InputError("another solve to lay beside this one", got="the same solve")
    track = desk.track(other)
    sheet = track.log.sheet
    _of_one_puzzle(desk.log(key).sheet, sheet)
    return Side(track, sheet.header.title or "A solve without a title")


def file_side(ours: Sheet, name: str, content: bytes) -> Side:
    """The log that a file holds: a sheet, a record, or a table of strokes (whose puzzle is taken to be ours).

    Raises:
        InputError: nothing in it can be read, or it is of another puzzle.
    """
    name = PurePath(name.replace("\\", "/")).name[:_MOST_NAME] or "a file"
    reading = _read(ours, name, content)
    sheet, damage = reading.sheet, tuple(map(str, reading.damage))
    if not any(sheet.givens):
        sheet = replace(sheet, header=replace(sheet.header, givens=ours.givens))
    _of_one_puzzle(ours, sheet)
    ids = tuple(range(1, len(sheet.strokes) + 1))
    log = Log(FILE, 0, sheet, ids, texts=tuple(map(stroke_text, sheet.strokes)))
    return Side(Track(log), sheet.header.title or name, damage)


def _read(ours: Sheet, name: str, content: bytes) -> SheetReading:
    if name.lower().endswith((".csv", ".tsv")):
        return sheet_from_csv(content, Header(ours.givens), where=name)
    if name.lower().endswith(".json") or content.lstrip()[:1] == b"{":
        return SheetReading(sheet_from_json(content.decode("utf-8-sig", "replace"), name))
    return read_sheet(content, where=name)


def _of_one_puzzle(ours: Sheet, theirs: Sheet) -> None:
    apart = sum(one != other for one, other in zip(ours.givens, theirs.givens, strict=True))
    if apart:
        cells = "one cell" if apart == 1 else f"{apart} cells"
        raise InputError("a log of the same puzzle", got=f"one of another, whose givens differ in {cells}")
