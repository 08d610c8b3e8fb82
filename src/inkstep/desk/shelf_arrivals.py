"""Files that arrive at the shelf: sheets, tables of strokes, records, and whole archives."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import PurePath
from tempfile import SpooledTemporaryFile
from typing import IO, Any, BinaryIO, cast

from starlette.concurrency import run_in_threadpool
from starlette.requests import ClientDisconnect, Request

from inkstep.archive import exchange
from inkstep.archive.logs import begin
from inkstep.archive.shelf import shelf
from inkstep.desk.desk import Desk
from inkstep.grid.reading import read_puzzle
from inkstep.ground.errors import InputError
from inkstep.trace.plain import sheet_from_json
from inkstep.trace.reading import SheetReading, read_sheet
from inkstep.trace.sheet import KIND, Header
from inkstep.trace.tabular import sheet_from_csv

#: how a zip file begins (PKWARE, APPNOTE 6.3.10, 4.3.7)
_ZIP = b"PK\x03\x04"
_FEW_BYTES = 4096
#: bytes of a zip file, and of any other
MOST_ZIP, MOST_FILE = 2**32, 64 * 2**20
#: bytes of an arriving file that are kept in memory
_IN_MEMORY = 8 * 2**20


@asynccontextmanager
async def arriving(request: Request) -> AsyncIterator[IO[bytes]]:
    """A request's body as a file, that goes again at the end.

    Raises:
        InputError: it is too large, broke off, or the disk has no room for it.
    """
    with SpooledTemporaryFile(max_size=_IN_MEMORY) as file:
        try:
            async for part in request.stream():
                await run_in_threadpool(file.write, part)
                if file.tell() > MOST_FILE and file.tell() > (most := _most(file)):
                    raise InputError(f"at most {most // 2**20} MB")
        except ClientDisconnect:
            raise InputError("a whole file", got="one that broke off") from None
        except OSError as fault:
            raise InputError("room on the disk for the file", got=fault.strerror or "none") from None
        yield file


def _most(file: IO[bytes]) -> int:
    at = file.tell()
    file.seek(0)
    found = file.read(len(_ZIP))
    file.seek(at)
    return MOST_ZIP if found == _ZIP else MOST_FILE


def take_in(desk: Desk, name: str, file: IO[bytes], puzzle: str = "") -> dict[str, Any]:
    """Put what a file holds on the shelf; what kind of file it is, its content tells, and its name where that is silent.

    The answer has ``name``, and of a sheet ``key``, ``title``, ``strokes``, ``damage`` (sentences), ``complete`` and
    ``twins``; of an archive ``added``, ``skipped`` and ``faults``; of a table that came without its puzzle, ``needs``.

    Raises:
        InputError: nothing in it can be read.
        ArchiveError: the archive cannot be written just now; nothing was taken in.
    """
    name = PurePath(name.replace("\\", "/")).name[:200] or "a file"
    file.seek(0)
    if file.read(len(_ZIP)) == _ZIP:
        return {"name": name, **_archive(desk, file)}
    file.seek(0)
    content = file.read()
    if _is_table(name, content):
        if not puzzle.strip():
            return {"name": name, "needs": "puzzle"}
        title = PurePath(name).stem
        reading = sheet_from_csv(content, Header(read_puzzle(puzzle).givens, title=" ".join(title.split())), where=name)
    elif _is_record(name, content):
        reading = SheetReading(sheet_from_json(content.decode("utf-8-sig", "replace"), name))
    else:
        reading = read_sheet(content, where=name)
    return {"name": name, **_sheet(desk, reading)}


def _archive(desk: Desk, file: IO[bytes]) -> dict[str, Any]:
    file.seek(0)
    found = exchange.import_archive(desk.archive, cast(BinaryIO, file))
    return {"added": found.added, "skipped": found.skipped, "faults": found.faults}


def _sheet(desk: Desk, reading: SheetReading) -> dict[str, Any]:
    sheet = reading.sheet
    log = begin(desk.archive, sheet)
    return {
        "key": log.key,
        "title": sheet.header.title,
        "strokes": len(sheet.strokes),
        "damage": [str(damage) for damage in reading.damage],
        "complete": reading.complete,
        "twins": max(0, shelf(desk.archive, sheet.header.puzzle, most=1).total - 1) if any(sheet.givens) else 0,
    }


def _is_table(name: str, content: bytes) -> bool:
    first = _first_line(content)
    if KIND in first.lower() or first.startswith("{"):
        return False
    return name.lower().endswith((".csv", ".tsv")) or {"kind", "cells"} <= set(_cells(first))


def _cells(line: str) -> list[str]:
    for sign in ";\t":
        line = line.replace(sign, ",")
    return [cell.strip().strip('"').lower() for cell in line.split(",")]


def _is_record(name: str, content: bytes) -> bool:
    first = _first_line(content)
    return KIND not in first.lower() and (first.startswith("{") or name.lower().endswith(".json"))


def _first_line(content: bytes) -> str:
    start = content[:_FEW_BYTES]
    code = "utf-16" if start[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8-sig"
    text = start.decode(code, "replace")
    return next((line.strip() for line in text.splitlines() if line.strip()), "")
