"""What a review finds: a verdict a stroke, and what there is to say of the whole solve."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from inkstep.reasoning.argument import Argument
from inkstep.reasoning.goals import Goal
from inkstep.reasoning.position import Position
from inkstep.reasoning.techniques import rank
from inkstep.trace.claims import Claim
from inkstep.trace.pages import Page
from inkstep.trace.sheet import Sheet
from inkstep.trace.strokes import Stroke


class Verdict(StrEnum):
    """How a stroke stands to the page before it."""

    FOLLOWS = "follows"  #: an argument within the effort limit leads to it
    WIDE = "wider than it need be"  #: a true mark, but a stronger claim was as near
    UNSEEN = "does not follow from what was seen"  #: true, but no argument within the effort limit
    FALSE = "false"  #: contradicts the solution
    CORRECTION = "correction"  #: puts a slip right
    NOTE = "note"  #: claims nothing by itself


@dataclass(frozen=True, slots=True)
class StrokeReview:
    """One stroke judged.

    ``position`` is what reasoning saw of the page before it (slips and false marks left out). ``instead`` are arguments for
    what could have been written in place of a wide mark. ``wait_ms`` is the time since the stroke before, ``open`` how many
    other digits lay open within the review's chance limit, ``lightest_open`` the lightest of them; ``rank`` says which of
    the open digits was written, 1 for the lightest (None: none of them). ``marks_used`` are stroke numbers. ``readings`` are
    offers of what a note may stand for. ``words`` are the teacher's own for the stroke, empty where there are none.
    """

    number: int
    stroke: Stroke
    position: Position
    verdict: Verdict
    goal: Goal | None = None
    argument: Argument | None = None
    runners_up: tuple[Argument, ...] = ()
    instead: tuple[Argument, ...] = ()
    wait_ms: int | None = None
    open: int = 0
    lightest_open: Argument | None = None
    rank: int | None = None
    marks_used: tuple[int, ...] = ()
    readings: tuple[str, ...] = ()
    words: str = ""


@dataclass(frozen=True, slots=True)
class LeftLying:
    """A digit that could have been written long before it was.

    Open from the page ``since`` (strokes replayed) until stroke ``until`` wrote it (None: never); times in ms where known.
    """

    cell: int
    digit: int
    since: int
    until: int | None
    since_ms: int | None
    until_ms: int | None
    argument: Argument

    @property
    def for_ms(self) -> int | None:
        """How long it lay open, in milliseconds, where both times are known."""
        if self.since_ms is None or self.until_ms is None:
            return None
        return self.until_ms - self.since_ms


class Fate(StrEnum):
    """What became of a mark."""

    PAID_OFF = "paid off"  #: a later stroke leant on it
    UNUSED = "never used"  #: no later stroke leant on it
    FALSE = "false"  #: it contradicts the solution
    STALE = "stale"  #: it still stands at the end though its cells were left open and it was overtaken


@dataclass(frozen=True, slots=True)
class MarkStory:
    """One mark's life: the stroke that made it, its claim, and the strokes that leant on it."""

    stroke: int
    claim: Claim
    fate: Fate
    used_by: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Wait:
    """A rest of the hand before stroke ``before``, in milliseconds, and what lay behind it in words."""

    before: int
    ms: int
    from_ms: int
    behind: str


@dataclass(frozen=True, slots=True)
class Phase:
    """A third of the digits: from which stroke to which, how long, and what it took."""

    name: str
    first: int
    last: int
    ms: int | None
    digits: int
    marks: int
    effort: float


@dataclass(frozen=True)
class Review:
    """A whole solve judged."""

    sheet: Sheet
    solution: tuple[int, ...]
    pages: tuple[Page, ...]
    audience: str
    limit: float
    strokes: tuple[StrokeReview, ...]
    lying: tuple[LeftLying, ...]
    marks: tuple[MarkStory, ...]
    waits: tuple[Wait, ...]
    phases: tuple[Phase, ...]

    @property
    def effort(self) -> float:
        """Looks that all the arguments took together."""
        return round(sum(s.argument.effort for s in self.strokes if s.argument), 3)

    @property
    def hardest(self) -> str | None:
        """The technique needed that stands last in the catalogue."""
        from_all = [step.technique for s in self.strokes if s.argument for step in s.argument.steps]
        return max(from_all, key=rank) if from_all else None
