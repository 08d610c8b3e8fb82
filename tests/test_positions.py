"""Positions at which a player asked for the next step: what an experienced player's answer concludes is reached.

Data: players' public forum threads, named in each line of `data/positions.jsonl`.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from inkstep.grid.geometry import CLASSIC
from inkstep.reasoning.argument import Argument
from inkstep.reasoning.facts import Fact, is_digit, is_not
from inkstep.reasoning.goals import Goal, digit_goal, removal_goal
from inkstep.reasoning.lightest import lightest
from inkstep.reasoning.position import Position
from inkstep.reasoning.proof import prove
from inkstep.reasoning.techniques import CATALOGUE
from puzzle_data import grid, records

#: looks; far beyond any audience, since the question is whether the conclusion is reached at all
LIMIT = 60.0
#: how the data writes names of the catalogue
SPELT = {
    "locked candidates pointing": "locked candidates (pointing)",
    "locked candidates claiming": "locked candidates (claiming)",
}
NAMES = frozenset(technique.name for technique in CATALOGUE)


@dataclass
class Page:
    """What stands on a posted page, growing as the answer's conclusions are taken as known."""

    digits: list[int]
    known: set[Fact] = field(default_factory=set)

    @classmethod
    def posted(cls, record: dict[str, Any]) -> Page:
        """The digits posted and the candidates left; a cell with one candidate counts as a digit."""
        page = cls(list(grid(record["digits"] or record["givens"])))
        for cell, left in enumerate(record["candidates"] or ()):
            if len(left) == 1:
                page.digits[cell] = int(left)
            page.known.update(is_not(cell, d) for d in CLASSIC.digits if str(d) not in left)
        return page

    def without(self, fact: Fact) -> Position:
        """The position, less ``fact`` where an earlier answer gave it already: answers may be alternatives."""
        return Position.of(self.digits, known=[f for f in self.known if not self.digits[f.cell] and f != fact])

    def learn(self, fact: Fact) -> None:
        if fact.holds:
            self.digits[fact.cell] = fact.digit
        else:
            self.known.add(fact)


@dataclass(frozen=True)
class Reached:
    """One conclusion of an answer, the position it was drawn from, and the lightest argument there (None: none)."""

    where: str
    technique: str
    position: Position
    argument: Argument | None


def _fact(conclusion: dict[str, Any]) -> Fact:
    cell = CLASSIC.cell(conclusion["cell"])
    return is_digit(cell, conclusion["is"]) if "is" in conclusion else is_not(cell, conclusion["not"])


def _goal(fact: Fact) -> Goal:
    return digit_goal(fact.cell, fact.digit) if fact.holds else removal_goal(fact)


def conclusions() -> list[Reached]:
    """Every conclusion of an answer of the catalogue, drawn from the page as it stood after the answers before it."""
    drawn = []
    for record in records("positions.jsonl"):
        page = Page.posted(record)
        for answer in record["answer"]:
            technique = SPELT.get(answer["technique"], answer["technique"])
            for fact in map(_fact, answer["concludes"]):
                if technique in NAMES:
                    position = page.without(fact)
                    arguments = lightest(position, _goal(fact), most=1, limit=LIMIT)
                    where = f"{record['id']}: {technique}, {fact}"
                    drawn.append(Reached(where, technique, position, arguments[0] if arguments else None))
                page.learn(fact)
    return drawn


def test_what_experienced_players_concluded_is_reached_and_proved() -> None:
    drawn = conclusions()
    missed = [d.where for d in drawn if d.argument is None]
    unproved = [d.where for d in drawn if d.argument and not prove(d.argument, d.position)]
    theirs = sum(1 for d in drawn if d.argument and d.technique in {s.technique for s in d.argument.steps})
    print(f"{len(drawn)} conclusions, {len(missed)} missed; the same technique is a step of ours in {theirs}")
    for d in drawn:
        if d.argument:
            print(f"  {d.where}: {d.argument.effort:g} looks, {', '.join(s.technique for s in d.argument.steps)}")
    assert len(drawn) >= 40
    assert not missed
    assert not unproved


def test_the_posted_candidates_are_what_some_conclusions_rest_on() -> None:
    """Without the candidates the players had left, fewer conclusions are in reach: the data is not read in vain."""
    record = next(r for r in records("positions.jsonl") if r["id"] == "xywing-467-after-wwing")
    fact = _fact(record["answer"][0]["concludes"][0])
    with_marks = lightest(Page.posted(record).without(fact), _goal(fact), most=1, limit=LIMIT)
    bare = Page.posted(record | {"candidates": None})
    without = lightest(bare.without(fact), _goal(fact), most=1, limit=LIMIT)
    assert with_marks
    assert not without or without[0].effort > with_marks[0].effort
