"""Review a sheet, plan its lesson where there is no plan yet, and write the lesson's files into a folder."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from pathlib import Path

from inkstep.cli.saying import Bar, print_json, standard_input, warn

HELP = "make the lesson: page, script, captions, chapters, stills"
EXAMPLE = "inkstep press solve.sheet --to lesson-folder"


def add_arguments(parser: ArgumentParser) -> None:
    """Declare what the command takes."""
    parser.add_argument("sheet", metavar="SHEET", help="a sheet: a file, or - for standard input")
    parser.add_argument("--to", metavar="DIR", required=True, help="the folder for the lesson; made where it is missing")
    parser.add_argument("--plan", metavar="FILE", help="the lesson plan (the one beside the sheet, where there is one)")
    parser.add_argument("--only", metavar="FORMATS", default="", help="only some: page,script,captions,chapters,stills")
    parser.add_argument("--json", action="store_true", help="answer as JSON")


def run(arguments: Namespace) -> int:
    """Write the lesson, and say what was written; 1 where the sheet has damage."""
    from inkstep.press.formats import chosen_formats
    from inkstep.workshop.publishing import publish
    from inkstep.workshop.studying import plan_path, study
    from inkstep.workshop.take_in import source_of

    only = [name for name in arguments.only.replace(" ", "").split(",") if name]
    chosen_formats(only)
    bar = Bar("reviewing")
    found = study(source_of(arguments.sheet, standard_input), progress=bar)
    bar.close()
    warn(found.damage)
    path = Path(arguments.plan) if arguments.plan else plan_path(Path(arguments.sheet))
    done = publish(found.review, path, Path(arguments.to), must_exist=bool(arguments.plan), only=only)
    if arguments.json:
        print_json(done.to_json())
    else:
        for line in done.lines():
            print(line)
    return 1 if found.damage else 0
