"""Say all that is wrong with a puzzle or a sheet, or that it is sound."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from typing import TYPE_CHECKING

from inkstep.cli.saying import print_json, standard_input

if TYPE_CHECKING:
    from inkstep.workshop.take_in import Source

HELP = "say all that is wrong with a puzzle or a sheet"
EXAMPLE = "inkstep check 53..7....6..195....98....6.8...6...34..8.3..17...2...6.6....28....419..5....8..79"


def add_arguments(parser: ArgumentParser) -> None:
    """Declare what the command takes."""
    parser.add_argument(
        "input", metavar="PUZZLE", help="81 characters, nine lines, a candidate grid, or a sheet: as text, a file, or -"
    )
    parser.add_argument("--json", action="store_true", help="answer as JSON")


def run(arguments: Namespace) -> int:
    """Print what was found; 1 where something is wrong."""
    from inkstep.workshop.take_in import source_of

    source = source_of(arguments.input, standard_input)
    return _check_sheet(source, arguments.json) if source.is_sheet else _check_puzzle(source, arguments.json)


def _check_puzzle(source: Source, as_json: bool) -> int:
    from inkstep.workshop.take_in import one_solution, puzzle_from

    puzzle = puzzle_from(source)
    problems = puzzle.problems()
    solution = None if problems else one_solution(puzzle)
    if as_json:
        print_json(
            {
                "puzzle": puzzle.line,
                "givens": sum(map(bool, puzzle.givens)),
                "sound": not problems,
                "solution": "".join(map(str, solution)) if solution else None,
                "problems": [problem.to_json(puzzle.geometry) for problem in problems],
            }
        )
    else:
        print(puzzle)
        for problem in problems:
            print(f"- {problem.text}")
        if not problems:
            print(f"Sound: {sum(map(bool, puzzle.givens))} givens, exactly one solution.")
    return 1 if problems else 0


def _check_sheet(source: Source, as_json: bool) -> int:
    from inkstep.grid.puzzle import Puzzle
    from inkstep.workshop.take_in import sheet_from

    reading = sheet_from(source)
    puzzle = Puzzle(reading.sheet.givens)
    problems = puzzle.problems()
    strokes = len(reading.sheet.strokes)
    if as_json:
        print_json(
            {
                "strokes": strokes,
                "sound": not problems and not reading.damage,
                "damage": [{"line": d.line, "text": d.text, "problem": str(d)} for d in reading.damage],
                "problems": [problem.to_json(puzzle.geometry) for problem in problems],
            }
        )
    else:
        for line in (*reading.damage, *(f"puzzle: {problem.text}" for problem in problems)):
            print(f"- {line}")
        if not problems and not reading.damage:
            print(f"Sound: {strokes} strokes, and a puzzle with exactly one solution.")
    return 1 if problems or reading.damage else 0
