"""Find the lightest arguments for a digit or a removal, each proved."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from inkstep.cli.saying import print_json, standard_input

HELP = "the lightest arguments for a digit or a removal"
EXAMPLE = "inkstep why 53..7....6..195....98....6.8...6...34..8.3..17...2...6.6....28....419..5....8..79 r5c5"


def add_arguments(parser: ArgumentParser) -> None:
    """Declare what the command takes."""
    parser.add_argument("input", metavar="PUZZLE", help="a puzzle or a sheet: as text, a file, or -")
    parser.add_argument("goal", metavar="GOAL", help="r2c3 (its digit), r2c3=5 or r2c3!=4 (several removals with commas)")
    parser.add_argument("--known", metavar="FACTS", default="", help="facts that stand on the page: r2c3!=4,r5c5!=1")
    parser.add_argument("--most", metavar="K", type=int, default=3, help="how many arguments (3)")
    parser.add_argument("--json", action="store_true", help="answer as JSON")


def run(arguments: Namespace) -> int:
    """Print the arguments, lightest first."""
    from inkstep.ground.errors import UsageError
    from inkstep.workshop.explaining import parse_known, why
    from inkstep.workshop.take_in import puzzle_from, source_of

    if arguments.most < 1:
        raise UsageError("a number of arguments from 1 on", where="--most", got=str(arguments.most))
    puzzle = puzzle_from(source_of(arguments.input, standard_input))
    goal, found = why(puzzle, arguments.goal, known=parse_known(arguments.known), most=arguments.most)
    if arguments.json:
        print_json({"goal": goal.text(), "arguments": [item.to_json() for item in found]})
        return 0
    if not found:
        print(f"No technique of the catalogue reaches {goal.text()} from here.")
    for number, item in enumerate(found, 1):
        proof = "proved" if item.proved else "NOT PROVED"
        print(f"{number}. {goal.text()}, {item.argument.effort:g} looks, {proof}")
        print(f"   {item.words}")
    return 0
