"""What a sheet's reader could not read, or found at odds with the paper."""

from __future__ import annotations

from dataclasses import dataclass
from operator import attrgetter

from inkstep.ground.errors import InputError, shown

#: how many pieces of damage are listed one by one
MOST_LISTED = 100
_MOST_TEXT = 200


@dataclass(frozen=True, slots=True)
class Damage:
    """One thing wrong in a sheet: the line (counted from 1), its text, what was expected there, and why.

    ``kept``: the line was read into the sheet all the same. The last of a long list stands for all that follow:
    it has no ``expected``, and ``why`` says how many.
    """

    line: int
    text: str
    expected: str
    why: str = ""
    kept: bool = False

    def __str__(self) -> str:
        """The sentence for the user."""
        if not self.expected:
            return self.why
        got = f", got {shown(self.text, 60)}" if self.text else ""
        return f"line {self.line}: expected {self.expected}{got}" + (f"; {self.why}" if self.why else "")


class SheetError(InputError):
    """A sheet that cannot be taken: nothing usable in it, or (reading strictly) its first damage.

    ``damage`` is everything found.
    """

    def __init__(self, first: Damage, damage: tuple[Damage, ...], *, where: str = "") -> None:
        place = f"{where}, line {first.line}" if where else f"line {first.line}"
        got = shown(first.text, 60) if first.text else ""
        super().__init__(first.expected, where=place, got=got, hint=first.why)
        self.damage = damage


class DamageList:
    """Damage while it is found; memory stays small however much there is."""

    def __init__(self) -> None:
        self._found: list[Damage] = []
        self.count = 0

    def add(self, line: int, text: str, expected: str, why: str = "", *, kept: bool = False) -> None:
        """Note one piece of damage."""
        self.count += 1
        self._found.append(Damage(line, text[:_MOST_TEXT], expected, why, kept))
        if len(self._found) >= 20 * MOST_LISTED:
            self._found = self._first(MOST_LISTED)

    def add_error(self, line: int, text: str, error: InputError, *, kept: bool = False) -> None:
        """Note what an error of the grammar says about a line."""
        found = f"found {error.got}" if error.got not in ("", shown(text.strip())) else ""
        why = "; ".join(part for part in (found, error.hint) if part)
        self.add(line, text, error.expected, why, kept=kept)

    def _first(self, most: int) -> list[Damage]:
        return sorted(self._found, key=attrgetter("line"))[:most]

    def listed(self) -> tuple[Damage, ...]:
        """The damage in the order of lines; beyond ``MOST_LISTED`` one last piece says "and N more"."""
        first = self._first(MOST_LISTED)
        more = self.count - len(first)
        if more:
            plural = "places" if more > 1 else "place"
            first.append(Damage(first[-1].line, "", "", f"and {more} more damaged {plural} from there on"))
        return tuple(first)
