"""What is said where lines and boxes cross: locked candidates, and a digit that rows and columns share."""

from __future__ import annotations

from inkstep.reasoning.words.naming import a, number
from inkstep.reasoning.words.runs import held, two
from inkstep.reasoning.words.scene import Scene, Words
from inkstep.reasoning.words.striking import result

_NAMES = {"x-wing": "an X-wing", "swordfish": "a swordfish"}


def locked(scene: Scene) -> Words:
    """A digit of one house has its places in another, which loses it elsewhere."""
    digit = scene.digit
    home, other = (scene.tongue.house(h) for h in scene.step.frame)
    follows = result(scene, f"no other cell of {other} can hold the {digit}")
    keep, since = _keeping(scene, home, other), _since(scene, "its")
    only = f"in {home} the {digit} has places in {other} only{since}"
    kept = held(f"{digit} of {home}")
    return Words(
        keep,
        (
            two(keep, f"so {other} has its {digit} there, and {follows}"),
            two(
                f"ask where the {digit} of {home} can go: {_inside(scene, other)}",
                f"{other} gets its {digit} from there, so {follows}",
            ),
            two(only, f"wherever it falls, {follows}"),
        ),
        (
            two(keep, f"nobody wrote {held(f'that {digit}')} down, but {follows}"),
            two(f"the {kept} can stand only in {other}{since}", f"that is nowhere written, yet {follows}"),
            two(only, f"{held('held in mind')}, that is enough: {follows}"),
        ),
    )


def _evident(scene: Scene) -> bool:
    """Whether nothing but full cells has to be seen."""
    return not scene.by_digit and not scene.others


def _keeping(scene: Scene, home: str, other: str) -> str:
    """Who keeps the digit of one house inside the other."""
    if _evident(scene):
        return f"the only empty cells of {home} lie in {other}, and its {scene.digit} with them"
    return f"{scene.everything(scene.by_digit).does('keeps', 'keep')} the {scene.digit} of {home} inside {other}"


def _inside(scene: Scene, other: str) -> str:
    if _evident(scene):
        return f"the empty cells all lie in {other}"
    return f"{scene.everything(scene.by_digit).does('leaves', 'leave')} it nothing outside {other}"


def _since(scene: Scene, whose: str) -> str:
    if _evident(scene):
        return f", since {whose} other cells are full"
    return f", since {scene.everything(scene.by_digit).does('closes', 'close')} the rest"


def fish(scene: Scene) -> Words:
    """k lines have their places for a digit in k crossing lines."""
    step, digit, tongue = scene.step, scene.digit, scene.tongue
    half = len(step.frame) // 2
    lines, crossed = tongue.houses(step.frame[:half]), tongue.houses(step.frame[half:])
    every = f"{'both' if half == 2 else f'all {number(half)}'} {crossed.split()[0]}"
    follows = result(scene, f"no other cell of {crossed} can hold {a(digit)}")
    since, name, kept = _since(scene, "their"), _NAMES[step.technique], held(f"{digit}s of {lines}")
    leave = f"{scene.everything(scene.by_digit).does('leaves', 'leave')} the {digit}s of {lines} only {crossed}"
    only = f"their {digit}s have places in {crossed} only{since}"
    return Words(
        leave,
        (
            two(leave, f"however they fall, {every} have their {digit} there, so {follows}"),
            two(f"lay {lines} side by side: {only}", f"that is {name}, so {follows}"),
            two(
                f"the {digit}s of {lines} lie in {crossed} only{since}",
                f"so {every} get their {digit} there, and {follows}",
            ),
        ),
        (
            two(
                f"the {kept} can stand only in {crossed}{since}",
                f"nobody wrote that down, but {every} are served, so {follows}",
            ),
            two(
                f"hold one thing {'more ' if scene.index else ''}in mind: the {kept} lie in {crossed} only{since}",
                f"it is written nowhere, yet {follows}",
            ),
        ),
    )
