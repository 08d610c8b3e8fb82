"""The words of a pause: a question, three hints from mild to strong, and the answer."""

from __future__ import annotations

from dataclasses import replace

from inkstep.reasoning.words.briefly import held_fact
from inkstep.reasoning.words.closing import closing
from inkstep.reasoning.words.naming import digits, listed, number, the_digits
from inkstep.reasoning.words.outline import empty_removals, kind, lacks
from inkstep.reasoning.words.runs import bare, sentence, two, words
from inkstep.reasoning.words.scene import MOST, Scene
from inkstep.reasoning.words.striking import about_itself, result
from inkstep.reasoning.words.subject import together

#: a third hint names no more held steps than this
_HELD = 3


def asked(scene: Scene) -> str:
    """What a viewer is asked to find."""
    step, variety = scene.step, scene.variety
    if step.conclusions[0].holds:
        forms = _digit_questions(scene)
    elif kind(step) == "hatch":
        forms = (
            f"where can the {scene.digit} of {scene.house} still go?",
            f"which cells of {scene.house} can take the {scene.digit}?",
        )
    elif _asks_digits(scene):
        forms = (f"which digits are left for {scene.tongue.cells(step.cells)}?",)
    else:
        where = scene.tongue.houses(_where_struck(scene))
        forms = (f"what can be struck from {where}?", f"what can no longer stand in {where}?")
    text = forms[variety % len(forms)]
    return text[0].upper() + text[1:]


def _digit_questions(scene: Scene) -> tuple[str, ...]:
    step, tongue = scene.step, scene.tongue
    if kind(step) == "last":
        return (f"which digit does {scene.house} still lack?", f"what is missing from {scene.house}?")
    if kind(step) == "place":
        return (
            f"where does the {scene.digit} go in {scene.house}?",
            f"where in {scene.house} does the {scene.digit} go?",
            f"which cell of {scene.house} takes the {scene.digit}?",
        )
    at = tongue.at(step.cells[0])
    return (f"what can go in {at}?", f"which digit belongs at {at}?", f"what does {at} have to be?")


def _asks_digits(scene: Scene) -> bool:
    """Whether what is to be found is which digits a few cells hold, as a mark says it."""
    step = scene.step
    if kind(step) == "scan":
        return not {f.digit for f in step.conclusions} <= set(step.digits)
    return kind(step) == "naked" and about_itself(scene)


def _where_struck(scene: Scene) -> tuple[int, ...]:
    """The houses in which something goes: one of the step's own, else one that holds all, else the rows."""
    geometry, step = scene.position.geometry, scene.step
    cells = empty_removals(scene.argument)
    masks = geometry.house_masks
    half = len(step.frame) // 2
    order = step.frame[half:] if kind(step) == "fish" else (*step.frame[1:], *step.frame[:1])
    for house in (*order, *geometry.shared_houses(sum(1 << c for c in cells))):
        if all(masks[house] >> c & 1 for c in cells):
            return (house,)
    touched = tuple(h for h in order if any(masks[h] >> c & 1 for c in cells))
    if touched and all(any(masks[h] >> c & 1 for h in touched) for c in cells):
        return touched
    return tuple(sorted({geometry.houses_of[c][0] for c in cells}))


def hint_where(scene: Scene) -> str:
    """Where to look: houses, no digit."""
    inner = [h for s in scene.argument.steps[:-1] for h in s.frame[:1]]
    place = _place(scene)
    start = next((h for h in inner if scene.tongue.house(h) not in place), None)
    if start is not None:
        return sentence(f"start in {scene.tongue.house(start)}, before you turn to {place.split(', with')[0]}")
    forms = (f"look first at {place}", f"keep to {place}", f"let your eyes rest on {place}")
    return sentence(forms[scene.variety % len(forms)])


def _place(scene: Scene) -> str:
    step, tongue = scene.step, scene.tongue
    if kind(step) == "fish":
        return tongue.houses(step.frame[: len(step.frame) // 2])
    if kind(step) in ("locked", "wing"):
        return tongue.houses(step.frame)
    if step.frame:
        return scene.house
    if len(step.cells) == 1:
        return "that cell, with its row, its column and its box"
    return tongue.houses(_where_struck(scene))


def hint_digit(scene: Scene) -> str:
    """Which digit to follow; where the digit is itself the question, what narrows it down."""
    step, digit = scene.step, scene.digit
    if kind(step) == "last":
        return "Go through the digits in order: one of them does not stand there."
    if kind(step) == "stock":
        return sentence(f"{scene.house} lacks only {digits(lacks(scene.argument, step))}")
    if kind(step) == "cell" or _asks_digits(scene):
        return _first_look(scene)
    if kind(step) in ("naked", "hidden", "wing", "scan"):
        return sentence(f"the digits that matter are {digits(sorted(step.digits))}")
    before = sorted({d for s in scene.argument.steps[:-1] for d in s.digits} - {digit})
    if before:
        return sentence(f"follow the {digit}, but not before you have looked for {the_digits(before)}")
    forms = (f"follow the {digit} and nothing else", f"it is all about the {digit}", f"ask where the {digit} cannot go")
    return sentence(forms[scene.variety % len(forms)])


def _first_look(scene: Scene) -> str:
    """For what a cell can hold: the house that rules out most."""
    parts = scene.by_house.parts if scene.by_house else ()
    if len(parts) < 2:
        count = len(scene.step.digits)
        return f"Strike out the digits one by one: {number(count)} {'is' if count == 1 else 'are'} left."
    largest = max(parts, key=lambda part: len(bare(part)))
    return sentence(f"begin with {bare(largest)}, and count what is left")


def hint_evidence(scene: Scene, reason: str) -> str:
    """What is to be seen and what is to be held, without the cell that follows; ``reason`` is the last step's own."""
    held = [held_fact(scene.argument, s, scene.tongue) for s in scene.argument.steps[:-1]]
    text = _to_see(scene, reason)
    said = [sentence(bare(text))] if text else []
    if held:
        said.append(sentence(f"hold in mind that {listed(held[-_HELD:])}"))
    return " ".join(said)


def _to_see(scene: Scene, reason: str) -> str:
    """The last step's own evidence, earlier steps left aside."""
    step = scene.step
    if kind(step) == "last":
        return f"look for the one empty cell of {scene.house}"
    open_ = kind(step) in ("stock", "scan") or _asks_digits(scene)
    if not step.uses and not open_:
        return reason
    page = _page_only(scene)
    if kind(step) == "place" and page.by_digit and not page.others:
        return closing(page, f" of {scene.house}")
    by_digit = kind(step) in ("place", "hidden", "locked", "fish", "hatch")
    subject = together([page.by_digit if by_digit else page.by_house, page.others])
    if subject:
        return f"look at {subject.text}"
    return "" if step.uses else f"look at what {_place(scene)} shows already"


def _page_only(scene: Scene) -> Scene:
    """The scene as if its step leant on no other: what is left is what the page itself shows."""
    step = replace(scene.step, uses=())
    return replace(scene, argument=replace(scene.argument, steps=(*scene.argument.steps[:-1], step)))


def answered(scene: Scene, reason: str) -> str:
    """What follows, and the last step's reason behind it; empty where it is better told in order."""
    step = scene.step
    if step.conclusions[0].holds:
        return _with_reason(f"the {scene.digit} goes in {scene.at}", reason)
    if kind(step) not in ("locked", "naked", "fish") or about_itself(scene):
        return ""
    follows = result(scene, "", first=True)
    return _with_reason(follows, reason) if follows else ""


def _with_reason(follows: str, reason: str) -> str:
    together_ = f"{follows}: {reason}"
    return sentence(together_ if words(together_) <= MOST else two(follows, reason))
