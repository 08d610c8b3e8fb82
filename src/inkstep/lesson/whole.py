"""What is to be said of the whole solve: before it, what to watch for; after it, what it shows."""

from __future__ import annotations

from collections.abc import Iterator

from inkstep.grid.geometry import CLASSIC
from inkstep.ground.clock import clock_text, spoken_seconds
from inkstep.lesson.singly import looks, who
from inkstep.lesson.speech import Speech, Words, paragraphs, said
from inkstep.reasoning.wording import plain, short_reason
from inkstep.reasoning.words.naming import listed, number
from inkstep.reasoning.words.runs import foreign
from inkstep.review.findings import Fate, LeftLying, MarkStory, Review, StrokeReview, Verdict
from inkstep.trace.strokes import Kind

#: how many digits left lying, and how many rests, are told one by one on the page
_ON_PAGE = 5
#: looks: an effort worth saying
_HEAVY = 4.0
_KINDS = {Kind.DIGIT: ("digit", "digits"), Kind.MARK: ("mark", "marks"), Kind.NOTE: ("note", "notes")}


def counted(count: int, one: str, many: str) -> str:
    """``3 marks``, ``one mark``: numbers up to nine as words."""
    return f"{number(count)} {one if count == 1 else many}"


def length_words(ms: int) -> str:
    """A length for reading aloud: "1 minute and 2.9 seconds".

    >>> length_words(62_900), length_words(120_000), length_words(48_000)
    ('1 minute and 2.9 seconds', '2 minutes', '48 seconds')
    """
    tenths = round(ms / 100)
    minutes, rest = divmod(tenths, 600)
    if not minutes:
        return spoken_seconds(tenths * 100)
    whole = "1 minute" if minutes == 1 else f"{minutes} minutes"
    return f"{whole} and {spoken_seconds(rest * 100)}" if rest else whole


def opening(review: Review, pauses: int) -> Words:
    """Who, what, and what to watch for."""
    return paragraphs(said(*_who_and_what(review)), said(*_watch_for(review, pauses)))


def _who_and_what(review: Review) -> Iterator[str]:
    header = review.sheet.header
    title = foreign(header.title)
    # "League, spring round" need not say "spring round" once more before a title that does
    event = ", ".join(part for part in foreign(header.event).split(", ") if part.lower() not in title.lower())
    yield event
    yield title
    givens = sum(1 for digit in review.sheet.givens if digit)
    yield f"{givens} digits are printed"
    counts = [(kind, sum(s.stroke.kind is kind for s in review.strokes)) for kind in _KINDS]
    strokes = listed(counted(count, *_KINDS[kind]) for kind, count in counts if count)
    length = review.sheet.length_ms
    time = f" in {length_words(length)}" if length else ""
    if not strokes:
        return
    if not all(review.pages[-1].digits):
        yield f"{who(review)} writes {strokes}{time}"
    elif header.solver:
        yield f"{who(review)} solves it{time}, with {strokes}"
    else:
        yield f"the solve takes {strokes}{time}"


def _watch_for(review: Review, pauses: int) -> Iterator[str]:
    things = list(_things(review))
    if things:
        yield f"watch for {listed(things)}"
    if pauses:
        stops = "once" if pauses == 1 else "twice" if pauses == 2 else f"{number(pauses)} times"
        yield f"{stops} you are asked for the next stroke before it is shown"


def _things(review: Review) -> Iterator[str]:
    held = len(_leaning(review))
    if held:
        yield f"{counted(held, 'digit that leans', 'digits that lean')} on something nobody wrote down"
    if any(s.verdict is Verdict.FALSE for s in review.strokes):
        mended = any(s.verdict is Verdict.CORRECTION for s in review.strokes)
        yield "a slip and its correction" if mended else "a slip"
    if review.waits:
        yield f"a rest of {spoken_seconds(review.waits[0].ms)}"
    if len(review.lying) > 1:
        yield "chances that lie open longer than you would think"


def _leaning(review: Review) -> list[StrokeReview]:
    """The digits for which something had to be held in mind."""
    return [s for s in review.strokes if s.stroke.kind is Kind.DIGIT and s.argument and len(s.argument.steps) > 1]


def closing(review: Review, speech: Speech) -> Words:
    """What the solve shows, in three short paragraphs: time, thought, marks."""
    words = paragraphs(
        said(*_time(review), *_rests(review)), said(*_held(review), *_lying(review, speech)), said(*_marks(review, speech))
    )
    return words or said("that is all that was written")


def findings(review: Review) -> tuple[str, ...]:
    """What else there was to find, one sentence each: what lay open longest, which marks said too little, the rests."""
    speech = Speech("page")
    told = (*_lying_long(review, speech), *_idle_marks(review, speech), *_long_rests(review))
    return tuple(plain(said(text)) for text in told)


def _lying_long(review: Review, speech: Speech) -> Iterator[str]:
    yield from (_left(left, speech) for left in review.lying[:_ON_PAGE])


def _idle_marks(review: Review, speech: Speech) -> Iterator[str]:
    """Marks that were wide, false, or used by nobody."""
    for verdict, what in ((Verdict.WIDE, "wider than need be"), (Verdict.FALSE, "not true")):
        numbers = {s.number for s in review.strokes if s.verdict is verdict}
        named = [_mark(story, speech) for story in review.marks if story.stroke in numbers]
        if named:
            yield f"{'one mark was' if len(named) == 1 else 'some marks were'} {what}: {'; '.join(named)}"
    unused = [_mark(story, speech) for story in review.marks if story.fate in (Fate.UNUSED, Fate.STALE)]
    if unused:
        yield f"{counted(len(unused), 'mark was', 'marks were')} never used: {'; '.join(unused)}"


def _long_rests(review: Review) -> Iterator[str]:
    for wait in review.waits[:_ON_PAGE]:
        behind = wait.behind.partition("; ")[2].rstrip(".")
        yield f"from {clock_text(wait.from_ms)[:-2]} on the hand rested for {spoken_seconds(wait.ms)}: {behind}"


def _time(review: Review) -> Iterator[str]:
    timed = [(phase.name, phase.ms) for phase in review.phases if phase.ms is not None]
    if not review.sheet.length_ms:
        return
    yield f"the solve took {length_words(review.sheet.length_ms)}"
    if len(timed) == 3:
        one, two, three = (length_words(ms) for _, ms in timed)
        yield f"the first third of the digits took {one}, the second {two}, the last {three}"


def _rests(review: Review) -> Iterator[str]:
    if not review.waits:
        if review.sheet.length_ms:
            yield "the hand never rested for longer than three and a half seconds"
        return
    count = len(review.waits)
    longest = spoken_seconds(review.waits[0].ms)
    argument = review.strokes[review.waits[0].before - 1].argument
    heavy = argument is not None and argument.effort >= _HEAVY
    behind = f", before a stroke of about {looks(argument.effort)}" if argument and heavy else ""
    if count == 1:
        yield f"the hand made one long rest, {longest}{behind}"
    else:
        yield f"the hand made {number(count)} long rests, the longest {longest}{behind}"


def _held(review: Review) -> Iterator[str]:
    held = len(_leaning(review))
    if held:
        yield f"{counted(held, 'digit', 'digits')} leant on something that was held in mind and written nowhere"
    slips = sum(s.verdict is Verdict.FALSE for s in review.strokes)
    if slips:
        yield f"there {'was one slip' if slips == 1 else f'were {number(slips)} slips'} on the way"


def _lying(review: Review, speech: Speech) -> Iterator[str]:
    if review.lying:
        were = "was" if len(review.lying) == 1 else "were"
        yield f"{counted(len(review.lying), 'digit', 'digits')} {were} left lying open for a while"
        yield _left(review.lying[0], speech)


def _left(left: LeftLying, speech: Speech) -> str:
    place = f"the {left.digit} at {speech.tongue.spot(left.cell)}"
    reason = short_reason(left.argument)
    since = left.for_ms
    if since is not None:
        return f"{place} lay open for {length_words(since)}: {reason}"
    strokes = (left.until or 0) - left.since
    return f"{place} lay open for {strokes} strokes: {reason}" if left.until else f"{place} lay open to the end: {reason}"


def _marks(review: Review, speech: Speech) -> Iterator[str]:
    if not review.marks:
        return
    paid = sum(story.fate is Fate.PAID_OFF for story in review.marks)
    total = len(review.marks)
    every = "the one mark" if total == 1 else "both marks" if total == 2 else f"all {number(total)} marks"
    yield f"{every} paid off" if paid == total else f"of {counted(total, 'mark', 'marks')}, {number(paid)} paid off"
    best = max(review.marks, key=lambda story: (len(story.used_by), -story.stroke))
    if len(best.used_by) > 1:
        yield f"the best of them, {_mark(best, speech)}, was used {_times(len(best.used_by))}"
    unused = [story for story in review.marks if story.fate in (Fate.UNUSED, Fate.STALE)]
    if unused:
        count = counted(len(unused), "mark was never used", "marks were never used")
        yield f"{count}: {_mark(unused[0], speech)}" if len(unused) == 1 else count
    wide = sum(s.verdict is Verdict.WIDE for s in review.strokes)
    if wide:
        yield f"{counted(wide, 'mark was', 'marks were')} wider than need be"
    false = sum(story.fate is Fate.FALSE for story in review.marks)
    if false:
        yield f"{counted(false, 'mark was', 'marks were')} not true"


def _times(count: int) -> str:
    return "twice" if count == 2 else f"{number(count)} times"


def _mark(story: MarkStory, speech: Speech) -> str:
    claim = story.claim
    cells = speech.tongue.cells(claim.cells)
    if len(claim.digits) == 1 and claim.house is not None:
        return f"the {claim.digits[0]} of {CLASSIC.house_name(claim.house)}"
    across = "across" if len(claim.cells) > 1 else "at"
    return f"the {listed(map(str, claim.digits))} {across} {cells}"
