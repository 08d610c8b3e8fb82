"""What is said when a digit is settled: the last of its house, the last place, the last digit for a cell."""

from __future__ import annotations

from inkstep.reasoning.words.closing import closing
from inkstep.reasoning.words.evidence import lacking
from inkstep.reasoning.words.naming import digits, number
from inkstep.reasoning.words.runs import held, two
from inkstep.reasoning.words.scene import Scene, Words


def last_digit(scene: Scene) -> Words:
    """One cell of the house is empty."""
    house, digit, at = scene.house, scene.digit, scene.at
    full = number(scene.position.geometry.size - 1)
    kept = held(str(digit))
    return Words(
        f"{house} lacks nothing else, and has one empty cell",
        (
            f"{house} is full but for one cell, and the digit it still lacks is the {digit}. In it goes, at {at}",
            f"{full} digits stand in {house}. Only the {digit} is missing, and {at} is the one empty cell",
            f"only one cell of {house} is empty. So {at} takes the digit that is missing there, the {digit}",
            f"{house} lacks nothing but its {digit}, and has one cell to put it in: {at}",
        ),
        (
            f"{house} lacks nothing but its {kept}, which belongs at {at}, though it is not yet written",
            f"nobody has written it yet, but {house} lacks only its {kept}, and the empty cell is {at}",
        ),
    )


def hidden_single(scene: Scene) -> Words:
    """One place is left for the digit in the house."""
    house, digit, at = scene.house, scene.digit, scene.at
    clause, inside = closing(scene, f" of {house}"), closing(scene)
    leave = scene.everything(scene.by_digit).does("leaves", "leave")
    told = [
        f"{clause}. That leaves the {digit} one place: {at}",
        f"look for the {digit} in {house}: {inside}. So it goes in {at}",
        f"{house} needs its {digit} somewhere, and {leave} it only {at}",
        f"{leave} {house} a single place for its {digit}: {at}",
    ]
    if scene.by_digit and scene.others:
        told[3] = _since(scene)
    elif scene.by_digit:
        told.append(f"with {scene.by_digit.text} in view, {house} has one place left for its own {digit}, {at}")
    kept = held(f"{digit} of {house}")
    return Words(
        clause,
        tuple(told),
        (
            f"{clause}, so the {kept} must be at {at}, though nobody wrote it down",
            f"{leave} the {kept} one place, {at}. That digit is not yet written, only held in mind",
            f"the {kept} is not on the page yet, but {inside}, so its place is {at}",
            f"{closing(scene, f' for the {kept}')}. It is not written yet, but it belongs at {at}",
        ),
    )


def _since(scene: Scene) -> str:
    """What is held or marked first, then the looks."""
    others, looks = scene.others, scene.by_digit
    if not others or not looks:
        return closing(scene)
    count = scene.evidence.rest
    some = f"{number(count)} of the places" if count > 1 else "one place"
    return (
        f"since {others.does('closes', 'close')} {some} for the {scene.digit} in {scene.house}, "
        f"{looks.does('leaves', 'leave')} it only {scene.at}"
    )


def naked_single(scene: Scene) -> Words:
    """One digit is left for the cell."""
    if scene.step.manner == "stock":
        return taking_stock(scene)
    digit, at, cell = scene.digit, scene.at, scene.the_cell
    subject = scene.everything(scene.by_house)
    rule_out, leave = subject.does("rules out", "rule out"), subject.does("leaves", "leave")
    told = [
        f"at {at}, {rule_out} everything else. Only the {digit} is left",
        f"try the digits one after another at {at}: {rule_out} all but the {digit}",
        f"what can {cell} hold, when {rule_out} all the others? Nothing but the {digit}",
        f"the cell at {at} can only be the {digit}, since {rule_out} everything else",
    ]
    if scene.by_house and not scene.others:
        told[3] = f"the cell at {at} sees {scene.by_house.text}. No digit but the {digit} fits"
    kept = held(str(digit))
    return Words(
        f"{rule_out} every other digit",
        tuple(told),
        (
            f"at {at}, {leave} nothing but the {kept}, which nobody wrote down",
            f"the cell at {at} can only be the {kept}, since {rule_out} everything else. It is held in mind, not written",
            f"not yet written, but certain, is the {kept} at {at}: {rule_out} everything else",
        ),
    )


def taking_stock(scene: Scene) -> Words:
    """What a nearly full house lacks, set against what one of its cells sees."""
    house, digit, at, cell = scene.house, scene.digit, scene.at, scene.the_cell
    lacks = lacking(scene.position, scene.step.frame[0])
    others = [d for d in lacks if d != digit]
    subject = scene.everything(scene.by_house)
    rule_out, leave = subject.does("rules out", "rule out"), subject.does("leaves", "leave")
    out = f"the {others[0]}" if len(others) == 1 else f"the other {number(len(others))}"
    missing, kept = digits(lacks), held(str(digit))
    return Words(
        f"{house} lacks only {missing}, and {rule_out} {out}",
        (
            two(f"{house} still lacks {missing}", f"{rule_out} {out} at {at}, so the {digit} goes in"),
            f"take stock of {house}: {missing} are missing. At {at}, {leave} only the {digit}",
            f"{house} is short of {missing}, and {rule_out} {out} for {cell}. In goes the {digit}",
            f"what {house} lacks is {missing}, and of these {leave} {cell} only the {digit}",
        ),
        (
            f"{house} lacks {missing}, and {leave} only the {kept} for {cell}, which is not yet written",
            f"nobody has written it, but of the {missing} that {house} lacks, {leave} {cell} only the {kept}",
        ),
    )
