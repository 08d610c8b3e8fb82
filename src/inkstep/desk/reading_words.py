"""What the reading page says of a stroke, of its arguments and of the chances beside it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from inkstep.grid.geometry import CLASSIC
from inkstep.lesson.briefs import is_or_are, mark_place, mark_words, note_words, place_words, struck_words
from inkstep.lesson.own import own_words
from inkstep.lesson.singly import looks, told_why
from inkstep.lesson.speech import Speech
from inkstep.lesson.together import claim_of
from inkstep.reasoning.argument import Argument, Step
from inkstep.reasoning.position import Position
from inkstep.reasoning.wording import Run, explain, short_reason
from inkstep.reasoning.words.briefly import held_fact
from inkstep.reasoning.words.naming import Tongue, listed
from inkstep.reasoning.words.runs import bare
from inkstep.review.findings import Review, StrokeReview, Verdict
from inkstep.trace.strokes import Kind

#: what is read here is read aloud later, so cells are named as a voice names them
_ALOUD = Tongue(CLASSIC, "spoken")
_AFTER = {
    Verdict.FALSE: "a slip",
    Verdict.UNSEEN: "right, but from where?",
    Verdict.CORRECTION: "put right",
}
#: a verdict in a few words, where it is worth one
_VERDICTS = {
    Verdict.WIDE: "true, and wider than it need be",
    Verdict.UNSEEN: "true, but it does not follow from what was seen",
    Verdict.FALSE: "not so in the solution",
    Verdict.CORRECTION: "a slip put right",
}


def label(judged: StrokeReview) -> str:
    """A stroke in a few words: "the 8 at row 5, column 7"."""
    stroke, speech = judged.stroke, Speech("spoken")
    if stroke.kind is Kind.DIGIT:
        return f"the {stroke.digits[0]} at {_ALOUD.at(stroke.cells[0])}"
    if stroke.kind is Kind.MARK:
        return bare(f"{mark_words(stroke, speech)} {mark_place(stroke, speech)}")
    if stroke.kind is Kind.NOTE:
        return bare(f"the note {note_words(stroke)} {place_words(stroke, speech)}")
    return bare(f"{struck_words(stroke, speech)}, crossed out")


def title(judged: StrokeReview) -> str:
    """The headline of a stroke: "Why the 8 at row 5, column 7"."""
    stroke, name = judged.stroke, label(judged)
    if judged.verdict in _AFTER:
        return capital(f"{name}: {_AFTER[judged.verdict]}")
    if stroke.kind is Kind.MARK and judged.argument:
        speech = Speech("spoken")
        verb = is_or_are(stroke)
        return bare(f"Why {mark_words(stroke, speech)} {verb} marked {mark_place(stroke, speech)}")
    if judged.argument:
        return f"Why {name.replace(', crossed out', ' is crossed out')}"
    return capital(name)


def verdict_words(judged: StrokeReview) -> str:
    """The verdict, empty where the stroke follows or claims nothing."""
    return _VERDICTS.get(judged.verdict, "")


def program_words(judged: StrokeReview, review: Review) -> Sequence[Run]:
    """What the program says of a stroke alone."""
    return told_why(replace(judged, words=""), review, Speech("spoken"))


def words_of(judged: StrokeReview, review: Review) -> Sequence[Run]:
    """The teacher's words for a stroke, else the program's."""
    return own_words(judged) or program_words(judged, review)


def argued(argument: Argument, judged: StrokeReview) -> Sequence[Run]:
    """An argument for what the stroke says, in whole sentences."""
    claim = None
    if judged.stroke.kind is Kind.MARK and argument.goal == (judged.goal.facts if judged.goal else ()):
        claim = bare(claim_of(replace(judged, argument=argument), Speech("spoken")))
    return explain(argument, judged.position, voice="spoken", claim_text=claim)


def explained(argument: Argument, position: Position) -> Sequence[Run]:
    """An argument for anything else."""
    return explain(argument, position, voice="spoken")


def in_short(argument: Argument) -> str:
    """An argument in one clause, as a line of a list."""
    return capital(short_reason(argument))


def goal_words(argument: Argument) -> str:
    """What an argument ends in: "5 at r3c9"; "not 4 or 7 at r2c3"."""
    first = argument.goal[0]
    if first.holds:
        return f"{first.digit} at {CLASSIC.cell_name(first.cell)}"
    by_cell: dict[int, list[str]] = {}
    for fact in argument.goal:
        by_cell.setdefault(fact.cell, []).append(str(fact.digit))
    return "; ".join(f"not {listed(gone, 'or')} at {CLASSIC.cell_name(cell)}" for cell, gone in by_cell.items())


def techniques(argument: Argument) -> str:
    """The techniques of an argument: "hidden single, after a naked pair"."""
    inner = list(dict.fromkeys(_technique(step) for step in argument.steps[:-1]))
    after = f", after {listed(map(_article, inner))}" if inner else ""
    return f"{_technique(argument.last)}{after}"


def _technique(step: Step) -> str:
    return "taking stock" if step.manner == "stock" else step.technique


def _article(name: str) -> str:
    if name.startswith("locked"):
        return name
    return f"{'an' if name[0] in 'aeiox' else 'a'} {name}"


def held(argument: Argument) -> list[dict[str, str]]:
    """The facts that were held in mind, each with the technique behind it."""
    return [
        {"technique": _technique(step), "words": capital(held_fact(argument, step, _ALOUD))} for step in argument.steps[:-1]
    ]


def effort_words(effort: float) -> str:
    """``10.3 looks``"""
    return looks(effort) if effort == 1 else f"{effort:.1f} looks"


def runs_json(words: Sequence[Run]) -> list[dict[str, Any]]:
    """Runs as the browser takes them."""
    return [{"text": run.text, "role": run.role} if run.role else {"text": run.text} for run in words]


def capital(text: str) -> str:
    """``text`` as the beginning of a line."""
    return text[:1].upper() + text[1:]
