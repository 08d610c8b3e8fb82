"""Writing a sheet in its one canonical form."""

from __future__ import annotations

import re
from collections.abc import Iterator

from inkstep.ground.clock import clock_text
from inkstep.ground.errors import InputError, shown
from inkstep.trace.forms import TIME_LIMIT_MS
from inkstep.trace.grammar import action_text
from inkstep.trace.heading import is_header_key, known_key
from inkstep.trace.quoting import comment_line, tidy_comment
from inkstep.trace.sheet import KEYS, KIND, VERSION, Header, Sheet, settled_lines, settled_remarks
from inkstep.trace.strokes import Stroke

_TIME_WIDTH = 8
_INDENT = " " * (_TIME_WIDTH + 2)
_NO_TEXT = re.compile("[\x00-\x08\x0a-\x1f\x7f\ud800-\udfff]")


def write_sheet(sheet: Sheet) -> str:
    """The sheet as text: the same sheet always gives the same lines, and reading them gives the sheet back.

    Blanks at the ends of values and comment lines, and runs of empty lines, are not kept.

    Raises:
        InputError: a stroke, a key or a comment that no line can say (a program made it, not the reader).
    """
    return "".join(f"{line}\n" for line in _lines(sheet))


def _lines(sheet: Sheet) -> Iterator[str]:
    yield f"{KIND} {VERSION}"
    yield from _header_lines(sheet.header)
    after = settled_lines(map(_remark, sheet.after), first=not sheet.strokes, last=True)
    if sheet.strokes or after:
        yield ""
    for number, stroke in enumerate(sheet.strokes, 1):
        yield from settled_lines(map(_remark, stroke.before), first=number == 1)
        try:
            yield from stroke_lines(stroke)
        except InputError as error:
            raise InputError(error.expected, where=f"stroke {number}", got=error.got, hint=error.hint) from None
    yield from after


def _header_lines(header: Header) -> Iterator[str]:
    if len(header.givens) != 81 or not all(0 <= digit <= 9 for digit in header.givens):
        raise InputError("81 givens from 0 to 9", where="the header")
    remarks = settled_remarks(header)
    told = set[str]()
    for key, value in _values(header):
        if key not in told:
            yield from (_remark(line) for above, line in remarks if above == key)
            told.add(key)
        first, *rest = value or [""]
        yield f"{key}: {first}".rstrip(" ")
        yield from (f"    {line}" for line in rest)
    yield from (_remark(line) for above, line in remarks if not above)


def _values(header: Header) -> Iterator[tuple[str, list[str]]]:
    """Each header key that is written, with the lines of its value."""
    for key, name in KEYS.items():
        value = getattr(header, name)
        if key == "puzzle":
            yield key, [header.puzzle]
        elif key == "clock-start":
            if value is not None:
                yield key, [_clock_start(value)]
        elif value:
            one_line = " ".join(_clean(value, "\n").split("\n")).strip(" \t")
            yield from [(key, [one_line])] if one_line else []
    for key, value in header.other:
        if not is_header_key(key) or known_key(key):
            raise InputError("a header key of letters, digits and dashes that is not a known one", got=shown(key))
        lines = [line.strip(" \t") for line in _clean(value, "\n").split("\n")]
        yield key, [line for line in lines if line]


def _clock_start(ms: int) -> str:
    if not 0 <= ms < TIME_LIMIT_MS:
        raise InputError("a clock start from 0 to a thousand hours", where="the header", got=f"{ms} ms")
    return clock_text(ms)


def stroke_lines(stroke: Stroke) -> Iterator[str]:
    """The lines of one stroke: time, action and comment; a comment of several lines stands indented below it.

    Raises:
        InputError: the stroke is not well formed, or its comment holds characters that are no text.
    """
    time = "-" if stroke.at_ms is None else clock_text(stroke.at_ms) if stroke.at_ms >= 0 else ""
    line = f"{time:<{_TIME_WIDTH}}  {action_text(stroke)}"
    comment = tidy_comment(_clean(stroke.comment, "\n").split("\n"))
    if "\n" not in comment:
        yield f"{line}  # {comment}" if comment else line
        return
    yield line
    yield from (f"{_INDENT}# {text}".rstrip(" ") for text in comment.split("\n"))


def _remark(line: str) -> str:
    line = _clean(line).rstrip(" \t")
    if line and not line.startswith("#"):
        raise InputError("a comment line that begins with # between strokes", got=shown(line))
    return comment_line(line) if line else ""


def _clean(text: str, allowed: str = "") -> str:
    strange = _NO_TEXT.search(text.replace(allowed, "") if allowed else text)
    if strange:
        raise InputError("text without control characters", got=shown(text))
    return text
