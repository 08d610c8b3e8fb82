"""Jobs: lessons made in a process of their own, one after another, with their progress told as they go.

The process ends with the desk. A job that a desk left behind unfinished is told as such by the next one.
"""

from __future__ import annotations

import os
import socket
import sys
import threading
import time
from contextlib import suppress
from dataclasses import replace
from typing import Any

from inkstep.archive import keeping
from inkstep.archive.keeping import Job
from inkstep.archive.opening import ArchiveError
from inkstep.desk.desk import Desk
from inkstep.desk.making import Order, Work, make_lesson
from inkstep.desk.running import STOP_S, STOPPED, Running, next_words
from inkstep.ground.errors import InputError

#: seconds between two notes of a job's progress in the archive, each of which is a commit, and on open pages
KEEP_EVERY_S, TELL_EVERY_S = 1.0, 0.1

ENDED = ("done", "failed", "stopped")
_LEFT_BEHIND = "The desk was closed before this was done."
_UNCHANGED = "What lay in the folder is as it was."


class Jobs:
    """The jobs of one desk. Every method may be called from any thread."""

    def __init__(self, desk: Desk, work: Work = make_lesson) -> None:
        self._desk = desk
        self._work = work
        self._lock = threading.Lock()
        self._turn = threading.Lock()
        self._live: dict[int, Running] = {}

    def start(self, key: str, formats: tuple[str, ...], folder: str) -> Job:
        """Begin a job, which runs as soon as those before it have ended.

        Raises:
            InputError: there is no such solve.
        """
        asked = {"formats": list(formats), "host": socket.gethostname(), "process": os.getpid()}
        with self._lock:
            # whoever finds it in the archive finds it here as well, and does not take it for left behind
            job = keeping.begin_job(self._desk.archive, key, asked, folder)
            running = self._live[job.id] = Running(job)
        order = Order(self._desk.archive.engine.url.render_as_string(hide_password=False), key, formats, folder)
        threading.Thread(target=self._run, args=(running, order), daemon=True, name=f"job {job.id}").start()
        return job

    def of(self, key: str) -> tuple[Job, ...]:
        """The newest jobs of a solve, newest first, as they stand."""
        return tuple(self._as_it_stands(job) for job in keeping.jobs_of(self._desk.archive, key))

    def one(self, key: str, number: int) -> Job:
        """One job of a solve, as it stands.

        Raises:
            InputError: the solve has no such job.
        """
        job = keeping.job_of(self._desk.archive, number)
        if job.key != key:
            raise InputError("a job of this solve", got=str(number))
        return self._as_it_stands(job)

    def stop(self, key: str, number: int) -> Job:
        """Stop a job; one that has ended stays as it is."""
        job = self.one(key, number)
        with self._lock:
            running = self._live.get(number)
        if running is None:
            return job if job.state in ENDED else self._end(job, "stopped", STOPPED)[0]
        running.stop()
        running.ended.wait(2 * STOP_S)
        return running.job

    def close(self) -> None:
        """Stop everything: the desk is being closed."""
        with self._lock:
            live = list(self._live.values())
        for running in live:
            running.stop()

    def _as_it_stands(self, job: Job) -> Job:
        with self._lock:
            running = self._live.get(job.id)
            if running:
                return running.job
            # it may have ended since it was read
            job = keeping.job_of(self._desk.archive, job.id)
        if job.state in ENDED or _is_elsewhere(job.asked):
            return job
        ended = _ended(job, "failed", _LEFT_BEHIND, self._desk.archive.now())
        self._keep(ended)
        return ended

    def _run(self, running: Running, order: Order) -> None:
        """Run one job to its end, when its turn has come."""
        with self._turn:
            try:
                state, said, written = self._followed(running, order)
            except Exception as fault:
                running.stop()
                state, said, written = "failed", f"The lesson could not be made: {fault}", ()
                print(f"job {running.job.id}: {type(fault).__name__}: {fault}", file=sys.stderr)
        running.job, kept = self._end(running.job, state, said, written)
        if kept:
            with self._lock:
                del self._live[running.job.id]
        running.ended.set()

    def _followed(self, running: Running, order: Order) -> tuple[str, str, tuple[str, ...]]:
        """Start the process and follow it: how the job ended, what there is to say, and what was written."""
        receiver = running.begin(self._work, order)
        if receiver is None:
            return "stopped", STOPPED, ()
        last: tuple[Any, ...] = ()
        kept_at = told_at = 0.0
        while message := next_words(receiver):
            last = message
            if message[0] != "share":
                break
            now = time.monotonic()
            running.job = replace(running.job, state="running", share=message[1], said=message[2])
            if now - told_at >= TELL_EVERY_S:
                told_at = now
                self._tell(running.job)
            if now - kept_at >= KEEP_EVERY_S:
                kept_at = now
                self._keep(running.job)
        return running.outcome(last)

    def _end(self, job: Job, state: str, said: str, written: tuple[str, ...] = ()) -> tuple[Job, bool]:
        """The job at its end, and whether the archive knows of it."""
        ended = _ended(job, state, said, self._desk.archive.now(), written)
        kept = self._keep(ended)
        if state == "done":
            with suppress(ArchiveError, InputError):
                keeping.keep_state(self._desk.archive, job.key, "published")
        self._tell(ended)
        return ended, kept

    def _keep(self, job: Job) -> bool:
        """Note the job in the archive. Where that cannot be written just now, pages that are open are told all the same."""
        changed: dict[str, Any] = {"state": job.state, "share": job.share, "said": job.said}
        changed |= {"written": job.written, "ended_at": job.ended_at}
        try:
            keeping.change_job(self._desk.archive, job.id, **changed)
        except InputError:
            # its solve was taken off the shelf, and the job with it
            return True
        except ArchiveError:
            return False
        return True

    def _tell(self, job: Job) -> None:
        self._desk.hub.tell(job.key, "job", job_json(job))


def _ended(job: Job, state: str, said: str, now: int, written: tuple[str, ...] = ()) -> Job:
    """A job at its end. However it failed, the folder is as it was, and that is said."""
    if state == "done":
        return replace(job, state=state, share=1.0, said=said, written=written, ended_at=now)
    return replace(job, state=state, said=f"{said}\n{_UNCHANGED}", ended_at=now)


def _is_elsewhere(asked: dict[str, Any]) -> bool:
    """Whether another desk that is open just now began the job: one on another computer is taken at its word."""
    if asked.get("host") != socket.gethostname():
        return bool(asked.get("host"))
    process = asked.get("process")
    if not isinstance(process, int) or process == os.getpid() or os.name != "posix":
        return False
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    except OSError:
        return True
    return True


def job_json(job: Job) -> dict[str, Any]:
    """A job as the page takes it; ``said`` are lines, of a running job what is being done."""
    names = [os.path.relpath(path, job.folder).replace(os.sep, "/") for path in job.written]
    return {
        "id": job.id,
        "state": job.state,
        "share": round(job.share, 3),
        "said": [line for line in job.said.split("\n") if line],
        "formats": job.asked.get("formats", []),
        "folder": job.folder,
        "files": names,
        "made_at": job.made_at,
        "ended_at": job.ended_at,
    }

