"""Headlines of scenes: what happened, not what technique it was."""

from __future__ import annotations

from collections.abc import Sequence

from inkstep.grid.geometry import CLASSIC
from inkstep.ground.clock import spoken_seconds
from inkstep.lesson.briefs import place_words
from inkstep.lesson.speech import Speech
from inkstep.reasoning.wording import headline
from inkstep.reasoning.words.naming import a, digits, number, the_digits
from inkstep.reasoning.words.outline import seed
from inkstep.reasoning.words.runs import bare
from inkstep.review.findings import StrokeReview, Verdict
from inkstep.review.pace import REST_MS
from inkstep.trace.strokes import Kind, Reading, Stroke

#: forms of one argument's headline that are tried before one is used again
_TRIES = 5

#: digits that a headline names one by one
_NAMED, _MARKED = 4, 3

Forms = tuple[str, ...]


def headline_of(strokes: Sequence[StrokeReview], speech: Speech, used: set[str]) -> str:
    """A headline for the scene of ``strokes``, not one of those ``used`` where another can be had."""
    if len(strokes) == 1 and _is_plain(strokes[0]):
        return _of_argument(strokes[0], used)
    forms = _alone(strokes[0], speech) if len(strokes) == 1 else _together(strokes, speech)
    fresh = [form for form in forms if _titled(form) not in used]
    return _titled(speech.pick("headline", str(strokes[0].number), fresh or forms))


def _titled(text: str) -> str:
    text = bare(text)
    return text[:1].upper() + text[1:]


def _is_plain(judged: StrokeReview) -> bool:
    return judged.argument is not None and judged.verdict is Verdict.FOLLOWS and judged.stroke.kind is not Kind.STRIKE


def _of_argument(judged: StrokeReview, used: set[str]) -> str:
    if judged.argument is None:
        return ""
    start = seed(judged.argument)
    forms = [headline(judged.argument, variety=start + more) for more in range(_TRIES)]
    return next((form for form in forms if form not in used), forms[0])


def _alone(judged: StrokeReview, speech: Speech) -> Forms:
    stroke = judged.stroke
    if stroke.kind is Kind.NOTE:
        place = place_words(stroke, speech)
        return (f"a note {place}", f"something noted {place}")
    if stroke.kind is Kind.STRIKE:
        what = "a digit" if stroke.crosses_digit else "a mark" if stroke.cells else "a note"
        return (f"{what} is crossed out", f"a line through {what}")
    return _of_verdict(judged, speech)


def _of_verdict(judged: StrokeReview, speech: Speech) -> Forms:
    stroke = judged.stroke
    if judged.verdict is Verdict.WIDE:
        return _wide(stroke, speech)
    if judged.verdict is Verdict.FALSE:
        slip = ("a slip of the pen", f"{a(stroke.digits[0])} that cannot stay")
        return ("a mark goes astray",) if stroke.kind is Kind.MARK else slip
    if judged.verdict is Verdict.CORRECTION:
        return ("the slip is put right", f"{a(stroke.digits[0])} takes its place")
    if judged.verdict is Verdict.NOTE:
        return ("nothing new", "written once more")
    return ("right, but from where?", "a stroke ahead of its reasons", "more than the page shows")


def _wide(stroke: Stroke, speech: Speech) -> Forms:
    count = number(len(stroke.cells))
    if stroke.reading is Reading.PLACES and stroke.house is not None:
        house, digit = CLASSIC.house_name(stroke.house), stroke.digits[0]
        return (
            f"{count} places for the {digit} of {house}, and fewer would do",
            f"a wide mark for the {digit} of {house}",
            f"the {digit} of {house} could be said more closely",
        )
    marked = digits(sorted(stroke.digits))
    return (f"a mark wider than it need be, {marked}", f"{marked}, and less would do")


def _together(strokes: Sequence[StrokeReview], speech: Speech) -> Forms:
    if any(judged.verdict is Verdict.FALSE and judged.stroke.kind is Kind.DIGIT for judged in strokes):
        return ("a slip, and its correction", "a slip, seen at once", "wrong for a moment")
    kinds = {judged.stroke.kind for judged in strokes}
    if kinds == {Kind.DIGIT}:
        return _digits(strokes)
    if kinds == {Kind.MARK}:
        return _marks(strokes)
    return _mixed(strokes)


def _mixed(strokes: Sequence[StrokeReview]) -> Forms:
    """Digits among marks: what stands out of them."""
    written = [judged.stroke.digits[0] for judged in strokes if judged.stroke.kind is Kind.DIGIT]
    marks = [judged.stroke for judged in strokes if judged.stroke.kind is Kind.MARK]
    box = _shared(strokes, CLASSIC.boxes)
    where = f" in {box}" if box else ""
    pencil = f"a mark for {digits(sorted(marks[0].digits))}" if len(marks) == 1 else f"{number(len(marks))} marks"
    if not written or not marks:
        return (f"{number(len(strokes))} strokes in passing{where}", f"{number(len(strokes))} quick strokes{where}")
    if len(written) == 1:
        one = a(written[0])
        return (f"{one} among the marks{where}", f"{one} and {pencil}{where}", f"{pencil}, and {one} between{where}")
    count = f"{number(len(written))} digits"
    named = (f"{digits(written)}, with {pencil}{where}",) if len(set(written)) == len(written) <= _NAMED else ()
    return (f"{count} and {pencil}{where}", *named, f"{pencil} on the way to {count}{where}")


def _digits(strokes: Sequence[StrokeReview]) -> Forms:
    count, written = number(len(strokes)), [judged.stroke.digits[0] for judged in strokes]
    if len(set(written)) == 1:
        return (f"the {written[0]}s fall into place", f"{count} {written[0]}s in a row", f"the {written[0]} goes round")
    house = _shared(strokes, range(27))
    if house:
        return (f"{house} fills up", f"{count} digits for {house}", f"{house}, one after another")
    time = _time(strokes)
    timed = (f"{count} digits in {time}",) if time else ()
    named = (f"{count} digits, {digits(written)}",) if len(set(written)) == len(written) <= _NAMED else ()
    ends = (f"from the {written[0]} to the {written[-1]}",) if written[0] != written[-1] else ()
    return (*timed, *named, f"{count} quick digits", *ends)


def _marks(strokes: Sequence[StrokeReview]) -> Forms:
    count = number(len(strokes))
    house = _shared(strokes, range(27))
    if house:
        return (f"{count} marks in {house}", f"{house} gets its marks", f"{house}, in pencil")
    marked = [judged.stroke.digits for judged in strokes]
    if len(set(marked)) == 1 and len(marked[0]) == 1:
        return (f"where the {marked[0][0]}s can go", f"{count} marks for the {marked[0][0]}")
    if all(judged.stroke.reading is Reading.CELL for judged in strokes):
        return (f"{count} cells, few digits left", f"{count} cells and what they can hold", f"{count} cells narrowed down")
    time = _time(strokes)
    timed = (f"{count} marks in {time}",) if time else ()
    wanted = sorted({digit for digits_of in marked for digit in digits_of})
    if len(wanted) <= _MARKED:
        return (*timed, f"where {the_digits(wanted)} can go", f"marks for {digits(wanted)}", f"{digits(wanted)} in pencil")
    return (*timed, f"{count} marks", "the paper gathers marks", f"{count} marks in passing")


def _shared(strokes: Sequence[StrokeReview], houses: Sequence[int]) -> str:
    """The one house of ``houses`` that holds every cell written in, the box first."""
    cells = [cell for judged in strokes for cell in judged.stroke.cells]
    shared = [h for h in CLASSIC.shared_houses(sum(1 << cell for cell in set(cells))) if h in houses] if cells else []
    return CLASSIC.house_name(shared[-1]) if shared else ""


def _time(strokes: Sequence[StrokeReview]) -> str:
    """How long the strokes took, where the hand did not rest between."""
    waits = [judged.wait_ms for judged in strokes]
    if any(wait is None or wait > REST_MS for wait in waits):
        return ""
    return spoken_seconds(sum(wait or 0 for wait in waits))
