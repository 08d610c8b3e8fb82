"""Nothing is lost: the server killed while strokes arrive, the browser killed, two tabs, a full disk, a locked archive."""

from __future__ import annotations

import itertools
import json
import random
import signal
import sqlite3
import threading
import time
from http.client import HTTPConnection, HTTPException
from pathlib import Path
from typing import Any

import pytest

from desk_server import RefusedError, RunningDesk, running_desk
from inkstep.archive.logs import begin, load
from inkstep.archive.opening import open_archive
from inkstep.trace.reading import read_sheet
from inkstep.trace.sheet import Sheet

DEMO = Path(__file__).parents[1] / "examples" / "harbour-spring.sheet"
#: how often the server is killed: in every run, and in the long one
FEW, MANY = 12, 200


def empty_demo() -> Sheet:
    whole = read_sheet(DEMO.read_bytes()).sheet
    return Sheet(whole.header)


def an_archive(folder: Path) -> Path:
    """An archive with one solve, ``kept``, on which nothing is logged yet."""
    path = folder / "archive.db"
    archive = open_archive(path, now=lambda: 0, new_key=lambda: "kept")
    begin(archive, empty_demo())
    archive.close()
    return path


def strokes_in(path: Path) -> list[tuple[int, int | None, str]]:
    """What stands in the archive: ids, times and comments."""
    archive = open_archive(path, now=lambda: 0, new_key=lambda: "unused")
    try:
        log = load(archive, "kept")
        return [(i, s.at_ms, s.comment) for i, s in zip(log.ids, log.sheet.strokes, strict=True)]
    finally:
        archive.close()


class Script:
    """Somebody who logs as fast as the desk answers, until it does not; remembers what was acknowledged."""

    def __init__(self, desk: RunningDesk, start: int) -> None:
        self.acknowledged: list[int] = []
        self._numbers = itertools.count(start)
        self._desk = desk
        self._thread = threading.Thread(target=self._run, daemon=True)
        self._thread.start()

    def _run(self) -> None:
        cookie = "; ".join(f"{each.name}={each.value}" for each in self._desk.cookies)
        host = self._desk.origin.removeprefix("http://")
        headers = {"Origin": self._desk.origin, "Cookie": cookie, "Content-Type": "application/json"}
        connection = HTTPConnection(host, timeout=20)
        try:
            for number in self._numbers:
                connection.request("POST", "/solve/kept/edit", json.dumps(a_note(number)), headers)
                answer = connection.getresponse()
                text = answer.read()
                if answer.status == 200 and json.loads(text)["strokes"]:
                    self.acknowledged.append(number)
        except (OSError, HTTPException, ValueError):
            return

    def wait_for(self, count: int) -> None:
        """Until so many strokes were acknowledged."""
        end = time.monotonic() + 20
        while len(self.acknowledged) < count and time.monotonic() < end:
            time.sleep(0.001)

    def wait(self) -> None:
        self._thread.join(30)
        assert not self._thread.is_alive()


def a_note(number: int) -> dict[str, Any]:
    """A stroke that says which it is: by its time and its comment."""
    note = {"note": True, "text": f"stroke {number}", "place": {"where": "above", "house": 18}}
    return {"edit": "write", "have": None, "last": True, "at_ms": number, "comment": f"number {number}", **note}


def kill_often(folder: Path, times: int, seed: int) -> None:
    rng = random.Random(seed)
    path = an_archive(folder)
    written = 0
    sure: list[int] = []
    for _ in range(times):
        desk = RunningDesk(path, folder)
        script = Script(desk, written)
        script.wait_for(rng.randrange(4))
        time.sleep(rng.uniform(0, 0.04))
        desk.kill()
        script.wait()
        desk.stop()
        sure += script.acknowledged
        there = strokes_in(path)
        numbers = [at for _, at, _ in there]
        assert [number for number in sure if number not in set(numbers)] == []
        assert numbers == sorted(set(numbers)), "in order, and none twice"
        assert all(comment == f"number {at}" for _, at, comment in there), "no half stroke"
        written = max(numbers, default=-1) + 1
    assert len(sure) > times, "the script had logged something between the kills"


def test_the_server_killed_again_and_again_loses_nothing_acknowledged(tmp_path: Path) -> None:
    kill_often(tmp_path, FEW, 3)


@pytest.mark.slow
def test_the_server_killed_two_hundred_times_loses_nothing_acknowledged(tmp_path: Path) -> None:
    kill_often(tmp_path, MANY, 4)


def test_a_locked_archive_is_a_sentence_and_then_works_again(tmp_path: Path) -> None:
    path = an_archive(tmp_path)
    with running_desk(path, tmp_path) as desk:
        other = sqlite3.connect(path, isolation_level=None)
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(RefusedError) as refused:
            desk.ask("/solve/kept/edit", a_note(1))
        assert refused.value.status == 503
        assert "archive" in str(refused.value)
        other.execute("ROLLBACK")
        other.close()
        assert len(desk.ask("/solve/kept/edit", a_note(2))["strokes"]) == 1


def test_a_second_desk_on_the_same_archive_sees_and_keeps_everything(tmp_path: Path) -> None:
    path = an_archive(tmp_path)
    with running_desk(path, tmp_path) as one, running_desk(path, tmp_path) as two:
        for number in range(10):
            (one, two)[number % 2].ask("/solve/kept/edit", a_note(number))
        assert len(one.ask("/solve/kept/change")["strokes"]) >= 9
    assert [at for _, at, _ in strokes_in(path)] == list(range(10))


def test_an_edit_of_something_changed_meanwhile_shows_both(tmp_path: Path) -> None:
    path = an_archive(tmp_path)
    with running_desk(path, tmp_path) as desk:
        first = desk.ask("/solve/kept/edit", a_note(5))["strokes"][0]
        change = {"edit": "rewrite", "stroke": first["id"], "was": first["was"], "have": 1}
        desk.ask("/solve/kept/edit", {**change, "comment": "theirs"})
        with pytest.raises(RefusedError) as refused:
            desk.ask("/solve/kept/edit", {**change, "comment": "ours"})
        assert refused.value.status == 409
        assert "theirs" in refused.value.body["theirs"]
        assert "ours" in refused.value.body["ours"]
        assert "number 5" in refused.value.body["was"]
    assert [comment for _, _, comment in strokes_in(path)] == ["theirs"]


@pytest.mark.slow
def test_a_thousand_strokes_leave_the_server_small(tmp_path: Path) -> None:
    """With the pages that show them asked for, the review made and the plan: under 250 MB."""
    with running_desk(an_archive(tmp_path), tmp_path) as desk:
        for number in range(1000):
            digit, cell = 1 + number % 9, (number * 7) % 81
            mark = {"cells": [cell], "digits": [digit], "other": True, "at_ms": number}
            desk.ask("/solve/kept/edit", {"edit": "write", "have": number, **mark})
        assert len(desk.ask("/solve/kept/change")["strokes"]) == 1000
        while not desk.ask("/solve/kept/study?patience=2000")["ready"]:
            pass
        status = Path(f"/proc/{desk.process.pid}/status")
        if not status.exists():
            pytest.skip("memory is read from /proc")
        resident = next(int(line.split()[1]) for line in status.read_text().splitlines() if line.startswith("VmRSS"))
        print(f"server after 1,000 strokes and their review: {resident / 1024:.0f} MB")
        assert resident < 250 * 1024


def test_a_desk_started_again_is_found_where_it_was_and_ends_without_complaint(tmp_path: Path) -> None:
    path = an_archive(tmp_path)
    with running_desk(path, tmp_path) as first:
        origin = first.origin
    with running_desk(path, tmp_path) as second, running_desk(path, tmp_path) as guest:
        assert second.origin == origin
        assert guest.origin != origin
        stream = HTTPConnection(second.origin.removeprefix("http://"), timeout=20)
        cookie = "; ".join(f"{each.name}={each.value}" for each in second.cookies)
        stream.request("GET", "/solve/kept/events", headers={"Cookie": cookie})
        assert stream.getresponse().status == 200
        second.process.send_signal(signal.SIGINT)
        assert second.process.wait(10) == 0
        assert second.process.stderr is not None
        assert second.process.stderr.read() == "The desk is closed; everything is kept.\n"
