"""The pace of a solve: the rests of the hand, and the time of each third."""

from __future__ import annotations

from collections.abc import Sequence

from inkstep.ground.clock import spoken_seconds
from inkstep.review.findings import Phase, StrokeReview, Wait
from inkstep.trace.strokes import Kind

#: milliseconds; common practice: the hand of a top solver rarely rests longer than three to four seconds
REST_MS = 3500
_THIRDS = ("opening", "middle", "ending")


def waits(strokes: Sequence[StrokeReview]) -> tuple[Wait, ...]:
    """Rests longer than ``REST_MS``, the longest first."""
    found = [
        Wait(s.number, s.wait_ms, (s.stroke.at_ms or 0) - s.wait_ms, _behind(s))
        for s in strokes
        if s.wait_ms is not None and s.wait_ms > REST_MS
    ]
    return tuple(sorted(found, key=lambda w: (-w.ms, w.before)))


def _behind(review: StrokeReview) -> str:
    """What lay behind the rest before a stroke, in one sentence."""
    said = [spoken_seconds(review.wait_ms or 0).capitalize() + " before this stroke"]
    argument = review.argument
    if argument:
        said.append(f"it took {argument.effort:.0f} looks")
        inner = list(dict.fromkeys(step.technique for step in argument.steps[:-1]))
        if inner:
            said.append(f"with {_article(' and '.join(inner))} held in mind")
    if review.lightest_open:
        digits = "digit" if review.open == 1 else "digits"
        said.append(f"{review.open} other {digits} lay open, the nearest at {review.lightest_open.effort:.0f} looks")
    else:
        said.append("no other digit lay open")
    return "; ".join(said) + "."


def _article(words: str) -> str:
    return f"{'an' if words[0] in 'aeiox' else 'a'} {words}"


def phases(strokes: Sequence[StrokeReview]) -> tuple[Phase, ...]:
    """The solve in three parts of as many digits each; empty where fewer than three digits were written."""
    written = [s.number for s in strokes if s.stroke.kind is Kind.DIGIT]
    if len(written) < len(_THIRDS):
        return ()
    ends = [written[len(written) * k // len(_THIRDS) - 1] for k in (1, 2)] + [len(strokes)]
    found = []
    start, start_ms = 0, 0
    for name, end in zip(_THIRDS, ends, strict=True):
        end_ms = _latest_ms(strokes[:end])
        found.append(_phase(name, strokes[start:end], end_ms - start_ms if end_ms is not None else None))
        start, start_ms = end, end_ms or start_ms
    return tuple(found)


def _latest_ms(strokes: Sequence[StrokeReview]) -> int | None:
    """The latest known time of the strokes; None where none is known."""
    return max((s.stroke.at_ms for s in strokes if s.stroke.at_ms is not None), default=None)


def _phase(name: str, part: Sequence[StrokeReview], ms: int | None) -> Phase:
    return Phase(
        name=name,
        first=part[0].number,
        last=part[-1].number,
        ms=ms,
        digits=sum(s.stroke.kind is Kind.DIGIT for s in part),
        marks=sum(s.stroke.kind is Kind.MARK for s in part),
        effort=round(sum(s.argument.effort for s in part if s.argument), 3),
    )
