"""Speaking: one of several ways to say a thing, not the one just used, and parts joined to one text."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from zlib import crc32

from inkstep.grid.geometry import CLASSIC
from inkstep.reasoning.argument import Argument
from inkstep.reasoning.position import Position
from inkstep.reasoning.wording import Run, Voice, explain, plain
from inkstep.reasoning.words.naming import Tongue
from inkstep.reasoning.words.outline import kind, seed
from inkstep.reasoning.words.runs import bare, goal, runs, sentence

Words = tuple[Run, ...]
#: something held in mind: a technique, its cells and its digits
Thing = tuple[str, tuple[int, ...], tuple[int, ...]]

#: ways to put one argument that are tried before an opening is used again
_TRIES = 5
#: arguments that hold something, after which the oldest is told anew
_STILL_HELD = 2
_CELL = re.compile(r"\br([1-9])c([1-9])\b")
_CAPITAL = re.compile(r"^R[1-9]c[1-9]")
_NUMBER = re.compile(r"\d+")


class Speech:
    """What was said last decides what is not said again at once; ``voice`` is for the page or for reading aloud."""

    def __init__(self, voice: Voice) -> None:
        self.voice = voice
        self.tongue = Tongue(CLASSIC, voice)
        #: for each thing that is said, the openings of its last two forms
        self._recent: dict[str, tuple[str, ...]] = {}
        #: what the arguments told last held in mind
        self._held: tuple[frozenset[Thing], ...] = ()
        self._explained: Counter[str] = Counter()
        self._once: set[str] = set()

    def pick(self, what: str, of: str, forms: Sequence[str]) -> str:
        """One of ``forms`` for ``what``; ``of`` is what is spoken of, so that the same is mostly said in the same words."""
        start = crc32(of.encode("utf-8", "replace"))
        for index in range(len(forms)):
            form = forms[(start + index) % len(forms)]
            if self._is_fresh(what, form):
                break
        self._remember(what, form)
        return form

    def explain(self, argument: Argument, position: Position, claim: str | None = None) -> Words:
        """An argument in whole sentences, in other words than the last of its kind."""
        what, start = f"explain {kind(argument.last)}", seed(argument)
        for variety in range(start, start + _TRIES):
            words = explain(argument, position, voice=self.voice, claim_text=claim, variety=variety)
            if self._is_fresh(what, plain(words)):
                break
        self._remember(what, plain(words))
        self.hold(argument)
        self._explained[kind(argument.last)] += 1
        return words

    def explained(self, argument: Argument) -> int:
        """How often an argument of this kind was told in whole sentences."""
        return self._explained[kind(argument.last)]

    def hold(self, argument: Argument) -> None:
        """Take an argument as told: what it holds in mind need not be explained again at once."""
        if len(argument.steps) > 1:
            self._held = (*self._held, _things(argument))[-_STILL_HELD:]

    def still_holds(self, argument: Argument) -> bool:
        """Whether everything that an argument holds in mind was told just before."""
        return len(argument.steps) > 1 and any(_things(argument) <= held for held in self._held)

    def first_time(self, what: str) -> bool:
        """Whether ``what`` is about to be said for the first time."""
        is_first = what not in self._once
        self._once.add(what)
        return is_first

    def named(self, text: str) -> str:
        """``text`` with its cells named for this voice."""
        if not self.tongue.spoken:
            return text
        return _CELL.sub(lambda name: f"row {name[1]}, column {name[2]}", text)

    def _is_fresh(self, what: str, form: str) -> bool:
        return _opening(form) not in self._recent.get(what, ())

    def _remember(self, what: str, form: str) -> None:
        self._recent[what] = (*self._recent.get(what, ()), _opening(form))[-2:]


def _things(argument: Argument) -> frozenset[Thing]:
    return frozenset((step.technique, step.cells, step.digits) for step in argument.steps[:-1])


def _opening(text: str) -> str:
    """The first three words, whatever their numbers."""
    return _NUMBER.sub("#", " ".join(bare(text).split()[:3])).lower()


def said(*parts: str | Words) -> Words:
    """Sentences one after another: texts (roles marked, as in ``reasoning.words``) and words, the empty ones left out."""
    found: Words = ()
    for part in parts:
        words = _sentence(part) if isinstance(part, str) and part else part
        if words and not isinstance(words, str):
            found = (*found, Run(" "), *words) if found else words
    return found


def _sentence(text: str) -> Words:
    """``text`` as a sentence; the short name of a cell keeps its small letter even there."""
    words = runs(sentence(text))
    first = _CAPITAL.sub(lambda name: name[0].lower(), words[0].text)
    return (Run(first, words[0].role), *words[1:])


def paragraphs(*parts: Words) -> Words:
    """Words with a blank line between."""
    found: Words = ()
    for part in parts:
        if part:
            found = (*found, Run("\n\n"), *part) if found else part
    return found


def doubt(text: str) -> str:
    """``text`` as what is false, or wider than it need be."""
    return goal(text).replace("goal", "doubt", 1)
