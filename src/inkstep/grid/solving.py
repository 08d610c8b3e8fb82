"""Solving and counting completions, for every geometry, in plain Python."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cache
from itertools import islice

from inkstep.grid.geometry import CLASSIC, Geometry
from inkstep.grid.places import Places


def solutions(
    givens: Sequence[int],
    *,
    limit: int = 2,
    geometry: Geometry = CLASSIC,
    candidates: Sequence[int] | None = None,
) -> list[tuple[int, ...]]:
    """At most ``limit`` different completions of ``givens`` (0 for an empty cell), always in the same order.

    ``candidates`` restricts each cell to the digits of its mask (bit ``d - 1`` for digit ``d``).

    >>> solutions((1, 2, 3, 4, 3, 4, 1, 2, 2, 1) + 6 * (0,), geometry=Geometry(2, 2))
    [(1, 2, 3, 4, 3, 4, 1, 2, 2, 1, 4, 3, 4, 3, 2, 1)]

    Raises:
        ValueError: not one entry a cell, or an entry that is neither 0 nor a digit.
    """
    places = _places(geometry)
    start = places.start(givens, candidates)
    return [places.grid(state) for state in islice(_completions(places, *start), max(limit, 0))]


def count_solutions(
    givens: Sequence[int],
    limit: int,
    geometry: Geometry = CLASSIC,
    *,
    candidates: Sequence[int] | None = None,
) -> int:
    """How many completions ``givens`` has, counted no further than ``limit``.

    >>> count_solutions(16 * (0,), 1000, Geometry(2, 2))
    288

    Raises:
        ValueError: as for `solutions`.
    """
    places = _places(geometry)
    start = places.start(givens, candidates)
    return sum(1 for _ in islice(_completions(places, *start), max(limit, 0)))


def solve(givens: Sequence[int], geometry: Geometry = CLASSIC) -> tuple[int, ...] | None:
    """A completion of ``givens``, not said to be the only one, or None where there is none.

    Raises:
        ValueError: as for `solutions`.
    """
    return next(iter(solutions(givens, limit=1, geometry=geometry)), None)


@cache
def _places(geometry: Geometry) -> Places:
    return Places(geometry)


def _completions(places: Places, state: int, fixed: int) -> Iterator[int]:
    """The states with one place a cell, depth first: the chosen place written, then the same place closed."""
    stack = [(state, fixed)]
    while stack:
        settled = places.settled(*stack.pop())
        if settled is None:
            continue
        state, fixed = settled
        if state == fixed:
            yield state
            continue
        chosen = 1 << places.branch(state)
        stack.append((state ^ chosen, fixed))
        stack.append((places.written(state, chosen), fixed | chosen))
