"""Draw the page of a solve at any moment as an SVG picture, with the next stroke's evidence if wanted."""

from __future__ import annotations

import sys
from argparse import ArgumentParser, Namespace
from pathlib import Path

from inkstep.cli.saying import moment, standard_input, warn

HELP = "an SVG picture of any moment"
EXAMPLE = "inkstep still solve.sheet --at 0:34.7 --why --to moment.svg"


def add_arguments(parser: ArgumentParser) -> None:
    """Declare what the command takes."""
    parser.add_argument("sheet", metavar="SHEET", help="a sheet: a file, or - for standard input")
    parser.add_argument("--at", metavar="MOMENT", required=True, help="a time (0:34.7) or how many strokes stand (12)")
    parser.add_argument("--why", action="store_true", help="draw the evidence for the stroke that comes next")
    parser.add_argument("--to", metavar="FILE", help="the file to write (standard output)")


def run(arguments: Namespace) -> int:
    """Write the picture; 1 where the sheet has damage."""
    from inkstep.press.writing import write_whole
    from inkstep.workshop.picturing import picture
    from inkstep.workshop.take_in import sheet_from, source_of

    reading = sheet_from(source_of(arguments.sheet, standard_input))
    warn(reading.damage)
    svg = picture(reading.sheet, moment(arguments.at), with_evidence=arguments.why)
    if arguments.to:
        write_whole(Path(arguments.to), svg)
        print(arguments.to)
    else:
        sys.stdout.write(svg)
    return 1 if reading.damage else 0
