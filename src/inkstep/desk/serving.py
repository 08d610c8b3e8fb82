"""Running the desk: one archive, one server on this computer, until it is stopped."""

from __future__ import annotations

import secrets
import socket
import time
from collections.abc import Callable
from pathlib import Path

import uvicorn

from inkstep.archive.opening import open_archive
from inkstep.desk.app import build
from inkstep.desk.desk import Desk
from inkstep.ground.errors import InputError

HOST = "127.0.0.1"


def bound_socket(port: int) -> socket.socket:
    """A socket bound to ``port`` of this computer alone (0: any that is free).

    Raises:
        InputError: another program uses the port.
    """
    made = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        made.bind((HOST, port))
    except (OSError, OverflowError) as fault:
        made.close()
        raise InputError("a port that is free, from 1 to 65535", where="--port", got=f"{port} ({fault})") from None
    return made


def serve(archive: str, files: Path, *, port: int, ready: Callable[[str], None]) -> None:
    """Open the archive and serve the desk until interrupted; ``ready`` is told the address once it answers.

    Raises:
        InputError: the port is taken.
        ArchiveError: the archive cannot be opened.
    """
    made = bound_socket(port)
    port = made.getsockname()[1]
    token = secrets.token_urlsafe(24)
    opened = open_archive(archive, now=lambda: time.time_ns() // 1_000_000, new_key=lambda: secrets.token_urlsafe(9))
    desk = Desk(opened, files, address=f"http://{HOST}:{port}", token=token)
    app = build(desk, token=token, port=port)
    config = uvicorn.Config(app, log_level="warning", server_header=False, timeout_graceful_shutdown=1, access_log=False)
    server = _Server(config, lambda: ready(f"http://{HOST}:{port}/?token={token}"))
    try:
        server.run(sockets=[made])
    finally:
        opened.close()


class _Server(uvicorn.Server):
    """A server that says when it is ready."""

    def __init__(self, config: uvicorn.Config, ready: Callable[[], None]) -> None:
        super().__init__(config)
        self._ready = ready

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        """Start, then say so."""
        await super().startup(sockets)
        if self.started:
            self._ready()
