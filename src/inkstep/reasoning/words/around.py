"""What is said of looking around: a digit's places in a house, and what a cell or a few cells can hold."""

from __future__ import annotations

from inkstep.reasoning.words.closing import closing
from inkstep.reasoning.words.evidence import lacking
from inkstep.reasoning.words.naming import digits, number, the_digits
from inkstep.reasoning.words.runs import two
from inkstep.reasoning.words.scene import Scene, Words
from inkstep.reasoning.words.striking import claimed, removals, result
from inkstep.reasoning.words.subject import Subject

#: teaching texts of the two acts that are below every technique
TEACHES = {
    "scanning": (
        "Before anything is worked out, look around: what a cell's row, column and box show, the cell cannot hold. "
        "A few looks often leave two or three digits, and that is worth a mark."
    ),
    "cross-hatching": (
        "Take one digit and one house. Every row, column or box that crosses the house and shows the digit closes the cells "
        "they share. What stays open are the digit's places; two of them are worth a mark."
    ),
}


def cross_hatching(scene: Scene) -> Words:
    """The places a digit has left in a house."""
    house, digit = scene.house, scene.digit
    count = number(len(scene.step.cells))
    within = scene.tongue.within(scene.step.cells, scene.step.frame[0])
    leave = scene.everything(scene.by_digit).does("leaves", "leave")
    so = _so(scene)
    told = (
        f"{leave} the {digit} of {house} {count} cells, {within}{so}",
        f"look for the {digit} in {house}: {closing(scene)}, and {within} stay open{so}",
        f"{house} has {count} cells left for its {digit}, {within}, since {closing(scene)}{so}",
    )
    return Words(closing(scene, f" of {house}"), told, told)


def _so(scene: Scene) -> str:
    claim = claimed(scene)
    return f", so {claim}" if claim else ""


def scanning(scene: Scene) -> Words:
    """What cells cannot hold, or the few digits they can."""
    if scene.step.manner == "stock":
        return _lacking(scene)
    cells, only = scene.tongue.cells(scene.step.cells), digits(scene.step.digits)
    subject = scene.everything(scene.by_house)
    rule_out, leave, so = subject.does("rules out", "rule out"), subject.does("leaves", "leave"), _so(scene)
    if {f.digit for f in removals(scene)} <= set(scene.step.digits):
        return _looking(scene, subject, cells)
    either = digits(scene.step.digits, "or") if len(scene.step.cells) == 1 else only
    told = (
        f"{leave} only {only} for {cells}{so}",
        f"look at {cells}: {rule_out} all but {only}{so}",
        f"what {cells} can hold is {either}, since {rule_out} the rest{so}",
    )
    return Words(f"{leave} only {only}", told, told)


def _looking(scene: Scene, subject: Subject, cells: str) -> Words:
    """Removals that need no more than looks."""
    if not scene.by_house and not scene.others:
        filled = f"there is nothing left to strike in {cells}"
        return Words(filled, (filled,), (filled,))
    follows = result(scene, f"{the_digits(scene.step.digits)} cannot stand in {cells}", first=True)
    told = [f"by {subject.text}, {follows}", f"{follows}: {subject.does('says so', 'say so')}"]
    if not scene.others:
        told.append(f"with {subject.text} in view, {follows}")
    return Words(told[1], tuple(told), tuple(told))


def _lacking(scene: Scene) -> Words:
    house, count, so = scene.house, number(len(scene.step.cells)), _so(scene)
    only = digits(lacking(scene.position, scene.step.frame[0]))
    told = (
        f"{house} lacks only {only}, and has {count} cells left for them{so}",
        two(f"take stock of {house}: {only} are missing", f"they fill its last {count} cells{so}"),
        f"what {house} lacks is {only}, for its last {count} cells{so}",
    )
    return Words(f"{house} lacks only {only}", told, told)
