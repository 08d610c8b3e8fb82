"""An argument: an ordered chain of steps from what stands on a page to the facts of a goal."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from inkstep.grid.geometry import CLASSIC, Geometry
from inkstep.reasoning.facts import Fact


@dataclass(frozen=True, slots=True)
class Step:
    """One application of a technique.

    ``frame`` are the houses of its own; ``houses`` all those whose rule it uses, the frame first, then the ones it looks
    along. ``premises`` are digits
    on the page, removals that marks assert, or conclusions of earlier steps. ``seen`` are the page cells that had to
    be looked at one by one, ``stock`` the houses taken stock of at one look each, ``notes`` the marks read
    (indices into the position's notes), ``uses`` the earlier steps leant on (indices into the argument's steps).
    ``held`` is the part of the conclusions that somebody must keep in mind, since a later step leans on it.
    """

    technique: str
    manner: str
    frame: tuple[int, ...]
    houses: tuple[int, ...]
    cells: tuple[int, ...]
    digits: tuple[int, ...]
    premises: tuple[Fact, ...]
    conclusions: tuple[Fact, ...]
    held: tuple[Fact, ...] = ()
    seen: tuple[int, ...] = ()
    stock: tuple[int, ...] = ()
    notes: tuple[int, ...] = ()
    uses: tuple[int, ...] = ()

    @property
    def house(self) -> int | None:
        """The step's own house, where its technique has one."""
        return self.frame[0] if self.frame else None

    def to_json(self, geometry: Geometry = CLASSIC) -> dict[str, Any]:
        """The step as plain data: cells ``r4c7``, houses ``row 4``, facts in the notation of goals."""
        return {
            "technique": self.technique,
            "houses": [geometry.house_name(h) for h in self.houses],
            "cells": [geometry.cell_name(c) for c in self.cells],
            "digits": list(self.digits),
            "premises": [f.text(geometry) for f in self.premises],
            "conclusions": [f.text(geometry) for f in self.conclusions],
            "held": [f.text(geometry) for f in self.held],
        }


@dataclass(frozen=True, slots=True)
class Argument:
    """Why ``goal`` follows: the steps in order, the last one concluding it; ``effort`` in looks."""

    goal: tuple[Fact, ...]
    steps: tuple[Step, ...]
    effort: float
    geometry: Geometry = CLASSIC

    @property
    def last(self) -> Step:
        """The step that concludes the goal."""
        return self.steps[-1]

    @property
    def witnesses(self) -> tuple[int, ...]:
        """The page cells that had to be looked at one by one, over all steps, in cell order."""
        return tuple(sorted({cell for step in self.steps for cell in step.seen}))

    @property
    def held(self) -> tuple[Fact, ...]:
        """Conclusions of inner steps that nobody wrote down."""
        return tuple(fact for step in self.steps for fact in step.held)

    @property
    def notes(self) -> tuple[int, ...]:
        """Indices of the position's notes that were read."""
        return tuple(sorted({note for step in self.steps for note in step.notes}))

    def to_json_steps(self) -> list[dict[str, Any]]:
        """The steps as plain data."""
        return [step.to_json(self.geometry) for step in self.steps]
