"""Pages: what stands on the paper after the first n strokes, its ink and what the ink claims."""

from __future__ import annotations

from dataclasses import dataclass, field

from inkstep.grid.geometry import CLASSIC
from inkstep.trace.claims import Claim
from inkstep.trace.grammar import action_text
from inkstep.trace.paper import Inked, Paper, State
from inkstep.trace.sheet import Sheet
from inkstep.trace.strokes import Kind, Stroke

#: how many cells count as fresh ink
FRESH = 6


@dataclass(frozen=True)
class Page:
    """The paper after stroke ``number``.

    ``digits`` are what stands in the 81 cells, given or written, 0 for empty. ``ink`` is everything ever written with
    what became of it, in the order written. ``claims`` are those of marks that are not crossed out. ``fresh`` are
    the cells of the digits written last, newest first, at most six.
    """

    number: int
    givens: tuple[int, ...]
    digits: tuple[int, ...]
    ink: tuple[Inked, ...] = field(repr=False, default=())
    claims: tuple[Claim, ...] = ()
    fresh: tuple[int, ...] = ()

    @property
    def open_claims(self) -> tuple[Claim, ...]:
        """The claims with at least one cell that holds no digit yet."""
        return tuple(claim for claim in self.claims if not claim.spent)

    @property
    def full(self) -> bool:
        """Whether every cell holds a digit."""
        return all(self.digits)

    def __str__(self) -> str:
        grid, marks = _grid_lines(self.digits), _mark_lines(self.ink)
        height = max(len(grid), len(marks))
        grid += [""] * (height - len(grid))
        marks += [""] * (height - len(marks))
        beside = (f"{left:<24}{right}".rstrip() for left, right in zip(grid, marks, strict=True))
        return "\n".join((f"page {self.number}", *beside))


def _grid_lines(digits: tuple[int, ...]) -> list[str]:
    lines = []
    for start in range(0, CLASSIC.cells, CLASSIC.size):
        signs = [str(digit) if digit else "." for digit in digits[start : start + CLASSIC.size]]
        lines.append(" | ".join(" ".join(signs[at : at + 3]) for at in (0, 3, 6)))
        if start in (18, 45):
            lines.append("------+-------+------")
    return lines


def _mark_lines(ink: tuple[Inked, ...]) -> list[str]:
    return [
        f"{inked.number:>3}  {action_text(inked.stroke)}{_state_text(inked)}"
        for inked in ink
        if inked.stroke.kind is not Kind.DIGIT or inked.state is not State.STANDING
    ]


def _state_text(inked: Inked) -> str:
    if inked.state is not State.STANDING:
        return f"  ({inked.state})"
    partly = [CLASSIC.cell_name(cell) for cell in inked.covered]
    parts = [f"{CLASSIC.cell_name(cell)} : {digit}" for cell, digit, _ in inked.struck]
    words = [f"written over at {', '.join(partly)}"] if partly else []
    words += [f"crossed out: {', '.join(parts)}"] if parts else []
    return f"  ({'; '.join(words)})" if words else ""


def photograph(paper: Paper) -> Page:
    """The page as the paper stands now."""
    return Page(
        number=paper.count,
        givens=paper.givens,
        digits=tuple(paper.digits),
        ink=tuple(paper.ink.values()),
        claims=tuple(claim for claims in paper.claims.values() for claim in claims),
        fresh=tuple(paper.fresh[:FRESH]),
    )


def pages(sheet: Sheet) -> list[Page]:
    """All pages of a solve: page 0 with nothing written, then one after each stroke."""
    paper = Paper(sheet.givens)
    found = [photograph(paper)]
    for stroke in sheet.strokes:
        paper.take(stroke)
        found.append(photograph(paper))
    return found


def page_at(sheet: Sheet, number: int) -> Page:
    """The page after the first ``number`` strokes.

    Raises:
        ValueError: the sheet has no such page.
    """
    if not 0 <= number <= len(sheet.strokes):
        raise ValueError(f"pages run from 0 to {len(sheet.strokes)}: {number}")
    paper = Paper(sheet.givens)
    for stroke in sheet.strokes[:number]:
        paper.take(stroke)
    return photograph(paper)


def moments(strokes: tuple[Stroke, ...]) -> tuple[int, ...]:
    """For each stroke, the time in milliseconds from which it is taken to stand on the paper.

    Strokes stand in the order in which they were written: one whose time is unknown, or earlier than that of a
    stroke above it, counts from the latest time above it (0 where there is none).
    """
    found: list[int] = []
    latest = 0
    for stroke in strokes:
        latest = max(latest, stroke.at_ms or 0)
        found.append(latest)
    return tuple(found)


def page_at_time(sheet: Sheet, ms: int) -> Page:
    """The page at ``ms`` milliseconds after the clock's start."""
    return page_at(sheet, sum(moment <= ms for moment in moments(sheet.strokes)))

