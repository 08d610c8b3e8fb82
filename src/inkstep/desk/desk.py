"""The desk behind its pages: the archive, what of it is kept at hand, and who is told of changes."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import Any

from inkstep.archive import logs
from inkstep.archive.logs import Edit, Log
from inkstep.archive.opening import Archive
from inkstep.desk.heading import head_json
from inkstep.desk.hub import Hub
from inkstep.desk.studies import Studies, Study
from inkstep.desk.tracks import Track, first_difference

#: solves whose pages are kept at hand
MOST_TRACKS = 4
#: earlier states of a solve that a page can be told the difference from
MOST_STATES = 40


class Desk:
    """What the pages share. Every method may be called from any thread."""

    def __init__(self, archive: Archive, files: Path, *, address: str = "", token: str = "") -> None:
        self.archive = archive
        #: where the desk is found, ``http://127.0.0.1:PORT``, and the token that its addresses carry
        self.address = address
        self.address_token = token
        #: where lessons are written that the user names no folder for
        self.files = files
        self.hub = Hub()
        self.studies = Studies(archive)
        self._lock = threading.RLock()
        self._tracks: OrderedDict[str, Track] = OrderedDict()
        self._states: dict[str, OrderedDict[int, Log]] = {}

    def log(self, key: str) -> Log:
        """The solve as it stands.

        Raises:
            InputError: there is none of that name.
        """
        return self.track(key).log

    def track(self, key: str) -> Track:
        """The solve as it stands, with all its pages."""
        with self._lock:
            track = self._tracks.get(key)
            if track is None or track.log.revision != logs.revision_of(self.archive, key):
                # not at hand, or changed by another desk on the same archive
                track = Track(logs.load(self.archive, key), track)
                self._keep(track)
            self._tracks.move_to_end(key)
            return track

    def study(self, key: str) -> Study:
        """The solve as it stands, reviewed: at once where this revision was reviewed before, else in a second or so.

        Raises:
            InputError: there is no such solve, or its puzzle has no one solution.
        """
        return self.studies.of(self.log(key))

    def amend(self, key: str, edit: Edit | Callable[[Track], Edit]) -> Log:
        """Make an edit, commit it, and tell the pages that are open on the solve.

        An edit given as a function is made for the solve as it stands then.

        Raises:
            ClashError: what it changes was changed meanwhile.
            InputError: there is no such solve or stroke, or the stroke cannot be written.
            ArchiveError: the archive cannot be written just now; nothing was changed.
        """
        with self._lock:
            track = self.track(key)
            if callable(edit):
                edit = edit(track)
            return self._changed(logs.amend(self.archive, key, edit, track.log))

    def undo(self, key: str) -> Log:
        """Take back the newest edit."""
        with self._lock:
            return self._changed(logs.undo(self.archive, key, self.track(key).log))

    def redo(self, key: str) -> Log:
        """Do again what was taken back last."""
        with self._lock:
            return self._changed(logs.redo(self.archive, key, self.track(key).log))

    def change(self, key: str, have: int | None) -> dict[str, Any]:
        """What a page that has revision ``have`` needs to show the solve as it stands (docs/desk.md)."""
        with self._lock:
            track = self.track(key)
            log = track.log
            states = self._states.get(key)
            old = states.get(have) if states and have is not None else None
            first = first_difference(old, log) if old else 0
            return {
                "revision": log.revision,
                "head": head_json(log.sheet.header),
                "from": first,
                "strokes": track.strokes(first),
                "undo": log.undo,
                "redo": log.redo,
            }

    def forget(self, key: str) -> None:
        """The solve was changed behind the desk's back, or is gone."""
        with self._lock, suppress(KeyError):
            del self._tracks[key]

    def _changed(self, log: Log) -> Log:
        track = self._tracks.get(log.key)
        self._keep(Track(log, track))
        self.hub.tell(log.key, "changed", {"revision": log.revision})
        return log

    def _keep(self, track: Track) -> None:
        key = track.log.key
        self._tracks[key] = track
        self._tracks.move_to_end(key)
        states = self._states.setdefault(key, OrderedDict())
        states[track.log.revision] = track.log
        while len(states) > MOST_STATES:
            states.popitem(last=False)
        while len(self._tracks) > MOST_TRACKS:
            gone, _ = self._tracks.popitem(last=False)
            self._states.pop(gone, None)

