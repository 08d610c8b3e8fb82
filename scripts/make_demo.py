#!/usr/bin/env python3
"""Makes the demo: a puzzle of our own, and the sheet of a fast solve of it on paper, played by ``paper_solver``.

    python scripts/make_demo.py [FILE]

Without FILE the sheet goes to standard output. The same program always writes the same sheet: chance is seeded. ``PUZZLE``
and ``TASTE`` were found by trying: of seven thousand puzzles those that need a hidden pair or something harder, with up to
two dozen tastes each, until one solve held all that ``tests/test_demo.py`` asks of the demo. League, event and solver are
invented; the comments are written by hand.
"""

from __future__ import annotations

import argparse
from dataclasses import replace
from pathlib import Path
from random import Random

from paper_habits import timed, with_notes, without_idle_marks, written_once, written_over
from paper_solver import PaperSolver

from inkstep.grid.geometry import CLASSIC
from inkstep.grid.solving import count_solutions, solutions
from inkstep.trace.grammar import action_text
from inkstep.trace.sheet import Audience, Header, Sheet
from inkstep.trace.strokes import Stroke
from inkstep.trace.writing import write_sheet

#: what seeds the puzzle, and the solver's habits
PUZZLE, TASTE = 2095, 12
#: givens at which no more are taken away
FEWEST = 25
#: strokes that are no digits, without the two notes
MARKS = 53

#: lines above the header
REMARKS = (
    "# The demo of Inkstep: puzzle and solve are its own, made by scripts/make_demo.py.",
    "# The league, the solver and the recording are invented.",
)
#: the presenter's comments, by the stroke they stand beside
COMMENTS = {
    "r6c4 r6c6 : 5 in box 5": "the habit of table 4: two places in a box, marked small in both cells",
    "note 7 left of row 1": "a 7 in the margin, to come back to: the 7 of row 1 has two places left",
    "r1c4 r2c5 r3c4 : 6 in box 2": "three places, for once",
    "r2c1 = 1": "a long rest: 3 and 7 of box 1 can only go in r1c1 and r1c2, and nothing on the paper says so",
    "r2c2 = 6": "the same pair again, still not written",
    "r7c1 r9c1 : 6 in box 7": "the 6 printed in row 9 is overlooked: r9c1 was closed already",
    "r5c5 : 68": "the hand covers the cell, so the time is not known",
    "r1c1 r1c2 : 37 above box 1": "only now is the pair put down, above the box: both cells bear marks already",
    "strike r9c1 : 6 in box 7": "seen at last",
    "r8c1 r9c1 : 39 across the border": "one pair, written once; it clears the box and the whole of column 1",
    "note 489 right of row 2": "what row 2 still lacks",
    "r2c6 = 8": "5 and 9 fill r6c4 and r6c6, so r6c6 is no 8 and column 6 has one place left for it",
    "r8c4 = 5": "a slip: this 5 belongs in r8c7",
    "r8c4 = 4 replaces 5": "noticed two marks later, crossed out and put right",
    "r4c4 = 2": "every other digit of this cell is spoken for by a mark or a digit",
    "r3c9 = 6 over": "three cells of two digits each; whichever way round, the 6 of box 3 goes here",
    "r5c5 = 6 over": "pen down",
}
#: what stands above a stroke
ABOVE = {
    "r5c1 = 5": ("# One digit after another, box by box",),
    "r4c2 r4c3 : 4 in box 4": ("", "# Back to what the new digits have changed"),
    "note 489 right of row 2": ("", "# Nothing is open: cells with two digits left, and lines"),
    "r3c8 = 3": ("", "# From here on each digit gives the next"),
}


def new_puzzle(seed: int) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """A puzzle with one solution and its solution: a full grid, less pairs of cells that lie opposite each other."""
    chance = Random(seed)
    solution = _full_grid(chance)
    givens = list(solution)
    cells = list(range(CLASSIC.cells // 2 + 1))
    chance.shuffle(cells)
    for cell in cells:
        fewer = list(givens)
        fewer[cell] = fewer[CLASSIC.cells - 1 - cell] = 0
        if sum(map(bool, givens)) > FEWEST and count_solutions(fewer, 2) == 1:
            givens = fewer
    return tuple(givens), solution


def _full_grid(chance: Random) -> tuple[int, ...]:
    """A full grid: three boxes at random, and one of the first ways to fill the rest."""
    grid = [0] * CLASSIC.cells
    for box in (0, 4, 8):
        digits = list(CLASSIC.digits)
        chance.shuffle(digits)
        for cell, digit in zip(CLASSIC.house_cells[CLASSIC.boxes[box]], digits, strict=True):
            grid[cell] = digit
    return chance.choice(solutions(grid, limit=40))


def header(givens: tuple[int, ...]) -> Header:
    """The header of the demo."""
    return Header(
        givens,
        source="Harbour Town Puzzle League, spring round, puzzle 4",
        title="Spring round, puzzle 4: table 4 on paper",
        event="Harbour Town Puzzle League, spring round",
        date="2025-04-12",
        solver="table 4",
        recording="league camera 2, file HT-spring-04",
        clock_start_ms=41_360,
        permission="given by table 4 and by the league, for lessons and for publication",
        credit="Harbour Town Puzzle League; solve by table 4",
        audience=Audience.CLUB,
        language="en",
        remarks=tuple(("puzzle", line) for line in REMARKS),
    )


def demo() -> Sheet:
    """The whole sheet."""
    givens, solution = new_puzzle(PUZZLE)
    taste = Random(TASTE)
    strokes = PaperSolver(givens, solution, taste).solve()
    strokes = without_idle_marks(givens, strokes, MARKS)
    strokes = with_notes(givens, written_over(givens, written_once(givens, strokes)))
    return Sheet(header(givens), tuple(map(commented, timed(givens, strokes, taste))))


def commented(stroke: Stroke) -> Stroke:
    """The stroke with what the presenter says of it."""
    action = action_text(stroke)
    return replace(stroke, comment=COMMENTS.get(action, ""), before=ABOVE.get(action, ()))


def main() -> None:
    """Write the sheet where the command line says."""
    parser = argparse.ArgumentParser(description="Make the demo sheet.")
    parser.add_argument("file", type=Path, nargs="?", help="the sheet to write; standard output without one")
    file = parser.parse_args().file
    text = write_sheet(demo())
    if file:
        file.write_text(text, "utf-8")
    else:
        print(text, end="")


if __name__ == "__main__":
    main()
