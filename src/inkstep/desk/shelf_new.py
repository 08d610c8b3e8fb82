"""A new solve: its puzzle in any usual form, with everything that is wrong with it said at once."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from inkstep.archive.logs import begin
from inkstep.archive.shelf import shelf
from inkstep.desk.answers import words
from inkstep.desk.desk import Desk
from inkstep.desk.shelf_pictures import picture
from inkstep.grid.puzzle import Puzzle
from inkstep.grid.reading import PuzzleError, read_puzzle
from inkstep.ground.errors import InputError
from inkstep.trace.sheet import Header, Sheet

#: the fields of the head that a new solve may be given at once
FIELDS = ("title", "event", "solver", "date", "source", "recording")
_MOST = 2000


def look_at(desk: Desk, text: str) -> dict[str, Any]:
    """What the text is as a puzzle: its picture, or why there is none, and all that is wrong with it.

    ``problems`` are sentences; with a ``line`` of 81 characters the text could be read all the same. ``twins`` is how
    many solves on the shelf are of the same puzzle.
    """
    try:
        puzzle = read_puzzle(text)
    except PuzzleError as fault:
        return {"line": None, "problems": [_sentence(str(problem)) for problem in fault.problems]}
    problems = [_sentence(problem.text) for problem in puzzle.problems()]
    return {
        "line": puzzle.line,
        "givens": sum(map(bool, puzzle.givens)),
        "picture": str(picture(puzzle.line, puzzle.line)),
        "problems": problems,
        "twins": 0 if problems else shelf(desk.archive, puzzle.line, most=1).total,
    }


def begin_solve(desk: Desk, asked: dict[str, Any]) -> str:
    """Put a new solve on the shelf, and give its key. A puzzle that has something wrong is taken only ``anyway``.

    Raises:
        InputError: the puzzle cannot be read, or is not sound; a field is too long.
        ArchiveError: the archive cannot be written just now.
    """
    puzzle = read_puzzle(words(asked.get("puzzle"), "the puzzle"))
    if asked.get("anyway") is not True:
        _refuse(puzzle)
    texts = {name: " ".join(words(asked.get(name, ""), name, _MOST).split()) for name in FIELDS}
    header = replace(Header(puzzle.givens), **dict[str, Any](texts))
    return begin(desk.archive, Sheet(header)).key


def _refuse(puzzle: Puzzle) -> None:
    problems = puzzle.problems()
    if problems:
        raise InputError("a puzzle with exactly one solution", got="; ".join(problem.text for problem in problems))


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}{'' if text.endswith('.') else '.'}"
