"""Work for the jobs of `test_desk_press`, to be done in a process of its own: things that go wrong, or take their time."""

from __future__ import annotations

import os
import resource
import signal
import time
from pathlib import Path

from inkstep.desk.making import Made, Order, Tell, make_lesson
from inkstep.press import edition


def ink_runs_dry(_order: Order, tell: Tell) -> Made:
    """A format that has a fault."""
    tell(0.4, "making the page")
    raise RuntimeError("the ink ran dry <b>&</b>")


def ends_unasked(_order: Order, tell: Tell) -> Made:
    """A process that the system ends, as for want of memory."""
    tell(0.5, "making the page")
    os.kill(os.getpid(), signal.SIGKILL)
    return Made(())


def takes_its_time(order: Order, tell: Tell) -> Made:
    """Twenty seconds, unless it is stopped; it says where it is when it begins, in a file named by the folder."""
    Path(order.folder).mkdir(exist_ok=True)
    (Path(order.folder) / "begun").write_text(str(os.getpid()))
    for step in range(400):
        tell(step / 400, f"step {step}")
        time.sleep(0.05)
    return Made(())


def quick(order: Order, tell: Tell) -> Made:
    """Nothing much."""
    tell(0.5, "half of it")
    return Made((str(Path(order.folder) / "script.md"),), ("One thing to know.",))


def disk_fills_up(order: Order, tell: Tell) -> Made:
    """A lesson whose files find no room: the system refuses to let a file grow beyond 2,000 bytes."""

    def telling(share: float, doing: str) -> None:
        if doing == "putting the files in place":
            resource.setrlimit(resource.RLIMIT_FSIZE, (2000, 2000))
        tell(share, doing)

    return make_lesson(order, telling)


def slow_to_put_in_place(order: Order, tell: Tell) -> Made:
    """Files put in place one by one, so slowly that the job can be stopped between them."""
    replace = os.replace

    def slowly(one: str, other: str) -> None:
        replace(one, other)
        tell(0.9, "one is in place")
        time.sleep(3)

    edition.os.replace = slowly  # type: ignore[assignment]
    made = edition.write_edition(Path(order.folder), {"script.md": "new", "captions.vtt": "new", "chapters.txt": "new"})
    return Made(tuple(map(str, made.written)))
