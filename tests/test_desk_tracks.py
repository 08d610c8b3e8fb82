"""Pages kept up through edits are those of a replay from the start, and each page is told what it lacks."""

from __future__ import annotations

import random
from dataclasses import replace
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from inkstep.archive.logs import Log, stroke_text
from inkstep.desk.tracks import STRIDE, Track, first_difference
from inkstep.press.drawing import drawing_of_page
from inkstep.trace.pages import pages
from inkstep.trace.reading import read_sheet
from inkstep.trace.sheet import Sheet
from inkstep.trace.strokes import Stroke

DEMO = read_sheet((Path(__file__).parents[1] / "examples" / "harbour-spring.sheet").read_bytes()).sheet


def a_log(sheet: Sheet, ids: tuple[int, ...], revision: int) -> Log:
    return Log("kept", revision, sheet, ids, texts=tuple(map(stroke_text, sheet.strokes)))


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 10**6))
def test_a_track_through_edits_has_the_pages_of_a_replay(seed: int) -> None:
    rng = random.Random(seed)
    strokes = list(DEMO.strokes[: rng.randrange(3 * STRIDE)])
    ids = list(range(1, len(strokes) + 1))
    track = Track(a_log(replace(DEMO, strokes=tuple(strokes)), tuple(ids), 0))
    for revision in range(1, 8):
        old = track.log
        _edited(rng, strokes, ids, 1000 * revision)
        log = a_log(replace(DEMO, strokes=tuple(strokes)), tuple(ids), revision)
        track = Track(log, track)
        assert track.pages == pages(log.sheet)
        first = first_difference(old, log)
        assert log.sheet.strokes[:first] == old.sheet.strokes[:first]
        assert log.ids[:first] == old.ids[:first]


def _edited(rng: random.Random, strokes: list[Stroke], ids: list[int], fresh: int) -> None:
    at = rng.randrange(len(strokes) + 1)
    kind = rng.choice(("append", "insert", "change", "out", "move"))
    stroke = rng.choice(DEMO.strokes)
    if kind == "append" or not strokes:
        strokes.append(stroke)
        ids.append(fresh)
    elif kind == "insert":
        strokes.insert(at, stroke)
        ids.insert(at, fresh)
    elif at == len(strokes):
        strokes.pop()
        ids.pop()
    elif kind == "change":
        strokes[at] = stroke
    elif kind == "out":
        del strokes[at], ids[at]
    else:
        strokes.append(strokes.pop(at))
        ids.append(ids.pop(at))


def test_rows_tell_what_a_stroke_does_to_the_ink() -> None:
    track = Track(a_log(DEMO, tuple(range(1, len(DEMO.strokes) + 1)), 0))
    ink = {item.stroke: item for item in drawing_of_page(track.pages[0]).ink if item.stroke}
    for row in track.strokes(0):
        for added in row["add"]:
            ink[added["stroke"]] = added
    assert sorted(ink) == [i.number for i in track.pages[-1].ink]
    assert track.strokes(len(DEMO.strokes)) == []
    assert [row["id"] for row in track.strokes(100)] == list(range(101, len(DEMO.strokes) + 1))
