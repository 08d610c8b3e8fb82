"""Facts and goals: their text both ways, and what is said of text that is neither."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inkstep.grid.geometry import CLASSIC, SMALL, Geometry
from inkstep.ground.errors import InputError
from inkstep.reasoning.facts import Fact, is_digit, is_not
from inkstep.reasoning.goals import Shape, cell_goal, digit_goal, parse_goal, places_goal, removal_goal, set_goal
from puzzle_data import WORKED

SOLUTION = WORKED[0].solution


@st.composite
def facts(draw: st.DrawFn, geometry: Geometry) -> Fact:
    cell = draw(st.integers(0, geometry.cells - 1))
    return Fact(cell, draw(st.sampled_from(geometry.digits)), draw(st.booleans()))


@given(st.data(), st.sampled_from((CLASSIC, SMALL)))
def test_a_fact_is_read_back_from_its_text(data: st.DataObject, geometry: Geometry) -> None:
    fact = data.draw(facts(geometry))
    assert Fact.parse(fact.text(geometry), geometry) == fact
    assert Fact.parse(f"  {fact.text(geometry).upper()} ", geometry) == fact
    assert Fact.parse(fact.text(geometry).replace("!=", "≠").replace("=", " = "), geometry) == fact


def test_the_text_of_facts() -> None:
    assert str(is_digit(0, 5)) == "r1c1=5"
    assert str(is_not(80, 4)) == "r9c9!=4"
    assert is_not(15, 4).text(SMALL) == "r4c4!=4"
    assert Fact.parse("R2C3 ≠ 4") == is_not(11, 4)


@pytest.mark.parametrize(
    "text", ["", "r1c1", "r1c1=", "r0c1=5", "r1c1=0", "r1c10=5", "r1c1==5", "r1c1=55", "c1r1=5", "r1c1=٥"]
)
def test_what_is_no_fact_is_refused(text: str) -> None:
    with pytest.raises(InputError):
        Fact.parse(text)


@pytest.mark.parametrize("text", ["r5c1=1", "r1c1=5"])
def test_a_fact_outside_a_small_grid_is_refused(text: str) -> None:
    with pytest.raises(InputError):
        Fact.parse(text, SMALL)


@given(st.text())
def test_any_text_is_a_goal_or_our_own_error(text: str) -> None:
    try:
        goal = parse_goal(text, SOLUTION)
    except InputError as error:
        assert error.got
    else:
        assert parse_goal(goal.text(), None) == goal


@given(st.lists(facts(CLASSIC), min_size=1, max_size=5))
def test_goals_are_read_back_from_their_text(listed: list[Fact]) -> None:
    text = ",".join(map(str, listed))
    if len(listed) == 1 and listed[0].holds:
        assert parse_goal(text, None) == digit_goal(listed[0].cell, listed[0].digit)
    elif any(f.holds for f in listed):
        with pytest.raises(InputError):
            parse_goal(text, None)
    else:
        goal = parse_goal(text, None)
        assert goal == removal_goal(*listed)
        assert set(goal.facts) == set(listed)
        assert parse_goal(goal.text(), None) == goal


@given(st.integers(0, 80))
def test_a_bare_cell_asks_for_the_digit_of_the_solution(cell: int) -> None:
    goal = parse_goal(f" {CLASSIC.cell_name(cell)} ", SOLUTION)
    assert goal == digit_goal(cell, SOLUTION[cell])
    with pytest.raises(InputError) as caught:
        parse_goal(CLASSIC.cell_name(cell), None)
    assert caught.value.hint


def test_what_the_claims_of_marks_say() -> None:
    """One cell and digits; one digit and cells of a house; as many digits as cells."""
    cell = cell_goal(40, (4, 5))
    assert cell.shape is Shape.CELL
    assert set(cell.facts) == {is_not(40, d) for d in (1, 2, 3, 6, 7, 8, 9)}
    places = places_goal(3, (0, 1), 18)
    assert places.shape is Shape.PLACES
    assert set(places.facts) == {is_not(c, 3) for c in (2, 9, 10, 11, 18, 19, 20)}
    pair = set_goal((0, 1), (4, 8))
    assert pair.shape is Shape.SET
    assert set(pair.facts) == {is_not(c, d) for c in (0, 1) for d in (1, 2, 3, 5, 6, 7, 9)}
