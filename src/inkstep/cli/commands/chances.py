"""List every digit that could be written now, lightest argument first."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from inkstep.cli.saying import print_json, standard_input

HELP = "every digit that could be written now, lightest first"
EXAMPLE = "inkstep chances 53..7....6..195....98....6.8...6...34..8.3..17...2...6.6....28....419..5....8..79"


def add_arguments(parser: ArgumentParser) -> None:
    """Declare what the command takes."""
    parser.add_argument("input", metavar="PUZZLE", help="a puzzle or a sheet: as text, a file, or -")
    parser.add_argument("--known", metavar="FACTS", default="", help="facts that stand on the page: r2c3!=4,r5c5!=1")
    parser.add_argument("--limit", metavar="LOOKS", type=float, default=22.0, help="the most an argument may take (22)")
    parser.add_argument("--json", action="store_true", help="answer as JSON")


def run(arguments: Namespace) -> int:
    """Print the chances."""
    from inkstep.ground.errors import UsageError
    from inkstep.workshop.explaining import all_chances, parse_known
    from inkstep.workshop.take_in import puzzle_from, source_of

    if not arguments.limit > 0:
        raise UsageError("a number of looks above 0", where="--limit", got=str(arguments.limit))
    puzzle = puzzle_from(source_of(arguments.input, standard_input))
    found = all_chances(puzzle, known=parse_known(arguments.known), limit=arguments.limit)
    if arguments.json:
        print_json([item.to_json() for item in found])
        return 0
    for item in found:
        print(f"{item.argument.effort:5.1f}  {item.argument.goal[0]}  {item.words}")
    if not found:
        print(f"Nothing can be written within {arguments.limit:g} looks.")
    return 0
