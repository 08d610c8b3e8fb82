"""What an argument points at on the page, as evidence to draw."""

from __future__ import annotations

from collections.abc import Iterator

from inkstep.grid.geometry import CLASSIC
from inkstep.press.drawing import Cells, Digits, Evidence
from inkstep.reasoning.argument import Argument, Step
from inkstep.reasoning.position import Position
from inkstep.reasoning.words.evidence import wing_cells
from inkstep.reasoning.words.outline import kind

#: kinds of steps that speak of a digit's places in a house; the others speak of what their own cells can hold
_OF_PLACES = frozenset({"place", "hidden", "hatch", "locked", "fish"})
#: kinds of steps that only look around: what they rule out is not slashed candidate by candidate
_LOOKING = frozenset({"hatch", "scan"})


def evidence_of(argument: Argument, position: Position) -> Evidence:
    """Everything the argument looked at on the page of ``position`` and holds in mind, and what it settles or removes."""
    last = argument.last
    settled = tuple((fact.cell, fact.digit) for fact in argument.goal if fact.holds)
    removed: tuple[tuple[int, int], ...] = ()
    if not settled and kind(last) not in _LOOKING:
        removed = tuple((f.cell, f.digit) for f in argument.goal if f in last.conclusions)
    return Evidence(
        seen=argument.witnesses,
        read=tuple(sorted({int(name) for name in _names(argument, position) if name.isdigit()})),
        reach=tuple(dict.fromkeys(pair for step in argument.steps for pair in _reach(step))),
        houses=last.frame,
        goal=tuple(cell for cell, _ in settled) or (() if removed else last.cells),
        held=tuple(dict.fromkeys(held for step in argument.steps[:-1] for held in _held(step, position, settled))),
        removed=removed,
        written=settled,
    )


def _names(argument: Argument, position: Position) -> Iterator[str]:
    """The names of the notes that were read; a mark's is the number of its stroke."""
    return (position.notes[note].name for note in argument.notes)


def question_evidence(argument: Argument) -> Evidence:
    """What a question about the argument names, and nothing that would answer it: its house, or its cell."""
    last = argument.last
    if kind(last) in ("last", "place", "hatch"):
        return Evidence(houses=last.frame[:1])
    if kind(last) in ("cell", "stock"):
        return Evidence(goal=last.cells)
    return Evidence()


def _reach(step: Step) -> Iterator[tuple[int, int]]:
    """From each digit that was seen to the cells that it closes; each cell is reached by one digit of a kind."""
    filled = {fact.cell for fact in step.premises if fact.holds}
    if kind(step) in _OF_PLACES:
        targets = [c for c in _outside(step) if c not in filled]
        digit_of = {fact.cell: fact.digit for fact in step.premises if fact.holds}
        reached: set[tuple[int, int]] = set()
        for cell in step.seen:
            for target in targets:
                if CLASSIC.peers[cell] >> target & 1 and (target, digit_of.get(cell, 0)) not in reached:
                    reached.add((target, digit_of.get(cell, 0)))
                    yield cell, target
        return
    for cell in step.seen:
        yield from ((cell, target) for target in step.cells if CLASSIC.peers[cell] >> target & 1)


def _outside(step: Step) -> Iterator[int]:
    """The cells of the step's own houses that lie outside its pattern."""
    half = len(step.frame) // 2
    own = step.frame[:half] if kind(step) == "fish" else step.frame[:1]
    cover = step.frame[half:] if kind(step) == "fish" else step.frame[1:] if kind(step) == "locked" else ()
    for house in own:
        for cell in CLASSIC.house_cells[house]:
            if cell not in step.cells and not set(CLASSIC.houses_of[cell]) & set(cover):
                yield cell


def _held(step: Step, position: Position, settled: tuple[tuple[int, int], ...]) -> Iterator[tuple[Cells, Digits]]:
    """What an inner step keeps in mind: cells and the digits they hold between them; of a wing each cell has its own."""
    if kind(step) != "wing":
        yield tuple(sorted(step.cells)), tuple(sorted(set(step.digits)))
        return
    written = {cell for cell, _ in settled}
    for cell, keeps in sorted(wing_cells(step, position).items()):
        if cell not in written:
            yield (cell,), keeps
