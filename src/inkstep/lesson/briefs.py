"""One stroke in one clause: how quick strokes are told that share a scene."""

from __future__ import annotations

from collections.abc import Callable

from inkstep.grid.geometry import CLASSIC
from inkstep.lesson.speech import Speech
from inkstep.reasoning.argument import Argument, Step
from inkstep.reasoning.wording import short_reason
from inkstep.reasoning.words.naming import a, digits, listed, number
from inkstep.reasoning.words.outline import kind, lacks
from inkstep.reasoning.words.runs import foreign, goal, held
from inkstep.review.findings import StrokeReview
from inkstep.trace.grammar import action_text
from inkstep.trace.strokes import Kind, Reading, Stroke, Where

Forms = tuple[str, ...]

#: a mark over more cells than this is named by none of them
_NAMED = 3


def brief(judged: StrokeReview, speech: Speech) -> str:
    """The stroke as an independent clause, roles marked: "row 4 takes its last digit, the 8"."""
    stroke = judged.stroke
    what = f"brief {stroke.kind}"
    if stroke.kind is Kind.DIGIT:
        forms, what = digit_forms(judged, speech)
    elif stroke.kind is Kind.MARK:
        kept = kept_in_mind(judged)
        forms, what = tuple(form + kept for form in mark_forms(stroke, speech)), f"brief {stroke.reading}"
    elif stroke.kind is Kind.NOTE:
        forms = (f"{note_words(stroke)} is noted {place_words(stroke, speech)}",)
    else:
        forms = (f"{struck_words(stroke, speech)} is crossed out{_since(judged, speech)}",)
    return speech.pick(what, action_text(stroke), forms)


def kept_in_mind(judged: StrokeReview) -> str:
    """What had to be held for a stroke, as a tail to its clause; empty where nothing was."""
    if judged.argument is None or len(judged.argument.steps) < 2:
        return ""
    _, apart, tail = short_reason(judged.argument).partition(", with ")
    return f", with {held(tail.removesuffix(' held in mind'))} in mind" if apart else ""


def digit_forms(judged: StrokeReview, speech: Speech) -> tuple[Forms, str]:
    """Ways to tell of a digit in one clause, and a name for this kind of telling."""
    argument = judged.argument
    if argument is None:
        at, digit = goal(speech.tongue.spot(judged.stroke.cells[0])), judged.stroke.digits[0]
        return (f"{a(digit)} goes in at {at}", f"{at} gets its {digit}"), "brief bare"
    step = argument.last
    if step.notes and kind(step) == "place":
        return _by_mark(judged, step, speech), "brief by mark"
    name = kind(step)
    return _FORMS.get(name, _other)(argument, step, speech), f"brief {name}"


def _last(argument: Argument, step: Step, speech: Speech) -> Forms:
    house, digit = speech.tongue.house(step.frame[0]), goal(str(step.digits[0]))
    return (
        f"the {digit} completes {house}",
        f"{house} closes with its {digit}",
        f"{house} lacks only the {digit}",
        f"in {house} only the {digit} is missing",
    )


def _place(argument: Argument, step: Step, speech: Speech) -> Forms:
    house, digit, cell = speech.tongue.house(step.frame[0]), step.digits[0], step.cells[0]
    if step.frame[0] in CLASSIC.boxes:
        at = goal(speech.tongue.spot(cell))
        return (
            f"the {digit} of {house} has only {at} left",
            f"{house} takes its {digit} at {at}",
            f"{at} is the last place for the {digit} of {house}",
        )
    within = goal(speech.tongue.within((cell,), step.frame[0]))
    return (
        f"in {house} the {digit} has only {within} left",
        f"{house} can have its {digit} nowhere but in {within}",
        f"the {digit} of {house} falls to {within}",
    )


def _by_mark(judged: StrokeReview, step: Step, speech: Speech) -> Forms:
    house, digit, cell = speech.tongue.house(step.frame[0]), step.digits[0], step.cells[0]
    where = speech.tongue.spot(cell) if step.frame[0] in CLASSIC.boxes else speech.tongue.within((cell,), step.frame[0])
    if len(step.notes) > 1:
        return (
            f"the marks settle the {goal(str(digit))} of {house}",
            f"the marks leave the {digit} of {house} only {goal(where)}",
            f"the marks send the {digit} of {house} to {goal(where)}",
        )
    mark = _mark(judged, step, speech)
    return (
        f"{mark} settles the {goal(str(digit))} of {house}",
        f"by {mark}, the {digit} of {house} falls to {goal(where)}",
        f"{house} has only {goal(where)} left for its {digit}, as {mark} says",
    )


def _mark(judged: StrokeReview, step: Step, speech: Speech) -> str:
    """The one mark that a step reads: "the mark in rows 6 and 8 of column 9"."""
    cells = judged.position.notes[step.notes[0]].cells
    if len(cells) > _NAMED:
        return "the mark"
    return f"the mark {'in' if len(cells) > 1 and speech.tongue.in_line(cells) else 'at'} {speech.tongue.cells(cells)}"


def _cell(argument: Argument, step: Step, speech: Speech) -> Forms:
    digit, at = step.digits[0], goal(speech.tongue.spot(step.cells[0]))
    return (
        f"nothing but {a(digit)} fits at {at}",
        f"{at} can only be {a(digit)}",
        f"every digit but the {digit} is ruled out at {at}",
    )


def _stock(argument: Argument, step: Step, speech: Speech) -> Forms:
    digit, cell, house = step.digits[0], step.cells[0], speech.tongue.house(step.frame[0])
    missing = digits(lacks(argument, step))
    in_box = step.frame[0] in CLASSIC.boxes
    where = goal(f"at {speech.tongue.spot(cell)}" if in_box else f"in {speech.tongue.within((cell,), step.frame[0])}")
    return (
        f"{house} lacks {missing}, and only the {digit} fits {where}",
        f"of the {missing} that {house} lacks, the {digit} goes {where}",
        f"{house} still needs {missing}: only the {digit} fits {where}",
    )


def _other(argument: Argument, step: Step, speech: Speech) -> Forms:
    at = goal(speech.tongue.spot(step.cells[0]))
    return (f"the {step.digits[0]} goes in at {at}",)


_FORMS: dict[str, Callable[[Argument, Step, Speech], Forms]] = {
    "last": _last,
    "place": _place,
    "cell": _cell,
    "stock": _stock,
}


def mark_words(stroke: Stroke, speech: Speech) -> str:
    """What a mark speaks of, as a subject: "the 7 of box 4"; "1 and 5"."""
    if stroke.reading is Reading.PLACES:
        of = f" of {speech.tongue.house(stroke.house)}" if stroke.house is not None else ""
        return f"the {stroke.digits[0]}{of}"
    return digits(sorted(stroke.digits))


def mark_place(stroke: Stroke, speech: Speech) -> str:
    """Where a mark says its digits are: "in two cells"; "across rows 7 and 8 of column 9"."""
    if stroke.reading is Reading.PLACES:
        return goal(f"in {number(len(stroke.cells))} cells")
    across = "across" if stroke.reading is Reading.SET else "at"
    return f"{across} {goal(speech.tongue.cells(stroke.cells))}"


def is_or_are(stroke: Stroke) -> str:
    """The verb for ``mark_words``."""
    return "is" if len(stroke.digits) == 1 else "are"


def mark_forms(stroke: Stroke, speech: Speech) -> Forms:
    """Ways to tell of a mark in one clause."""
    what, where, verb = mark_words(stroke, speech), mark_place(stroke, speech), is_or_are(stroke)
    if stroke.reading is Reading.PLACES:
        count = number(len(stroke.cells))
        return (
            f"{what} is marked {where}",
            f"{what} gets {goal(f'{count} places')}",
            f"{count} small {stroke.digits[0]}s go in for {goal(what.partition(' of ')[2] or 'it')}",
        )
    if stroke.reading is Reading.SET:
        return (f"{what} {verb} written {where}", f"a mark {where} says {what}")
    return (f"{what} {verb} noted {where}", f"a small {what} {'goes' if verb == 'is' else 'go'} in {where}")


def struck_words(stroke: Stroke, speech: Speech) -> str:
    """What a strike crosses out, as a subject."""
    if stroke.replaces is not None:
        return f"the {stroke.replaces} at {goal(speech.tongue.spot(stroke.cells[0]))}"
    if not stroke.cells or not stroke.digits:
        return f"the note {note_words(stroke)}"
    return f"the mark of {digits(sorted(stroke.digits))} {_at(stroke, speech)}"


def _since(judged: StrokeReview, speech: Speech) -> str:
    """The digit on the page that closed a struck mark, as a tail to its clause; empty where no one digit did."""
    argument, geometry = judged.argument, CLASSIC
    if argument is None or len(argument.steps) > 1 or len(argument.goal) > 1:
        return ""
    gone = argument.goal[0]
    closing = (cell for cell in argument.witnesses if judged.position.digits[cell] == gone.digit)
    shared = (h for cell in closing for h in geometry.houses_of[cell] if h in geometry.houses_of[gone.cell])
    house = next(shared, None)
    return "" if house is None else f", since {speech.tongue.house(house)} has its {gone.digit}"


def _at(stroke: Stroke, speech: Speech) -> str:
    return f"{'in' if len(stroke.cells) > 1 else 'at'} {goal(speech.tongue.cells(stroke.cells))}"


def note_words(stroke: Stroke) -> str:
    """What a note says, quoted where it is words."""
    return f"“{foreign(stroke.text)}”" if stroke.text else listed(map(str, stroke.digits))


def place_words(stroke: Stroke, speech: Speech) -> str:
    """Where a note or a mark stands: "above box 1", "beside row 5", "across the border"."""
    if stroke.place.house is not None:
        house = speech.tongue.house(stroke.place.house)
        return f"{_SIDES[stroke.place.where]} {house}"
    if stroke.cells:
        return _at(stroke, speech)
    return "on the margin"


_SIDES = {
    Where.ABOVE: "above",
    Where.BELOW: "below",
    Where.LEFT: "to the left of",
    Where.RIGHT: "to the right of",
}
