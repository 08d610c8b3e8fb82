"""What can be done to a log, and the log itself."""

from __future__ import annotations

from dataclasses import dataclass, field

from inkstep.ground.errors import InkstepError, InputError
from inkstep.trace.sheet import Sheet
from inkstep.trace.strokes import Stroke


@dataclass(frozen=True)
class Log:
    """A solve as it stands in the archive.

    ``ids`` name the strokes of ``sheet`` in order, and stay theirs whatever happens around them; ``texts`` are their lines
    (what an edit calls ``was``). ``revision`` grows with every edit. ``undo`` and ``redo`` say what would be undone or done
    again, empty where nothing would.
    """

    key: str
    revision: int
    sheet: Sheet
    ids: tuple[int, ...]
    undo: str = ""
    redo: str = ""
    texts: tuple[str, ...] = field(default=(), repr=False)

    def number(self, stroke: int) -> int:
        """Which stroke of the sheet, counted from 1, the id names.

        Raises:
            InputError: none; it was taken out meanwhile.
        """
        try:
            return self.ids.index(stroke) + 1
        except ValueError:
            raise InputError("a stroke that is in the log", got="one that was taken out meanwhile") from None


class ClashError(InkstepError):
    """What an edit would change was changed meanwhile: ``theirs`` stands now (empty: taken out), ``ours`` was to be."""

    def __init__(self, was: str, theirs: str, ours: str) -> None:
        super().__init__(
            f"to change {was!r}",
            got=f"{theirs!r}, as changed meanwhile" if theirs else "nothing: it was taken out meanwhile",
            hint="nothing was changed; look at both and choose",
        )
        self.was, self.theirs, self.ours = was, theirs, ours


@dataclass(frozen=True)
class Insert:
    """New strokes, before the stroke named ``before``, or at the end."""

    strokes: tuple[Stroke, ...]
    before: int | None = None


@dataclass(frozen=True)
class Rewrite:
    """Strokes changed: of each its id, its text as the editor saw it, and what it is to be.

    A new stroke without lines above it keeps those of the old.
    """

    changes: tuple[tuple[int, str, Stroke], ...]


@dataclass(frozen=True)
class TakeOut:
    """Strokes taken out of the log: of each its id, and its text as the editor saw it."""

    strokes: tuple[tuple[int, str], ...]


@dataclass(frozen=True)
class Move:
    """A stroke put before another, or at the end."""

    stroke: int
    was: str
    before: int | None = None


@dataclass(frozen=True)
class Whole:
    """The whole sheet changed at once (its times shifted, its header edited, a merge), as it stood at ``revision``."""

    sheet: Sheet
    revision: int
    what: str = "the whole sheet"


Edit = Insert | Rewrite | TakeOut | Move | Whole
