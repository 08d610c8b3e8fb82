"""Arguments in words, as a teacher would say them: what to look at, what follows, and what is therefore so.

Nothing here decides anything: a text says what the steps of an argument say, in one of a few forms. The form is
chosen by the argument's own content, so that the same argument always reads the same and five of a kind do not;
``variety`` chooses another: consecutive numbers give forms that differ.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

from inkstep.ground.errors import InputError, shown
from inkstep.reasoning.argument import Argument
from inkstep.reasoning.position import Position
from inkstep.reasoning.techniques import CATALOGUE
from inkstep.reasoning.words import around, lines, sets, singles, wings
from inkstep.reasoning.words.asking import answered, asked, hint_digit, hint_evidence, hint_where
from inkstep.reasoning.words.briefly import short_reason
from inkstep.reasoning.words.headlines import headline
from inkstep.reasoning.words.naming import Tongue
from inkstep.reasoning.words.outline import kind, seed
from inkstep.reasoning.words.runs import Run, foreign, plain, runs, sentence
from inkstep.reasoning.words.scene import Scene, Words

__all__ = ["Run", "Voice", "answer", "explain", "headline", "hints", "plain", "question", "short_reason", "teach"]

#: on the page a cell may be called ``r5c7``; read aloud it is "row 5, column 7"
Voice = Literal["page", "spoken"]

_SAYS: dict[str, Callable[[Scene], Words]] = {
    "last": singles.last_digit,
    "place": singles.hidden_single,
    "cell": singles.naked_single,
    "stock": singles.taking_stock,
    "locked": lines.locked,
    "naked": sets.naked_set,
    "hidden": sets.hidden_set,
    "fish": lines.fish,
    "wing": wings.xy_wing,
    "hatch": around.cross_hatching,
    "scan": around.scanning,
}


def explain(
    argument: Argument,
    position: Position,
    *,
    voice: Voice = "page",
    claim_text: str | None = None,
    variety: int | None = None,
) -> tuple[Run, ...]:
    """The whole argument, at most two sentences a step, the steps that are held in mind first.

    Where the goal is what a mark says, ``claim_text`` is that as a clause ("the 7 of box 4 is in one of two cells"): the
    conclusion is said so.
    """
    scenes = _scenes(argument, position, voice, claim_text, variety)
    return runs(" ".join([*map(_kept, scenes[:-1]), _told(scenes[-1])]))


def question(argument: Argument, position: Position, *, variety: int | None = None) -> str:
    """What a viewer is asked at a pause: "Where does the 8 go in column 7?" """
    return asked(_scenes(argument, position, "spoken", None, variety)[-1])


def hints(argument: Argument, position: Position, *, variety: int | None = None) -> tuple[str, str, str]:
    """Where to look; which digit; which evidence. None names a technique or the cell that follows."""
    scene = _scenes(argument, position, "page", None, variety)[-1]
    return hint_where(scene), hint_digit(scene), hint_evidence(scene, _says(scene).reason)


def answer(
    argument: Argument,
    position: Position,
    *,
    voice: Voice = "page",
    claim_text: str | None = None,
    variety: int | None = None,
) -> tuple[Run, ...]:
    """The answer to ``question``: what is held, then what follows and why."""
    scenes = _scenes(argument, position, voice, claim_text, variety)
    end = answered(scenes[-1], _says(scenes[-1]).reason) or _told(scenes[-1])
    return runs(" ".join([*map(_kept, scenes[:-1]), end]))


def teach(technique_name: str, manner: str = "") -> str:
    """What the technique of that name (and ``manner``, such as "stock") teaches, in plain sentences.

    Raises:
        InputError: no technique has that name.
    """
    known = {t.name: t.teaches for t in reversed(CATALOGUE)} | around.TEACHES
    if manner == "stock" and technique_name in known:
        return next(t.teaches for t in CATALOGUE if t.price == "taking stock")
    if technique_name == "naked single":
        return next(t.teaches for t in CATALOGUE if t.price == technique_name)
    if technique_name not in known:
        raise InputError("the name of a technique", got=shown(technique_name), hint=f"one of {', '.join(known)}")
    return known[technique_name]


def _scenes(
    argument: Argument, position: Position, voice: Voice, claim_text: str | None, variety: int | None
) -> list[Scene]:
    number = seed(argument) if variety is None else variety
    tongue = Tongue(argument.geometry, voice)
    claim = _clause(claim_text or "")
    return [Scene(argument, i, position, tongue, number, claim) for i in range(len(argument.steps))]


def _clause(text: str) -> str:
    """A claim as it stands behind "so": without capital and stop."""
    text = foreign(text).removeprefix("so ").removeprefix("So ").rstrip(".")
    return text[:1].lower() + text[1:]


def _says(scene: Scene) -> Words:
    return _SAYS[kind(scene.step)](scene)


def _kept(scene: Scene) -> str:
    return sentence(scene.led(scene.pick(_says(scene).kept)))


def _told(scene: Scene) -> str:
    return sentence(scene.led(scene.pick(_says(scene).told)))
