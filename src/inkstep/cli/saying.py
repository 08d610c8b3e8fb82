"""How commands speak: JSON, damage on standard error, and a bar for what takes longer than a second."""

from __future__ import annotations

import json
import sys
import time
from collections.abc import Iterable
from typing import Any, TextIO

from inkstep.ground.clock import parse_ms
from inkstep.ground.errors import InputError, UsageError, shown

_WIDTH = 30


def print_json(value: Any) -> None:
    """``value`` as JSON on standard output."""
    json.dump(value, sys.stdout, ensure_ascii=False, indent=1)
    print()


def warn(lines: Iterable[object]) -> None:
    """Each of ``lines`` on standard error."""
    for line in lines:
        print(line, file=sys.stderr)


def standard_input() -> bytes:
    """All of standard input."""
    return sys.stdin.buffer.read()


def moment(text: str) -> int | float:
    """How many strokes stand (``12``), or a time in milliseconds as a float (``0:34.7``, ``34.7``).

    Raises:
        UsageError: it is neither.
    """
    text = text.strip()
    try:
        return int(text) if text.isascii() and text.isdigit() else float(parse_ms(text))
    except (InputError, ValueError) as fault:
        hint = "or how many strokes stand, such as 12"
        raise UsageError("a time such as 0:34.7", where="--at", got=shown(text), hint=hint) from fault


class Bar:
    """A bar on standard error, shown only to a terminal and only once a second has passed."""

    def __init__(self, label: str, stream: TextIO | None = None) -> None:
        self._label = label
        self._stream = stream or sys.stderr
        self._started = time.monotonic()
        self._shown = False

    def __call__(self, done: int, whole: int) -> None:
        """Tell how much is done."""
        late = time.monotonic() - self._started > 1.0
        if self._stream.isatty() and whole and (late or self._shown):
            filled = _WIDTH * done // whole
            bar = "#" * filled + "." * (_WIDTH - filled)
            self._stream.write(f"\r{self._label} [{bar}] {100 * done // whole:3d} %")
            self._stream.flush()
            self._shown = True

    def close(self) -> None:
        """End the line of the bar."""
        if self._shown:
            self._stream.write("\r" + " " * (len(self._label) + _WIDTH + 12) + "\r")
            self._stream.flush()
