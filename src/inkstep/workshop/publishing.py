"""Publishing: from a review and a plan to an edition in a folder."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from inkstep.ground.errors import InputError
from inkstep.lesson.planning import Planned, make_plan
from inkstep.press.edition import Edition, write_edition
from inkstep.press.formats import Material, chosen_formats
from inkstep.review.findings import Review
from inkstep.trace.sheet import Header
from inkstep.workshop.studying import plan_at

#: told how much is done, from 0 to 1, and what is being done
Progress = Callable[[float, str], None]

#: how long it takes to put the files in place, beside the weights of the formats
_SETTLING = 1.0


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
        said = [f"The lesson lies in {self.edition.folder}: {', '.join(told)}"]
        if page in self.edition.written:
            said.append(f"Open {page}")
        if self.plan_path is None:
            said.append("There is no plan yet; `inkstep lesson SHEET` writes one for you to edit.")
        return said + self.noticed()

    def noticed(self) -> list[str]:
        """What the user should know of: files kept aside, edits without a place, remarks and reminders."""
        said = [f"Kept aside: {path}" for path in self.edition.kept]
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


def publish(
    review: Review,
    plan: Path,
    folder: Path,
    *,
    must_exist: bool = False,
    only: Sequence[str] = (),
    progress: Progress | None = None,
) -> Published:
    """Write the formats named in ``only`` (all, when none is) into ``folder``, by the plan at ``plan`` where there is one.

    Raises:
        InputError: the plan or the folder cannot be used; what lay in the folder is untouched then.
        UsageError: there is no format of a name in ``only``.
    """
    previous = plan_at(plan)
    if previous is None and must_exist:
        raise InputError("a plan that is there", where=str(plan), got="nothing of that name")
    return publish_planned(
        review, make_plan(review, previous), folder, plan_path=plan if previous else None, only=only, progress=progress
    )


def publish_planned(
    review: Review,
    planned: Planned,
    folder: Path,
    *,
    plan_path: Path | None = None,
    only: Sequence[str] = (),
    progress: Progress | None = None,
) -> Published:
    """Write the formats named in ``only`` (all, when none is) into ``folder``, all or nothing, by a plan that was made.

    ``progress`` is told before each format and before the files are put in place: the share that is done, and what is
    being made.

    Raises:
        InputError: the folder cannot be used; what lay in it is untouched then.
        UsageError: there is no format of a name in ``only``.
    """
    tell = progress or _unheard
    material = Material(review, planned.plan)
    formats = chosen_formats(only)
    weights = [each.weight for each in formats]
    outputs: dict[str, str] = {}
    for number, each in enumerate(formats):
        tell(sum(weights[:number]) / (sum(weights) + _SETTLING), f"making the {each.name}")
        outputs.update(each.write(material))
    tell(sum(weights) / (sum(weights) + _SETTLING), "putting the files in place")
    edition = write_edition(folder, outputs)
    remarks = material.remarks if "chapters" in {each.name for each in formats} else ()
    return Published(edition, planned, plan_path, remarks, reminders(review.sheet.header))


def _unheard(_share: float, _doing: str) -> None:
    pass


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
