"""A lesson's files in one folder: all set aside, then put in place, so that a failed run changes nothing.

The folder's ``manifest.json`` names every file with its SHA-256 and size. By it a later run knows its own
files: one that was changed by hand, or never was ours, is kept under another name before a new one takes
its place.
"""

from __future__ import annotations

import errno
import hashlib
import os
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from inkstep.ground.errors import InputError, shown
from inkstep.ground.records import RecordKind
from inkstep.press.writing import encoded, hidden, refuse_folder, set_aside, settle, told, write_whole

__all__ = ["MANIFEST", "Edition", "write_edition", "write_whole"]

MANIFEST = "manifest.json"
_RECORD = RecordKind("inkstep-edition", 1, {})


@dataclass(frozen=True, slots=True)
class Edition:
    """What a run wrote: the files in the order given, the manifest last.

    ``kept`` are earlier files that were not as an earlier run left them, under the names they are kept by.
    """

    folder: Path
    written: tuple[Path, ...]
    kept: tuple[Path, ...]


@dataclass(frozen=True, slots=True)
class _Listed:
    """One file in the manifest; ``size`` in bytes."""

    name: str
    sha256: str
    size: int

    @classmethod
    def of(cls, name: str, data: bytes) -> _Listed:
        return cls(name, hashlib.sha256(data).hexdigest(), len(data))


def write_edition(folder: Path, outputs: Mapping[str, str | bytes]) -> Edition:
    """Writes ``outputs`` (``script.md``, ``stills/page-12.svg`` ...) into ``folder``, all of them or none.

    The folder is made where it is missing. Nothing is put in place before everything is on the disk; should
    that last step fail, the files it had replaced are put back. Files that an earlier run wrote and this
    one does not are left alone and stay in the manifest.

    Raises:
        InputError: a name leads out of the folder, the folder is a file or cannot be written, the disk is
            full, or its ``manifest.json`` is not one of ours.
    """
    for name in outputs:
        _check_name(name)
    earlier = _earlier(folder)
    files = {folder / name: encoded(content, folder / name) for name, content in outputs.items()}
    listed = {name: _Listed.of(name, files[folder / name]) for name in outputs}
    files[folder / MANIFEST] = _manifest(folder, earlier, listed)
    with told(folder), _folders(files):
        kept = {folder / name: _free_name(folder / name) for name in _foreign(folder, earlier, listed)}
        _replace_all(files, kept)
    return Edition(folder, tuple(files), tuple(kept.values()))


def _check_name(name: str) -> None:
    path = PurePosixPath(name)
    inside = bool(path.parts) and name == str(path) and not path.is_absolute() and ".." not in path.parts
    if not inside or "\0" in name or "\\" in name or name == MANIFEST:
        raise InputError("a file's name inside the folder, such as script.md", got=shown(name))


def _earlier(folder: Path) -> dict[str, _Listed]:
    """What the manifest of an earlier run lists, by name; nothing where there is none."""
    path = folder / MANIFEST
    with told(folder):
        if folder.exists() and not folder.is_dir():
            raise NotADirectoryError(errno.ENOTDIR, "is a file", str(folder))
        if not path.exists():
            return {}
        text = path.read_bytes().decode("utf-8", "replace")
    rows = _RECORD.load(text, str(path)).get("files")
    try:
        listed = [_Listed(str(row["name"]), str(row["sha256"]), int(row["size"])) for row in rows or ()]
    except (TypeError, KeyError, ValueError):
        expected = "a list of files with name, sha256 and size"
        raise InputError(expected, where=str(path), hint="choose another folder") from None
    return {row.name: row for row in listed}


def _manifest(folder: Path, earlier: Mapping[str, _Listed], listed: Mapping[str, _Listed]) -> bytes:
    """The manifest after this run: its own files, and those of earlier runs that still lie there."""
    rows = {name: row for name, row in earlier.items() if (folder / name).is_file()}
    rows.update(listed)
    files = [{"name": row.name, "sha256": row.sha256, "size": row.size} for _, row in sorted(rows.items())]
    return encoded(_RECORD.dump({"files": files}), folder / MANIFEST)


def _foreign(folder: Path, earlier: Mapping[str, _Listed], listed: Mapping[str, _Listed]) -> Iterator[str]:
    """Names of files in the way that are neither what an earlier run left nor what this one writes."""
    for name, row in listed.items():
        if (folder / name).is_file():
            there = _Listed.of(name, (folder / name).read_bytes())
            if there not in (row, earlier.get(name)):
                yield name


def _free_name(path: Path) -> Path:
    """The first free name of the form ``script.kept-1.md``."""
    number = 1
    while os.path.lexists(free := path.with_name(f"{path.stem}.kept-{number}{path.suffix}")):
        number += 1
    return free


def _replace_all(files: Mapping[Path, bytes], kept: Mapping[Path, Path]) -> None:
    """Puts ``files`` in place, all or none; what was there stays where ``kept`` has a name for it."""
    aside: dict[Path, Path] = {}
    before: dict[Path, Path] = {}
    done: list[Path] = []
    try:
        for path, data in files.items():
            refuse_folder(path)
            aside[path] = set_aside(path, data)
        for path in files:
            if path.exists():
                before[path] = _second_name(path, kept.get(path, hidden(path)))
        for path in files:
            # noted first: whoever is stopped in between puts back what may not have been replaced, which changes nothing
            done.append(path)
            os.replace(aside[path], path)
    except BaseException:
        _put_back(done, before)
        raise
    finally:
        _remove(aside.values())
    _remove(second for path, second in before.items() if path not in kept)
    for parent in {path.parent for path in files}:
        settle(parent)


def _put_back(done: Iterable[Path], before: Mapping[Path, Path]) -> None:
    for path in done:
        if path in before:
            os.replace(before[path], path)
        else:
            path.unlink(missing_ok=True)
    _remove(before.values())


def _remove(paths: Iterable[Path]) -> None:
    for path in paths:
        with suppress(OSError):
            path.unlink(missing_ok=True)


def _second_name(path: Path, second: Path) -> Path:
    """Gives the file at ``path`` a second name: a link where the file system has them, else a copy."""
    try:
        os.link(path, second)
    except OSError:
        os.replace(set_aside(path, path.read_bytes()), second)
    return second


@contextmanager
def _folders(files: Iterable[Path]) -> Iterator[None]:
    """Makes the folders that ``files`` need, and on failure takes away again those that were not there."""
    made: list[Path] = []
    try:
        for path in files:
            for folder in reversed([folder for folder in path.parents if not folder.exists()]):
                folder.mkdir()
                made.append(folder)
        yield
    except BaseException:
        for folder in reversed(made):
            with suppress(OSError):
                folder.rmdir()
        raise
