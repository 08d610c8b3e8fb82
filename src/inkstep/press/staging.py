"""A plan as a story for the page: scenes with evidence drawn, words in their colours, pauses that can be tried."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from inkstep.grid.geometry import CLASSIC
from inkstep.ground.clock import clock_text, spoken_seconds
from inkstep.ground.errors import InputError
from inkstep.lesson.narration import told
from inkstep.lesson.pauses import answer_of
from inkstep.lesson.plan import Part, Plan
from inkstep.lesson.plan import Pause as PlannedPause
from inkstep.lesson.prints import edited
from inkstep.lesson.whole import findings
from inkstep.press.drawing import NOTHING, Evidence, page_difference
from inkstep.press.pointing import evidence_of, question_evidence
from inkstep.press.running_order import Entry, running_order
from inkstep.press.story import Expected, Pause, Role, Run, Runs, Scene, Story, StoryStroke, Technique
from inkstep.reasoning.argument import Argument
from inkstep.reasoning.facts import Fact
from inkstep.reasoning.techniques import rank
from inkstep.reasoning.wording import Run as Words
from inkstep.reasoning.wording import headline, teach
from inkstep.review.findings import Review, StrokeReview, Verdict
from inkstep.trace.strokes import Kind, Reading, Stroke

#: chances left lying that are told beside the scene that ends them
_LYING = 6
_ROLES: tuple[Role, ...] = ("", "seen", "held", "goal", "doubt")


def story_of(plan: Plan, review: Review) -> Story:
    """The whole page: what the plan shows, in its order, words the teacher's where the teacher wrote them."""
    header = review.sheet.header
    entries = running_order(plan, review)
    return Story(
        title=plan.title,
        puzzle=header.puzzle,
        solution="".join(map(str, review.solution)),
        strokes=tuple(_strokes(review)),
        scenes=_scenes(entries, plan, review),
        event=header.event,
        solver=header.solver,
        total=_clock(review.sheet.length_ms) if review.sheet.length_ms else "",
        source=header.source,
        credit=header.credit,
        permission=header.permission,
        waits=tuple((wait.from_ms, wait.from_ms + wait.ms) for wait in review.waits),
        techniques=tuple(_techniques(entries)),
        findings=findings(review),
    )


def scenes_of(plan: Plan, review: Review) -> tuple[Scene, ...]:
    """The scenes of the page alone, one for each entry of :func:`inkstep.press.running_order.running_order`."""
    return _scenes(running_order(plan, review), plan, review)


def _scenes(entries: Iterable[Entry], plan: Plan, review: Review) -> tuple[Scene, ...]:
    texts = {name: text.words for name, text in told(review, plan.segments, plan.pauses, plan.audience, "page").items()}
    return tuple(_scene(entry, review, texts) for entry in entries)


def _scene(entry: Entry, review: Review, texts: Mapping[str, Sequence[Words]]) -> Scene:
    segment = entry.segment
    return Scene(
        id=entry.id,
        page=entry.page,
        at_ms=_shown_ms(entry, review),
        kicker=_kicker(entry, review),
        headline=segment.headline if segment else _answer_headline(entry),
        words=_words(entry, texts),
        evidence=_evidence(entry),
        asides=tuple(_asides(entry, review)),
        pause=_pause(entry.pause, review) if entry.pause else None,
    )


def _shown_ms(entry: Entry, review: Review) -> int | None:
    """The moment of the page that is shown: of the digit being written on it, else of the last stroke that stands."""
    if len(entry.strokes) == 1 and not entry.pause and entry.strokes[0].number == entry.page + 1:
        return entry.at_ms
    return review.strokes[entry.page - 1].stroke.at_ms if entry.page else entry.at_ms


# Words


def _runs(words: Iterable[Words]) -> Runs:
    return tuple(Run(run.text, role) for run in words for role in _ROLES if role == run.role)


def _plain(text: str) -> Runs:
    return (Run(text),) if text else ()


def _words(entry: Entry, texts: Mapping[str, Sequence[Words]]) -> Runs:
    """The program's words with their roles; a teacher's as they were written."""
    segment = entry.segment
    if segment is None:
        return ()
    is_ours = "narration" not in edited(segment)
    words = _runs(texts.get(segment.id, ())) if is_ours else _plain(segment.narration)
    if entry.folded and entry.strokes:
        answer = _answer(entry.folded, entry.strokes[0])
        words = (*answer, *(_plain(" ") if answer and words else ()), *words)
    return words


def _answer(pause: PlannedPause, judged: StrokeReview) -> Runs:
    ours = _runs(answer_of(judged, "page"))
    return ours if ours and "answer" not in edited(pause) else _plain(pause.answer)


def _answer_headline(entry: Entry) -> str:
    argument = entry.strokes[0].argument
    return headline(argument) if argument else "The answer"


def _asides(entry: Entry, review: Review) -> Iterator[str]:
    """The presenter's own remarks, and what had lain open until now."""
    if entry.segment is None or entry.segment.kind in (Part.OPENING, Part.CLOSING):
        return
    numbers = {judged.number for judged in entry.strokes}
    yield from (judged.stroke.comment for judged in entry.strokes if judged.stroke.comment)
    for left in review.lying[:_LYING]:
        if left.until in numbers and left.for_ms:
            yield f"The {left.digit} at {CLASSIC.cell_name(left.cell)} had lain open for {spoken_seconds(left.for_ms)}."


# Times


def _clock(ms: int) -> str:
    """``0:34.7``"""
    return clock_text(ms)[:-2]


def _kicker(entry: Entry, review: Review) -> str:
    """When and what, in small letters above the headline; of a pause it tells only when."""
    if entry.pause:
        before = review.strokes[entry.page - 1].stroke.at_ms if entry.page else 0
        return f"{_clock(before)} · pause here" if before is not None else "pause here"
    if not entry.strokes:
        if entry.segment and entry.segment.kind is Part.OPENING:
            return "before the first stroke"
        return "after the last stroke" if entry.segment and entry.segment.kind is Part.CLOSING else "an aside"
    if len(entry.strokes) == 1:
        return _one_kicker(entry.strokes[0], review)
    return _several_kicker(entry.strokes)


def _one_kicker(judged: StrokeReview, review: Review) -> str:
    parts = []
    if judged.stroke.at_ms is not None:
        parts.append(_clock(judged.stroke.at_ms))
    name = _ordinal(sum(s.stroke.kind is judged.stroke.kind for s in review.strokes[: judged.number]))
    wait = f", {judged.wait_ms / 1000:.1f} s after the last" if judged.wait_ms is not None and judged.number > 1 else ""
    return " · ".join([*parts, f"{name} {judged.stroke.kind}{wait}"])


def _several_kicker(strokes: Sequence[StrokeReview]) -> str:
    first, last = strokes[0].stroke.at_ms, strokes[-1].stroke.at_ms
    count = f"{len(strokes)} strokes"
    return f"{_clock(first)} to {_clock(last)} · {count}" if first is not None and last is not None else count


def _ordinal(number: int) -> str:
    ending = "th" if number % 100 in (11, 12, 13) else {1: "st", 2: "nd", 3: "rd"}.get(number % 10, "th")
    return f"{number}{ending}"


# Evidence


def _evidence(entry: Entry) -> Evidence:
    """What is pointed out: of a pause what its question names, of one stroke its reasons, of several their cells."""
    if not entry.strokes or (entry.segment and entry.segment.kind is Part.ASIDE):
        return NOTHING
    first = entry.strokes[0]
    if entry.pause:
        return question_evidence(first.argument) if first.argument else NOTHING
    if len(entry.strokes) > 1:
        return _several(entry.strokes)
    argument = first.instead[0] if first.verdict is Verdict.WIDE and first.instead else first.argument
    if first.verdict is Verdict.WIDE and argument:
        return replace(evidence_of(argument, first.position), written=(), doubt=(first.number,))
    if first.verdict in (Verdict.FALSE, Verdict.UNSEEN) or argument is None:
        doubt = (first.number,) if first.verdict is Verdict.FALSE else ()
        return Evidence(goal=first.stroke.cells, doubt=doubt)
    return _of_stroke(first, argument, entry)


def _of_stroke(judged: StrokeReview, argument: Argument, entry: Entry) -> Evidence:
    """The argument's evidence; a digit that stands on the page already is not written again."""
    found = evidence_of(argument, judged.position)
    if judged.stroke.kind is Kind.MARK:
        found = replace(found, goal=judged.stroke.cells, removed=())
    return replace(found, written=()) if entry.page >= judged.number else found


def _several(strokes: Sequence[StrokeReview]) -> Evidence:
    cells = tuple(dict.fromkeys(cell for judged in strokes for cell in judged.stroke.cells))
    doubt = tuple(judged.number for judged in strokes if judged.verdict in (Verdict.FALSE, Verdict.WIDE))
    return Evidence(goal=cells, doubt=doubt)


# Pauses


def _pause(pause: PlannedPause, review: Review) -> Pause:
    judged = review.strokes[pause.before - 1]
    return Pause(
        question=pause.question,
        hints=pause.hints,
        answer=_answer(pause, judged),
        expects=_expects(pause, judged),
        solver_ms=judged.wait_ms,
        evidence=evidence_of(judged.argument, judged.position) if judged.argument else NOTHING,
    )


def _expects(pause: PlannedPause, judged: StrokeReview) -> Expected | None:
    """What a try is compared with: the stroke, or the goal that the teacher set instead."""
    if "goal" in edited(pause):
        try:
            fact = Fact.parse(pause.goal)
        except InputError:
            return None
        return Expected((fact.cell,), fact.digit) if fact.holds else None
    stroke = judged.stroke
    one_digit = stroke.kind is Kind.DIGIT or (stroke.kind is Kind.MARK and stroke.reading is Reading.PLACES)
    return Expected(stroke.cells, stroke.digits[0]) if one_digit and judged.verdict is not Verdict.FALSE else None


# Strokes and techniques


def _strokes(review: Review) -> Iterator[StoryStroke]:
    for judged, before, after in zip(review.strokes, review.pages, review.pages[1:], strict=False):
        add, change = page_difference(before, after)
        stroke = judged.stroke
        yield StoryStroke(judged.number, stroke.at_ms, stroke.kind.value, _label(stroke), add, change)


def _label(stroke: Stroke) -> str:
    """What was written and where, in a few words."""
    what = "".join(map(str, stroke.digits)) or stroke.text
    where = " and ".join(f"row {c // CLASSIC.size + 1}, column {c % CLASSIC.size + 1}" for c in stroke.cells)
    if not where and stroke.place.house is not None:
        where = f"{stroke.place.where} {CLASSIC.house_name(stroke.place.house)}"
    verb = {Kind.DIGIT: "", Kind.MARK: "marked ", Kind.NOTE: "noted ", Kind.STRIKE: "crossed out "}[stroke.kind]
    link = " in " if stroke.cells else ", "
    return f"{verb}{what}{f'{link}{where}' if where else ''}"


def _techniques(entries: Iterable[Entry]) -> Iterator[Technique]:
    """The techniques that the shown strokes lean on, lightest first, each with what it teaches."""
    used: dict[tuple[str, str], None] = {}
    for entry in entries:
        for judged in entry.strokes:
            if judged.argument:
                used.update(dict.fromkeys((step.technique, step.manner) for step in judged.argument.steps))
    for name, manner in sorted(used, key=lambda each: (rank(each[0]), each[1])):
        title = "taking stock" if manner == "stock" and name == "naked single" else name
        if manner != "stock" or title != name:
            yield Technique(title, teach(name, manner))


__all__ = ["scenes_of", "story_of"]
