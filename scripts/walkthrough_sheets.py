#!/usr/bin/env python3
"""Makes sheets of three published walkthroughs, so that a lesson can be made of them.

    python scripts/walkthrough_sheets.py FOLDER

The walkthroughs are those of ``tests/data/walkthroughs.jsonl``. People explained them in words, so every stroke has the
time ``-``. A digit becomes a stroke; a step that lists several becomes as many strokes in the order listed. A step in which
the person made a mark becomes that mark. A removal becomes a mark only where a solver on paper would write one: if it says
that some cells of a house hold as many digits as they are. Any other removal is no ink: a comment line above the next stroke
says what was left out.
"""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from inkstep.grid.geometry import CLASSIC, bits
from inkstep.grid.puzzle import Puzzle
from inkstep.grid.reading import read_puzzle
from inkstep.grid.solving import solutions
from inkstep.ground.errors import InputError
from inkstep.trace.forms import reading_of
from inkstep.trace.sheet import Audience, Header, Sheet
from inkstep.trace.strokes import Kind, Reading, Stroke
from inkstep.trace.writing import write_sheet

DATA = Path(__file__).resolve().parents[1] / "tests" / "data" / "walkthroughs.jsonl"
#: the three longest that can be replayed from their first position
CHOSEN = ("dailysudoku-2005-12-13-full", "simetric-times", "enjoysudoku-t4071")

Step = dict[str, Any]
Removal = tuple[int, int]


@dataclass
class Replay:
    """A walkthrough on its way to strokes: the digits so far, and the removals concluded so far."""

    digits: list[int]
    solution: Sequence[int]
    removed: set[Removal] = field(default_factory=set)
    strokes: list[Stroke] = field(default_factory=list)
    #: what was left out since the last stroke, and in all
    above: list[str] = field(default_factory=list)
    left_out: int = 0

    def take(self, step: Step) -> None:
        """Add the strokes of one step; its note becomes the comment of the first."""
        removals = [(CLASSIC.cell(c["cell"]), c["not"]) for c in step["conclude"] if "not" in c]
        strokes = list(self._strokes(step, removals))
        if strokes:
            strokes[0] = replace(strokes[0], before=tuple(self.above), comment=comment_of(step))
            self.above = []
        self.strokes += strokes
        for stroke in strokes:
            if stroke.kind is Kind.DIGIT:
                self._place(stroke, step)

    def _place(self, stroke: Stroke, step: Step) -> None:
        cell, digit = stroke.cells[0], stroke.digits[0]
        if self.solution[cell] != digit:
            name = CLASSIC.cell_name(cell)
            raise InputError(f"{self.solution[cell]} in {name}", where=f"step {step['n']}", got=str(digit))
        self.digits[cell] = digit

    def _strokes(self, step: Step, removals: list[Removal]) -> Iterator[Stroke]:
        if "mark" in step:
            cells = [CLASSIC.cell(name) for name in step["mark"]["cells"]]
            yield mark(cells, [int(digit) for digit in step["mark"]["digits"]], step["house"])
        self.removed |= set(removals)
        if removals:
            found = self._set_mark(removals, [CLASSIC.cell(name) for name in step["because_cells"]])
            if found:
                yield found
            else:
                self._leave_out(step, removals)
        for conclusion in step["conclude"]:
            if "is" in conclusion:
                yield Stroke(Kind.DIGIT, cells=(CLASSIC.cell(conclusion["cell"]),), digits=(conclusion["is"],))

    def _set_mark(self, removals: list[Removal], because: list[int]) -> Stroke | None:
        """The mark that says what removals come from: the cells named, or those that lost digits, hold as many digits."""
        for cells in (because, sorted({cell for cell, _ in removals})):
            digits = sorted({digit for cell in cells for digit in self._candidates(cell)})
            mask = sum(1 << cell for cell in cells)
            if 1 < len(cells) == len(digits) and CLASSIC.shared_houses(mask):
                said = all(cell in cells or digit in digits for cell, digit in removals)
                if said and not any(self.digits[cell] for cell in cells):
                    return mark(cells, digits)
        return None

    def _candidates(self, cell: int) -> list[int]:
        near = {self.digits[peer] for peer in bits(CLASSIC.peers[cell])}
        return [d for d in CLASSIC.digits if d not in near and (cell, d) not in self.removed]

    def _leave_out(self, step: Step, removals: list[Removal]) -> None:
        facts = " ".join(f"{CLASSIC.cell_name(cell)}!={digit}" for cell, digit in removals)
        self.above.append(f"# not ink, step {step['n']}: {facts} ({step['note']})")
        self.left_out += len(removals)


def mark(cells: Sequence[int], digits: Sequence[int], house: str | None = None) -> Stroke:
    """A mark; ``house`` is needed for one digit's places only."""
    reading = reading_of(tuple(cells), tuple(digits))
    where = CLASSIC.house(house) if house and reading is Reading.PLACES else None
    return Stroke(Kind.MARK, cells=tuple(cells), digits=tuple(digits), reading=reading, house=where)


def comment_of(step: Step) -> str:
    """The number of the step in the walkthrough, and what the person said."""
    said = ", ".join(filter(None, [step["technique"], step["house"]]))
    return ": ".join(filter(None, [f"step {step['n']}", said, step["note"]]))


def sheet_of(record: dict[str, Any]) -> Sheet:
    """The sheet of one walkthrough. Its puzzle is the position at which the walkthrough begins.

    Raises:
        InputError: the position has another solution than the one listed, or none, or a step contradicts it.
    """
    givens = read_puzzle(record["givens"]).givens
    solution = tuple(int(digit) for digit in record["solution"])
    if solutions(givens, limit=2) != [solution]:
        problems = "; ".join(problem.text for problem in Puzzle(givens).problems())
        raise InputError("a position with the one solution listed", where=record["id"], got=problems or "another one")
    replay = Replay(list(givens), solution)
    for step in record["steps"]:
        replay.take(step)
    header = Header(
        givens,
        source=record["source"],
        title=f"Walkthrough {record['id']}",
        audience=Audience.CLUB,
        remarks=tuple(("puzzle", line) for line in remarks(record, replay)),
    )
    return Sheet(header, tuple(replay.strokes), tuple(replay.above))


def remarks(record: dict[str, Any], replay: Replay) -> Iterator[str]:
    """What a reader of the sheet has to know of how it was made."""
    yield "# Made from a published walkthrough: the order is the person's, times are not known."
    yield f"# The walkthrough starts from: {record['start']}."
    if not record["complete"]:
        yield "# It ends before the grid is full."
    if any(step.get("order") == "gap" for step in record["steps"]):
        yield "# In the steps that say GAP several digits are listed at once; they stand in the order listed."
    if replay.left_out:
        yield f"# Removals that nobody would ink are left out: {replay.left_out}, named where they were said."


def records(path: Path = DATA) -> dict[str, dict[str, Any]]:
    """The walkthroughs in the file by their names."""
    lines = path.read_text("utf-8").splitlines()
    return {record["id"]: record for record in map(json.loads, lines)}


def main() -> None:
    """Write the sheets into the folder named on the command line."""
    parser = argparse.ArgumentParser(description="Make sheets of three published walkthroughs.")
    parser.add_argument("folder", type=Path, help="where the sheets go; made if it is not there")
    folder = parser.parse_args().folder
    folder.mkdir(parents=True, exist_ok=True)
    found = records()
    for name in CHOSEN:
        path = folder / f"{name}.sheet"
        path.write_text(write_sheet(sheet_of(found[name])), "utf-8")
        print(path)


if __name__ == "__main__":
    main()
