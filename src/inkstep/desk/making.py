"""Making a lesson in a process of its own: what it is handed, what it says meanwhile, and how it ends."""

from __future__ import annotations

import signal
import time
import traceback
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from multiprocessing.connection import Connection
from pathlib import Path
from types import FrameType
from typing import Any

from inkstep.archive.logs import load
from inkstep.archive.opening import open_archive
from inkstep.desk.studies import Studies
from inkstep.ground.errors import InkstepError
from inkstep.press.formats import chosen_formats
from inkstep.workshop.publishing import publish_planned

#: how long the review takes beside the weights of the formats (tenths of a second for a solve of two minutes)
REVIEW_WEIGHT = 15.0


@dataclass(frozen=True)
class Order:
    """What a job is to make: of which archive (its address) which solve, in which formats, into which folder."""

    archive: str
    key: str
    formats: tuple[str, ...]
    folder: str


@dataclass(frozen=True)
class Made:
    """What was made: the paths of the files, and what the user should know."""

    written: tuple[str, ...]
    said: tuple[str, ...] = ()


Tell = Callable[[float, str], None]
Work = Callable[[Order, Tell], Made]


def make_lesson(order: Order, tell: Tell) -> Made:
    """Review the solve as it stands, plan its lesson by the plan in the archive, and write the formats.

    Raises:
        InputError: there is no such solve, its puzzle has no one solution, or the folder cannot be used.
        ArchiveError: the archive cannot be used.
    """
    weight = sum(each.weight for each in chosen_formats(order.formats)) + 1.0
    reviewing = REVIEW_WEIGHT / (REVIEW_WEIGHT + weight)

    def reviewed(done: int, whole: int) -> None:
        tell(reviewing * done / max(1, whole), f"reading stroke {done} of {whole}")

    def pressed(share: float, doing: str) -> None:
        tell(reviewing + (1 - reviewing) * share, doing)

    archive = open_archive(order.archive, now=lambda: time.time_ns() // 1_000_000, new_key=_no_key)
    try:
        studies = Studies(archive)
        study = studies.of(load(archive, order.key), reviewed)
        planned = studies.plan(study)[1]
    finally:
        archive.close()
    done = publish_planned(study.review, planned, Path(order.folder), only=order.formats, progress=pressed)
    return Made(tuple(map(str, done.edition.written)), tuple(done.noticed()))


def _no_key() -> str:
    raise AssertionError("a job makes no solves")


class _StoppedError(BaseException):
    """The desk asked the process to end: whatever is going on is undone on the way out."""


def in_its_process(work: Work, order: Order, pipe: Connection) -> None:
    """The whole life of a job's process: its work, told through ``pipe`` as ``("share", share, doing)``, then one last
    ``("done", Made)`` or ``("failed", sentence)``."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    signal.signal(signal.SIGTERM, _stop)

    def tell(share: float, doing: str) -> None:
        pipe.send(("share", min(1.0, max(0.0, share)), doing))

    with suppress(BrokenPipeError, _StoppedError):
        pipe.send(_last_words(work, order, tell))


def _last_words(work: Work, order: Order, tell: Tell) -> tuple[str, Any]:
    try:
        tell(0.0, "beginning")
        return "done", work(order, tell)
    except InkstepError as fault:
        return "failed", str(fault)
    except BrokenPipeError:
        # nobody follows any more: the desk has gone
        raise
    except Exception as fault:
        traceback.print_exc()
        return "failed", f"Something went wrong while the lesson was made: {type(fault).__name__}: {fault}"


def _stop(_signal: int, _frame: FrameType | None) -> None:
    signal.signal(signal.SIGTERM, signal.SIG_IGN)
    raise _StoppedError
