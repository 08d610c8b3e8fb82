"""What is said of a wing: three cells of two digits each."""

from __future__ import annotations

from inkstep.reasoning.words.evidence import wing_cells
from inkstep.reasoning.words.naming import a, digits
from inkstep.reasoning.words.runs import held, two
from inkstep.reasoning.words.scene import Scene, Words
from inkstep.reasoning.words.striking import result


def xy_wing(scene: Scene) -> Words:
    """Whichever digit the pivot takes, one of the two ends takes the digit they share."""
    shared = scene.step.digits[0]
    keeps = wing_cells(scene.step, scene.position)
    pivot, one, end = (scene.tongue.spot(cell) for cell in keeps)
    first, second = next(iter(keeps.values()))
    follows = result(scene, f"no cell that sees both of them can hold the {shared}")
    subject = scene.everything(scene.by_house)
    leave = subject.does("leaves", "leave")
    why = f"{leave} only {_three(scene, keeps)}"
    down = f"{leave} three cells with two digits each, {digits(sorted(scene.step.digits))} between them"
    either = f"if the first is {first}, the second is {shared}; if it is {second}, the third is {shared}"
    named = f"if {pivot} is {first}, {one} is {shared}; if it is {second}, {end} is {shared}"
    unwritten = held(a(shared))
    return Words(
        why,
        (
            two(why, f"{either}: either way {follows}"),
            two(down, f"{named}: either way {follows}"),
            two(why, f"that makes an XY-wing: the second or the third is {a(shared)} whatever the first is, so {follows}"),
        ),
        (
            two(why, f"the second or the third is then {unwritten}, though nobody wrote that, so {follows}"),
            two(down, f"{named}, and with {held('that in mind')} {follows}"),
        ),
    )


def _three(scene: Scene, keeps: dict[int, tuple[int, ...]]) -> str:
    pivot, one, end = (f"{digits(ds, 'or')} for {scene.tongue.the_cell(cell)}" for cell, ds in keeps.items())
    return f"{pivot}, only {one}, and only {end}"
