"""Our lightest arguments beside the reasons that people gave, step by step, in published walkthroughs.

Data: public threads, teaching pages and an open textbook, named in each line of `data/walkthroughs.jsonl`.
"""

from __future__ import annotations

from functools import cache

import pytest

from inkstep.reasoning.argument import Argument
from inkstep.reasoning.lightest import lightest
from inkstep.reasoning.proof import prove
from inkstep.reasoning.search import Search
from walkthroughs import NamedStep, agreement, named_steps

#: the shares the effort table is meant to reach
FIRST, AMONG = 0.75, 0.97


def _fits_both(step: NamedStep, argument: Argument) -> bool:
    """The stricter reading: where a person named both a house and a technique, both must be ours."""
    last = argument.last
    house = step.house is None or step.house in last.frame
    technique = step.technique is None or step.technique == last.technique
    return house and technique


@cache
def _answers() -> tuple[tuple[NamedStep, tuple[Argument, ...]], ...]:
    return tuple((step, lightest(Search(step.position), step.goal, most=3)) for step in named_steps())


def test_peoples_reasons_come_first_or_nearly_first() -> None:
    measured = agreement()
    strict_first = sum(bool(ours) and _fits_both(step, ours[0]) for step, ours in _answers())
    strict_among = sum(any(_fits_both(step, a) for a in ours) for step, ours in _answers())
    n = measured.steps
    print(f"{n} steps with a named house or technique")
    for reading, first, among in (
        ("house or technique", measured.first, measured.among),
        ("house and technique", strict_first, strict_among),
    ):
        print(f"  {reading}: first {first} ({first / n:.0%}), among three {among} ({among / n:.0%})")
    print(*(f"  {miss}" for miss in measured.misses), sep="\n")
    assert n >= 60
    assert measured.first >= FIRST * n
    assert measured.among >= AMONG * n
    assert strict_first >= FIRST * n
    assert strict_among >= AMONG * n


def test_every_argument_for_a_persons_step_is_proved() -> None:
    arguments = [(step, argument) for step, ours in _answers() for argument in ours]
    assert len(arguments) > len(_answers())
    assert [step.where for step, argument in arguments if not prove(argument, step.position)] == []


@pytest.mark.parametrize("most", [1, 2, 3])
def test_runners_up_differ_in_house_or_technique_and_come_in_order(most: int) -> None:
    for step, three in _answers():
        ours = lightest(Search(step.position), step.goal, most=most)
        assert len(ours) <= most
        assert [a.effort for a in ours] == sorted(a.effort for a in ours)
        assert len({(a.last.technique, a.last.frame[:1]) for a in ours}) == len(ours)
        # asking for fewer can stop the search earlier, but never for a heavier first argument
        assert not ours or ours[0].effort == three[0].effort
