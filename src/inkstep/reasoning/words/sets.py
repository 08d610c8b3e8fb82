"""What is said of pairs, triples and quads: cells that share digits, and digits that share cells."""

from __future__ import annotations

from inkstep.reasoning.words.evidence import empty_cells
from inkstep.reasoning.words.naming import digits, number, the_digits
from inkstep.reasoning.words.runs import held, two
from inkstep.reasoning.words.scene import Scene, Words
from inkstep.reasoning.words.striking import about_itself, claimed, emptied, removals, result


def naked_set(scene: Scene) -> Words:
    """k cells hold k digits between them: other cells lose these."""
    cells, only = scene.tongue.cells(scene.step.cells), digits(scene.step.digits)
    size, noun = _size(scene), _noun(scene)
    why = _why_only(scene, cells)
    if about_itself(scene):
        return _naked_claim(scene, why)
    follows = result(scene, f"no other cell of {_cleared(scene)} can hold any of them")
    round_ = "whichever way round they go" if len(scene.step.cells) == 2 else "however they fall"
    nothing_else = f"{scene.everything(scene.by_house).does('rules out', 'rule out')} everything else"
    return Words(
        why,
        (
            two(why, f"the {size} cells use the {size} digits up, so {follows}"),
            two(why, f"{round_}, {follows}"),
            two(f"a naked {noun} of {only} stands in {cells}: {nothing_else}", f"so {follows}"),
        ),
        (
            two(why, f"nobody wrote {held(f'that {noun}')} down, but with it {follows}"),
            two(f"in {cells} stands {held(f'an unwritten {noun}, {only}')}: {nothing_else}", f"so {follows}"),
            two(why, f"hold {held(f'that {noun}')} in mind, for it is written nowhere: {follows}"),
        ),
    )


def _naked_claim(scene: Scene, why: str) -> Words:
    """The set said of its own cells, as a mark says it."""
    size = _size(scene)
    follows = claimed(scene) or f"the {size} digits are theirs"
    told = (
        f"{why}, so {follows}",
        two(why, f"{size} cells, {size} digits: {follows}"),
        two(f"look at {scene.tongue.cells(scene.step.cells)} together: {why}", f"so {follows}"),
    )
    return Words(why, told, told)


def hidden_set(scene: Scene) -> Words:
    """k digits of a house have k places between them: these lose all else."""
    house, within = scene.house, scene.tongue.within(scene.step.cells, scene.step.frame[0])
    the, only = the_digits(scene.step.digits), digits(scene.step.digits)
    size, noun = _size(scene), _noun(scene)
    subject = scene.everything(scene.by_digit)
    leave, close = subject.does("leaves", "leave"), subject.does("closes", "close")
    kept = held(f"an unwritten {noun}, {only}")
    follows = emptied(scene) if about_itself(scene) else result(scene, f"nothing else can stand in these {size} cells")
    return Words(
        f"{leave} {the} of {house} only {size} cells",
        (
            two(f"{leave} {the} of {house} only {within}", f"{size} digits for {size} cells, so {follows}"),
            two(f"look for {the} in {house}: {close} every place but {within}", f"these cells are taken, so {follows}"),
            two(
                f"in {house}, {the} can only go in {within}, since {close} the rest",
                f"that is a hidden {noun}, so {follows}",
            ),
        ),
        (
            two(f"in {house}, {within} hold {kept}: {close} every other place", f"so {follows}"),
            two(f"{leave} {the} of {house} only {within}", f"nobody wrote {held(f'that {noun}')} down, but {follows}"),
            two(
                f"nobody wrote it, but {held(f'{only} of {house}')} share {within}, since {close} the rest",
                f"{size} cells are taken, so {follows}",
            ),
        ),
    )


def _size(scene: Scene) -> str:
    return number(len(scene.step.cells))


def _noun(scene: Scene) -> str:
    """``pair``, ``triple`` or ``quad``; ``set`` where it is larger."""
    return scene.step.technique.split()[-1]


def _cleared(scene: Scene) -> str:
    """The houses that lose the digits elsewhere."""
    masks = scene.position.geometry.house_masks
    cells = [f.cell for f in removals(scene)]
    return scene.tongue.houses(h for h in scene.step.frame if any(masks[h] >> c & 1 for c in cells))


def _why_only(scene: Scene, cells: str) -> str:
    """Why the cells hold nothing but the digits of the set."""
    step, only = scene.step, digits(scene.step.digits)
    noted = {c for i in step.notes for c in scene.position.notes[i].cells}
    if noted and noted <= set(step.cells) and not (scene.by_house or step.uses or step.stock):
        return f"by what is already noted there, {cells} can hold only {only}"
    if not (scene.by_house or step.uses or step.notes) and len(step.stock) == 1:
        house = step.stock[0]
        if set(empty_cells(scene.position, house)) == set(step.cells):
            return f"{scene.tongue.house(house)} lacks only {only}, and has {_size(scene)} cells left for them, {cells}"
    return f"{scene.everything(scene.by_house).does('leaves', 'leave')} only {only} for {cells}"
