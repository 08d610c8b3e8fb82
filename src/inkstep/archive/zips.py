"""Zip files: written piece by piece, and read with care, since anybody may have made one."""

from __future__ import annotations

import re
import zipfile
import zlib
from collections.abc import Iterator
from io import BytesIO, RawIOBase
from typing import Any, BinaryIO

from inkstep.ground.errors import InputError, shown

#: the most that is taken from one: files, bytes of one of them, bytes in all
MOST_FILES = 1_000_000
MOST_BYTES = 32 * 2**20
MOST_IN_ALL = 4 * 2**30

_METHODS = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
#: what leads out of the folder that a zip is unpacked in, on any system
_LEADS_OUT = re.compile(r"^[/\\]|^[A-Za-z]:|(^|[/\\])\.\.([/\\]|$)|\\|[\x00-\x1f]")


class _Outlet(RawIOBase):
    """Takes what a zip file writes, and gives it on."""

    def __init__(self) -> None:
        self._parts: list[bytes] = []

    def writable(self) -> bool:
        """It is."""
        return True

    def write(self, data: Any) -> int:
        """Take bytes."""
        self._parts.append(bytes(data))
        return len(data)

    def taken(self) -> bytes:
        """All that came since the last time."""
        found = b"".join(self._parts)
        self._parts.clear()
        return found


def zipped(files: Iterator[tuple[str, str]]) -> Iterator[bytes]:
    """A zip file of names and texts, in pieces; the same files always give the same bytes."""
    outlet = _Outlet()
    with zipfile.ZipFile(outlet, "w", zipfile.ZIP_DEFLATED) as made:
        for name, text in files:
            entry = zipfile.ZipInfo(name)
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.external_attr = 0o644 << 16
            # a lone surrogate, which no file of text can hold, becomes a question mark
            made.writestr(entry, text.encode("utf-8", "replace"))
            if piece := outlet.taken():
                yield piece
    yield outlet.taken()


class Unzipped:
    """The files of a zip file that others may have made. Nothing of it is ever written to the disk by its name.

    Raises:
        InputError: it is no zip file, its names lead elsewhere, or it is made to swell.
    """

    def __init__(self, data: bytes | BinaryIO) -> None:
        try:
            self._zip = zipfile.ZipFile(BytesIO(data) if isinstance(data, bytes) else data)
            found = self._zip.infolist()
        except (zipfile.BadZipFile, OSError, ValueError, NotImplementedError) as fault:
            raise _refused(f"something else ({fault})") from None
        self._left = MOST_IN_ALL
        self._entries = {entry.filename: entry for entry in found}
        if len(found) > MOST_FILES:
            raise _refused(f"one of {len(found):,} files")
        if len(self._entries) < len(found):
            raise _refused("one with two files of the same name")
        for entry in found:
            _check(entry)
        if sum(entry.file_size for entry in found) > MOST_IN_ALL:
            raise _refused("one that swells beyond all measure")

    def names(self) -> tuple[str, ...]:
        """The names of all files, in order."""
        return tuple(sorted(name for name in self._entries if not name.endswith("/")))

    def text(self, name: str) -> str:
        """The text of a file; empty where there is none of that name.

        Raises:
            InputError: it is damaged, or longer than it says.
        """
        entry = self._entries.get(name)
        if entry is None:
            return ""
        try:
            with self._zip.open(entry) as file:
                found = file.read(MOST_BYTES + 1)
        except (zipfile.BadZipFile, zlib.error, OSError, EOFError, RuntimeError, NotImplementedError) as fault:
            raise InputError("a file that can be unpacked", where=shown(name, 80), got=str(fault)) from None
        self._left -= len(found)
        if len(found) > MOST_BYTES or self._left < 0:
            raise _refused("one that swells beyond all measure")
        return found.decode("utf-8", "replace")


def _check(entry: zipfile.ZipInfo) -> None:
    """See that a file of a zip is one that we would have put there.

    Raises:
        InputError: its name leads elsewhere, or its size is beyond measure.
    """
    if _LEADS_OUT.search(entry.filename) or _LEADS_OUT.search(entry.orig_filename):
        raise _refused(f"one with a file {shown(entry.filename, 60)}, which leads out of its folder")
    if entry.file_size > MOST_BYTES:
        raise _refused(f"one with a file of {entry.file_size // 2**20:,} MB")
    if entry.flag_bits & 1 or entry.compress_type not in _METHODS:
        raise _refused("one that is locked, or packed in another way")


def _refused(got: str) -> InputError:
    return InputError("a zip file that an archive was exported to", got=got, hint="nothing was taken in")
