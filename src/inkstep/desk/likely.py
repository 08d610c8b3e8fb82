"""The next likely strokes: what lay nearest on the page as it stands. Suggestions for whoever wants a cue, nothing more."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from inkstep.desk.doubts import solution_of
from inkstep.grid.geometry import CLASSIC
from inkstep.reasoning.effort import LIMITS
from inkstep.reasoning.extraction import take_out
from inkstep.reasoning.goals import digit_goal
from inkstep.reasoning.position import Position
from inkstep.reasoning.search import Search
from inkstep.reasoning.wording import short_reason
from inkstep.review.judging import Judge
from inkstep.trace.pages import Page

#: how many are offered
MOST = 5
#: looks: how far the search goes, step by step, until there are enough
REACHES = (4.0, 9.0, 16.0)


def likely(page: Page) -> dict[str, Any]:
    """Up to five digits that lie nearest on a page, lightest first, each as a gesture with its reason.

    A cell in which a digit stands already is left out, even where that digit is wrong. ``why`` says why there are none.
    """
    solution, why = solution_of(page.givens)
    if solution is None:
        return {"likely": [], "why": f"Nothing can be suggested, since the puzzle has no one solution ({why})."}
    position = Judge(solution, LIMITS["contest"]).position(page)
    taken = tuple(cell for cell, digit in enumerate(page.digits) if digit)
    found = list(_found(position, taken))
    return {"likely": found, "why": "" if found else "Nothing lies near enough on this page."}


@lru_cache(maxsize=64)
def _found(position: Position, taken: tuple[int, ...]) -> tuple[dict[str, Any], ...]:
    search = Search(position)
    near: list[tuple[float, tuple[int, int]]] = []
    for reach in REACHES:
        search.run(reach)
        near = [(f.price, place) for place, f in search.digits.items() if place[0] not in taken]
        if len(near) >= MOST:
            break
    places = [place for _, place in sorted(near)[:MOST]]
    arguments = [take_out(search, search.digits[place], digit_goal(*place).facts) for place in places]
    return tuple(
        {
            "cells": [argument.goal[0].cell],
            "digits": [argument.goal[0].digit],
            "action": f"{CLASSIC.cell_name(argument.goal[0].cell)} = {argument.goal[0].digit}",
            "looks": argument.effort,
            "words": short_reason(argument),
        }
        for argument in sorted(arguments, key=lambda argument: argument.effort)
    )
