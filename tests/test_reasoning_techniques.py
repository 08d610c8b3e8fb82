"""Every technique of the catalogue: its own cases, the proof of all it finds, and that it finds all there is."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Iterator

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from exhaustive import instances
from inkstep.grid.geometry import CLASSIC, bits
from inkstep.reasoning.effort import STANDARD
from inkstep.reasoning.facts import Fact, is_digit
from inkstep.reasoning.position import Position
from inkstep.reasoning.proof import rules
from inkstep.reasoning.techniques import CATALOGUE, CROSS_HATCHING, SCANNING, rank
from inkstep.reasoning.techniques.base import Case, Pattern, Technique
from inkstep.reasoning.view import View
from pages import pattern_premises, pattern_proofs, position_of, random_page, small_page, view_of

seeds = st.integers(0, 2**32 - 1).map(random.Random)
CASES = [(t, kind, case) for t in CATALOGUE for kind in ("holds", "fails") for case in getattr(t, kind)]


def _id(value: object) -> str:
    return value.title if isinstance(value, Case) else value if isinstance(value, str) else type(value).__name__


def concluding(technique: Technique, view: View, fact: Fact) -> list[Pattern]:
    """The patterns of ``technique`` in ``view`` that conclude ``fact``."""
    found = technique.find(view, view.known)
    if fact.holds:
        return [p for p in found if p.settles == (fact.cell, fact.digit)]
    return [p for p in found if p.gives & view.removal(fact.cell, fact.digit)]


# -- the cases each technique carries ---------------------------------------------------------------------------------


@pytest.mark.parametrize(("technique", "kind", "case"), CASES, ids=_id)
def test_case(technique: Technique, kind: str, case: Case) -> None:
    position = position_of(case.stands)
    view = view_of(position)
    stands = [Fact.parse(part) for part in case.stands.split()]
    every_house = range(len(CLASSIC.house_masks))
    for fact in map(Fact.parse, case.concludes.split()):
        patterns = concluding(technique, view, fact)
        if kind == "holds":
            assert patterns
            assert any(fact in dict(_proved(p, view)) for p in patterns)
        else:
            assert not patterns
            # it does not merely escape the finder: it does not follow at all
            assert not rules(CLASSIC).follow(every_house, stands, [fact])


@pytest.mark.parametrize("technique", CATALOGUE, ids=_id)
def test_each_technique_teaches_and_shows_both_kinds_of_case(technique: Technique) -> None:
    assert technique.holds and technique.fails
    assert len(technique.teaches.split()) > 20
    assert technique.price in STANDARD.techniques
    assert rank(technique.name) > rank(CROSS_HATCHING) > rank(SCANNING) or technique.name == CROSS_HATCHING


def test_no_case_is_told_twice() -> None:
    told = Counter((case.stands, case.concludes) for _, _, case in CASES)
    assert set(told.values()) == {1}


# -- whatever is found is true ----------------------------------------------------------------------------------------


def _proved(pattern: Pattern, view: View) -> Iterator[tuple[Fact, bool]]:
    """Each conclusion of a pattern, and whether it follows from the pattern's own houses and premises."""
    premises = pattern_premises(pattern, view)
    for houses, fact in pattern_proofs(pattern, view):
        yield fact, rules(view.geometry).follow(houses, premises, [fact])


def _check_all_found(position: Position, found: Counter[str]) -> None:
    """Every pattern on the page rests on what is known there and is proved; then all conclusions are learnt, and again."""
    view = view_of(position)
    seen: set[object] = set()
    while True:
        learnt = 0
        for technique in CATALOGUE:
            for pattern in technique.find(view, view.known):
                assert not pattern.need & ~view.known, pattern
                assert pattern.technique == technique.name
                if pattern not in seen:
                    seen.add(pattern)
                    found[pattern.technique] += 1
                    assert all(holds for _, holds in _proved(pattern, view)), pattern
                if pattern.settles:
                    view.settled.setdefault(*pattern.settles)
                learnt |= view.consequences(*pattern.settles) if pattern.settles else pattern.gives
        if not view.learn(learnt):
            return


def test_every_pattern_found_on_many_pages_is_proved() -> None:
    rng = random.Random(20)
    found: Counter[str] = Counter()
    for _ in range(30):
        _check_all_found(random_page(rng)[0], found)
    for _ in range(60):
        _check_all_found(small_page(rng)[0], found)
    print(dict(found))
    assert {t.name for t in CATALOGUE} == set(found)
    assert sum(found.values()) > 4000


@pytest.mark.slow
def test_every_pattern_found_on_very_many_pages_is_proved() -> None:
    rng = random.Random(21)
    found: Counter[str] = Counter()
    for _ in range(200):
        _check_all_found(random_page(rng)[0], found)
    print(dict(found))
    assert {t.name for t in CATALOGUE} == set(found)


def test_a_wrong_pattern_is_not_proved() -> None:
    """The check above can fail: a need left out, or a conclusion too many."""
    for technique, kind, case in CASES:
        if kind == "holds":
            view = view_of(position_of(case.stands))
            fact = Fact.parse(case.concludes.split()[0])
            (pattern, *_) = concluding(technique, view, fact)
            houses = next(houses for houses, f in pattern_proofs(pattern, view) if f == fact)
            premises = pattern_premises(pattern, view)
            assert rules(CLASSIC).follow(houses, premises, [fact])
            for left_out in _indispensable(pattern, premises):
                fewer = [p for p in premises if p != left_out]
                assert not rules(CLASSIC).follow(houses, fewer, [fact]), (case, left_out)
            other = is_digit(fact.cell, fact.digit) if not fact.holds else Fact(fact.cell, fact.digit % 9 + 1, True)
            assert not rules(CLASSIC).follow(houses, premises, [other])


def _indispensable(pattern: Pattern, premises: tuple[Fact, ...]) -> list[Fact]:
    """The premises without which a pattern fails: all, but not those that only narrow a locked digit's crossing."""
    if not pattern.technique.startswith("locked"):
        return list(premises)
    house, other = (set(CLASSIC.house_cells[h]) for h in pattern.houses)
    return [p for p in premises if p.cell not in house & other]


# -- whatever is there is found ---------------------------------------------------------------------------------------


@settings(deadline=None)
@given(seeds)
def test_finders_woken_by_news_alone_miss_nothing(rng: random.Random) -> None:
    """Told of removals batch by batch, a finder names every pattern that it names when it sees the last page whole."""
    position, _ = random_page(rng)
    view = View(position.digits, CLASSIC)
    news = [view.known, *(view.mask(note.excludes) for note in position.notes)]
    told: list[set[Pattern]] = [set() for _ in CATALOGUE]
    for batch in news:
        new = view.learn(batch) or batch
        for named, technique in zip(told, CATALOGUE, strict=True):
            named.update(technique.find(view, new))
    for named, technique in zip(told, CATALOGUE, strict=True):
        assert set(technique.find(view, view.known)) <= named


@settings(deadline=None)
@given(seeds)
def test_each_instance_of_a_rule_is_found_or_comes_down_to_a_smaller_one(rng: random.Random) -> None:
    """What any instance of any rule concludes, once its needs are known, the finders conclude too."""
    position, solution = small_page(rng)
    start = view_of(position)
    for pattern in rng.sample(list(instances(start, solution)), 30):
        view = view_of(position)
        view.learn(pattern.need)
        wanted = start.consequences(*pattern.settles) if pattern.settles else pattern.gives
        while wanted & ~view.known:
            learnt = 0
            for technique in CATALOGUE:
                for found in technique.find(view, view.known):
                    learnt |= view.consequences(*found.settles) if found.settles else found.gives
            assert view.learn(learnt), pattern


@settings(deadline=None)
@given(seeds)
def test_a_view_tells_the_same_both_ways(rng: random.Random) -> None:
    """Cells of a digit and digits of a cell are one state; a removal's bit goes to its fact and back."""
    position, solution = random_page(rng)
    view = view_of(position)
    for cell in range(CLASSIC.cells):
        held = {d for d in CLASSIC.digits if not view.gone[d] >> cell & 1}
        assert held == {d + 1 for d in bits(view.candidates[cell])}
        assert position.digits[cell] or solution[cell] in held
    facts = view.facts(view.known)
    assert view.mask(facts) == view.known
