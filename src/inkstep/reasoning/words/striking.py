"""What goes: removals as a clause, each by name where they are few, else as a rule."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from inkstep.reasoning.facts import Fact
from inkstep.reasoning.words.naming import Tongue, listed, number, the_digits
from inkstep.reasoning.words.runs import goal
from inkstep.reasoning.words.scene import Scene

#: more groups of cells, or more cells in a group, and the removals are said as a rule
_GROUPS, _CELLS, _CELLS_ALOUD, _IN_LINE = 3, 3, 2, 4
#: more digits than this that leave a set's own cells are "all else"
_DIGITS = 3

Group = tuple[tuple[int, ...], tuple[int, ...]]


def result(scene: Scene, rule: str, *, first: bool = False) -> str:
    """What follows from a step that removes: the claim it was asked for, the removals by name, or ``rule``.

    ``first`` where it begins a sentence: then no short name of a cell comes first.
    """
    return claimed(scene) or _struck(scene, rule, first)


def claimed(scene: Scene) -> str:
    """The claim the argument was asked for, where the step is the one that reaches it."""
    return goal(scene.claim) if scene.claim and scene.is_last else ""


def emptied(scene: Scene) -> str:
    """What follows for the cells of a set themselves: "neither can hold the 5"."""
    groups = _groups(removals(scene))
    count = len(scene.step.cells)
    if claimed(scene):
        return claimed(scene)
    if len(groups) == 1 and len(groups[0][0]) <= _DIGITS and set(groups[0][1]) == set(scene.step.cells):
        none = "neither" if count == 2 else f"none of the {number(count)}"
        return f"{none} can hold {the_digits(groups[0][0], 'or')}"
    if sum(len(ds) for ds, _ in groups) > _DIGITS:
        return f"nothing else can stand in these {number(count)} cells"
    return _struck(scene, f"nothing else can stand in these {number(count)} cells")


def removals(scene: Scene) -> tuple[Fact, ...]:
    """The removals of the step that matter: those of the goal where it ends the argument, all of them else."""
    empty = [f for f in scene.step.conclusions if not f.holds and not scene.position.digits[f.cell]]
    asked = [f for f in empty if f in scene.argument.goal]
    return tuple(asked if scene.is_last and asked else empty)


def about_itself(scene: Scene) -> bool:
    """Whether the removals that matter all lie in the step's own cells, as those of a mark do."""
    return {f.cell for f in removals(scene)} <= set(scene.step.cells)


def _struck(scene: Scene, rule: str, first: bool = False) -> str:
    groups = _groups(removals(scene))
    if not groups or len(groups) > _GROUPS or not all(_few(cells, scene.tongue) for _, cells in groups):
        return rule
    (gone, cells), *more = groups
    may_lead = not first and (len(cells) == 1 or not scene.tongue.spoken)
    if not more and may_lead and (scene.variety + scene.index) % 2:
        return f"{_named(cells, scene)} {'loses' if len(cells) == 1 else 'lose'} {the_digits(gone)}"
    start = f"{the_digits(gone)} can be struck from {_named(cells, scene)}"
    return listed([start, *(f"{the_digits(ds)} from {_named(cs, scene)}" for ds, cs in more)])


def _groups(facts: Iterable[Fact]) -> list[Group]:
    """Digits that go from the same cells are said together."""
    by_digit: dict[int, list[int]] = {}
    for fact in sorted(facts):
        by_digit.setdefault(fact.digit, []).append(fact.cell)
    same: dict[tuple[int, ...], list[int]] = {}
    for digit in sorted(by_digit):
        same.setdefault(tuple(by_digit[digit]), []).append(digit)
    return [(tuple(ds), cells) for cells, ds in same.items()]


def _few(cells: Sequence[int], tongue: Tongue) -> bool:
    if len(cells) <= _IN_LINE and tongue.in_line(cells):
        return True
    return len(cells) <= (_CELLS_ALOUD if tongue.spoken else _CELLS)


def _named(cells: Sequence[int], scene: Scene) -> str:
    """The cells by name; a line they share is said instead where names are many or the text is spoken."""
    tongue = scene.tongue
    if len(cells) == 1:
        text = tongue.the_cell(cells[0])
    else:
        text = tongue.spots(cells) if not tongue.spoken and len(cells) <= _CELLS else tongue.cells(cells)
    return goal(text) if scene.is_last else text
