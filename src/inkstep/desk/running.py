"""One job on its way: the process that makes the lesson, begun, followed, stopped, and how it ended."""

from __future__ import annotations

import multiprocessing
import threading
from multiprocessing.connection import Connection
from typing import Any

from inkstep.archive.keeping import Job
from inkstep.desk.making import Made, Order, Work, in_its_process

#: seconds that a process has to put back what it was replacing, once it is to stop
STOP_S = 5.0

STOPPED = "You stopped it."


class Running:
    """A job that waits or runs in this desk."""

    def __init__(self, job: Job) -> None:
        self.job = job
        self.ended = threading.Event()
        self._lock = threading.Lock()
        self._stopped = False
        self._process: multiprocessing.process.BaseProcess | None = None

    def begin(self, work: Work, order: Order) -> Connection | None:
        """Start the process; None where it was stopped before."""
        context = multiprocessing.get_context("spawn")
        receiver, sender = context.Pipe(duplex=False)
        with self._lock:
            if self._stopped:
                return None
            made = context.Process(target=in_its_process, args=(work, order, sender), daemon=True)
            made.start()
            self._process = made
        # the process has an end of its own: when it is gone, the pipe ends here
        sender.close()
        return receiver

    def stop(self) -> None:
        """End the process; it puts back first what it was replacing."""
        with self._lock:
            self._stopped = True
            process = self._process
        if process is not None:
            process.terminate()
            process.join(STOP_S)
            if process.is_alive():
                process.kill()

    def outcome(self, last: tuple[Any, ...]) -> tuple[str, str, tuple[str, ...]]:
        """How it ended, by its last words."""
        assert self._process is not None
        self._process.join(STOP_S)
        if last[:1] == ("done",):
            made: Made = last[1]
            return "done", "\n".join(made.said), made.written
        if last[:1] == ("failed",):
            return "failed", str(last[1]), ()
        if self._stopped:
            return "stopped", STOPPED, ()
        code = self._process.exitcode
        how = f"by signal {-code}" if code is not None and code < 0 else f"with code {code}"
        said = f"The process that made the lesson ended {how} before it was done."
        return "failed", said, ()


def next_words(receiver: Connection) -> tuple[Any, ...] | None:
    """The next words of a process; None once it is gone."""
    try:
        found: tuple[Any, ...] = receiver.recv()
        return found
    except (EOFError, OSError):
        return None
