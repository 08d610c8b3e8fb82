"""Soft doubts about the strokes of a log: what cannot be right, said beside the stroke and never in its way."""

from __future__ import annotations

import threading
import time
from collections import OrderedDict
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any

from inkstep.desk.tracks import Track
from inkstep.grid.geometry import CLASSIC
from inkstep.ground.clock import clock_text
from inkstep.ground.errors import InputError
from inkstep.reasoning.argument import Argument
from inkstep.reasoning.effort import LIMITS
from inkstep.reasoning.search import Search
from inkstep.reasoning.wording import short_reason
from inkstep.review.findings import StrokeReview, Verdict
from inkstep.review.judging import Judge
from inkstep.review.openness import Openness
from inkstep.review.reviewing import the_solution
from inkstep.trace.claims import Claim, listed
from inkstep.trace.grammar import action_text
from inkstep.trace.pages import Page
from inkstep.trace.paper import Objection, Paper
from inkstep.trace.sheet import Header, Sheet
from inkstep.trace.strokes import Kind, Reading, Stroke

#: seconds after which an answer is given with what was found so far, so that no key waits long behind it
SLICE_S = 0.06
#: judgements kept at hand
MOST_KEPT = 6000

#: a sentence and its role: "doubt" for what is wrong, empty for what explains it
Line = tuple[str, str]


@lru_cache(maxsize=8)
def solution_of(givens: tuple[int, ...]) -> tuple[tuple[int, ...] | None, str]:
    """The one solution of a puzzle, or None and why there is none."""
    try:
        return the_solution(Sheet(Header(givens=givens))), ""
    except InputError as fault:
        return None, fault.got


@dataclass
class Doubts:
    """Doubts by stroke. What a stroke is judged by is the page before it, so a judgement made once serves every revision."""

    clock: Callable[[], float] = time.monotonic
    _lock: threading.Lock = field(default_factory=threading.Lock)
    _kept: OrderedDict[tuple[int, str], tuple[Line, ...]] = field(default_factory=OrderedDict)
    _objections: OrderedDict[str, tuple[int, list[list[Objection]]]] = field(default_factory=OrderedDict)

    def answer(self, track: Track, first: int) -> dict[str, Any]:
        """Doubts about the strokes from index ``first`` on, as far as they are found within ``SLICE_S`` seconds.

        ``upto`` is the index of the first stroke that was not looked at any more; ``doubts`` are pairs of a stroke's id and
        its lines, of the strokes of which there are any.
        """
        log = track.log
        strokes, until = log.sheet.strokes, self.clock() + SLICE_S
        found: list[list[Any]] = []
        at = first
        with self._lock:
            objections = self._objections_of(track)
            while at < len(strokes) and (at == first or self.clock() < until):
                lines = [*_order(strokes, at), *map(_objection, objections[at]), *self._judged(track, at)]
                if lines:
                    found.append([log.ids[at], [{"role": role, "text": text} for text, role in lines]])
                at += 1
        why = solution_of(log.sheet.givens)[1]
        only = f"Strokes are held against the paper only, since the puzzle has no one solution ({why})." if why else ""
        return {"revision": log.revision, "from": first, "upto": at, "of": len(strokes), "doubts": found, "only": only}

    def _objections_of(self, track: Track) -> list[list[Objection]]:
        """What each stroke contradicts of the paper before it."""
        key, revision = track.log.key, track.log.revision
        kept = self._objections.get(key)
        if kept is None or kept[0] != revision:
            kept = revision, list(_objections(track.log.sheet))
            self._objections[key] = kept
        self._objections.move_to_end(key)
        while len(self._objections) > 4:
            self._objections.popitem(last=False)
        return kept[1]

    def _judged(self, track: Track, at: int) -> tuple[Line, ...]:
        stroke, page = track.log.sheet.strokes[at], track.pages[at]
        solution = solution_of(track.log.sheet.givens)[0]
        if solution is None or stroke.kind is Kind.NOTE:
            return ()
        name = _name(page, stroke)
        if name not in self._kept:
            self._kept[name] = tuple(_against(stroke, page, solution))
        self._kept.move_to_end(name)
        while len(self._kept) > MOST_KEPT:
            self._kept.popitem(last=False)
        return self._kept[name]


def _name(page: Page, stroke: Stroke) -> tuple[int, str]:
    """What a judgement depends on: the puzzle, what stands on the page, what its marks claim, and the stroke."""
    claims = tuple((c.reading, c.cells, c.digits, c.house, c.spent) for c in page.claims)
    return hash((page.givens, page.digits, claims, page.fresh)), action_text(stroke)


def _objections(sheet: Sheet) -> Iterator[list[Objection]]:
    paper = Paper(sheet.givens)
    for stroke in sheet.strokes:
        yield paper.objections(stroke)
        paper.take(stroke)


def _objection(objection: Objection) -> Line:
    expected, got = objection
    return f"The paper says otherwise: {got}. Expected was {expected}.", "doubt"


def _order(strokes: tuple[Stroke, ...], at: int) -> Iterator[Line]:
    """Whether the stroke's time is earlier than that of the stroke above it."""
    now = strokes[at].at_ms
    above = next((s.at_ms for s in reversed(strokes[:at]) if s.at_ms is not None), None) if now is not None else None
    if now is not None and above is not None and now < above:
        yield f"Its time {clock_text(now)} is before {clock_text(above)}, the time of the stroke above it.", "doubt"


def _against(stroke: Stroke, page: Page, solution: tuple[int, ...]) -> Iterator[Line]:
    """What the solution, and what was as near, say against a stroke."""
    if stroke.kind is Kind.DIGIT:
        cell, digit = stroke.cells[0], stroke.digits[0]
        if solution[cell] != digit and not page.givens[cell]:
            yield f"{CLASSIC.cell_name(cell)} is not {_a(digit)}: the solution has {_a(solution[cell])} there.", "doubt"
            yield "If that is what was written, it stays as it is.", ""
        return
    judge = Judge(solution, LIMITS["contest"])
    search = Search(judge.position(page))
    review = judge.stroke(page.number + 1, stroke, page, search, Openness(search), None)
    if review.verdict is Verdict.FALSE:
        yield from _false(stroke, solution)
    elif review.verdict is Verdict.WIDE:
        yield from _wide(review)


def _false(stroke: Stroke, solution: tuple[int, ...]) -> Iterator[Line]:
    if stroke.kind is Kind.STRIKE:
        right = [(c, d) for c in stroke.cells for d in stroke.digits if solution[c] == d]
        names = listed([f"the {digit} of {CLASSIC.cell_name(cell)}" for cell, digit in right], "and")
        yield f"{names[:1].upper()}{names[1:]} was right, and is crossed out here.", "doubt"
    else:
        claim = Claim(0, stroke.reading or Reading.CELL, stroke.cells, stroke.digits, stroke.house)
        yield f"This mark is false: it says that {claim.text()}.", "doubt"
        yield f"In the solution, {_where(claim, solution)}.", ""
    yield "If that is what was inked, it stays as it is.", ""


def _where(claim: Claim, solution: tuple[int, ...]) -> str:
    """What is so instead of what a false claim says."""
    if claim.reading is Reading.PLACES and claim.house is not None:
        digit = claim.digits[0]
        cell = next(cell for cell in CLASSIC.house_cells[claim.house] if solution[cell] == digit)
        return f"the {digit} of {CLASSIC.house_name(claim.house)} is in {CLASSIC.cell_name(cell)}"
    held = [f"{CLASSIC.cell_name(cell)} holds {_a(solution[cell])}" for cell in claim.cells]
    return listed(held, "and")


def _wide(review: StrokeReview) -> Iterator[Line]:
    stroke = review.stroke
    yield f"{action_text(stroke)} is wider than it need be.", "doubt"
    digits = [argument for argument in review.instead if argument.goal[0].holds]
    if digits:
        yield _as_near(digits[0]), ""
        return
    gone = {(fact.cell, fact.digit) for argument in review.instead for fact in argument.goal}
    yield f"{_as_near(review.instead[0])[:-1]}{_shorter(stroke, gone)}.", ""


def _as_near(argument: Argument) -> str:
    fact = argument.goal[0]
    name = CLASSIC.cell_name(fact.cell)
    if fact.holds:
        return f"{name} = {fact.digit} was as near: {short_reason(argument)}."
    return f"That {name} is not {_a(fact.digit)} was as near: {short_reason(argument)}."


def _shorter(stroke: Stroke, gone: set[tuple[int, int]]) -> str:
    """The shorter mark, where one mark says it."""
    cells = tuple(c for c in stroke.cells if any((c, d) not in gone for d in stroke.digits))
    digits = tuple(d for d in stroke.digits if any((c, d) not in gone for c in stroke.cells))
    if stroke.reading is Reading.SET or not cells or not digits or (cells, digits) == (stroke.cells, stroke.digits):
        return ""
    names = " ".join(map(CLASSIC.cell_name, cells))
    return f"; {names} : {''.join(map(str, digits))} would have said it"


def _a(digit: int) -> str:
    return f"an {digit}" if digit == 8 else f"a {digit}"
