"""What an argument costs a person, in looks. One table holds all weights.

The unit is one look at one digit on the page. The weights are ours, chosen so that the reasons people gave in published
walkthroughs come first or nearly first (``tests/test_walkthroughs.py`` measures it); they claim no more than that.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from types import MappingProxyType


def _techniques() -> MappingProxyType[str, float]:
    return MappingProxyType(
        {
            "last digit in a house": 1.0,
            "hidden single in a box": 1.0,
            "hidden single in a line": 2.2,
            "naked single": 3.0,
            "taking stock": 1.2,
            "scanning": 0.6,
            "cross-hatching": 0.8,
            "locked candidates (pointing)": 1.6,
            "locked candidates (claiming)": 2.4,
            "naked pair": 2.6,
            "hidden pair": 3.2,
            "naked triple": 5.0,
            "hidden triple": 6.5,
            "naked quad": 8.0,
            "hidden quad": 10.0,
            "x-wing": 5.0,
            "swordfish": 9.0,
            "xy-wing": 6.0,
        }
    )


@dataclass(frozen=True)
class Effort:
    """Weights in looks.

    ``fresh`` are looks at the digits written last, newest first. ``near`` is saved where the step's own house holds
    the newest of them, since the eyes are there. ``stock[n]`` is one look at a house that still lacks ``n`` digits.
    """

    version: int = 1
    look: float = 1.0
    fresh: tuple[float, ...] = (0.5, 0.7, 0.85)
    near: float = 0.4
    note: float = 0.4
    stock: tuple[float, ...] = (0.0, 0.6, 1.0, 1.8, 2.8)
    held_fact: float = 1.6
    held_digit: float = 2.4
    techniques: MappingProxyType[str, float] = field(default_factory=_techniques)

    def technique(self, name: str) -> float:
        """The cost of one step of the technique called ``name``."""
        return self.techniques[name]


STANDARD = Effort()

#: how many looks an argument may take before the named audience no longer follows it; common practice, by ear
LIMITS = MappingProxyType({"newcomer": 14.0, "club": 22.0, "contest": 32.0})
