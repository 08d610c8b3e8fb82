"""One stroke that deserves a scene of its own, told in a few sentences."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from inkstep.ground.clock import spoken_seconds
from inkstep.lesson.briefs import brief, kept_in_mind, note_words, place_words
from inkstep.lesson.lapses import told_false, told_mended, told_strike, told_unseen, told_wide
from inkstep.lesson.own import own_words
from inkstep.lesson.speech import Speech, Words, said
from inkstep.lesson.together import claim_of
from inkstep.reasoning.words.naming import number
from inkstep.reasoning.words.outline import seed
from inkstep.reasoning.words.runs import foreign
from inkstep.review.findings import Review, StrokeReview, Verdict
from inkstep.review.pace import REST_MS
from inkstep.trace.strokes import Kind

#: how a reading of a note begins that is about a digit's places
_TO_PLACE = ", to be placed"
#: milliseconds: a time worth saying
_WORTH_SAYING_MS = 1_500
#: looks: an effort worth saying, and how much lighter something that lay open must be to be worth saying
_HEAVY, _LIGHTER = 8.0, 4.0


def told_alone(judged: StrokeReview, review: Review, speech: Speech) -> Words:
    """The stroke's own story: how long it took, what was seen and held, or what went wrong.

    A teacher's own words stand in place of all but the time.
    """
    rest = _rest(judged, review, speech)
    return said(rest, own_words(judged)) if judged.words else said(rest, *_tale(judged, review, speech))


def told_why(judged: StrokeReview, review: Review, speech: Speech) -> Words:
    """What the program says of the stroke alone, without its time and cost: what a teacher's own words stand in for."""
    return said(*_tale(judged, review, speech, cost=False))


def _tale(judged: StrokeReview, review: Review, speech: Speech, *, cost: bool = True) -> Iterator[str | Words]:
    if judged.stroke.kind is Kind.NOTE:
        yield from _note(judged, review, speech)
    elif judged.stroke.kind is Kind.STRIKE:
        yield from told_strike(judged, speech)
    elif judged.verdict is Verdict.FALSE:
        yield from told_false(judged, review, speech)
    elif judged.verdict is Verdict.CORRECTION:
        yield from told_mended(judged, speech)
    elif judged.verdict is Verdict.UNSEEN:
        yield from told_unseen(judged, speech)
    elif judged.verdict is Verdict.WIDE:
        yield from told_wide(judged, speech)
    elif judged.argument and judged.stroke.kind is Kind.MARK:
        yield from _mark(judged, speech)
    elif judged.argument and speech.still_holds(judged.argument):
        yield _still(judged, speech)
    elif judged.argument:
        yield speech.explain(judged.argument, judged.position)
        if cost:
            yield from _cost(judged, review, speech)
    else:
        yield brief(judged, speech)


def _still(judged: StrokeReview, speech: Speech) -> str:
    """A digit that leans on what the argument before it held in mind."""
    what = kept_in_mind(judged).removeprefix(", with ").removesuffix(" in mind")
    forms = (
        f"{what or 'the same'}, still written nowhere, gives more: {brief(judged, speech)}",
        f"keep {what or 'it'} in mind a little longer: {brief(judged, speech)}",
    )
    return speech.pick("still held", str(judged.number), forms)


def who(review: Review) -> str:
    """The solver, as the subject of a clause."""
    return foreign(review.sheet.header.solver) or "the solver"


def looks(effort: float) -> str:
    """An effort in words: "10 looks", "one look"."""
    count = max(1, round(effort))
    return "one look" if count == 1 else f"{number(count)} looks"


def _rest(judged: StrokeReview, review: Review, speech: Speech) -> str:
    """A long rest of the hand before the stroke."""
    if judged.wait_ms is None or judged.wait_ms <= REST_MS:
        return ""
    time = spoken_seconds(judged.wait_ms)
    longest = review.waits[0].before == judged.number if review.waits else False
    if longest and len(review.waits) > 1:
        return f"here the hand rests for {time}, longer than anywhere else"
    forms = (
        f"the hand rests for {time}",
        f"{time} go by before the next stroke",
        f"then nothing is written for {time}",
        f"now {who(review)} takes {time}",
    )
    return speech.pick("rest", str(judged.number), forms)


def _cost(judged: StrokeReview, review: Review, speech: Speech) -> Iterator[str]:
    """What a heavy digit cost, and what lay open nearer by."""
    argument, nearer = judged.argument, judged.lightest_open
    if argument is None or argument.effort < _HEAVY:
        return
    wait = judged.wait_ms
    if wait is not None and wait <= REST_MS:
        time = spoken_seconds(wait)
        forms = (
            f"that is about {looks(argument.effort)}, and it took {time}",
            f"it took {time} for about {looks(argument.effort)}",
            f"{who(review)} needed {time} for these {looks(argument.effort)}",
        )
        yield speech.pick("cost", str(judged.number), forms)
    if nearer and argument.effort - nearer.effort >= _LIGHTER:
        fact = nearer.goal[0]
        place = f"the {fact.digit} at {speech.tongue.spot(fact.cell)}"
        forms = (
            f"nearer by lay {place}, at about {looks(nearer.effort)}",
            f"{place} would have been lighter, at about {looks(nearer.effort)}",
            f"all the while {place} lay open",
        )
        yield speech.pick("nearer", str(judged.number), forms)


def _mark(judged: StrokeReview, speech: Speech) -> Iterator[str | Words]:
    if judged.argument:
        yield speech.explain(judged.argument, judged.position, claim_of(judged, speech))


def _note(judged: StrokeReview, review: Review, speech: Speech) -> Iterator[str | Words]:
    """A note, and what it may stand for."""
    stroke = judged.stroke
    what, place = note_words(stroke), place_words(stroke, speech)
    forms = (
        f"{who(review)} notes {what} {place}",
        f"{place} {who(review)} writes {what}",
        f"a note for later goes {place}: {what}",
    )
    yield speech.pick("note", str(judged.number), forms)
    if judged.readings and stroke.place.house is not None and ": " in judged.readings[0]:
        reading = _read(speech.named(judged.readings[0]))
        offers = (
            f"perhaps it says that {reading}",
            f"it may say that {reading}",
            f"one way to read it is that {reading}",
        )
        yield speech.pick("reading", str(judged.number), offers)
    else:
        free = ("it claims nothing by itself", "what it stands for is the writer's own affair", "it is a reminder, no more")
        yield speech.pick("free note", str(judged.number), free)


def _read(reading: str) -> str:
    """A reading as a clause: "4, 8 and 9 are what row 2 still lacks"."""
    what, apart, meaning = reading.partition(": ")
    if what.endswith(_TO_PLACE):
        return f"{what.removesuffix(_TO_PLACE)} still has to be placed, at {meaning}"
    verb = "are" if " and " in what else "is"
    return f"{what} {verb} {meaning}" if apart else reading


def told_of_slip(strokes: Sequence[StrokeReview], review: Review, speech: Speech) -> Words:
    """A slip and its correction, with what was written between."""
    return said(*(told_alone(judged, review, speech) for judged in strokes))


def aftermath(judged: StrokeReview, review: Review, speech: Speech, unlocked: int) -> Words:
    """What is said once a pause is answered: how long it took, and what it opens."""
    if judged.argument:
        speech.hold(judged.argument)
    parts: list[str] = []
    if judged.wait_ms is not None and judged.wait_ms >= _WORTH_SAYING_MS:
        time = spoken_seconds(judged.wait_ms)
        longest = bool(review.waits) and review.waits[0].before == judged.number
        forms: tuple[str, ...] = (
            f"{who(review)} had it after {time}",
            f"at the table it took {time}",
            f"{who(review)} wrote it down {time} after the stroke before",
        )
        if longest:
            forms = (f"at the table it took {time}, the longest rest of the whole solve",)
        parts.append(speech.pick("took", str(judged.number), forms))
    if unlocked:
        strokes = "stroke follows" if unlocked == 1 else "strokes follow"
        forms = (f"{number(unlocked)} more {strokes} from it before long",)
        if unlocked > 1:
            forms = (*forms, f"watch what it opens: {number(unlocked)} more {strokes} from it")
        if unlocked > 1 and parts:
            forms = (*forms, f"and it is worth the wait: {number(unlocked)} more {strokes} from it")
        parts.append(speech.pick("opens", str(judged.number), forms))
    elif judged.open == 0:
        parts.append("nothing else lay open at that moment")
    elif judged.argument:
        of = str(seed(judged.argument))
        others = "one other digit" if judged.open == 1 else f"{number(judged.open)} other digits"
        forms = (f"{others} lay open besides", f"there were {others} within reach", f"{others} could have gone in too")
        parts.append(speech.pick("open", of, forms))
    return said(*parts)
