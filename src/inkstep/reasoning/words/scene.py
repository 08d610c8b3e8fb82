"""One step before the teacher's eyes: who closes what, said as subjects of a clause."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

from inkstep.reasoning.argument import Argument, Step
from inkstep.reasoning.position import Position
from inkstep.reasoning.words.evidence import LOCKED, Evidence, Look, evidence
from inkstep.reasoning.words.naming import Tongue, digits, listed
from inkstep.reasoning.words.notes import noted
from inkstep.reasoning.words.runs import bare, goal, held, longest, seen, words
from inkstep.reasoning.words.subject import Subject, together

#: a list of what closes something is drawn together beyond this many words
LONG = 27
#: a sentence with more words is avoided: nobody follows it by ear
MOST = 43
#: more digits than this are not named one by one when witnesses are drawn together
_DIGITS = 5
#: first words before which "now" or "then" reads well
_LED = frozenset(("the", "look", "take", "try", "lay", "ask", "what", "since", "row", "column", "box"))


@dataclass(frozen=True, slots=True)
class Words:
    """What one step says, nothing of it with a capital or a stop.

    ``reason`` is a clause that does not name what follows. ``told`` are whole texts of one or two sentences for the
    step that ends an argument, ``kept`` the same for a step that is held in mind.
    """

    reason: str
    told: tuple[str, ...]
    kept: tuple[str, ...]


@dataclass(frozen=True)
class Scene:
    """One step of an argument, with what is needed to put it into words; ``claim`` is the conclusion where it is given."""

    argument: Argument
    index: int
    position: Position
    tongue: Tongue
    variety: int
    claim: str = ""

    @property
    def step(self) -> Step:
        """The step itself."""
        return self.argument.steps[self.index]

    @property
    def is_last(self) -> bool:
        """Whether the step ends the argument."""
        return self.index == len(self.argument.steps) - 1

    @cached_property
    def evidence(self) -> Evidence:
        """What the step had to close."""
        return evidence(self.argument, self.index, self.position)

    @property
    def house(self) -> str:
        """The step's own house: "column 7"."""
        return self.tongue.house(self.step.frame[0])

    @property
    def digit(self) -> int:
        """The digit a single settles."""
        return self.step.digits[0]

    @property
    def at(self) -> str:
        """Where a single goes: "row 5, column 7"."""
        return goal(self.tongue.at(self.step.cells[0])) if self.is_last else self.tongue.at(self.step.cells[0])

    @property
    def the_cell(self) -> str:
        """The cell of a single as a subject."""
        name = self.tongue.the_cell(self.step.cells[0])
        return goal(name) if self.is_last else name

    def led(self, text: str) -> str:
        """``text`` with a word that joins it to the step before, where it can bear one."""
        lead = ("", "now ", "", "then ")[(self.variety + self.index) % 4] if self.index else ""
        first = bare(text).split(" ", 1)[0]
        if first == "since":
            lead = "and " if self.index else ""
        return lead + text if first in _LED else text

    def pick(self, options: Sequence[str]) -> str:
        """One of ``options``: the next number of ``variety`` takes the next, and so does the next step.

        A form with a sentence that is too long here makes way for the one after it; where all are, the shortest serves.
        """
        start = (self.variety + self.index) % len(options)
        turned = (*options[start:], *options[:start])
        return next((text for text in turned if longest(text) <= MOST), min(turned, key=longest))

    # -- who closes it -------------------------------------------------------------------------------------------

    @cached_property
    def by_digit(self) -> Subject | None:
        """The witnesses gathered by digit: "the 8s in rows 2 and 8"."""
        by_digit: dict[int, list[Look]] = {}
        for look in self.evidence.looks:
            by_digit.setdefault(look.digit, []).append(look)
        same: dict[tuple[str, bool], list[int]] = {}
        for digit in sorted(by_digit):
            where = self._where(by_digit[digit]), len(by_digit[digit]) > 1
            same.setdefault(where, []).append(digit)
        return self._gathered([f"the {_named(ds, many)} {where}" for (where, many), ds in same.items()])

    @cached_property
    def by_house(self) -> Subject | None:
        """The witnesses gathered by house: "the 1, 4 and 7 in row 3 and the 5s in columns 2 and 6"."""
        by_place: dict[int, list[Look]] = {}
        for look in self.evidence.looks:
            by_place.setdefault(100 + look.cell if look.house is None else look.house, []).append(look)
        same: dict[tuple[int, ...], list[Look]] = {}
        for place in sorted(by_place):
            shown = tuple(sorted({look.digit for look in by_place[place]}))
            same.setdefault(shown, []).append(by_place[place][0])
        return self._gathered([f"the {_named(ds, len(ls) > 1)} {self._where(ls)}" for ds, ls in same.items()])

    def _gathered(self, parts: Sequence[str]) -> Subject | None:
        if not parts:
            return None
        beside = words(self.others.text) if self.others else 0
        if words(" ".join(parts)) + beside > LONG:
            parts = [self._drawn_together()]
        return Subject(tuple(map(seen, parts)), len(self.evidence.looks) > 1)

    def _drawn_together(self) -> str:
        """All witnesses by the houses they stand in, their digits named where they are few."""
        looks = self.evidence.looks
        values = sorted({look.digit for look in looks})
        name = _named(values, len(looks) > len(values)) if len(values) <= _DIGITS else "digits"
        masks = self.position.geometry.house_masks
        houses = {k.house for k in looks if k.house is not None}
        for look in looks:
            if look.house is None:
                houses |= {h for h in self.step.houses if masks[h] >> look.cell & 1}
        return f"the {name} in {self.tongue.houses(houses)}"

    def _where(self, looks: Iterable[Look]) -> str:
        """The houses by which digits look; a digit that needs two houses is said by its cell."""
        looks = list(looks)
        houses = [k.house for k in looks if k.house is not None]
        cells = [k.cell for k in looks if k.house is None]
        parts = [f"in {self.tongue.houses(houses)}"] if houses else []
        if cells:
            parts.append(f"at {self.tongue.spots(cells)}")
        return listed(parts)

    @cached_property
    def others(self) -> Subject | None:
        """Nearly full houses, marks and earlier steps."""
        notes = [self.position.notes[i] for i in self.step.notes]
        marks = noted(notes, self.step.cells, self.tongue)
        return together([self._stock(), *marks, *(self.reference(use) for use in self.step.uses)])

    def everything(self, looks: Subject | None) -> Subject:
        """All that closes something, ``looks`` first; without any evidence it is what anybody sees."""
        return together([looks, self.others]) or Subject(("what is filled already",))

    def _stock(self) -> Subject | None:
        """Houses read at one look; a house of the step's own says itself what it lacks."""
        houses = [h for h in self.step.stock if self.step.manner != "stock" or h not in self.step.frame]
        if not houses:
            return None
        return Subject((seen(f"the nearly full {self.tongue.houses(houses)}"),), len(houses) > 1)

    def reference(self, use: int) -> Subject:
        """An earlier step as what closes a cell: "that pair", or by name where other steps came between."""
        step = self.argument.steps[use]
        near = use == self.index - 1
        digit = step.digits[0]
        if step.conclusions[0].holds:
            return Subject((held(f"that {digit}" if near else f"the {digit} held at {self.tongue.spot(step.cells[0])}"),))
        if step.technique in LOCKED:
            return Subject((held(f"that {digit}" if near else f"the {digit} kept to {self.tongue.house(step.frame[1])}"),))
        noun = step.technique.split()[-1]
        if noun in ("pair", "triple", "quad"):
            return Subject((held(f"that {noun}" if near else f"the {noun} of {digits(step.digits)}"),))
        name = noun.removeprefix("xy-").replace("x-wing", "X-wing")
        return Subject((held(f"that {name}" if near else f"the {name} on the {digit}s"),))


def _named(values: Sequence[int], many: bool) -> str:
    return listed(f"{value}s" if many else str(value) for value in values)
