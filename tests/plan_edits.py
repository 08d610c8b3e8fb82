"""Random edits of plans, as teachers make them in the file, and of sheets, with reviews that need no search."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from functools import cache
from typing import Any

from hypothesis import strategies as st

import solves
from inkstep.lesson.keys import stroke_keys
from inkstep.lesson.plan import Plan, read_plan, write_plan
from inkstep.reasoning.position import Position
from inkstep.review.findings import Review, StrokeReview, Verdict
from inkstep.trace import editing
from inkstep.trace.pages import pages
from inkstep.trace.sheet import Sheet
from inkstep.trace.strokes import Kind, Reading, Stroke

Json = dict[str, Any]


@cache
def base() -> Review:
    """The review of the demo; the ones of edited sheets are made from it."""
    return solves.review(solves.DEMO)


def reviewed(sheet: Sheet) -> Review:
    """A review of an edited sheet: strokes that are still there keep their judgement, new ones follow from nothing.

    The judgements need not be true of the edited sheet; a plan must keep a teacher's edits whatever they are.
    """
    known = dict(zip(stroke_keys(base().sheet.strokes), base().strokes, strict=True))
    judged = []
    for number, (key, stroke) in enumerate(zip(stroke_keys(sheet.strokes), sheet.strokes, strict=True), 1):
        new = StrokeReview(number, stroke, Position(sheet.givens), Verdict.UNSEEN)
        judged.append(replace(known.get(key, new), number=number, stroke=stroke))
    return replace(base(), sheet=sheet, strokes=tuple(judged), pages=tuple(pages(sheet)), lying=(), waits=(), marks=())


# Edits of the sheet

_NEW = (
    Stroke(Kind.MARK, cells=(0, 1), digits=(7,), reading=Reading.PLACES, house=18),
    Stroke(Kind.NOTE, text="look again"),
    Stroke(Kind.MARK, cells=(40,), digits=(2, 6), reading=Reading.CELL),
)


def _insert(sheet: Sheet, a: int, b: int) -> Sheet:
    return editing.insert(sheet, a % (len(sheet.strokes) + 1) + 1, _NEW[b % len(_NEW)])


def _remove(sheet: Sheet, a: int, b: int) -> Sheet:
    first = a % len(sheet.strokes) + 1
    return editing.remove(sheet, first, min(len(sheet.strokes), first + b % 6))


def _move(sheet: Sheet, a: int, b: int) -> Sheet:
    return editing.move(sheet, a % len(sheet.strokes) + 1, b % len(sheet.strokes) + 1)


def _shift(sheet: Sheet, a: int, b: int) -> Sheet:
    return editing.shift(sheet, 10 + b, a % len(sheet.strokes) + 1)


def _change(sheet: Sheet, a: int, b: int) -> Sheet:
    """Another digit, or another stroke in its place."""
    number = a % len(sheet.strokes) + 1
    stroke = sheet.strokes[number - 1]
    other = replace(stroke, digits=(stroke.digits[0] % 9 + 1,)) if stroke.kind is Kind.DIGIT else _NEW[b % len(_NEW)]
    return editing.replace_stroke(sheet, number, replace(other, at_ms=stroke.at_ms))


SHEET_EDITS: dict[str, Callable[[Sheet, int, int], Sheet]] = {
    "insert": _insert,
    "remove": _remove,
    "move": _move,
    "shift": _shift,
    "change": _change,
}

numbers = st.integers(0, 200)
sheet_edits = st.lists(st.tuples(st.sampled_from(sorted(SHEET_EDITS)), numbers, numbers), min_size=1, max_size=6)


def edit_sheet(sheet: Sheet, edits: Sequence[tuple[str, int, int]]) -> Sheet:
    for name, a, b in edits:
        if len(sheet.strokes) > 10:
            sheet = SHEET_EDITS[name](sheet, a, b)
    return sheet


# Edits of the plan


@dataclass
class Teacher:
    """Edits the JSON of a plan, and remembers every text written (each is unlike all others)."""

    fields: Json
    texts: list[str] = field(default_factory=list)
    dropped: list[str] = field(default_factory=list)

    def text(self) -> str:
        self.texts.append(f"the teacher's text {len(self.texts)}.")
        return self.texts[-1]

    def item(self, which: str, a: int) -> Json:
        items: list[Json] = self.fields[which]
        return items[a % len(items)]

    def write(self, name: str, a: int) -> None:
        which = "segments" if name in ("headline", "narration") else "pauses"
        if self.fields[which] and self.item(which, a).get(name) not in self.texts:
            self.item(which, a)[name] = self.text()

    def hint(self, a: int, b: int) -> None:
        if self.fields["pauses"]:
            hints = self.item("pauses", a).setdefault("hints", [])
            hints.insert(b % (len(hints) + 1), self.text())

    def rest(self, a: int, b: int) -> None:
        if self.fields["pauses"]:
            self.item("pauses", a)["rest_ms"] = 777_000 + b

    def drop(self, which: str, a: int) -> None:
        if self.fields[which]:
            item = self.item(which, a)
            item["shown"] = False
            if "id" in item:
                self.dropped.append(item["id"])

    def move(self, a: int, b: int) -> None:
        segments = self.fields["segments"]
        segments.insert(b % len(segments), segments.pop(a % len(segments)))

    def add_aside(self, a: int, b: int) -> None:
        own: Json = {"kind": "aside", "headline": self.text(), "narration": self.text()}
        if b % 2:
            own["first"] = b % self.strokes + 1
        self.fields["segments"].insert(a % (len(self.fields["segments"]) + 1), own)

    def add_segment(self, a: int, b: int) -> None:
        first = b % self.strokes + 1
        own = {"id": self.text(), "kind": "strokes", "first": first, "last": min(self.strokes, first + a % 3)}
        self.fields["segments"].insert(a % (len(self.fields["segments"]) + 1), {**own, "narration": self.text()})

    def add_pause(self, a: int, b: int) -> None:
        own: Json = {"before": a % self.strokes + 1, "question": self.text()}
        self.fields["pauses"].append(own if b % 2 else {**own, "answer": self.text(), "hints": [self.text()]})

    def widen(self, a: int) -> None:
        item = self.item("segments", a)
        if item.get("last") and item["last"] < self.strokes:
            item["last"] += 1

    def note(self, which: str, a: int) -> None:
        if self.fields[which]:
            self.item(which, a)["camera"] = {"say": self.text()}

    def name(self, a: int) -> None:
        self.fields[("title", "teacher's own field")[a % 2]] = self.text()

    @property
    def strokes(self) -> int:
        return len(self.fields["strokes"])


PLAN_EDITS: dict[str, Callable[[Teacher, int, int], None]] = {
    "headline": lambda t, a, b: t.write("headline", a),
    "narration": lambda t, a, b: t.write("narration", a),
    "question": lambda t, a, b: t.write("question", a),
    "answer": lambda t, a, b: t.write("answer", a),
    "hint": Teacher.hint,
    "rest": Teacher.rest,
    "drop segment": lambda t, a, b: t.drop("segments", a),
    "drop pause": lambda t, a, b: t.drop("pauses", a),
    "move": Teacher.move,
    "aside": Teacher.add_aside,
    "segment": Teacher.add_segment,
    "pause": Teacher.add_pause,
    "widen": lambda t, a, b: t.widen(a),
    "segment field": lambda t, a, b: t.note("segments", a),
    "pause field": lambda t, a, b: t.note("pauses", a),
    "plan": lambda t, a, b: t.name(a),
}
plan_edits = st.lists(st.tuples(st.sampled_from(sorted(PLAN_EDITS)), numbers, numbers), min_size=1, max_size=8)


def edit_plan(plan: Plan, edits: Sequence[tuple[str, int, int]]) -> tuple[Plan, Teacher]:
    """The plan as it is read after the edits, and what was edited."""
    teacher = Teacher(json.loads(write_plan(plan)))
    for name, a, b in edits:
        PLAN_EDITS[name](teacher, a, b)
    return read_plan(json.dumps(teacher.fields)), teacher
