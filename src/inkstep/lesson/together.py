"""Several quick strokes told in one breath."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from inkstep.grid.geometry import CLASSIC
from inkstep.ground.clock import spoken_seconds
from inkstep.lesson.briefs import brief, is_or_are, kept_in_mind, mark_words
from inkstep.lesson.own import own_words
from inkstep.lesson.speech import Speech, Words, said
from inkstep.reasoning.argument import Argument
from inkstep.reasoning.words.naming import digits, listed, number
from inkstep.reasoning.words.outline import kind
from inkstep.reasoning.words.runs import goal
from inkstep.review.findings import StrokeReview
from inkstep.trace.strokes import Kind, Reading, Stroke

#: words in a sentence of several clauses, and clauses
_LONGEST, _MOST = 26, 3
#: from this effort on everybody but those who race is told a quick digit's whole reason, in looks
_HEAVY = 7.0
#: a newcomer is told any reason from this effort on, so many times for each kind: few trials suffice (Nam and McClelland,
#: 2024, found a hidden single mastered within ten by those who master it), and what is known is told briefly
_LIGHT, _TRIALS, _MARK_TRIALS = 1.8, 6, 3
_NEW, _RACING = "newcomer", "contest"
#: milliseconds a stroke: a hand that flies
_FLYING_MS = 750
#: so many digits of one kind, or marks, are told as one
_SERIES = 3
#: marks in one list
_LISTED = 4


@dataclass(frozen=True, slots=True)
class _Clause:
    """A clause, and whether it follows from the one before."""

    text: str
    follows: bool = False


def told_together(strokes: Sequence[StrokeReview], speech: Speech, audience: str, *, paced: bool = False) -> Words:
    """The strokes in a few sentences: briefly for those who race, more fully for newcomers.

    ``paced``: how fast they came has been said. A stroke for which the teacher has words is told in these.
    """
    parts: list[str | Words] = ["" if paced else _pace(strokes, speech)]
    for (is_own, is_mark), group in groupby(strokes, key=lambda s: (bool(s.words), s.stroke.kind is Kind.MARK)):
        run = list(group)
        if is_own:
            parts += map(own_words, run)
        else:
            parts += _marks(run, speech, audience) if is_mark else _digits(run, speech, audience)
    return said(*parts)


def _pace(strokes: Sequence[StrokeReview], speech: Speech) -> str:
    """A word on the pace, now and then, where the hand flew."""
    waits = [judged.wait_ms for judged in strokes]
    known = [wait for wait in waits if wait is not None]
    if len(strokes) < _SERIES or len(known) < len(strokes) or sum(known) > _FLYING_MS * len(strokes):
        return ""
    count, time = number(len(strokes)), spoken_seconds(sum(known))
    forms = ("", "", f"now it goes quickly, {count} strokes in {time}", "")
    return speech.pick("pace", str(strokes[0].number), forms)


def _digits(strokes: Sequence[StrokeReview], speech: Speech, audience: str) -> Iterator[str | Words]:
    """Digits, and what else is no mark, as sentences."""
    waiting: list[_Clause] = []
    index = 0
    while index < len(strokes):
        series = _series(strokes[index:])
        judged = strokes[index]
        if len(series) >= _SERIES and audience != _NEW:
            yield from _sentences(waiting, speech)
            waiting = []
            yield _one_digit(series, speech)
            index += len(series)
            continue
        if judged.argument and judged.stroke.kind is Kind.DIGIT and _deserves_all(judged.argument, speech, audience):
            yield from _sentences(waiting, speech)
            waiting = []
            yield speech.explain(judged.argument, judged.position)
        else:
            waiting.append(_Clause(brief(judged, speech), index > 0 and _follows(strokes[index - 1], judged)))
        index += 1
    yield from _sentences(waiting, speech)


def _deserves_all(argument: Argument, speech: Speech, audience: str) -> bool:
    """Whether a quick digit is given its whole reason."""
    if len(argument.steps) > 1:
        return True
    if audience == _NEW and argument.effort >= _LIGHT and speech.explained(argument) < _TRIALS:
        return True
    return audience != _RACING and argument.effort >= _HEAVY


def _follows(before: StrokeReview, judged: StrokeReview) -> bool:
    """Whether a digit became possible by the one just written."""
    argument = judged.argument
    if argument is None or before.stroke.kind is not Kind.DIGIT or judged.stroke.kind is not Kind.DIGIT:
        return False
    cell = before.stroke.cells[0]
    return cell in argument.witnesses or any(cell in CLASSIC.house_cells[h] for h in argument.last.frame)


def _series(strokes: Sequence[StrokeReview]) -> list[StrokeReview]:
    """The digits at the start that are one and the same, each with a last place."""
    found: list[StrokeReview] = []
    for judged in strokes:
        argument = judged.argument
        if judged.stroke.kind is not Kind.DIGIT or argument is None or len(argument.steps) > 1:
            break
        if kind(argument.last) not in ("place", "last") or judged.stroke.digits != strokes[0].stroke.digits:
            break
        found.append(judged)
    return found


def _one_digit(series: Sequence[StrokeReview], speech: Speech) -> str:
    """One digit going round the houses."""
    digit = series[0].stroke.digits[0]
    places = []
    for judged in series:
        house = judged.argument.last.frame[0] if judged.argument else 0
        cell = judged.stroke.cells[0]
        where = f"at {speech.tongue.spot(cell)}" if house in CLASSIC.boxes else f"in {speech.tongue.within((cell,), house)}"
        places.append(f"{speech.tongue.house(house)} {goal(where)}")
    count = number(len(series))
    forms = (
        f"now the {digit}s, one after another, each in the last place left: {'; '.join(places)}",
        f"{count} {digit}s fall in a row, each with one place left: {'; '.join(places)}",
        f"the {digit} goes round, and has one place left each time: {'; '.join(places)}",
    )
    return speech.pick("series", str(series[0].number), forms)


def _sentences(items: Sequence[_Clause], speech: Speech) -> Iterator[str]:
    """Clauses joined to sentences that can be said in one breath."""
    said_so_far: list[str] = []
    words = 0
    for item in items:
        count = len(item.text.split())
        if said_so_far and (words + count > _LONGEST or len(said_so_far) == _MOST):
            yield "".join(said_so_far)
            said_so_far, words = [], 0
        said_so_far.append(item.text if not said_so_far else f"{_link(item, len(said_so_far), speech)} {item.text}")
        words += count
    if said_so_far:
        yield "".join(said_so_far)


def _link(item: _Clause, place: int, speech: Speech) -> str:
    if item.follows:
        return speech.pick("so", item.text, (", and so", ", so"))
    return speech.pick("then", item.text, (", then", ", and", ", and then"))


def _marks(strokes: Sequence[StrokeReview], speech: Speech, audience: str) -> Iterator[str | Words]:
    """Marks as sentences, those that can be listed in one."""
    first = strokes[0]
    if audience == _NEW and first.argument and speech.explained(first.argument) < _MARK_TRIALS:
        yield speech.explain(first.argument, first.position, claim_of(first, speech))
        strokes = strokes[1:]
    for reading, group in groupby(strokes, key=_listed_as):
        run = list(group)
        for start in range(0, len(run), _LISTED):
            part = run[start : start + _LISTED]
            if reading is None or len(part) == 1:
                yield from (brief(judged, speech) for judged in part)
            else:
                yield _places(part, speech) if reading is Reading.PLACES else _candidates(part, speech)


def _listed_as(judged: StrokeReview) -> Reading | None:
    """What kind of list a mark can stand in; a set stands alone, and so does a mark for which something was held."""
    if kept_in_mind(judged) or judged.stroke.reading is Reading.SET:
        return None
    return judged.stroke.reading


def _places(strokes: Sequence[StrokeReview], speech: Speech) -> str:
    """Marks of places as one sentence: "the 4s of boxes 6 and 7 and the 6 of box 2 are marked, in two places each"."""
    counts = {len(judged.stroke.cells) for judged in strokes}
    each = f", in {number(min(counts))} places each" if len(counts) == 1 else ", in two or three places each"
    if counts == {2} and not speech.first_time("two places"):
        # two places are the habit, and once said need no saying again
        each = ""
    what = listed(_families(strokes, speech))
    forms = (
        f"{what} are marked{each}",
        f"marks go in for {what}{each}",
        f"{what} get their marks{each}",
        f"next to be marked are {what}{each}",
    )
    return speech.pick("marks", str(strokes[0].number), forms)


def _families(strokes: Sequence[StrokeReview], speech: Speech) -> Iterator[str]:
    """Marks of one house, or of one digit, named together."""
    index = 0
    while index < len(strokes):
        rest = [judged.stroke for judged in strokes[index:]]
        by_house = _same(rest, lambda stroke: stroke.house)
        by_digit = _same(rest, lambda stroke: stroke.digits)
        family = rest[: max(by_house, by_digit)]
        houses = goal(speech.tongue.houses(stroke.house for stroke in family if stroke.house is not None))
        named = digits(stroke.digits[0] for stroke in family) if by_house >= by_digit else f"{rest[0].digits[0]}s"
        yield f"the {named} of {houses}"
        index += len(family)


def _same(strokes: Sequence[Stroke], what: Callable[[Stroke], object]) -> int:
    """How many strokes at the start agree with the first in ``what``."""
    return next((i for i, stroke in enumerate(strokes) if what(stroke) != what(strokes[0])), len(strokes))


def _candidates(strokes: Sequence[StrokeReview], speech: Speech) -> str:
    """Candidates of several cells as one sentence."""
    count = number(len(strokes))
    what = goal(", and ".join(_sets(strokes)) if len(strokes) == 2 else listed(_sets(strokes)))
    forms = (
        f"{count} cells get the digits that they have left: {what}",
        f"what is left for {count} cells is noted: {what}",
        f"{count} cells are down to a few digits each: {what}",
    )
    return speech.pick("candidates", str(strokes[0].number), forms)


def _sets(strokes: Sequence[StrokeReview]) -> list[str]:
    return [digits(sorted(judged.stroke.digits)) for judged in strokes]


def claim_of(judged: StrokeReview, speech: Speech) -> str:
    """What a mark's argument ends in: "both get a small 7"."""
    stroke = judged.stroke
    forms: tuple[str, ...]
    count, said_digits = len(stroke.cells), digits(sorted(stroke.digits))
    if judged.argument and kind(judged.argument.last) not in ("hatch", "scan"):
        # the reason named no cells, so the claim does
        return f"{mark_words(stroke, speech)} {is_or_are(stroke)} marked in {speech.tongue.cells(stroke.cells)}"
    if stroke.reading is Reading.PLACES:
        who = "both get" if count == 2 else f"all {number(count)} get"
        digit = stroke.digits[0]
        forms = (f"{who} a small {digit}", f"the {digit} is marked there", f"a small {digit} goes into {_each(count)}")
    elif stroke.reading is Reading.SET:
        forms = (f"{said_digits} are written across them", f"{said_digits} are marked there, once for {_them(count)}")
    else:
        forms = (f"{said_digits} are noted there", f"it is marked {said_digits}")
    return speech.pick(f"claim {stroke.reading}", str(judged.number), forms)


def _each(count: int) -> str:
    return "each" if count == 2 else f"all {number(count)}"


def _them(count: int) -> str:
    return "both" if count == 2 else f"all {number(count)}"
