"""Strokes as the archive keeps them: their lines in a sheet. What is kept is what is read again, to the letter."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from functools import lru_cache

from inkstep.ground.errors import InputError, shown
from inkstep.trace.decoding import MOST_BYTES, MOST_LINES
from inkstep.trace.grammar import action_text, read_action
from inkstep.trace.quoting import comment_line, tidy_comment
from inkstep.trace.reading import read_sheet
from inkstep.trace.sheet import Header, Sheet, settled_lines
from inkstep.trace.strokes import Kind, Stroke
from inkstep.trace.writing import stroke_lines, write_sheet

#: stands before strokes that are read by themselves, so that what is above the first of them is its own
_FIRST = Stroke(Kind.DIGIT, cells=(0,), digits=(1,))


def stroke_text(stroke: Stroke) -> str:
    """The stroke's lines in a sheet, with the comment lines above it."""
    return "\n".join((*stroke.before, *stroke_lines(stroke)))


def settled(stroke: Stroke) -> tuple[Stroke, str]:
    """The stroke as it is read again once it was written, and its text.

    Raises:
        InputError: no line can say it.
    """
    remarks = [line.rstrip(" \t") for line in stroke.before]
    wrong = next((line for line in remarks if line and not line.startswith("#")), None)
    if wrong is not None:
        raise InputError("comment lines above a stroke that begin with #", got=shown(wrong))
    before = settled_lines(comment_line(line) if line else "" for line in remarks)
    comment = tidy_comment(stroke.comment.split("\n"))
    clean = (before, comment) == (stroke.before, stroke.comment)
    text = stroke_text(stroke if clean else replace(stroke, before=before, comment=comment))
    read = replace(_read(action_text(stroke)), at_ms=stroke.at_ms, comment=comment, before=before)
    # a stroke that nobody changed stays the same object
    return (stroke if read == stroke else read), text


@lru_cache(maxsize=4096)
def _read(action: str) -> Stroke:
    return read_action(action)


def settled_first(stroke: Stroke) -> Stroke:
    """The stroke as it is read where it is the first of a sheet: without empty lines above it."""
    before = settled_lines(stroke.before, first=True)
    return stroke if before == stroke.before else replace(stroke, before=before)


def read_strokes(texts: Sequence[str]) -> tuple[Stroke, ...]:
    """The strokes that texts say, one each.

    Raises:
        ValueError: one of them does not.
    """
    if not texts:
        return ()
    text = "\n".join((write_sheet(Sheet(Header((0,) * 81), (_FIRST,))).rstrip("\n"), *texts, ""))
    found = read_sheet(text).sheet
    if found.after or [stroke_text(stroke) for stroke in found.strokes[1:]] != list(texts):
        raise ValueError("a text that does not read as the stroke that it was")
    return found.strokes[1:]


def head_text(header: Header) -> str:
    """The sheet's text above its strokes."""
    return write_sheet(Sheet(header))


def read_head(text: str) -> Header:
    """The header that ``head_text`` wrote."""
    return read_sheet(text).sheet.header


def settled_tail(after: Iterable[str], *, alone: bool) -> tuple[str, ...]:
    """The lines below the strokes as they are read again; ``alone`` where there are no strokes.

    Raises:
        InputError: one of them is no comment line.
    """
    header = Header((0,) * 81)
    written = write_sheet(Sheet(header, () if alone else (_FIRST,), tuple(after)))
    return read_sheet(written).sheet.after


def sheet_text(head: str, texts: Iterable[str], tail: str) -> str:
    """The whole sheet of its parts."""
    return "\n".join((head, *texts, *([tail] if tail else []), ""))


def check_size(text: str) -> None:
    """See that a sheet will be read again whole.

    Raises:
        InputError: it is longer than any sheet that is read.
    """
    if text.count("\n") >= MOST_LINES or len(text.encode("utf-8", "surrogatepass")) > MOST_BYTES:
        expected = f"a solve of at most {MOST_LINES:,} lines and {MOST_BYTES:,} bytes"
        raise InputError(expected, hint="nothing was changed; begin another solve for what follows")
