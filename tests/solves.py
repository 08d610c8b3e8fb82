"""Made-up solves of published puzzles, with marks, notes, a slip and long rests: input for lessons.

The puzzles are those of `data/walkthroughs.jsonl` (their sources are named there); who solves them, and how fast, is
invention.
"""

from __future__ import annotations

import json
from dataclasses import replace
from functools import cache
from pathlib import Path

from inkstep.grid.geometry import CLASSIC, bits
from inkstep.grid.solving import solutions
from inkstep.reasoning.lightest import chances
from inkstep.reasoning.search import Search
from inkstep.review.findings import Review
from inkstep.review.judging import Judge
from inkstep.review.reviewing import review_sheet
from inkstep.trace.pages import Page, page_at
from inkstep.trace.reading import read_sheet
from inkstep.trace.sheet import Header, Sheet
from inkstep.trace.strokes import Kind, Place, Reading, Stroke, Where

DEMO_FILE = Path(__file__).parents[1] / "examples" / "harbour-spring.sheet"
#: the demo's number among the solves
DEMO = -1
DATA = Path(__file__).parent / "data" / "walkthroughs.jsonl"

#: a mark is made rather than a digit when the lightest digit costs more looks than this
_EASY = 3.2


@cache
def puzzles() -> tuple[str, ...]:
    """Puzzles of the walkthroughs that have one solution, each once."""
    lines = [json.loads(line)["givens"] for line in DATA.read_text().splitlines()]
    return tuple(dict.fromkeys(line for line in lines if len(solutions(_givens(line), limit=2)) == 1))


def _givens(line: str) -> tuple[int, ...]:
    return tuple(int(sign) if sign in "123456789" else 0 for sign in line)


class Hand:
    """Somebody who solves: lightest digit first, marks when nothing is near."""

    def __init__(self, line: str, marks: int) -> None:
        self.sheet = Sheet(
            Header(
                _givens(line), title="Spring round, puzzle 3", event="Harbour puzzle league", solver="table 4",
                recording="camera 2, second reel", clock_start_ms=125_480, permission="free for lessons",
            )
        )  # fmt: skip
        self.solution = solutions(self.sheet.givens, limit=1)[0]
        self.judge = Judge(self.solution, 32.0)
        self.now = 0
        self.marks_left = marks
        self.marked: set[tuple[int, int]] = set()
        self.page: Page = page_at(self.sheet, 0)

    def play(self) -> Sheet:
        """Solve until nothing follows any more."""
        digits = 0
        while not all(self.page.digits):
            search = Search(self.judge.position(self.page))
            found = chances(search, limit=6.0) or chances(search, limit=32.0)
            if not found:
                break
            if found[0].effort > _EASY and self.marks_left and self._mark():
                continue
            fact = found[0].goal[0]
            digits += 1
            if self._say_something(digits, fact.cell, fact.digit):
                continue
            rest = 4200 if digits in (6, 21, 33) else 260
            self._ink(Stroke(Kind.DIGIT, cells=(fact.cell,), digits=(fact.digit,)), rest + int(found[0].effort * 170))
        return self.sheet

    def _ink(self, stroke: Stroke, gap_ms: int) -> None:
        self.now += gap_ms + len(self.sheet.strokes) * 37 % 290
        self.sheet = replace(self.sheet, strokes=(*self.sheet.strokes, replace(stroke, at_ms=self.now)))
        self.page = page_at(self.sheet, len(self.sheet.strokes))

    def _say_something(self, count: int, cell: int, digit: int) -> bool:
        """Things a sheet can hold besides: a note, a slip with its correction (then the digit is written)."""
        row, _, box = CLASSIC.houses_of[cell]
        if count == 4:
            self._ink(Stroke(Kind.NOTE, text=f"{digit}?", place=Place(Where.LEFT, row)), 700)
        elif count == 9:
            lacks = tuple(d for d in CLASSIC.digits if all(self.page.digits[c] != d for c in CLASSIC.house_cells[box]))
            self._ink(Stroke(Kind.NOTE, digits=lacks[:4], place=Place(Where.ABOVE, box)), 900)
        elif count == 17:
            slip = next(d for d in CLASSIC.digits if d != digit)
            self._ink(Stroke(Kind.DIGIT, cells=(cell,), digits=(slip,)), 640)
            self._ink(Stroke(Kind.DIGIT, cells=(cell,), digits=(digit,), replaces=slip), 1900)
            open_cell = next(c for c in range(81) if not self.page.digits[c])
            other = next(d for d in CLASSIC.digits if d != self.solution[open_cell])
            two = tuple(sorted((self.solution[open_cell], other)))
            self._ink(Stroke(Kind.MARK, cells=(open_cell,), digits=two, reading=Reading.CELL), 820)
            return True
        return False

    def _mark(self) -> bool:
        """One mark where a box, a line or a pair of cells offers one."""
        for box in CLASSIC.boxes:
            for digit in CLASSIC.digits:
                places = self._places(digit, box)
                if len(places) == 2 and (box, digit) not in self.marked:
                    self.marked.add((box, digit))
                    self.marks_left -= 1
                    wide = self._widened(digit, box, places) if self.marks_left % 15 == 7 else places
                    self._ink(Stroke(Kind.MARK, cells=wide, digits=(digit,), reading=Reading.PLACES, house=box), 540)
                    return True
        return self._pair()

    def _pair(self) -> bool:
        for house in range(27):
            cells = [c for c in CLASSIC.house_cells[house] if not self.page.digits[c]]
            for at, one in enumerate(cells):
                for two in cells[at + 1 :]:
                    mine = self._candidates(one)
                    if len(mine) == 2 and mine == self._candidates(two) and (one, -two) not in self.marked:
                        self.marked.add((one, -two))
                        self.marks_left -= 1
                        near = two - one in (1, 9)
                        place = Place(Where.BORDER) if near else Place()
                        self._ink(Stroke(Kind.MARK, cells=(one, two), digits=mine, reading=Reading.SET, place=place), 1100)
                        return True
        return False

    def _places(self, digit: int, box: int) -> tuple[int, ...]:
        if any(self.page.digits[c] == digit for c in CLASSIC.house_cells[box]):
            return ()
        return tuple(c for c in CLASSIC.house_cells[box] if digit in self._candidates(c))

    def _candidates(self, cell: int) -> tuple[int, ...]:
        if self.page.digits[cell]:
            return ()
        seen = {self.page.digits[peer] for peer in bits(CLASSIC.peers[cell])}
        return tuple(d for d in CLASSIC.digits if d not in seen)

    def _widened(self, digit: int, box: int, places: tuple[int, ...]) -> tuple[int, ...]:
        """One place more than there are."""
        more = [c for c in CLASSIC.house_cells[box] if not self.page.digits[c] and c not in places]
        return tuple(sorted((*places, *more[:1])))


@cache
def solve(which: int, marks: int = 50) -> Sheet:
    """A whole solve of one of the puzzles, or the demo."""
    if which == DEMO:
        return read_sheet(DEMO_FILE.read_bytes(), strict=True).sheet
    return Hand(puzzles()[which], marks).play()


@cache
def review(which: int, marks: int = 50) -> Review:
    """The review of ``solve``."""
    return review_sheet(solve(which, marks))
