"""Every argument is proved, step by step, by a SAT solver that knows no techniques; and the prover refuses wrong ones."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from inkstep.grid.geometry import CLASSIC, bits
from inkstep.reasoning.argument import Argument, Step
from inkstep.reasoning.facts import Fact, is_digit, is_not
from inkstep.reasoning.goals import cell_goal, places_goal, removal_goal, set_goal
from inkstep.reasoning.lightest import chances, lightest
from inkstep.reasoning.position import Position
from inkstep.reasoning.proof import prove, prove_step, rules
from oracles import sat
from pages import played, random_page, seventeen, view_of

seeds = st.integers(0, 2**32 - 1)


def _sound(argument: Argument, position: Position) -> None:
    """The argument is proved, and its own account of what it leans on is right."""
    assert prove(argument, position), argument
    concluded: list[set[Fact]] = []
    for step in argument.steps:
        assert set(step.frame) <= set(step.houses)
        assert set(step.held) == (set() if step is argument.last else set(step.conclusions))
        assert all(position.digits[cell] for cell in step.seen)
        leant_on = set().union(*(concluded[i] for i in step.uses)) if step.uses else set()
        read = set().union(*(set(position.notes[i].excludes) for i in step.notes)) if step.notes else set()
        for fact in step.premises:
            stands = fact.holds and position.digits[fact.cell] == fact.digit
            assert stands or fact in leant_on or fact in read, (step, fact)
        concluded.append(set(step.conclusions))
    # nothing is worked out that nothing leans on
    used = {i for step in argument.steps for i in step.uses}
    assert used == set(range(len(argument.steps) - 1))


# -- what is printed is proved ----------------------------------------------------------------------------------------


def _play(puzzle: tuple[int, ...], every: int) -> tuple[int, int]:
    """Plays the lightest chance each time; proves all chances of every ``every``-th page, and each that is played."""
    proved, page = 0, 0
    for page, (position, arguments) in enumerate(played(puzzle)):
        for argument in arguments if page % every == 0 else arguments[:1]:
            _sound(argument, position)
            proved += 1
    return proved, page + 1


def test_the_chances_of_a_sample_of_solves_are_proved() -> None:
    """Each puzzle's first page whole, and of its solve by lightest chances a page in forty."""
    tally = [_play(puzzle, 40) for puzzle in random.Random(50).sample(seventeen(), 3)]
    print(f"{sum(p for p, _ in tally)} arguments proved on {sum(n for _, n in tally)} pages of {len(tally)} puzzles")
    assert all(proved for proved, _ in tally)


def test_the_chances_of_start_pages_are_proved() -> None:
    for puzzle in random.Random(51).sample(seventeen(), 12):
        position = Position(puzzle)
        arguments = chances(position)
        assert arguments
        for argument in arguments:
            _sound(argument, position)


@pytest.mark.slow
@pytest.mark.parametrize("first", range(0, 200, 10))
def test_all_chances_of_200_puzzles_are_proved_as_far_as_the_techniques_reach(first: int) -> None:
    whole = proved = 0
    for puzzle in seventeen()[first : first + 10]:
        last: tuple[int, ...] = puzzle
        for position, arguments in played(puzzle):
            for argument in arguments:
                _sound(argument, position)
            proved += len(arguments)
            last = position.digits
        filled = sum(map(bool, last)) + 1
        whole += filled == CLASSIC.cells
        assert sat(CLASSIC).solutions(last, limit=2) == sat(CLASSIC).solutions(puzzle, limit=2)
    print(f"puzzles {first + 1} to {first + 10}: {proved} arguments proved, {whole} puzzles solved by them alone")


@settings(max_examples=25, deadline=None)
@given(seeds)
@example(4114104)  # two digits claimed of two cells that share a box and a row
def test_arguments_for_removals_and_for_the_claims_of_marks_are_proved(seed: int) -> None:
    rng = random.Random(seed)
    position, solution = random_page(rng)
    view = view_of(position)
    empty = list(bits(view.open))
    cell = rng.choice(empty)
    false = [d for d in CLASSIC.digits if d != solution[cell]]
    house = rng.choice(CLASSIC.houses_of[cell])
    others = [c for c in CLASSIC.house_cells[house] if c in empty and c != cell]
    two = tuple(sorted((cell, *others[:1])))
    goals = [
        removal_goal(is_not(cell, rng.choice(false))),
        removal_goal(*(is_not(cell, d) for d in rng.sample(false, 2))),
        cell_goal(cell, tuple(sorted({solution[cell], rng.choice(false)}))),
        places_goal(solution[cell], two, house),
        set_goal(two, tuple(sorted(solution[c] for c in two))),
    ]
    for goal in goals:
        for argument in lightest(position, goal):
            assert prove(argument, position), goal
            assert all(solution[f.cell] != f.digit for s in argument.steps for f in s.conclusions if not f.holds)


# -- what is wrong is refused -----------------------------------------------------------------------------------------


def _arguments(count: int) -> Iterator[tuple[Position, Argument]]:
    rng = random.Random(52)
    for _ in range(count):
        position, _ = random_page(rng)
        for argument in chances(position)[::4]:
            yield position, argument


def _with(argument: Argument, place: int, step: Step) -> Argument:
    return replace(argument, steps=(*argument.steps[:place], step, *argument.steps[place + 1 :]))


def test_a_step_without_one_of_its_premises_is_refused() -> None:
    """A few premises are not needed by the rule: a filled cell of a house, where another digit closes its row already."""
    refused = stood = 0
    for position, argument in _arguments(8):
        for place, step in enumerate(argument.steps):
            for premise in step.premises:
                poorer = replace(step, premises=tuple(p for p in step.premises if p != premise))
                if prove(_with(argument, place, poorer), position):
                    stood += 1
                    # but what was looked at for the only step is needed, each digit of it
                    assert len(argument.steps) > 1 or premise.cell not in step.seen, (step, premise)
                else:
                    refused += 1
    print(f"{refused} steps refused without a premise; {stood} stood without it")
    assert refused > 500
    assert stood < refused / 4


def test_a_step_without_one_of_its_houses_is_refused_where_it_leans_on_it() -> None:
    refused = kept = 0
    for position, argument in _arguments(5):
        for place, step in enumerate(argument.steps):
            for house in step.houses:
                fewer = replace(step, houses=tuple(h for h in step.houses if h != house))
                if prove(_with(argument, place, fewer), position):
                    kept += 1
                else:
                    refused += 1
            bare = replace(step, houses=())
            assert not prove(_with(argument, place, bare), position) or not any(p.holds for p in step.premises)
    print(f"{refused} steps refused without a house; {kept} stood without it")
    assert refused > 10 * kept


def test_a_step_with_another_conclusion_is_refused() -> None:
    for position, argument in _arguments(6):
        last = argument.last
        wrong = tuple(Fact(f.cell, f.digit % CLASSIC.size + 1, f.holds) for f in last.conclusions)
        assert not prove(_with(argument, len(argument.steps) - 1, replace(last, conclusions=wrong)), position)
        denied = tuple(Fact(f.cell, f.digit, not f.holds) for f in last.conclusions)
        assert not prove_step(replace(last, conclusions=denied), CLASSIC)
        assert not prove_step(replace(last, conclusions=()), CLASSIC)


def test_an_argument_that_leans_on_nothing_or_misses_its_goal_is_refused() -> None:
    checked = 0
    for position, argument in _arguments(6):
        assert not prove(replace(argument, steps=()), position)
        elsewhere = is_digit(argument.goal[0].cell, argument.goal[0].digit % CLASSIC.size + 1)
        assert not prove(replace(argument, goal=(elsewhere,)), position)
        if len(argument.steps) > 1:
            checked += 1
            # the inner steps left out, or told after the step that leans on them
            assert not prove(replace(argument, steps=argument.steps[-1:]), position)
            assert not prove(replace(argument, steps=argument.steps[::-1]), position)
        # a witness wiped off the page
        for cell in argument.witnesses[:1]:
            digits = tuple(0 if c == cell else d for c, d in enumerate(position.digits))
            assert not prove(argument, replace(position, digits=digits))
    assert checked > 10


@settings(deadline=None)
@given(seeds)
def test_what_follows_from_all_houses_is_what_every_completion_has(seed: int) -> None:
    rng = random.Random(seed)
    position, solution = random_page(rng)
    premises = [is_digit(c, d) for c, d in enumerate(position.digits) if d]
    every_house = range(len(CLASSIC.house_masks))
    cell = rng.choice([c for c, d in enumerate(position.digits) if not d])
    for digit in CLASSIC.digits:
        fact = is_digit(cell, digit) if digit == solution[cell] else is_not(cell, digit)
        assert rules(CLASSIC).follow(every_house, premises, [fact])
        assert not rules(CLASSIC).follow(every_house, premises, [Fact(cell, digit, not fact.holds)])
    assert not rules(CLASSIC).follow((), premises, [is_digit(cell, solution[cell])])


def test_the_techniques_of_a_whole_solve_are_of_many_kinds() -> None:
    """The sample above is no sample of hidden singles alone."""
    used: Counter[str] = Counter()
    for position, argument in _arguments(8):
        assert prove(argument, position)
        used.update(step.technique for step in argument.steps)
    print(dict(used))
    assert len(used) >= 6
