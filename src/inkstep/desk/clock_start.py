"""The moment of a recording at which the clock starts, and what becomes of the times that strokes have already."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from inkstep.archive.logs import ClashError, Whole
from inkstep.desk.answers import whole
from inkstep.desk.desk import Desk
from inkstep.desk.tracks import Track
from inkstep.ground.clock import clock_text
from inkstep.ground.errors import InputError
from inkstep.trace.editing import shift

#: what becomes of the times: the strokes stay at their frames of the film, or their times stay as they are
STROKES = ("follow", "stay")


def keep_clock_start(desk: Desk, key: str, asked: dict[str, Any]) -> dict[str, Any]:
    """Keep ``start_ms`` (of the recording) in the head, where ``was`` is what the page had shown.

    Where strokes have times and ``strokes`` does not say what becomes of them, nothing is changed, and ``timed`` says how
    many there are. Otherwise the answer is that of ``GET change``.

    Raises:
        ClashError: the clock's start was changed meanwhile.
        InputError: a stroke would stand before the clock's start.
    """
    start, was = whole(asked.get("start_ms"), "the clock's start"), asked.get("was")
    strokes = asked.get("strokes")
    if strokes not in (None, *STROKES):
        raise InputError(f"what becomes of the strokes, one of {', '.join(STROKES)}", got=repr(strokes)[:40])
    timed = sum(stroke.at_ms is not None for stroke in desk.log(key).sheet.strokes)
    if timed and strokes is None:
        return {"timed": timed}
    desk.amend(key, lambda track: _edit(track, start, was, strokes == "follow"))
    return desk.change(key, None)


def _edit(track: Track, start: int, was: object, follow: bool) -> Whole:
    sheet = track.log.sheet
    old = sheet.header.clock_start_ms
    if was != old:
        raise ClashError(_words(was), _words(old), _words(start))
    if follow:
        sheet = shift(sheet, (old or 0) - start)
    sheet = replace(sheet, header=replace(sheet.header, clock_start_ms=start))
    return Whole(sheet, track.log.revision, "change the clock's start" + (" and the strokes' times" if follow else ""))


def _words(start: object) -> str:
    return f"clock-start: {clock_text(start) if isinstance(start, int) else 'none'}"
