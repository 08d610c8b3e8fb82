"""A plan as it is read aloud: the passages below script, captions, chapters and film."""

from __future__ import annotations

from collections.abc import Iterator

from inkstep.lesson.plan import Pause, Plan
from inkstep.press.running_order import Entry, running_order
from inkstep.press.telling import Passage, PauseText, Telling
from inkstep.review.findings import Review


def telling_of(plan: Plan, review: Review) -> Telling:
    """Everything that is read aloud, in the plan's order and words."""
    header = review.sheet.header
    stops = 0
    passages: list[Passage] = []
    for entry in running_order(plan, review):
        if entry.pause:
            stops += 1
            passages.append(_pause_passage(entry, entry.pause, stops))
        passages += _segment_passage(entry)
    return Telling(
        title=plan.title,
        passages=tuple(passages),
        solver=header.solver,
        event=header.event,
        source=header.recording,
        permission=header.permission,
        credit=header.credit,
        audience=plan.audience,
        clock_ms=header.clock_start_ms,
    )


def _pause_passage(entry: Entry, pause: Pause, number: int) -> Passage:
    """The question, a rest, the answer; the headline must not tell it."""
    text = PauseText(pause.question, pause.hints, pause.answer, pause.rest_ms)
    return Passage(pause.id, f"Pause {number}: your turn", "", entry.page, entry.at_ms, text)


def _segment_passage(entry: Entry) -> Iterator[Passage]:
    segment = entry.segment
    if segment is None:
        return
    text = segment.narration
    if entry.folded and entry.folded.answer:
        text = f"{entry.folded.answer} {text}".strip()
    page = entry.page + 1 if entry.pause else entry.page
    if text or (segment.headline and not entry.pause):
        yield Passage(segment.id, segment.headline, text, page, entry.at_ms)
