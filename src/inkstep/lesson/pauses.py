"""The moments at which viewers pause and try: chosen by how much they teach, and put into words.

A pause stands before a stroke that follows by argument, with everything it needs on the page: prediction helps where
feedback follows soon (Pan and Carpenter, Educational Psychology Review 35, 2023, doi 10.1007/s10648-023-09814-5). They
are spread, since spaced retrieval beats massed (Latimier, Peyre and Ramus, Educational Psychology Review 33, 2021, doi
10.1007/s10648-020-09572-8). The numbers below are ours, by ear, and claim no more.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from math import exp

from inkstep.lesson.own import own_words
from inkstep.lesson.parts import Pause
from inkstep.lesson.prints import prints_of
from inkstep.lesson.reach import unlocked
from inkstep.reasoning.argument import Argument
from inkstep.reasoning.effort import LIMITS
from inkstep.reasoning.techniques import rank
from inkstep.reasoning.wording import Run, Voice, answer, hints, plain, question
from inkstep.reasoning.words.naming import number
from inkstep.review.findings import Review, StrokeReview, Verdict
from inkstep.trace.grammar import action_text
from inkstep.trace.strokes import Kind, Reading

FEWEST, MOST = 3, 8
#: strokes of a solve for one pause
_STROKES_EACH = 22
#: looks below which nobody needs to pause, and the share of an audience's limit that teaches it most
_TRIVIAL = {"newcomer": 1.3, "club": 2.4, "contest": 3.3}
_BEST_SHARE = 0.35
#: how near to one another pauses may stand, as a share of their even spacing; and what fills a gap: how light, how far
_CLOSE, _STILL, _WIDE = 0.6, 0.55, 0.9
#: steps of an argument that can still be found in a pause
_STEPS = 4
#: strokes before which nothing is asked yet, and the share of the solve after which nothing is asked any more
_SOONEST, _LATEST = 4, 0.93
_CLOSEST = 4
_SINGLES = rank("naked single")

#: the rest after a question is the solver's own time, so many times over and within these bounds, in milliseconds; a
#: derivation of ours from the fading of worked examples, not a measured number
_REST_TIMES, _REST_LEAST_MS, _REST_MOST_MS = 3, 5_000, 20_000
#: milliseconds a look, where the solver's time is unknown
_LOOK_MS = 500


def choose(review: Review, audience: str, kept: Collection[int] = (), barred: Collection[int] = ()) -> tuple[int, ...]:
    """The strokes before which to pause, beside the ``kept`` ones; none of ``barred``."""
    strokes = review.strokes
    wanted = min(MOST, max(FEWEST, round(len(strokes) / _STROKES_EACH)))
    spacing = max(_CLOSEST, len(strokes) / (wanted + 1))
    chosen = sorted(kept)
    free = [s for s in strokes if s.number not in barred and s.number not in kept]
    # what is worth a pause first; then, to fill wide gaps only, what is still worth a moment's thought
    for trivial, closest in ((_TRIVIAL[audience], _CLOSE * spacing), (_TRIVIAL[audience] * _STILL, _WIDE * spacing)):
        candidates = [s for s in free if _may_ask(s, review, audience, trivial)]
        while len(chosen) < wanted:
            best = _best(candidates, review, audience, chosen, spacing, max(_CLOSEST, closest))
            if best is None:
                break
            chosen = sorted([*chosen, best])
    return tuple(number for number in chosen if number not in kept)


def _best(
    candidates: Collection[StrokeReview],
    review: Review,
    audience: str,
    chosen: Collection[int],
    spacing: float,
    closest: float,
) -> int | None:
    """The candidate most worth a pause beside those chosen, none nearer to them than ``closest`` strokes."""
    known = _techniques(review.strokes[number - 1] for number in chosen)
    far = [s for s in candidates if all(abs(s.number - number) >= closest for number in chosen)]
    scored = [(_worth(s, review, audience, known) - _crowding(s, chosen, spacing), -s.number) for s in far]
    return -max(scored)[1] if scored else None


def _may_ask(judged: StrokeReview, review: Review, audience: str, trivial: float) -> bool:
    argument, stroke = judged.argument, judged.stroke
    if argument is None or judged.verdict is not Verdict.FOLLOWS or len(argument.steps) > _STEPS:
        return False
    if stroke.kind is not Kind.DIGIT and stroke.reading is not Reading.PLACES:
        return False
    early = judged.number < min(_SOONEST, len(review.strokes) // 4)
    late = judged.number > len(review.strokes) * _LATEST
    return not early and not late and trivial <= argument.effort <= LIMITS[audience]


def _techniques(strokes: Iterable[StrokeReview]) -> set[str]:
    return {step.technique for s in strokes if s.argument for step in s.argument.steps}


def _worth(judged: StrokeReview, review: Review, audience: str, known: set[str]) -> float:
    """How much a pause before the stroke teaches."""
    argument = judged.argument
    if argument is None:
        return 0.0
    best = LIMITS[audience] * _BEST_SHARE
    found = 3.0 * exp(-(((argument.effort - best) / best) ** 2))
    found += 2.0 / (1 + judged.open)
    found += 0.5 * min(4, unlocked(judged.number, review.strokes))
    found += 0.5 * bool(judged.marks_used) + 1.5 * _news(argument, known)
    found += 0.8 * min(1.0, (judged.wait_ms or 0) / 5_000)
    return found if judged.stroke.kind is Kind.DIGIT else found - 3.0


def _news(argument: Argument, known: set[str]) -> int:
    """Techniques beyond singles, and holding something in mind, that no earlier pause has asked for."""
    rare = {step.technique for step in argument.steps if rank(step.technique) > _SINGLES}
    held = len(argument.steps) > 1
    return len(rare - known) + (held and not rare)


def _crowding(judged: StrokeReview, chosen: Collection[int], spacing: float) -> float:
    return sum(2.5 * exp(-((abs(judged.number - number) / spacing) ** 2)) for number in chosen)


def rest_ms(judged: StrokeReview) -> int:
    """How long the narration rests after the question, in milliseconds."""
    own = judged.wait_ms
    if own is None:
        own = round(judged.argument.effort * _LOOK_MS) if judged.argument else 0
    return max(_REST_LEAST_MS, min(_REST_MOST_MS, own * _REST_TIMES)) // 100 * 100


def pause_before(judged: StrokeReview, pause_id: str) -> Pause:
    """A pause before the stroke, as the program words it; without texts where the stroke follows from nothing."""
    pause = Pause(pause_id, judged.number, goal=goal_text(judged), rest_ms=rest_ms(judged))
    argument = judged.argument
    if argument is not None:
        pause = Pause(
            id=pause_id,
            before=judged.number,
            goal=pause.goal,
            question=question(argument, judged.position),
            hints=hints(argument, judged.position),
            answer=plain(answer_of(judged, "spoken")),
            rest_ms=pause.rest_ms,
        )
    return Pause(**{**vars(pause), "auto": prints_of(pause)})


def goal_text(judged: StrokeReview) -> str:
    """What is asked for: ``r5c7=8``, or the mark as a sheet writes it."""
    return action_text(judged.stroke).replace(" = ", "=")


def answer_of(judged: StrokeReview, voice: Voice) -> tuple[Run, ...]:
    """The answer to a pause before the stroke, in the teacher's words where there are any; empty where it follows from
    nothing.
    """
    argument, stroke = judged.argument, judged.stroke
    if judged.words:
        return own_words(judged)
    if argument is None:
        return ()
    claim = None
    if stroke.kind is Kind.MARK:
        count = number(len(stroke.cells))
        claim = f"the {stroke.digits[0]} is in one of these {count}" if len(stroke.digits) == 1 else "that is what is marked"
    return answer(argument, judged.position, voice=voice, claim_text=claim)
