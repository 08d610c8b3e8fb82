"""What is told when a stroke is wide, wrong, mended, crossed out, or ahead of its reasons: kindly, and with what was so."""

from __future__ import annotations

from collections.abc import Iterator

from inkstep.grid.geometry import CLASSIC
from inkstep.ground.clock import spoken_seconds
from inkstep.lesson.briefs import is_or_are, mark_place, mark_words, struck_words
from inkstep.lesson.speech import Speech, Words, doubt
from inkstep.reasoning.argument import Argument
from inkstep.reasoning.wording import explain, plain
from inkstep.reasoning.words.naming import a
from inkstep.reasoning.words.runs import goal
from inkstep.review.findings import Review, StrokeReview, Verdict
from inkstep.trace.strokes import Kind, Reading, Stroke

#: words of an explanation; of several that would do, one no longer than this is told
_TOO_LONG = 48


def told_wide(judged: StrokeReview, speech: Speech) -> Iterator[str | Words]:
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


def told_false(judged: StrokeReview, review: Review, speech: Speech) -> Iterator[str | Words]:
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


def told_mended(judged: StrokeReview, speech: Speech) -> Iterator[str | Words]:
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


def told_unseen(judged: StrokeReview, speech: Speech) -> Iterator[str | Words]:
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


def told_strike(judged: StrokeReview, speech: Speech) -> Iterator[str | Words]:
    """Something crossed out: rightly, wrongly, or because it had no more to say."""
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
