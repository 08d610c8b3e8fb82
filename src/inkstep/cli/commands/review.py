"""Judge every stroke of a sheet, and say what the solve shows."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from inkstep.cli.saying import Bar, print_json, standard_input, warn

HELP = "judge every stroke of a solve"
EXAMPLE = "inkstep review solve.sheet"


def add_arguments(parser: ArgumentParser) -> None:
    """Declare what the command takes."""
    parser.add_argument("sheet", metavar="SHEET", help="a sheet: a file, or - for standard input")
    parser.add_argument("--json", action="store_true", help="answer as JSON, with everything the review found")


def run(arguments: Namespace) -> int:
    """Print the review; 1 where the sheet has damage."""
    from inkstep.review.report import review_json
    from inkstep.workshop.reporting import review_lines
    from inkstep.workshop.studying import study
    from inkstep.workshop.take_in import source_of

    bar = Bar("reviewing")
    found = study(source_of(arguments.sheet, standard_input), progress=bar)
    bar.close()
    warn(found.damage)
    if arguments.json:
        print_json(review_json(found.review))
    else:
        for line in review_lines(found.review):
            print(line)
    return 1 if found.damage else 0
