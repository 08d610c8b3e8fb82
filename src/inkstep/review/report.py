"""A review as plain data, for programs."""

from __future__ import annotations

from typing import Any

from inkstep.grid.geometry import CLASSIC
from inkstep.reasoning.argument import Argument
from inkstep.review.findings import Review, StrokeReview
from inkstep.trace.grammar import action_text


def review_json(review: Review) -> dict[str, Any]:
    """Everything the review found. Times are integer milliseconds, effort is in looks, strokes count from 1."""
    header = review.sheet.header
    return {
        "title": header.title,
        "solver": header.solver,
        "event": header.event,
        "puzzle": header.puzzle,
        "solution": "".join(map(str, review.solution)),
        "audience": review.audience,
        "effort": review.effort,
        "hardest": review.hardest,
        "strokes": [_stroke_json(s) for s in review.strokes],
        "lying": [
            {
                "goal": f"{CLASSIC.cell_name(left.cell)}={left.digit}",
                "since_stroke": left.since,
                "written_by_stroke": left.until,
                "since_ms": left.since_ms,
                "for_ms": left.for_ms,
                "argument": argument_json(left.argument),
            }
            for left in review.lying
        ],
        "marks": [
            {
                "stroke": story.stroke,
                "claim": story.claim.text(),
                "fate": str(story.fate),
                "used_by": list(story.used_by),
            }
            for story in review.marks
        ],
        "waits": [{"before_stroke": w.before, "ms": w.ms, "from_ms": w.from_ms, "behind": w.behind} for w in review.waits],
        "phases": [
            {
                "name": p.name,
                "first_stroke": p.first,
                "last_stroke": p.last,
                "ms": p.ms,
                "digits": p.digits,
                "marks": p.marks,
                "effort": p.effort,
            }
            for p in review.phases
        ],
    }


def _stroke_json(review: StrokeReview) -> dict[str, Any]:
    return {
        "number": review.number,
        "at_ms": review.stroke.at_ms,
        "wait_ms": review.wait_ms,
        "stroke": action_text(review.stroke),
        "comment": review.stroke.comment,
        "verdict": str(review.verdict),
        "argument": argument_json(review.argument) if review.argument else None,
        "runners_up": [argument_json(a) for a in review.runners_up],
        "instead": [argument_json(a) for a in review.instead],
        "marks_used": list(review.marks_used),
        "open": review.open,
        "lightest_open": argument_json(review.lightest_open) if review.lightest_open else None,
        "readings": list(review.readings),
    }


def argument_json(argument: Argument) -> dict[str, Any]:
    """An argument as plain data: goal, effort in looks, steps, witnesses, held facts."""
    geometry = argument.geometry
    return {
        "goal": ",".join(f.text(geometry) for f in argument.goal),
        "effort": argument.effort,
        "steps": argument.to_json_steps(),
        "witnesses": [geometry.cell_name(c) for c in argument.witnesses],
        "held": [f.text(geometry) for f in argument.held],
    }
