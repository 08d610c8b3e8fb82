"""The catalogue of techniques, lightest first. A new technique is one file and one line here."""

from __future__ import annotations

from inkstep.reasoning.techniques import fish, locked, singles, subsets, wings
from inkstep.reasoning.techniques.base import Technique

#: what settles a digit
SETTLING: tuple[Technique, ...] = (
    singles.LastDigit(),
    singles.HiddenSingle(),
    singles.TakingStock(),
    singles.NakedSingle(),
)
#: what removes candidates
REMOVING: tuple[Technique, ...] = (
    locked.Pointing(),
    locked.Claiming(),
    subsets.NAKED_PAIR,
    subsets.HIDDEN_PAIR,
    subsets.NAKED_TRIPLE,
    subsets.HIDDEN_TRIPLE,
    fish.X_WING,
    wings.XYWing(),
    subsets.NAKED_QUAD,
    subsets.HIDDEN_QUAD,
    fish.SWORDFISH,
)
CATALOGUE = SETTLING + REMOVING

#: looking along a house for a digit, or around a cell: the act below every technique
SCANNING = "scanning"
CROSS_HATCHING = "cross-hatching"

_RANKS = {name: i for i, name in enumerate((SCANNING, CROSS_HATCHING, *(t.name for t in CATALOGUE)))}


def rank(name: str) -> int:
    """The place of a technique in the catalogue, lightest first: for naming the hardest of several."""
    return _RANKS[name]
