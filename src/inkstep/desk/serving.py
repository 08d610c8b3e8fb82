"""Running the desk: one archive, one server on this computer, until it is stopped."""

from __future__ import annotations

import secrets
import socket
import time
from collections.abc import Callable
from pathlib import Path

import uvicorn

from inkstep.archive import keeping
from inkstep.archive.opening import Archive, open_archive
from inkstep.desk.app import build
from inkstep.desk.desk import Desk
from inkstep.ground.errors import InputError

HOST = "127.0.0.1"
#: the setting that remembers the port of an archive's desk
PORT = "port"


def bound_socket(port: int) -> socket.socket:
    """A socket bound to ``port`` of this computer alone (0: any that is free).

    Raises:
        InputError: another program uses the port.
    """
    # named as TCP, since asyncio sends small answers at once (TCP_NODELAY) only on sockets that say so: else the body of
    # an answer waits 40 ms for the acknowledgement of its head
    made = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
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
    made = bound_socket(port) if port else None
    opened = open_archive(archive, now=lambda: time.time_ns() // 1_000_000, new_key=lambda: secrets.token_urlsafe(9))
    try:
        made = made or _usual_socket(opened)
        port = made.getsockname()[1]
        token = secrets.token_urlsafe(24)
        desk = Desk(opened, files, address=f"http://{HOST}:{port}", token=token)
        app = build(desk, token=token, port=port)
        config = uvicorn.Config(app, log_level="warning", server_header=False, timeout_graceful_shutdown=2, access_log=False)
        server = _Server(config, lambda: ready(f"http://{HOST}:{port}/?token={token}"), desk.hub.close)
        server.run(sockets=[made])
    finally:
        opened.close()


def _usual_socket(archive: Archive) -> socket.socket:
    """The port of this archive's last desk where it is free, so that pages left open find the desk again; else any."""
    usual = keeping.setting(archive, PORT, 0)
    if not isinstance(usual, int) or not usual:
        made = bound_socket(0)
        keeping.keep_setting(archive, PORT, made.getsockname()[1])
        return made
    try:
        return bound_socket(usual)
    except InputError:
        # another desk on the same archive has it: this one is the guest, and leaves what is remembered
        return bound_socket(0)


class _Server(uvicorn.Server):
    """A server that says when it is ready, and ends the streams of open pages before it waits for them."""

    def __init__(self, config: uvicorn.Config, ready: Callable[[], None], closing: Callable[[], None]) -> None:
        super().__init__(config)
        self._ready = ready
        self._closing = closing

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        """Stop."""
        self._closing()
        await super().shutdown(sockets)

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        """Start, then say so."""
        await super().startup(sockets)
        if self.started:
            self._ready()
