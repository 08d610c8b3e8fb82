"""Reviews of the solves on the desk, made once a revision and kept at hand, with the teacher's choices in them, and the
plans made from them.
"""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass, field

from inkstep.archive import keeping
from inkstep.archive.keeping import Choice, Happening
from inkstep.archive.logs import ClashError, Log
from inkstep.archive.opening import Archive, ArchiveError
from inkstep.ground.errors import InkstepError
from inkstep.lesson.plan import Plan, read_plan
from inkstep.lesson.planning import Planned, make_plan
from inkstep.review.choosing import Pick, choose, unmet
from inkstep.review.findings import Review
from inkstep.review.reviewing import review_sheet

#: reviews kept at hand
MOST_STUDIES = 3

Progress = Callable[[int, int], None]


@dataclass(frozen=True)
class Study:
    """A revision of a solve with its review.

    ``choices`` are the teacher's, by the number of the stroke; they are in the review already, save that the arguments
    picked for the strokes ``unmet`` are not among those found any more.
    """

    log: Log
    review: Review
    choices: Mapping[int, Choice] = field(default_factory=dict)
    unmet: tuple[int, ...] = ()


class _Making:
    """A review on its way: how far it is (0 to 1), and what came of it."""

    def __init__(self, log: Log) -> None:
        self.log = log
        self.share = 0.0
        self.done = threading.Event()
        self.review: Review | None = None
        self.fault: Exception | None = None

    def make(self) -> None:
        """Review the sheet; takes a second or more."""
        try:
            self.review = review_sheet(self.log.sheet, progress=self._follow)
        except Exception as fault:  # told to whoever waits for it
            self.fault = fault
        self.done.set()

    def _follow(self, done: int, every: int) -> None:
        self.share = done / every

    def result(self) -> Review:
        """The review, waited for."""
        self.done.wait()
        if self.review is None:
            raise self.fault or RuntimeError("a review came to nothing")
        return self.review


class Studies:
    """Reviews by solve. Any thread may call a method, which takes as long as a review does unless it is called quick."""

    def __init__(self, archive: Archive) -> None:
        self._archive = archive
        self._lock = threading.RLock()
        self._kept: OrderedDict[str, tuple[_Making, Study | None]] = OrderedDict()

    def at_hand(self, log: Log) -> Study | None:
        """The study of this revision, if its review was made already. Quick."""
        with self._lock:
            making, _ = self._kept.get(log.key, (None, None))
        if making is None or making.log.revision != log.revision or making.review is None:
            return None
        return self._study(making, log)

    def share(self, log: Log, patience_s: float = 0.0) -> float:
        """How much of the review of this revision is made, after up to ``patience_s`` seconds; begun if need be. Quick.

        Raises:
            InputError: the puzzle has no one solution.
        """
        making = self._begin(log)
        if making.done.wait(patience_s):
            making.result()
            return 1.0
        return min(making.share, 0.99)

    def of(self, log: Log, progress: Progress | None = None) -> Study:
        """The study of a log; ``progress`` is told (strokes done, strokes in all) now and then.

        Raises:
            InputError: its puzzle has no one solution.
        """
        making = self._begin(log)
        while progress and not making.done.wait(0.1):
            progress(round(making.share * len(log.ids)), len(log.ids))
        making.result()
        return self._study(making, log)

    def plan(self, study: Study) -> tuple[int | None, Planned]:
        """The revision of the plan in the archive (None: there is none yet), and the plan made anew with its edits kept."""
        kept = keeping.plan_of(self._archive, study.log.key)
        previous: Plan | None = read_plan(kept[1], "the plan") if kept else None
        return (kept[0] if kept else None), make_plan(study.review, previous)

    def choose(self, log: Log, stroke: int, choice: Choice, was: Choice) -> None:
        """Keep a choice for the stroke of that id, in place of what the caller had seen there. Quick.

        Raises:
            ClashError: it was changed meanwhile; nothing is changed then.
        """
        with self._lock:
            stands = keeping.choices_of(self._archive, log.key).get(stroke, Choice())
            for name in ("words", "argument"):
                now, before, wanted = (getattr(each, name) for each in (stands, was, choice))
                if now not in (before, wanted):
                    raise ClashError(before, now, wanted)
            keeping.keep_choice(self._archive, log.key, stroke, choice)

    def _begin(self, log: Log) -> _Making:
        """The review of this revision, made or on its way in a thread of its own."""
        with self._lock:
            making, _ = self._kept.get(log.key, (None, None))
            if making and making.log.revision == log.revision and isinstance(making.fault, InkstepError | None):
                self._kept.move_to_end(log.key)
                return making
            making = _Making(log)
            self._kept[log.key] = (making, None)
            self._kept.move_to_end(log.key)
            while len(self._kept) > MOST_STUDIES:
                self._kept.popitem(last=False)
        threading.Thread(target=making.make, name=f"review {log.key}", daemon=True).start()
        return making

    def _study(self, making: _Making, log: Log) -> Study:
        """The review with the teacher's choices as they are now: made anew only where these changed."""
        numbers = {stroke: number for number, stroke in enumerate(log.ids, 1)}
        by_stroke = keeping.choices_of(self._archive, log.key)
        choices = {numbers[stroke]: choice for stroke, choice in sorted(by_stroke.items()) if stroke in numbers}
        with self._lock:
            _, study = self._kept.get(log.key, (None, None))
            if study and study.log.revision == log.revision and study.choices == choices:
                return study
            picks = {number: Pick(choice.argument, choice.words) for number, choice in choices.items()}
            found = making.result()
            study = Study(log, choose(found, picks), choices, unmet(found, picks))
            if self._kept.get(log.key, (None, None))[0] is making:
                self._kept[log.key] = (making, study)
                self._tell_archive(study)
        return study

    def _tell_archive(self, study: Study) -> None:
        """For the shelf and its search. An archive that cannot be written just now is no reason not to read a solve."""
        log, review = study.log, study.review
        found = happened(review)
        with suppress(ArchiveError):
            keeping.keep_review(
                self._archive, log.key, log.revision, effort=review.effort, hardest=review.hardest, happened=found
            )


def happened(review: Review) -> list[Happening]:
    """What happened in a solve, for the search."""
    found: list[Happening] = []
    for stroke in review.strokes:
        found.append(Happening("verdict", str(stroke.verdict), stroke=stroke.number))
        steps = stroke.argument.steps if stroke.argument else ()
        found += [Happening("technique", step.technique, stroke=stroke.number) for step in steps]
        found += [Happening("held", step.technique, stroke=stroke.number) for step in steps[:-1]]
    found += [Happening("wait", value=wait.ms, stroke=wait.before) for wait in review.waits]
    found += [Happening("lying", value=left.for_ms or 0, stroke=left.since) for left in review.lying]
    found += [Happening("mark", str(story.fate), stroke=story.stroke) for story in review.marks]
    return found
