"""The pages of a log, kept up while it grows and is repaired: what a browser needs to draw any of them."""

from __future__ import annotations

from typing import Any

from inkstep.archive.logs import Log
from inkstep.press.drawing import page_difference
from inkstep.trace.grammar import action_text
from inkstep.trace.pages import Page, photograph
from inkstep.trace.paper import Paper
from inkstep.trace.strokes import Stroke

#: strokes between two sheets of paper that are kept to replay from
STRIDE = 16


class Track:
    """The pages of one state of a log: page n is what stands after n strokes.

    A later state is replayed from the last paper kept before the first stroke in which the two differ, so that a key costs a
    few strokes, however long the log.
    """

    def __init__(self, log: Log, earlier: Track | None = None) -> None:
        self.log = log
        self.pages: list[Page]
        self._papers: dict[int, Paper]
        start = first_difference(earlier.log, log) if earlier else 0
        if earlier and earlier.log.sheet.givens == log.sheet.givens:
            self._papers = {n: paper for n, paper in earlier._papers.items() if n <= start}
            self.pages = earlier.pages[: max(self._papers) + 1]
        else:
            self._papers = {0: Paper(log.sheet.givens)}
            self.pages = [photograph(self._papers[0])]
        self._replay()

    def _replay(self) -> None:
        """Write what is still missing, from the last paper kept on."""
        paper = self._papers[max(self._papers)].copy()
        for stroke in self.log.sheet.strokes[paper.count :]:
            paper.take(stroke)
            self.pages.append(photograph(paper))
            if paper.count % STRIDE == 0:
                self._papers[paper.count] = paper.copy()

    def strokes(self, first: int) -> list[dict[str, Any]]:
        """The strokes from index ``first`` (counted from 0) on, as the browser takes them (docs/desk.md)."""
        rows = zip(self.log.ids[first:], self.log.sheet.strokes[first:], strict=True)
        return [self._row(number, stroke_id, stroke) for number, (stroke_id, stroke) in enumerate(rows, first + 1)]

    def _row(self, number: int, stroke_id: int, stroke: Stroke) -> dict[str, Any]:
        added, changed = page_difference(self.pages[number - 1], self.pages[number])
        return {
            "id": stroke_id,
            "kind": str(stroke.kind),
            "at_ms": stroke.at_ms,
            "action": action_text(stroke),
            "was": self.log.texts[number - 1],
            "cells": list(stroke.cells),
            "digits": list(stroke.digits),
            "place": {"where": str(stroke.place.where), "house": stroke.place.house},
            "text": stroke.text,
            "comment": stroke.comment,
            "add": [ink.to_json() for ink in added],
            "change": [change.to_json() for change in changed],
        }


def first_difference(old: Log, new: Log) -> int:
    """The index of the first stroke in which two states of a log differ; of an unchanged one, its length."""
    if old.sheet.givens != new.sheet.givens:
        return 0
    pairs = zip(old.ids, old.sheet.strokes, new.ids, new.sheet.strokes, strict=False)
    most = min(len(old.ids), len(new.ids))
    return next((i for i, (a, s, b, t) in enumerate(pairs) if a != b or (s is not t and s != t)), most)
