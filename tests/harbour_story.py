"""A made-up story for the tests of pictures and page: table 4 of a harbour town's puzzle league, spring round.

The puzzle was generated for this file. The digits come in an order that singles allow where they do; what the words say of
them is invention.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from random import Random
from typing import Any

from inkstep.grid.geometry import CLASSIC
from inkstep.press.drawing import Evidence, difference, drawing_of_page
from inkstep.press.story import Expected, Pause, Run, Scene, Story, StoryStroke, Technique
from inkstep.trace.pages import Page
from inkstep.trace.paper import Paper
from inkstep.trace.strokes import Kind, Place, Reading, Stroke, Where

PUZZLE = "1....82......12.3.5.6...4.......9.5.6..5.1..3...7..6.98..1...9..41......96.8.7..2"
SOLUTION = "139458276478612935526973481284369157697521843315784629852136794741295368963847512"


def cell(name: str) -> int:
    return CLASSIC.cell(name)


def mark(cells: str, digits: str, reading: Reading, **more: Any) -> Stroke:
    chosen = tuple(cell(name) for name in cells.split())
    return Stroke(Kind.MARK, cells=chosen, digits=tuple(int(sign) for sign in digits), reading=reading, **more)


#: marks and notes by the number of digits written before them
MARKS: dict[int, list[Stroke]] = {
    0: [Stroke(Kind.NOTE, digits=(3, 7), place=Place(Where.LEFT, 4))],
    2: [mark("r1c2 r1c3", "9", Reading.PLACES, house=18)],
    5: [mark("r1c4 r1c5", "45", Reading.SET, place=Place(Where.BORDER))],
    7: [mark("r5c5 r6c5", "28", Reading.SET, place=Place(Where.BORDER))],
    9: [mark("r2c1 r2c2", "47", Reading.SET), mark("r7c8 r8c8", "6", Reading.PLACES, house=16)],
    12: [mark("r8c5", "29", Reading.CELL)],
    15: [mark("r7c7 r8c7 r9c7", "357", Reading.SET, place=Place(Where.RIGHT, 26))],
    18: [mark("r3c4 r3c5 r3c6", "379", Reading.SET, place=Place(Where.ABOVE, 19))],
    22: [Stroke(Kind.NOTE, text="look again at the 4s", place=Place(Where.BELOW, 24))],
}


@cache
def strokes() -> tuple[Stroke, ...]:
    """All strokes with their times: marks among the digits, a slip corrected, a mark struck out, one time unknown."""
    clock = Random(7)
    found: list[Stroke] = []
    at_ms = 900
    for count, (where, digit) in enumerate(_order()):
        new = [*MARKS.get(count, ()), Stroke(Kind.DIGIT, cells=(where,), digits=(digit,))]
        if count == 20:
            slip = digit % 9 + 1
            new[-1:] = [replace(new[-1], digits=(slip,)), replace(new[-1], replaces=slip)]
        if count == 24:
            new.insert(0, Stroke(Kind.STRIKE, cells=(cell("r8c5"),), digits=(2, 9)))
        for stroke in new:
            at_ms += clock.choice((500, 700, 900, 1200, 1300, 1900, 2600, 4800))
            found.append(replace(stroke, at_ms=at_ms))
    found[11] = replace(found[11], at_ms=None)
    return tuple(found)


def _order() -> Iterator[tuple[int, int]]:
    digits = [int(sign) if sign != "." else 0 for sign in PUZZLE]
    while 0 in digits:
        where = next((c for c in _spread() if not digits[c] and _is_single(digits, c)), digits.index(0))
        digits[where] = int(SOLUTION[where])
        yield where, digits[where]


def _spread() -> list[int]:
    return Random(3).sample(range(81), 81)


def _is_single(digits: list[int], where: int) -> bool:
    digit = int(SOLUTION[where])
    for house in CLASSIC.houses_of[where]:
        others = [c for c in CLASSIC.house_cells[house] if c != where and not digits[c]]
        if all(_witness(digits, c, digit) is not None for c in others):
            return True
    return False


def _witness(digits: list[int] | tuple[int, ...], where: int, digit: int) -> int | None:
    peers = (c for house in CLASSIC.houses_of[where] for c in CLASSIC.house_cells[house])
    return next((c for c in peers if digits[c] == digit), None)


@cache
def pages() -> tuple[Page, ...]:
    paper = Paper([int(sign) if sign != "." else 0 for sign in PUZZLE])
    found = []
    for stroke in (None, *strokes()):
        if stroke:
            paper.take(stroke)
        found.append(Page(paper.count, paper.givens, tuple(paper.digits), tuple(paper.ink.values())))
    return tuple(found)


def evidence_for(number: int) -> Evidence:
    """What had to be seen for the digit of stroke ``number``: what closes the other places of a house that it settles."""
    stroke, page = strokes()[number - 1], pages()[number - 1]
    where, digit = stroke.cells[0], stroke.digits[0]
    best: Evidence | None = None
    for house in reversed(CLASSIC.houses_of[where]):
        others = [c for c in CLASSIC.house_cells[house] if c != where and not page.digits[c]]
        pairs = [(_witness(page.digits, c, digit), c) for c in others]
        reach = tuple((w, c) for w, c in pairs if w is not None)
        seen = tuple(sorted({w for w, _ in reach}))
        evidence = Evidence(seen, reach, (house,), (where,), written=((where, digit),))
        if len(reach) == len(others):
            return evidence
        best = best or evidence
    return best or Evidence()


def digit_stroke(count: int) -> int:
    """The number of the stroke that wrote the digit number ``count`` (counted from 1)."""
    return [n for n, stroke in enumerate(strokes(), 1) if stroke.kind is Kind.DIGIT][count - 1]


def clock(ms: int | None) -> str:
    return "time unknown" if ms is None else f"{ms // 60000}:{ms // 1000 % 60:02d}.{ms // 100 % 10}"


def label(stroke: Stroke) -> str:
    digits = "".join(map(str, stroke.digits)) or stroke.text
    places = " and ".join(f"row {c // 9 + 1}, column {c % 9 + 1}" for c in stroke.cells)
    verb = {"digit": "", "mark": "marked ", "note": "noted ", "strike": "struck out "}[stroke.kind]
    return f"{verb}{digits}{f' in {places}' if places else ''}"


def story_strokes() -> tuple[StoryStroke, ...]:
    drawn = [drawing_of_page(page).ink for page in pages()]
    found = []
    for n, stroke in enumerate(strokes(), 1):
        add, change = difference(drawn[n - 1], drawn[n])
        found.append(StoryStroke(n, stroke.at_ms, stroke.kind.value, label(stroke), add, change))
    return tuple(found)


def scene(count: int, headline: str, words: tuple[Run, ...], **more: Any) -> Scene:
    number = digit_stroke(count)
    at_ms = strokes()[number - 1].at_ms
    before = strokes()[number - 2].at_ms if number > 1 else 0
    gap = f", {(at_ms - before) / 1000:.1f} s after the last" if at_ms is not None and before is not None else ""
    fields = {"evidence": evidence_for(number), "kicker": f"{clock(at_ms)} · digit {count}{gap}"} | more
    return Scene(f"digit-{count}", number - 1, at_ms, headline=headline, words=words, **fields)


def paused(count: int, question: str, headline: str, answer: tuple[Run, ...], **more: Any) -> Scene:
    number = digit_stroke(count)
    stroke = strokes()[number - 1]
    evidence = evidence_for(number)
    pause = Pause(
        question,
        (
            "Start from the box at the edge of the sheet.",
            f"It is about the {stroke.digits[0]}.",
            "Two digits close every other place.",
        ),
        answer,
        Expected(stroke.cells, stroke.digits[0]),
        3200,
        evidence,
    )
    pause = replace(pause, **more)
    open_evidence = Evidence(houses=evidence.houses)
    return scene(count, headline, (Run("It took one rest of the hand to find."),), evidence=open_evidence, pause=pause)


def rest_before(number: int) -> tuple[int, int]:
    return strokes()[number - 2].at_ms or 0, strokes()[number - 1].at_ms or 0


def story() -> Story:
    """The whole story: eleven scenes, three of them with a pause."""
    plain = (
        Run("Both other places in the box were closed by what was "),
        Run("already printed", "seen"),
        Run(". One look, and it is down."),
    )
    held = (
        Run("The "),
        Run("8s in rows 2 and 8", "seen"),
        Run(" close four places. Between rows 4 and 5 stood an "),
        Run("unwritten pair, 2 and 7", "held"),
        Run(": nobody wrote it, but without it the last place does not "),
        Run("settle", "goal"),
        Run(". The mark below it was "),
        Run("wider than it need be", "doubt"),
        Run("."),
    )
    number = digit_stroke(14)
    with_held = replace(
        evidence_for(number), held=(((cell("r4c3"), cell("r6c3")), (4, 5)),), removed=((cell("r8c5"), 9),), doubt=(3,)
    )
    opening = Scene(
        "opening",
        0,
        None,
        "before the first stroke",
        "The sheet as it was handed out",
        (Run("Twenty-eight printed digits, nothing written. What follows took 1:40.8."),),
    )
    one, three, five = digit_stroke(6), digit_stroke(12), digit_stroke(19)
    return Story(
        "The pair that was never written",
        PUZZLE,
        SOLUTION,
        story_strokes(),
        (
            opening,
            scene(1, "The first digit comes from two looks", plain),
            scene(3, "A third of the box is down", plain, asides=("The 9 of box 2 lay open here too, for 22.6 s.",)),
            paused(6, "Which digit can be settled in this house?", "The place that was left", plain),
            scene(7, "What followed from it", plain),
            scene(
                9,
                "Three digits in two seconds",
                plain,
                asides=("Two marks were never used.", "The 4 could have gone down 3.1 s before."),
            ),
            paused(
                12,
                "Which two cells of row 2 share one digit?",
                "The two places named",
                plain,
                expects=Expected((cell("r2c1"), cell("r2c2")), 7),
                solver_ms=None,
            ),
            scene(14, "The pair that stood there unwritten", held, evidence=with_held),
            paused(19, "Why could the 4 wait?", "It could wait, since nothing else needed it", held, expects=None, hints=()),
            scene(24, "A slip, and its correction", plain),
            scene(40, "The last third writes itself", plain),
        ),
        event="Harbour Town League, spring round",
        solver="table 4",
        total="1:40.8",
        source="made for the tests",
        credit="the league's recorder",
        permission="free to use",
        waits=(*(rest_before(number) for number in (one, three, five)), (52_000, 56_800)),
        techniques=(
            Technique(
                "hidden single",
                "In a house, only one cell is left for a digit: every other place is closed by that digit elsewhere.",
            ),
            Technique(
                "naked pair",
                "Two cells of a house that hold the same two digits, and nothing else; so no other cell of it holds them.",
            ),
        ),
        findings=("One chance left lying for 22.6 s.", "Two marks never used.", "Longest rest 4.8 s."),
    )
