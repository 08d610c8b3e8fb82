"""A plan as its page shows it: segments and pauses with their pages, and how long everything takes to say."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

from inkstep.desk.plan_book import Standing
from inkstep.desk.studies import Study
from inkstep.ground.errors import InputError
from inkstep.lesson.editing import join, planned_ms
from inkstep.lesson.parts import Part, Pause, Plan, Segment, Unplaced
from inkstep.lesson.placing import floats
from inkstep.lesson.prints import edited, is_own
from inkstep.press.drawing import NOTHING
from inkstep.press.pointing import evidence_of, question_evidence
from inkstep.press.reading_aloud import telling_of
from inkstep.press.running_order import running_order
from inkstep.press.staging import scenes_of, story_of
from inkstep.press.story import Scene
from inkstep.press.telling import Passage, Telling, timed
from inkstep.reasoning.effort import LIMITS
from inkstep.review.findings import Review

Json = dict[str, Any]


@dataclass(frozen=True)
class _Lengths:
    """When each passage of the shown plan begins and how long it is, in milliseconds, segments and pauses by id."""

    segments: Mapping[str, tuple[int, int]]
    pauses: Mapping[str, tuple[int, int]]
    total_ms: int
    rest_ms: int


def plan_json(standing: Standing, *, have_log: int | None = None) -> Json:
    """All that the page needs; the strokes only where it does not have those of this revision of the log."""
    plan, review, log = standing.plan, standing.study.review, standing.study.log
    lengths = _lengths(plan, review)
    scenes = {entry.id: index for index, entry in enumerate(running_order(plan, review))}
    shown = _scenes_by_segment(plan, review)
    found: Json = {
        **_frame(plan, lengths),
        "revision": standing.revision,
        "log": log.revision,
        "undo": standing.undo,
        "redo": standing.redo,
        "segments": [_segment(each, plan, lengths, scenes, shown) for each in plan.segments],
        "pauses": [_pause(each, plan, review, lengths, scenes) for each in plan.pauses],
        "unplaced": [_unplaced(each) for each in plan.unplaced],
    }
    return found if have_log == log.revision else found | {"solve": strokes_json(standing.study)}


def strokes_json(study: Study) -> Json:
    """The puzzle, its strokes as the board replays them, and the long rests: what a page needs to show any moment."""
    story = story_of(Plan("", study.review.audience), study.review).to_json()
    return {name: story[name] for name in ("puzzle", "strokes", "waits")}


def _frame(plan: Plan, lengths: _Lengths) -> Json:
    return {
        "title": plan.title,
        "audience": plan.audience,
        "audiences": list(LIMITS),
        "words_per_minute": plan.words_per_minute,
        "planned_ms": planned_ms(plan),
        "edited": list(edited(plan)),
        "total_ms": lengths.total_ms,
        "rest_ms": lengths.rest_ms,
    }


# Lengths


@lru_cache(maxsize=4096)
def spoken_ms(passage: Passage, words_per_minute: int) -> int:
    """How long a passage takes, its breath and its rest included, as script and captions reckon it."""
    return timed(Telling("", (passage,)), words_per_minute)[-1].end_ms


def _lengths(plan: Plan, review: Review) -> _Lengths:
    segments: dict[str, tuple[int, int]] = {}
    pauses: dict[str, tuple[int, int]] = {}
    now = rests = 0
    for passage in telling_of(plan, review).passages:
        length = spoken_ms(_bare(passage), plan.words_per_minute)
        (pauses if passage.pause else segments)[passage.id] = (now, length)
        rests += passage.pause.rest_ms if passage.pause else 0
        now += length
    return _Lengths(segments, pauses, now, rests)


def _bare(passage: Passage) -> Passage:
    """The passage without what does not change its length, so that it is known again."""
    pause = replace(passage.pause, hints=()) if passage.pause else None
    return replace(passage, id="", headline="", page=0, at_ms=None, pause=pause)


# Segments and pauses


def _scenes_by_segment(plan: Plan, review: Review) -> Mapping[str, Scene]:
    """What the board shows for each segment, dropped or not, by itself: as if nothing had been asked before it."""
    shown = tuple(replace(segment, shown=True) for segment in plan.segments)
    return {scene.id: scene for scene in scenes_of(replace(plan, segments=shown, pauses=()), review)}


def _segment(
    segment: Segment, plan: Plan, lengths: _Lengths, scenes: Mapping[str, int], shown: Mapping[str, Scene]
) -> Json:
    scene = shown[segment.id]
    start, length = lengths.segments.get(segment.id, (None, 0))
    return {
        "id": segment.id,
        "kind": str(segment.kind),
        "first": segment.first,
        "last": segment.last,
        "headline": segment.headline,
        "narration": segment.narration,
        "shown": segment.shown,
        "own": is_own(segment),
        "edited": _marked(segment),
        "kicker": scene.kicker,
        "page": scene.page,
        "evidence": scene.evidence.to_json(),
        "start_ms": start,
        "length_ms": length,
        "scene": scenes.get(segment.id) if segment.shown else None,
        "joins": _can_join(plan, segment),
    }


def _marked(item: Segment | Pause) -> list[str]:
    """The fields that the teacher wrote and the program could fill in again."""
    if isinstance(item, Segment) and floats(item):
        return []
    return [name for name in edited(item) if name not in ("id", "kind", "first", "last")]


def _can_join(plan: Plan, segment: Segment) -> bool:
    try:
        join(plan, segment.id)
    except InputError:
        return False
    return True


def _pause(pause: Pause, plan: Plan, review: Review, lengths: _Lengths, scenes: Mapping[str, int]) -> Json:
    judged = review.strokes[pause.before - 1]
    argument = judged.argument
    start, length = lengths.pauses.get(pause.id, (None, 0))
    asked_with = _answering(plan, pause)
    scene = asked_with.id if asked_with and asked_with.kind is Part.PAUSE and asked_with.shown else pause.id
    return {
        "id": pause.id,
        "before": pause.before,
        "stands_before": asked_with.id if asked_with else None,
        "question": pause.question,
        "hints": list(pause.hints),
        "answer": pause.answer,
        "rest_ms": pause.rest_ms,
        "shown": pause.shown,
        "own": is_own(pause),
        "edited": _marked(pause),
        "follows": argument is not None,
        "at_ms": judged.stroke.at_ms,
        "page": pause.before - 1,
        "evidence": (question_evidence(argument) if argument else NOTHING).to_json(),
        "answer_evidence": (evidence_of(argument, judged.position) if argument else NOTHING).to_json(),
        "start_ms": start,
        "length_ms": length,
        "scene": scenes.get(scene) if start is not None else None,
    }


def _answering(plan: Plan, pause: Pause) -> Segment | None:
    """The segment that a pause stands before: the one that answers it, else that which tells its stroke or a later one."""
    own = (each for each in plan.segments if each.kind is Part.PAUSE and each.first == pause.before)
    return next(own, None) or next(_after(plan, pause.before), None)


def _after(plan: Plan, stroke: int) -> Iterator[Segment]:
    yield from (each for each in plan.segments if not floats(each) and each.last and each.last >= stroke)
    yield from (each for each in plan.segments if each.kind is Part.CLOSING)


def _unplaced(each: Unplaced) -> Json:
    what = each.what
    is_pause = isinstance(what, Pause)
    texts = (what.question, *what.hints, what.answer) if isinstance(what, Pause) else (what.headline, what.narration)
    return {
        "id": what.id,
        "kind": "pause" if is_pause else "segment",
        "texts": [text for text in texts if text],
        "why": each.why,
    }
