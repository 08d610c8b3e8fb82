"""Time in a recording: integer milliseconds inside, ``m:ss.mmm`` outside."""

from __future__ import annotations

import re

from inkstep.ground.errors import InputError, shown

_TIME = re.compile(r"(?:(?:(\d{1,3}):)?(\d{1,2}):)?(\d{1,5})(?:[.,](\d{1,3}))?", re.ASCII)


def parse_ms(text: str) -> int:
    """Milliseconds of ``m:ss.mmm``, ``h:mm:ss.mmm`` or plain seconds.

    >>> parse_ms("0:34.7"), parse_ms("1:02:03.004"), parse_ms("98.25")
    (34700, 3723004, 98250)

    Raises:
        InputError: the text is no time, or its seconds or minutes pass 59 beside a larger unit.
    """
    match = _TIME.fullmatch(text.strip())
    if not match:
        raise InputError("a time such as 0:34.700, 1:02:03.000 or 34.7", got=shown(text))
    hours, minutes, seconds, fraction = match.groups()
    if minutes is not None and int(seconds) > 59:
        raise InputError("seconds from 00 to 59 after the colon", got=shown(text))
    if hours is not None and int(minutes) > 59:
        raise InputError("minutes from 00 to 59 after the hours", got=shown(text))
    whole = int(hours or 0) * 3600 + int(minutes or 0) * 60 + int(seconds)
    return whole * 1000 + int((fraction or "").ljust(3, "0"))


def clock_text(ms: int) -> str:
    """``ms`` milliseconds as ``m:ss.mmm``, with hours in front from one hour on.

    >>> clock_text(34700), clock_text(3723004)
    ('0:34.700', '1:02:03.004')

    Raises:
        ValueError: ``ms`` is negative.
    """
    if ms < 0:
        raise ValueError(f"a time is not negative: {ms}")
    seconds, rest = divmod(ms, 1000)
    minutes, seconds = divmod(seconds, 60)
    hours, minutes = divmod(minutes, 60)
    front = f"{hours}:{minutes:02d}" if hours else f"{minutes}"
    return f"{front}:{seconds:02d}.{rest:03d}"


def spoken_seconds(ms: int) -> str:
    """A length for reading aloud, to a tenth: ``3.2 seconds``; ``1 second``.

    >>> spoken_seconds(3240), spoken_seconds(1000)
    ('3.2 seconds', '1 second')
    """
    tenths = round(ms / 100)
    text = f"{tenths // 10}" if tenths % 10 == 0 else f"{tenths / 10:.1f}"
    return f"{text} second" if text == "1" else f"{text} seconds"
