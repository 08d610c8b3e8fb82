"""The text of a sheet from its bytes, whatever encoding an editor gave it."""

from __future__ import annotations

import codecs
import re
from dataclasses import dataclass

from inkstep.trace.damage import DamageList

#: nothing is read beyond so many bytes, or lines: a sheet of a thousand strokes takes a tenth of a megabyte
MOST_BYTES = 1_000_000
MOST_LINES = 10_000
_NO_TEXT = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\ud800-\udfff]+")
_LINE_END = re.compile("\r\n?")


@dataclass(frozen=True, slots=True)
class Typed:
    """The lines of a sheet; ``whole`` unless something of it is not in them; ``ended``: the last has its line feed."""

    lines: tuple[str, ...]
    whole: bool
    ended: bool


def typed_lines(source: str | bytes, damage: DamageList) -> Typed:
    """The lines of ``source``, with whatever was wrong in its encoding and length noted in ``damage``."""
    too_long = len(source) > MOST_BYTES
    source = source[:MOST_BYTES]
    text = source if isinstance(source, str) else _decoded(source, damage, cut=too_long)
    text = _LINE_END.sub("\n", text.removeprefix("\ufeff"))
    strange = _NO_TEXT.search(text)
    if strange:
        line = text.count("\n", 0, strange.start()) + 1
        damage.add(line, strange[0][:1], "text", "characters that are no text were replaced by \ufffd", kept=True)
        text = _NO_TEXT.sub("\ufffd", text)
    lines = text.split("\n")
    if len(lines) > MOST_LINES:
        too_long = too_long or bool("".join(lines[MOST_LINES:]).strip())
        lines = lines[:MOST_LINES]
    if too_long:
        why = "what follows is not read"
        damage.add(len(lines), "", f"at most {MOST_LINES:,} lines and {MOST_BYTES:,} bytes", why)
    return Typed(tuple(lines), not (too_long or strange), not lines[-1])


def _decoded(data: bytes, damage: DamageList, *, cut: bool) -> str:
    """``data`` as text; ``cut`` when it goes on, so that an incomplete character at its end is no damage."""
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return _utf16(data, damage)
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as fault:
        line = data.count(b"\n", 0, fault.start) + 1
        if fault.end == len(data) and fault.reason == "unexpected end of data":
            if not cut:
                damage.add(line, "", "whole characters", "the sheet ends in the middle of one", kept=True)
            return data[: fault.start].decode("utf-8")
        why = "read as Latin-1 instead: check letters with accents, and save the sheet as UTF-8"
        damage.add(line, "", "text in UTF-8", why, kept=True)
        return data.decode("latin-1")


def _utf16(data: bytes, damage: DamageList) -> str:
    text = data.decode("utf-16", errors="replace")
    if "\ufffd" in text:
        line = text.count("\n", 0, text.index("\ufffd")) + 1
        damage.add(line, "", "text in UTF-16, as its first bytes say", "parts of it are damaged", kept=True)
    return text
