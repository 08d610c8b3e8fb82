"""The recording of a solve: a file on this computer that the user named, served in ranges to the page that plays it.

No path of a request reaches the disk but the one in ``POST /solve/KEY/recording``, by which the user names the file. Links
are followed then and there; what is served later is that very file, and only while it is still a video.
"""

from __future__ import annotations

import os
import stat
import threading
from collections.abc import Sequence
from dataclasses import dataclass, replace
from hashlib import blake2b
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit
from urllib.request import url2pathname

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import FileResponse, Response
from starlette.routing import BaseRoute, Route

from inkstep.archive.keeping import Recording, keep_recording, recording_of
from inkstep.desk.answers import body_of, data, words
from inkstep.desk.clock_start import keep_clock_start
from inkstep.desk.desk import Desk
from inkstep.desk.watching import of_another, plain_name, watched
from inkstep.ground.errors import InputError, shown

#: bytes at a file's beginning that say what it is
HEAD_BYTES = 12
#: the first boxes of films of the family that MPEG-4 and QuickTime share (ISO/IEC 14496-12, 4.3; QuickTime's older files
#: begin with any of the others)
_BOXES = (b"ftyp", b"moov", b"mdat", b"wide", b"free", b"skip", b"pnot")
#: said of every file that is not served
_NO_VIDEO = "a video file (MP4, MOV, WebM, MKV or Ogg)"


@dataclass(frozen=True)
class Film:
    """A file that may be served: its path without links, its kind for the browser, and its state when it was looked at."""

    path: Path
    kind: str
    found: os.stat_result

    @property
    def version(self) -> str:
        """A name for this state of the file; another once it was written anew."""
        state = f"{self.path}\0{self.found.st_mtime_ns}\0{self.found.st_size}"
        return blake2b(state.encode("utf-8", "surrogateescape"), digest_size=8).hexdigest()


def routes(desk: Desk) -> Sequence[BaseRoute]:
    """Its data, the file itself, and the moment at which its clock starts."""
    lock = threading.Lock()

    async def show(request: Request) -> Response:
        return data(await run_in_threadpool(_described, desk, request.path_params["key"]))

    async def keep(request: Request) -> Response:
        asked = await body_of(request)
        return data(await run_in_threadpool(_keep, desk, request.path_params["key"], asked, lock))

    async def film(request: Request) -> Response:
        found = await run_in_threadpool(_served, desk, request.path_params["key"])
        return FileResponse(found.path, media_type=found.kind, stat_result=found.found)

    async def clock(request: Request) -> Response:
        asked = await body_of(request)
        return data(await run_in_threadpool(keep_clock_start, desk, request.path_params["key"], asked))

    return (
        Route("/solve/{key}/recording", show),
        Route("/solve/{key}/recording", keep, methods=["POST"]),
        Route("/solve/{key}/film", film),
        Route("/solve/{key}/clock", clock, methods=["POST"]),
    )


def _keep(desk: Desk, key: str, asked: dict[str, Any], lock: threading.Lock) -> dict[str, Any]:
    """Keep the path that the user named, or how they watch; answers as :func:`_described`."""
    if not asked.keys() & {"path", "watching"}:
        raise InputError("the path of a recording, or how it is watched")
    named = _named(asked["path"]) if "path" in asked else None
    with lock:
        kept = recording_of(desk.archive, key)
        now = replace(kept, path=kept.path if named is None else named)
        if "watching" in asked:
            now = replace(now, watching=watched(kept.watching, asked["watching"]))
        if _name(kept) != _name(now) != "":
            now = replace(now, watching=of_another(now.watching))
        keep_recording(desk.archive, key, now)
    return _told(now)


def _name(kept: Recording) -> str:
    """The file's name, named or picked; the same for a file that was moved."""
    return Path(kept.path).name or str(kept.watching.get("picked", {}).get("name", ""))


def _named(value: object) -> str:
    """The path to keep for what the user typed or pasted; an empty one lets the recording go."""
    text = words(value, "the path of a recording", 4000)
    return str(looked_at(path_of(text)).path) if text.strip() else ""


def _described(desk: Desk, key: str) -> dict[str, Any]:
    return _told(recording_of(desk.archive, key))


def _told(kept: Recording) -> dict[str, Any]:
    """What a page is told: ``trouble`` is the sentence that says why the file cannot be had, empty where it can."""
    told: dict[str, Any] = {"path": kept.path, "name": Path(kept.path).name, "there": False, "watching": kept.watching}
    told |= {"size": 0, "kind": "", "version": "", "trouble": ""}
    if kept.path:
        try:
            film = kept_film(kept.path)
        except InputError as fault:
            return told | {"trouble": _trouble(fault)}
        told |= {"there": True, "size": film.found.st_size, "kind": film.kind, "version": film.version}
    return told


def _trouble(fault: InputError) -> str:
    """Why a file that was named before cannot be had now, and that nothing else is lost."""
    hint = fault.hint[:1].upper() + fault.hint[1:]
    return f"The recording was {fault.got}. {hint}{' ' if hint else ''}The log is kept as it is."


def _served(desk: Desk, key: str) -> Film:
    kept = recording_of(desk.archive, key)
    if not kept.path:
        raise InputError("a solve whose recording was named", got="one without a recording")
    return kept_film(kept.path)


def path_of(text: str) -> Path:
    """The path that somebody typed or pasted: in quotes, with ``~``, as a ``file://`` address, or as a terminal writes it.

    Raises:
        InputError: it is no whole path.

    >>> path_of("'/films/table 4.mp4'").as_posix(), path_of("file:///films/table%204.mp4").as_posix()
    ('/films/table 4.mp4', '/films/table 4.mp4')
    """
    text = text.strip()
    if len(text) > 1 and text[0] == text[-1] and text[0] in "\"'":
        text = text[1:-1]
    if text.lower().startswith("file:"):
        text = url2pathname(urlsplit(text).path)
    text = os.path.expanduser(text)
    if not plain_name(text) or not os.path.isabs(text):
        raise InputError("the whole path of a video file", got=shown(text, 200), hint="such as /home/me/films/table-4.mp4")
    if os.sep == "/" and "\\" in text and not os.path.lexists(text):
        text = text.replace("\\\\", "\0").replace("\\", "").replace("\0", "\\")
    return Path(text)


def kept_film(path: str) -> Film:
    """The file that was named once, if it still is that file.

    Raises:
        InputError: it has gone, cannot be read, or the path leads elsewhere now.
    """
    film = looked_at(Path(path))
    if str(film.path) != path:
        got = f"{shown(path, 200)}, which is a link to another now"
        raise InputError("the file that was named", got=got, hint="name it again.")
    return film


def looked_at(path: Path) -> Film:
    """A file on this computer, with links followed.

    Raises:
        InputError: there is none, it is no file, cannot be read, or does not begin as a video does.
    """
    where = shown(str(path), 200)
    try:
        real = path.resolve(strict=True)
        found = real.stat()
        if not stat.S_ISREG(found.st_mode):
            raise InputError(_NO_VIDEO, got=f"{where}, which is {'a folder' if stat.S_ISDIR(found.st_mode) else 'no file'}")
        with real.open("rb") as file:
            kind = video_kind(file.read(HEAD_BYTES))
    except (FileNotFoundError, NotADirectoryError):
        hint = "was it moved, or is its disk away?"
        raise InputError(_NO_VIDEO, got=f"{where}, where there is none", hint=hint) from None
    except PermissionError:
        raise InputError(_NO_VIDEO, got=f"{where}, which you are not allowed to read") from None
    except (OSError, RuntimeError, ValueError) as fault:
        raise InputError(_NO_VIDEO, got=f"{where}, which cannot be read ({fault})") from None
    if not kind:
        raise InputError(_NO_VIDEO, got=f"{where}, which does not begin as a video does")
    return Film(real, kind, found)


def video_kind(head: bytes) -> str:
    """The media type of a file that begins with ``head``; empty where it is no video that a browser may know.

    Sources: ISO/IEC 14496-12 (boxes), RFC 8794 (EBML, the form of WebM and Matroska), RFC 3533 (Ogg).

    >>> video_kind(b"\\x00\\x00\\x00\\x20ftypisom"), video_kind(b"%PDF-1.7")
    ('video/mp4', '')
    """
    if head[4:8] in _BOXES:
        return "video/quicktime" if head[4:8] != b"ftyp" or head[8:10] == b"qt" else "video/mp4"
    if head.startswith(b"\x1a\x45\xdf\xa3"):
        return "video/webm"
    return "video/ogg" if head.startswith(b"OggS") else ""
