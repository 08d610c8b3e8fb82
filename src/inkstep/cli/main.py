"""`inkstep`: find the command, run it, and turn our own errors into one sentence and an exit code."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence

from inkstep import __version__
from inkstep.cli.commands import chances, check, desk, lesson, press, review, still, why
from inkstep.ground.errors import InkstepError

COMMANDS = (check, why, chances, review, lesson, press, still, desk)

_EPILOG = """\
example:
  inkstep press solve.sheet --to lesson-folder

exit codes: 0 done, 1 the input is at fault, 2 the command was called in a way it does not take
"""


def parser() -> argparse.ArgumentParser:
    """The parser of all commands."""
    top = argparse.ArgumentParser(
        prog="inkstep",
        description="Turns a recorded sudoku solve into an explained lesson.",
        epilog=_EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    top.add_argument("--version", action="version", version=f"inkstep {__version__}")
    commands = top.add_subparsers(dest="command", metavar="COMMAND", required=True)
    for command in COMMANDS:
        name = command.__name__.rpartition(".")[2]
        own = commands.add_parser(
            name,
            help=command.HELP,
            description=command.__doc__,
            epilog=f"example:\n  {command.EXAMPLE}",
            formatter_class=argparse.RawDescriptionHelpFormatter,
        )
        command.add_arguments(own)
        own.set_defaults(run=command.run)
    return top


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; returns the exit code."""
    arguments = parser().parse_args(argv)
    try:
        code: int = arguments.run(arguments)
        sys.stdout.flush()
        return code
    except InkstepError as fault:
        print(f"inkstep: {fault}", file=sys.stderr)
        return fault.exit_code
    except BrokenPipeError:
        # the reader of our output has gone; there is nobody left to tell
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except KeyboardInterrupt:
        print("inkstep: stopped; nothing half-written was left behind", file=sys.stderr)
        return 130
    except (OSError, RecursionError, MemoryError) as fault:
        print(f"inkstep: {fault}", file=sys.stderr)
        return 1


if __name__ == "__main__":
    sys.exit(main())
