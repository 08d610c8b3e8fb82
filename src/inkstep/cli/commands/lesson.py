"""Write the lesson plan of a sheet, or refresh it after the sheet has changed: every edit in it is kept."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from pathlib import Path

from inkstep.cli.saying import Bar, print_json, standard_input, warn

HELP = "write or refresh the lesson plan of a solve"
EXAMPLE = "inkstep lesson solve.sheet        (writes solve.plan.json, yours to edit)"


def add_arguments(parser: ArgumentParser) -> None:
    """Declare what the command takes."""
    parser.add_argument("sheet", metavar="SHEET", help="a sheet: a file")
    parser.add_argument("--plan", metavar="FILE", help="where the plan lies (beside the sheet)")
    parser.add_argument("--audience", choices=("newcomer", "club", "contest"), help="for whom (what the sheet says)")
    parser.add_argument("--json", action="store_true", help="answer as JSON")


def run(arguments: Namespace) -> int:
    """Write the plan, and say what was kept and what could not be placed; 1 where the sheet has damage."""
    from inkstep.ground.errors import UsageError
    from inkstep.workshop.studying import plan_path, refresh_plan, study
    from inkstep.workshop.take_in import source_of

    if arguments.sheet == "-" and not arguments.plan:
        raise UsageError("--plan FILE when the sheet comes from standard input")
    path = Path(arguments.plan) if arguments.plan else plan_path(Path(arguments.sheet))
    bar = Bar("reviewing")
    found = study(source_of(arguments.sheet, standard_input), audience=arguments.audience, progress=bar)
    bar.close()
    warn(found.damage)
    planned = refresh_plan(found.review, path)
    if arguments.json:
        print_json({"plan": str(path), "kept": list(planned.kept), "unplaced": list(planned.unplaced)})
    else:
        print(f"{path}: {len(planned.plan.segments)} segments, {len(planned.plan.pauses)} pauses")
        if planned.kept:
            print(f"Kept {len(planned.kept)} of your edits.")
        for text in planned.unplaced:
            print(f'Could not place (kept under "unplaced"): {text}')
    return 1 if found.damage else 0
