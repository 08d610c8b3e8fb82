"""Clauses that say what closes the places of a digit."""

from __future__ import annotations

from inkstep.reasoning.words.naming import number
from inkstep.reasoning.words.scene import Scene
from inkstep.reasoning.words.subject import places


def closing(scene: Scene, of: str = "") -> str:
    """ "the 8s in rows 2 and 8 close four of the other five places of column 7, and that pair closes the last".

    ``of`` is what the places are places of, with its preposition.
    """
    looks, others, total = scene.by_digit, scene.others, len(scene.evidence.needs)
    closed = scene.evidence.closed
    if looks and others and closed < total:
        first = f"{looks.does('closes', 'close')} {places(closed, total)}{of}"
        return f"{first}, and {others.does('closes', 'close')} {_rest(total - closed, total)}"
    if not looks and not others:
        return f"no other cell{of} is empty"
    if looks and not others:
        return f"{looks.does('closes', 'close')} {places(closed, total)}{of}"
    return f"{scene.everything(looks).does('closes', 'close')} {places(total, total)}{of}"


def _rest(count: int, total: int) -> str:
    if count == 1:
        return "the other" if total == 2 else "the last"
    return f"the other {number(count)}"
