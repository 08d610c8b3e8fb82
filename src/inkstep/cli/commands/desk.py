"""Open the desk: log a solve against its video, read it, plan its lesson, publish it, and keep the archive."""

from __future__ import annotations

import os
import sys
from argparse import ArgumentParser, Namespace
from contextlib import suppress
from pathlib import Path

HELP = "open the desk in the browser"
EXAMPLE = "inkstep desk"


def add_arguments(parser: ArgumentParser) -> None:
    """Declare what the command takes."""
    port = "the port to use (that of the last time, else any that is free)"
    parser.add_argument("--port", type=int, default=0, metavar="N", help=port)
    parser.add_argument("--no-open", action="store_true", help="do not open the browser, only print the address")
    parser.add_argument(
        "--archive", metavar="PATH", help="the archive: a file, or the address of a PostgreSQL database (your own file)"
    )


def run(arguments: Namespace) -> int:
    """Serve the desk until it is stopped by Ctrl-C."""
    from inkstep.desk.serving import serve
    from inkstep.press.writing import told

    home = data_folder()
    if not arguments.archive:
        with told(home):
            home.mkdir(parents=True, exist_ok=True)
    archive = arguments.archive or str(home / "archive.db")

    def ready(address: str) -> None:
        print(f"The desk is open at {address}")
        print("It stays open until you press Ctrl-C here.", flush=True)
        if not arguments.no_open:
            _open_browser(address)

    with suppress(KeyboardInterrupt):  # the server has ended by then, and hands on what ended it
        serve(archive, home / "lessons", port=arguments.port, ready=ready)
    print("The desk is closed; everything is kept.", file=sys.stderr)
    return 0


def _open_browser(address: str) -> None:
    """Open the address in the user's browser. Some browsers keep whoever opens them waiting: not the desk."""
    import threading
    import webbrowser

    threading.Thread(target=webbrowser.open, args=(address,), daemon=True).start()


def data_folder() -> Path:
    """Where a user's own data lies by the habits of the system (XDG Base Directory Specification 0.8 on Linux)."""
    if sys.platform == "win32":
        return Path(os.environ.get("LOCALAPPDATA") or Path.home() / "AppData" / "Local") / "Inkstep"
    if sys.platform == "darwin":
        return Path.home() / "Library" / "Application Support" / "Inkstep"
    named = os.environ.get("XDG_DATA_HOME", "")
    return (Path(named) if os.path.isabs(named) else Path.home() / ".local" / "share") / "inkstep"
