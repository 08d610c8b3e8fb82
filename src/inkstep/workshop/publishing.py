"""Publishing: from a review and a plan to an edition in a folder."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from inkstep.ground.errors import InputError
from inkstep.lesson.planning import Planned, make_plan
from inkstep.press.edition import Edition, write_edition
from inkstep.press.formats import FORMATS, Material
from inkstep.review.findings import Review
from inkstep.trace.sheet import Header
from inkstep.workshop.studying import plan_at


@dataclass(frozen=True)
class Published:
    """What was written, what the plan's edits met, and what the user should be reminded of."""

    edition: Edition
    planned: Planned
    plan_path: Path | None
    remarks: tuple[str, ...]
    reminders: tuple[str, ...]

    def lines(self) -> list[str]:
        """What to tell the user."""
        told = [f"{path.relative_to(self.edition.folder)}" for path in self.edition.written]
        page = self.edition.folder / "lesson.html"
        said = [f"The lesson lies in {self.edition.folder}: {', '.join(told)}", f"Open {page}"]
        if self.plan_path is None:
            said.append("There is no plan yet; `inkstep lesson SHEET` writes one for you to edit.")
        said += [f"Kept aside: {path}" for path in self.edition.kept]
        said += [f"Could not place from the plan: {text}" for text in self.planned.unplaced]
        return said + list(self.remarks) + list(self.reminders)

    def to_json(self) -> dict[str, Any]:
        """The same as plain data."""
        return {
            "folder": str(self.edition.folder),
            "written": [str(path) for path in self.edition.written],
            "kept_aside": [str(path) for path in self.edition.kept],
            "plan": str(self.plan_path) if self.plan_path else None,
            "unplaced": list(self.planned.unplaced),
            "remarks": list(self.remarks),
            "reminders": list(self.reminders),
        }


def publish(review: Review, plan: Path, folder: Path, *, must_exist: bool = False) -> Published:
    """Write every format into ``folder``, by the plan at ``plan`` where there is one.

    Raises:
        InputError: the plan or the folder cannot be used; what lay in the folder is untouched then.
    """
    previous = plan_at(plan)
    if previous is None and must_exist:
        raise InputError("a plan that is there", where=str(plan), got="nothing of that name")
    planned = make_plan(review, previous)
    material = Material(review, planned.plan)
    outputs: dict[str, str] = {}
    for each in FORMATS:
        outputs.update(each.write(material))
    edition = write_edition(folder, outputs)
    used = plan if previous else None
    return Published(edition, planned, used, material.remarks, reminders(review.sheet.header))


def reminders(header: Header) -> tuple[str, ...]:
    """What a user should know before publishing: puzzles and recordings belong to their makers."""
    missing = [
        name
        for name, value in (("source", header.source), ("permission", header.permission), ("credit", header.credit))
        if not value
    ]
    if not missing:
        return ()
    lacks = " and ".join([", ".join(missing[:-1]), missing[-1]] if len(missing) > 1 else missing)
    return (
        f"Before you publish: the sheet says nothing of {lacks}. Puzzles and recordings belong to their makers; "
        f"add the lines to the sheet's header once you know.",
    )
