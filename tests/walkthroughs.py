"""Reading `data/walkthroughs.jsonl` (people's published reasons) and setting our arguments beside them."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from inkstep.grid.geometry import CLASSIC
from inkstep.reasoning.argument import Argument
from inkstep.reasoning.effort import STANDARD, Effort
from inkstep.reasoning.facts import Fact, is_digit, is_not
from inkstep.reasoning.goals import Goal, digit_goal, places_goal, removal_goal, set_goal
from inkstep.reasoning.lightest import lightest
from inkstep.reasoning.position import Note, Position
from inkstep.reasoning.search import Search

DATA = Path(__file__).parent / "data" / "walkthroughs.jsonl"

#: other words people used for techniques of the catalogue
SAME = {"pair exclusion (hidden pair)": "hidden pair", "triplet": "naked triple"}


@dataclass(frozen=True)
class NamedStep:
    """One step for which a person named a house or a technique, with the position it was said of."""

    where: str
    position: Position
    goal: Goal
    house: int | None
    technique: str | None

    def matches(self, argument: Argument) -> bool:
        """Whether the argument's last step is in the person's house, or of their technique where no house is named.

        A step with a technique and a house matches by either: people name the one that matters to them.
        """
        last = argument.last
        if self.technique and last.technique == self.technique:
            return True
        return self.house is not None and self.house in last.frame


def named_steps(path: Path = DATA) -> Iterator[NamedStep]:
    """Every step with a named house or technique and a readable order, positions replayed from the givens."""
    for line in path.read_text().splitlines():
        yield from _of_record(json.loads(line))


def _of_record(record: dict[str, Any]) -> Iterator[NamedStep]:
    digits = [int(c) if c.isdigit() else 0 for c in record["givens"]]
    removed: set[Fact] = set()
    notes: list[Note] = []
    fresh: list[int] = []
    for step in record["steps"]:
        facts = [_fact(c) for c in step["conclude"]]
        house = CLASSIC.house(step["house"]) if step["house"] and step["house"][-1].isdigit() else None
        technique = SAME.get(step["technique"], step["technique"])
        named = (house is not None or technique) and step.get("order") != "gap"
        position = Position(tuple(digits), Position.of(digits, known=removed).notes + tuple(notes), tuple(fresh[:3]))
        where = f"{record['id']} step {step['n']}"
        if named:
            for goal in _goals(facts, step.get("mark"), house):
                yield NamedStep(where, position, goal, house, technique)
        for fact in facts:
            if fact.holds:
                digits[fact.cell] = fact.digit
                fresh.insert(0, fact.cell)
            else:
                removed.add(fact)
        if "mark" in step and house is not None:
            mark = _mark_goal(step["mark"], house)
            notes.append(Note(where, mark.cells, mark.facts))
        if step.get("order") == "gap":
            fresh.clear()


def _fact(conclusion: dict[str, Any]) -> Fact:
    cell = CLASSIC.cell(conclusion["cell"])
    return is_digit(cell, conclusion["is"]) if "is" in conclusion else is_not(cell, conclusion["not"])


def _goals(facts: list[Fact], mark: dict[str, Any] | None, house: int | None) -> Iterator[Goal]:
    yield from (digit_goal(f.cell, f.digit) for f in facts if f.holds)
    removals = [f for f in facts if not f.holds]
    if removals:
        yield removal_goal(*removals)
    if mark and house is not None:
        yield _mark_goal(mark, house)


def _mark_goal(mark: dict[str, Any], house: int) -> Goal:
    cells = tuple(CLASSIC.cell(c) for c in mark["cells"])
    digits = tuple(int(d) for d in mark["digits"])
    return places_goal(digits[0], cells, house) if len(digits) == 1 else set_goal(cells, digits)


@dataclass(frozen=True)
class Agreement:
    """How often people's reasons came first, and among the first three."""

    steps: int
    first: int
    among: int
    misses: tuple[str, ...]


def agreement(effort: Effort = STANDARD, path: Path = DATA) -> Agreement:
    """Our three lightest arguments against every named step."""
    steps = first = among = 0
    misses = []
    for step in named_steps(path):
        arguments = lightest(Search(step.position, effort), step.goal, most=3)
        hits = [step.matches(a) for a in arguments]
        steps += 1
        first += bool(hits and hits[0])
        among += any(hits)
        if not hits or not hits[0]:
            ours = "; ".join(_said_briefly(a) for a in arguments)
            said = CLASSIC.house_name(step.house) if step.house is not None else step.technique
            mark = "" if any(hits) else "MISS "
            misses.append(f"{mark}{step.where} {step.goal.text()[:40]}: said {said}; ours {ours or 'none'}")
    return Agreement(steps, first, among, tuple(misses))


def _said_briefly(argument: Argument) -> str:
    house = " ".join(map(CLASSIC.house_name, argument.last.frame[:1]))
    held = f" +{len(argument.steps) - 1}" if len(argument.steps) > 1 else ""
    return f"{argument.effort:g} {argument.last.technique} {house}{held}"
