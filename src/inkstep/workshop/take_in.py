"""Taking in what the user names: a puzzle or a sheet, as text, from a file, or from standard input."""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from inkstep.grid.puzzle import Puzzle
from inkstep.grid.reading import read_puzzle
from inkstep.grid.solving import solutions
from inkstep.ground.errors import InputError, shown
from inkstep.trace.reading import SheetReading, read_sheet
from inkstep.trace.sheet import KIND

#: bytes; nothing that anybody types is longer
MOST_BYTES = 64 * 1024 * 1024

StandardInput = Callable[[], bytes]


@dataclass(frozen=True)
class Source:
    """The bytes of an input, and where they came from, for messages (empty for text given on the command line)."""

    data: bytes
    where: str

    @property
    def is_sheet(self) -> bool:
        """Whether it says of itself that it is a sheet."""
        return KIND.encode() in self.data[:200].replace(b"\0", b"")


def source_of(argument: str, standard_input: StandardInput) -> Source:
    """What ``argument`` names: ``-`` is standard input, else an existing file, else the text itself.

    Raises:
        InputError: it looks like a file that is not there, or a file that cannot be read.
    """
    if argument == "-":
        return Source(standard_input(), "standard input")
    if not argument.strip():
        raise InputError("a puzzle, a file, or -", got="nothing")
    path = Path(argument)
    try:
        if not path.is_file():
            if path.is_dir():
                raise InputError("a file", where=argument, got="a folder")
            if _looks_like_a_path(argument):
                raise InputError("a file that is there", where=argument, got="nothing of that name")
            return Source(argument.encode(), "")
        if path.stat().st_size > MOST_BYTES:
            raise InputError(f"at most {MOST_BYTES // 2**20} MB", where=argument, got=f"{path.stat().st_size} bytes")
        return Source(path.read_bytes(), argument)
    except (OSError, ValueError) as fault:
        if _looks_like_a_path(argument):
            raise InputError("a file that can be read", where=shown(argument), got=_reason(fault)) from None
        return Source(argument.encode("utf-8", "replace"), "")


def _looks_like_a_path(argument: str) -> bool:
    suffix = Path(argument[-80:]).suffix
    return len(argument) < 4096 and (os.sep in argument or (suffix[1:].isalpha() and len(suffix) > 2))


def _reason(fault: Exception) -> str:
    return (fault.strerror or str(fault)) if isinstance(fault, OSError) else str(fault)


def puzzle_from(source: Source) -> Puzzle:
    """The puzzle of a source, which may also be a sheet.

    Raises:
        InputError: it is no puzzle, with all that keeps it from being one.
    """
    if source.is_sheet:
        return Puzzle(sheet_from(source).sheet.givens)
    return read_puzzle(source.data.decode("utf-8", "replace"), source.where)


def sheet_from(source: Source) -> SheetReading:
    """The sheet of a source, with the damage found on the way.

    Raises:
        InputError: nothing in it can be read as a sheet.
    """
    return read_sheet(source.data, where=source.where)


def one_solution(puzzle: Puzzle) -> tuple[int, ...] | None:
    """The puzzle's solution where it has exactly one, else None."""
    found = solutions(puzzle.givens, limit=2, candidates=puzzle.candidates)
    return found[0] if len(found) == 1 else None
