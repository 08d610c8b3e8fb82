"""Putting a file on the disk whole or not at all, and saying in our own words why that failed."""

from __future__ import annotations

import errno
import os
import secrets
import stat
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from inkstep.ground.errors import InputError

_FULL = {errno.ENOSPC, errno.EDQUOT, errno.EFBIG}
_SHUT = {errno.EACCES, errno.EPERM, errno.EROFS}


def write_whole(path: Path, content: str | bytes) -> None:
    """Writes a file whole or not at all: aside, to the disk, then renamed. A link is followed, not replaced.

    Text is written as UTF-8 with the line ends it has. The folder must exist.

    Raises:
        InputError: the path is a folder, cannot be written, the disk is full, or UTF-8 cannot hold the text.
    """
    path = Path(os.path.realpath(path))
    data = encoded(content, path)
    with told(path):
        refuse_folder(path)
        aside = set_aside(path, data)
        try:
            os.replace(aside, path)
        finally:
            aside.unlink(missing_ok=True)
        settle(path.parent)


def encoded(content: str | bytes, path: Path) -> bytes:
    """``content`` as bytes, text as UTF-8; ``path`` is named where that fails.

    Raises:
        InputError: the text holds half a character, as a JSON escape can.
    """
    if isinstance(content, bytes):
        return content
    try:
        return content.encode("utf-8")
    except UnicodeEncodeError as fault:
        got = f"half a character at place {fault.start + 1}"
        raise InputError("text that UTF-8 can hold", where=str(path), got=got) from None


def refuse_folder(path: Path) -> None:
    """Raises ``IsADirectoryError`` where ``path`` is a folder."""
    if path.is_dir():
        raise IsADirectoryError(errno.EISDIR, "is a folder", str(path))


def hidden(path: Path) -> Path:
    """A new name in the folder of ``path``, out of sight."""
    return path.with_name(f".inkstep-{secrets.token_hex(8)}.part")


def set_aside(path: Path, data: bytes) -> Path:
    """Writes ``data`` to the disk under a hidden name beside ``path``, with the rights of the file there.

    Raises:
        OSError: it cannot be written whole; nothing is left behind.
    """
    aside = hidden(path)
    try:
        handle = os.open(aside, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o666)
        with open(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        if path.exists():
            aside.chmod(stat.S_IMODE(path.stat().st_mode))
    except BaseException:
        with suppress(OSError):
            aside.unlink(missing_ok=True)
        raise
    return aside


def settle(folder: Path) -> None:
    """Brings the new names in ``folder`` to the disk, on systems that can."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


@contextmanager
def told(path: Path) -> Iterator[None]:
    """Says as one of our own errors what the system could not do at ``path``.

    Raises:
        InputError: an ``OSError`` came out of the block.
    """
    try:
        yield
    except OSError as fault:
        raise _sentence(fault, path) from fault


def _sentence(fault: OSError, path: Path) -> InputError:
    expected, got, hint = _words(fault)
    named = Path(str(fault.filename or path))
    # a file set aside has a name of ours that would tell the user nothing
    own = fault.errno in {errno.EISDIR, errno.ENOENT} and not named.name.startswith(".inkstep-")
    where = str(named if own else path)
    return InputError(expected, where=where, got=got, hint=hint)


def _words(fault: OSError) -> tuple[str, str, str]:
    if fault.errno in _FULL:
        return "room on the disk", "a full one", "make room; what was there is unchanged"
    if fault.errno in _SHUT:
        return "a place that may be written to", "no permission", "choose another"
    if fault.errno in {errno.ENOTDIR, errno.EEXIST}:
        return "a folder", "a file", "choose another"
    if fault.errno == errno.EISDIR:
        return "a file", "a folder", "choose another name"
    if fault.errno == errno.ENOENT:
        return "a folder that exists", "nothing", "make the folder first"
    return "a place that can be written to", fault.strerror or "a fault of the disk", "choose another"
