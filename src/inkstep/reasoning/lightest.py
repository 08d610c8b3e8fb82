"""The lightest arguments for a goal, and every chance of a page: the two questions asked of a search."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from inkstep.reasoning.argument import Argument
from inkstep.reasoning.effort import LIMITS
from inkstep.reasoning.extraction import take_out
from inkstep.reasoning.goals import Goal, Shape, digit_goal
from inkstep.reasoning.position import Position
from inkstep.reasoning.search import Found, Search
from inkstep.reasoning.techniques import CROSS_HATCHING, REMOVING, SCANNING, singles
from inkstep.reasoning.techniques.base import Pattern
from inkstep.reasoning.techniques.subsets import hidden_subset, naked_subset
from inkstep.reasoning.view import View

#: looks; the widest audience of the effort table
DEFAULT_LIMIT = LIMITS["contest"]
#: how far beyond the lightest argument the search looks for others: nobody calls a reason nearly as light beyond it
_SLACK = 3.0


def lightest(
    position: Position | Search, goal: Goal, *, most: int = 3, limit: float = DEFAULT_LIMIT
) -> tuple[Argument, ...]:
    """Up to ``most`` arguments for ``goal`` that differ in technique or house, lightest first.

    Empty where nothing in the catalogue reaches the goal within ``limit`` looks.
    """
    search = position if isinstance(position, Search) else Search(position)
    found = _settled_candidates(search, goal, most, limit)
    arguments: dict[tuple[object, ...], Argument] = {}
    for candidate in found[: 2 * most + 2]:
        argument = take_out(search, candidate, goal.facts)
        if argument.effort > limit:
            continue
        key = (argument.last.technique, argument.last.frame[:1])
        if key not in arguments or argument.effort < arguments[key].effort:
            arguments[key] = argument
    return tuple(sorted(arguments.values(), key=lambda a: a.effort)[:most])


def _settled_candidates(search: Search, goal: Goal, most: int, limit: float) -> list[Found]:
    """Candidates once the search has gone so far that nothing lighter can come."""
    reach = min(4.0, limit)
    while True:
        search.run(reach)
        found = sorted(_candidates(search, goal), key=lambda f: f.price)
        enough = found and found[0].price + (_SLACK if len(found) < most else 0.0) <= search.reached
        if enough or reach >= limit:
            return found
        wanted = found[0].price + _SLACK if found else reach + 4.0
        reach = min(limit, max(wanted, reach + 1.0))


def chances(position: Position | Search, *, limit: float = DEFAULT_LIMIT) -> tuple[Argument, ...]:
    """Every digit that could be written now within ``limit`` looks, each with its lightest argument, lightest first."""
    search = position if isinstance(position, Search) else Search(position)
    search.run(limit)
    arguments = []
    for (cell, digit), found in search.digits.items():
        argument = take_out(search, found, digit_goal(cell, digit).facts)
        if argument.effort <= limit:
            arguments.append(argument)
    return tuple(sorted(arguments, key=lambda a: (a.effort, a.goal)))


def _candidates(search: Search, goal: Goal) -> Iterator[Found]:
    """Every way to end an argument for ``goal`` with what the search knows by now."""
    banned = _circular(search, goal)
    for pattern in _endings(search, goal):
        found = search.weigh(pattern, banned)
        if found:
            yield found


def _circular(search: Search, goal: Goal) -> int:
    """Atoms of inner steps that conclude the goal itself: no argument for it may lean on them."""
    if goal.shape is Shape.DIGIT:
        fact = (goal.cells[0], goal.digits[0])
        return search.step_atoms([i for i, s in enumerate(search.steps) if s.pattern.settles == fact])
    return 0


def _endings(search: Search, goal: Goal) -> Iterator[Pattern]:
    view = search.view
    if goal.shape is Shape.DIGIT:
        yield from _digit_endings(view, goal.cells[0], goal.digits[0])
        return
    if goal.shape is Shape.SET:
        yield from _set_endings(view, goal)
        return
    wanted = _open_part(view, view.mask(goal.facts))
    if goal.shape is Shape.REMOVAL and not wanted:
        return
    yield _plain_ending(view, goal, wanted)
    if goal.shape is Shape.REMOVAL:
        yield from _removing(search, wanted)


def _removing(search: Search, wanted: int) -> Iterator[Pattern]:
    """Patterns that remove all of ``wanted``, of techniques whose price the search has reached.

    Those that would tell the search nothing new are among them: they may be somebody's reason all the same.
    """
    for technique in REMOVING:
        if search.effort.technique(technique.price) <= search.reached:
            yield from (p for p in search.patterns(technique) if not wanted & ~p.gives)


def _open_part(view: View, removals: int) -> int:
    """``removals`` less those in filled cells, which anybody sees."""
    filled = sum(view.removals(view.filled, digit) for digit in view.geometry.digits)
    return removals & ~filled


def _digit_endings(view: View, cell: int, digit: int) -> Iterator[Pattern]:
    if view.digits[cell] or not view.candidates[cell] >> digit - 1 & 1:
        return
    alone = view.candidates[cell] == 1 << digit - 1
    for house in view.geometry.houses_of[cell]:
        mask = view.geometry.house_masks[house]
        if not mask & view.open & ~(1 << cell):
            yield singles.last_digit(view, house, cell, digit)
        elif not mask & ~view.gone[digit] & ~(1 << cell):
            yield singles.hidden_single(view, house, cell, digit)
        stock = singles.taking_stock(view, house, cell, digit) if alone else None
        if stock:
            yield stock
    if alone:
        yield singles.naked_single(view, cell, digit)


def _set_endings(view: View, goal: Goal) -> Iterator[Pattern]:
    cells = sum(1 << c for c in goal.cells)
    digits = sum(1 << d - 1 for d in goal.digits)
    houses = view.geometry.shared_houses(cells)
    for house in houses:
        if view.geometry.house_masks[house] & view.open == cells:
            yield _stock_set(view, house, cells, goal.digits)
        else:
            yield hidden_subset(view, house, cells, digits)
    if houses:
        yield _as_claim(naked_subset(view, houses[0], cells, digits))


def _as_claim(pattern: Pattern) -> Pattern:
    """A naked set said of its own cells: what is removed there is what had to be known."""
    return replace(pattern, gives=pattern.need | pattern.gives)


def _stock_set(view: View, house: int, cells: int, digits: tuple[int, ...]) -> Pattern:
    """What a nearly full house lacks, noted across its last cells."""
    others = [d for d in view.geometry.digits if d not in digits]
    gives = sum(view.removals(cells, d) for d in others)
    filled = view.geometry.house_masks[house] & view.filled
    return Pattern(
        SCANNING,
        "stock",
        (house,),
        cells,
        digits,
        0,
        filled,
        gives=gives,
        price="taking stock",
        stock=min(len(digits), 4),
    )


def _plain_ending(view: View, goal: Goal, wanted: int) -> Pattern:
    """Looking around: the facts of the goal one by one."""
    cells = sum(1 << c for c in goal.cells)
    gives = view.mask(goal.facts)
    if goal.shape is Shape.PLACES and goal.house is not None:
        filled = view.geometry.house_masks[goal.house] & view.filled
        return Pattern(
            CROSS_HATCHING, "", (goal.house,), cells, goal.digits, wanted, filled, gives=gives, price=CROSS_HATCHING
        )
    return Pattern(SCANNING, "", (), cells, goal.digits, wanted, gives=gives, price=SCANNING)
