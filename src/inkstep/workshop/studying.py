"""Reviewing a sheet, and keeping its lesson plan: what the review, lesson, press and still commands share."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from inkstep.ground.errors import InputError
from inkstep.lesson.plan import Plan, read_plan, write_plan
from inkstep.lesson.planning import Planned, make_plan
from inkstep.press.writing import write_whole
from inkstep.review.findings import Review
from inkstep.review.reviewing import review_sheet
from inkstep.trace.damage import Damage
from inkstep.workshop.take_in import Source, sheet_from

Progress = Callable[[int, int], None]

PLAN_ENDING = ".plan.json"


@dataclass(frozen=True)
class Study:
    """A reviewed sheet, and the damage that its reader met and got past."""

    review: Review
    damage: tuple[Damage, ...]


def study(source: Source, *, audience: str | None = None, progress: Progress | None = None) -> Study:
    """Read and review the sheet of ``source``.

    Raises:
        InputError: it is no sheet, or its puzzle has no one solution.
    """
    reading = sheet_from(source)
    return Study(review_sheet(reading.sheet, audience=audience, progress=progress), reading.damage)


def plan_path(sheet: Path) -> Path:
    """Where the plan of a sheet lies: beside it, ``solve.sheet`` having ``solve.plan.json``."""
    return sheet.with_name(sheet.stem + PLAN_ENDING)


def plan_at(path: Path) -> Plan | None:
    """The plan in the file, None where there is none.

    Raises:
        InputError: the file cannot be read, or holds no plan.
    """
    try:
        text = path.read_text("utf-8-sig")
    except FileNotFoundError:
        return None
    except (OSError, UnicodeDecodeError) as fault:
        raise InputError("a plan that can be read", where=str(path), got=str(fault)) from None
    return read_plan(text, str(path))


def refresh_plan(review: Review, path: Path) -> Planned:
    """Plan the lesson, keeping every edit of the plan at ``path``, and write it there.

    Raises:
        InputError: the plan there cannot be read, or the file cannot be written.
    """
    planned = make_plan(review, plan_at(path))
    write_whole(path, write_plan(planned.plan))
    return planned
