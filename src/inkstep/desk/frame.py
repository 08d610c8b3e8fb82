"""What every page of one solve has around it: the head with the solve's name, the ways to its other pages, its state."""

from __future__ import annotations

from typing import Any

from inkstep.desk.desk import Desk
from inkstep.desk.heading import head_json

#: the pages of a solve, in the order in which an evening goes through them
WAYS = ("logging", "reading", "lesson", "press")


def solve_frame(desk: Desk, key: str, here: str) -> dict[str, Any]:
    """The values for ``solve.html`` that every page of a solve needs.

    Raises:
        InputError: there is no such solve.
    """
    log = desk.log(key)
    header = log.sheet.header
    return {
        "key": key,
        "here": here,
        "ways": WAYS,
        "title": header.title or "A solve without a title",
        "header": header,
        "count": len(log.ids),
        "revision": log.revision,
        "solve": {"key": key, **head_json(header)},
    }
