"""One stroke that deserves a scene of its own, told in a few sentences."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from inkstep.grid.geometry import CLASSIC
from inkstep.ground.clock import spoken_seconds
from inkstep.lesson.briefs import (
    brief,
    is_or_are,
    kept_in_mind,
    mark_place,
    mark_words,
    note_words,
    place_words,
    struck_words,
)
from inkstep.lesson.speech import Speech, Words, doubt, said
from inkstep.lesson.together import claim_of
from inkstep.reasoning.argument import Argument
from inkstep.reasoning.wording import explain, plain
from inkstep.reasoning.words.naming import a, number
from inkstep.reasoning.words.outline import seed
from inkstep.reasoning.words.runs import foreign, goal
from inkstep.review.findings import Review, StrokeReview, Verdict
from inkstep.review.pace import REST_MS
from inkstep.trace.strokes import Kind, Reading, Stroke

#: how a reading of a note begins that is about a digit's places
_TO_PLACE = ", to be placed"
#: words of an explanation; a longer one is put off for the page
_TOO_LONG = 48
#: milliseconds: a time worth saying
_WORTH_SAYING_MS = 1_500
#: looks: an effort worth saying, and how much lighter something that lay open must be to be worth saying
_HEAVY, _LIGHTER = 8.0, 4.0


def told_alone(judged: StrokeReview, review: Review, speech: Speech) -> Words:
    """The stroke's own story: how long it took, what was seen and held, or what went wrong."""
    return said(_rest(judged, review, speech), *_tale(judged, review, speech))


def _tale(judged: StrokeReview, review: Review, speech: Speech) -> Iterator[str | Words]:
    if judged.stroke.kind is Kind.NOTE:
        yield from _note(judged, review, speech)
    elif judged.stroke.kind is Kind.STRIKE:
        yield from _strike(judged, speech)
    elif judged.verdict is Verdict.FALSE:
        yield from _false(judged, review, speech)
    elif judged.verdict is Verdict.CORRECTION:
        yield from _mended(judged, speech)
    elif judged.verdict is Verdict.UNSEEN:
        yield from _unseen(judged, speech)
    elif judged.verdict is Verdict.WIDE:
        yield from _wide(judged, speech)
    elif judged.argument and judged.stroke.kind is Kind.MARK:
        yield from _mark(judged, speech)
    elif judged.argument and speech.still_holds(judged.argument):
        yield _still(judged, speech)
    elif judged.argument:
        yield speech.explain(judged.argument, judged.position)
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


def _wide(judged: StrokeReview, speech: Speech) -> Iterator[str | Words]:
    """A mark that says less than could be known, and what it could have said."""
    stroke = judged.stroke
    what, where, verb = mark_words(stroke, speech), mark_place(stroke, speech), is_or_are(stroke)
    forms: tuple[str, ...] = (
        f"now {what} {verb} marked {where}, and {doubt('that is wider than it need be')}",
        f"{what} {verb} marked {where}, though {doubt('less would have done')}",
        f"the mark for {what}, {where}, {doubt('says less than it could')}",
    )
    if stroke.reading is Reading.PLACES:
        forms = (*forms, f"{where} {what} {verb} marked, {doubt('a little wide')}")
    yield speech.pick("wide", str(judged.number), forms)
    lengths = {length: each for each in reversed(judged.instead) if (length := _words(each, judged, speech))}
    chosen = next((each for length, each in reversed(lengths.items()) if length <= _TOO_LONG), None)
    chosen = chosen or (lengths[min(lengths)] if lengths else None)
    if chosen:
        yield speech.explain(chosen, judged.position)
        if chosen.goal[0].holds and stroke.kind is Kind.MARK:
            fact = chosen.goal[0]
            ends = (
                "the digit itself could have been written",
                f"{a(fact.digit)} could have gone in at once",
                "no mark was needed here",
            )
            yield speech.pick("instead", str(judged.number), ends)


def _words(argument: Argument, judged: StrokeReview, speech: Speech) -> int:
    """How many words an argument takes."""
    return len(plain(explain(argument, judged.position, voice=speech.voice)).split())


def _false(judged: StrokeReview, review: Review, speech: Speech) -> Iterator[str | Words]:
    """A slip, told kindly, with what on the page speaks against it."""
    stroke = judged.stroke
    forms: tuple[str, ...]
    if stroke.kind is Kind.MARK:
        forms = (
            f"{_marked(stroke, speech)}, but {doubt('that is not so')}",
            f"here {doubt('a mark goes astray')}: {_marked(stroke, speech)}",
        )
        yield speech.pick("false mark", str(judged.number), forms)
        yield _true_instead(stroke, review, speech)
        return
    cell, digit = stroke.cells[0], stroke.digits[0]
    at = goal(speech.tongue.spot(cell))
    forms = (
        f"and here is {doubt('a slip')}, as happens at this speed: {a(digit)} goes in at {at}",
        f"{doubt('a slip')} of the pen now: {a(digit)} at {at}",
        f"it happens to everybody: {doubt(f'{a(digit)} is written')} at {at}",
    )
    yield speech.pick("slip", str(judged.number), forms)
    yield _against(judged, review, speech)


def _true_instead(stroke: Stroke, review: Review, speech: Speech) -> str:
    if stroke.reading is Reading.PLACES and stroke.house is not None:
        digit = stroke.digits[0]
        cell = next(c for c in CLASSIC.house_cells[stroke.house] if review.solution[c] == digit)
        return f"the {digit} of {speech.tongue.house(stroke.house)} belongs at {speech.tongue.spot(cell)}"
    cells = [c for c in stroke.cells if review.solution[c] not in stroke.digits]
    if cells:
        return f"{speech.tongue.the_cell(cells[0])} is {a(review.solution[cells[0]])} in the end"
    return "the digits are right, but not these cells for them"


def _against(judged: StrokeReview, review: Review, speech: Speech) -> str:
    """What on the page a false digit clashes with, or what belongs there."""
    cell, digit = judged.stroke.cells[0], judged.stroke.digits[0]
    page = review.pages[judged.number - 1]
    for house in CLASSIC.houses_of[cell]:
        if any(page.digits[c] == digit for c in CLASSIC.house_cells[house] if c != cell):
            return f"{speech.tongue.house(house)} has its {digit} already"
    return f"no digit in its row, column or box forbids it, but the cell needs {a(review.solution[cell])}"


def _mended(judged: StrokeReview, speech: Speech) -> Iterator[str | Words]:
    """A slip put right."""
    stroke = judged.stroke
    at = goal(speech.tongue.spot(stroke.cells[0]))
    after = f"after {spoken_seconds(judged.wait_ms)} " if judged.wait_ms else ""
    forms = (
        f"{after}the {stroke.replaces} at {at} is crossed out, and {a(stroke.digits[0])} takes its place",
        f"{after}it is seen and put right: {a(stroke.digits[0])} for the {stroke.replaces} at {at}",
    )
    yield speech.pick("mended", str(judged.number), forms)
    if judged.argument:
        yield speech.explain(judged.argument, judged.position)


def _unseen(judged: StrokeReview, speech: Speech) -> Iterator[str | Words]:
    """True, and nobody can say from the page why."""
    stroke = judged.stroke
    if stroke.kind is Kind.MARK:
        what = f"a mark, {mark_words(stroke, speech)} {mark_place(stroke, speech)}"
    else:
        what = f"{a(stroke.digits[0])} at {goal(speech.tongue.spot(stroke.cells[0]))}"
    forms = (
        f"{what} comes next, and it is right, but nothing within reach of the page says so",
        f"now {what}: right as it turns out, though the page does not show why yet",
        f"next comes {what}, which proves true, whether seen far ahead or felt",
    )
    yield speech.pick("unseen", str(judged.number), forms)


def _marked(stroke: Stroke, speech: Speech) -> str:
    return f"{mark_words(stroke, speech)} {is_or_are(stroke)} marked {mark_place(stroke, speech)}"


def _strike(judged: StrokeReview, speech: Speech) -> Iterator[str | Words]:
    stroke = judged.stroke
    what = struck_words(stroke, speech)
    if judged.verdict is Verdict.CORRECTION:
        forms = (f"{what} is crossed out, and rightly: it was not true", f"now {what} is put right with one line through it")
        yield speech.pick("struck", str(judged.number), forms)
    elif judged.verdict is Verdict.FALSE:
        yield f"here {what} is crossed out, though {doubt('something in it was true')}"
    elif judged.argument:
        yield speech.explain(judged.argument, judged.position)
        yield f"so {what} is crossed out"
    else:
        yield f"{what} is crossed out"
        if judged.verdict is Verdict.UNSEEN:
            yield "that is right, but the page does not show why yet"


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
            f"it claims nothing by itself, but it may say that {reading}",
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
