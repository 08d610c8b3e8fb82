"""Asking why: arguments for a goal, and every chance of a position, each proved and put into words."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from inkstep.grid.puzzle import Puzzle
from inkstep.ground.errors import InputError
from inkstep.reasoning.argument import Argument
from inkstep.reasoning.facts import Fact, is_not
from inkstep.reasoning.goals import Goal, parse_goal
from inkstep.reasoning.lightest import DEFAULT_LIMIT, chances, lightest
from inkstep.reasoning.position import Position
from inkstep.reasoning.proof import prove
from inkstep.reasoning.wording import explain, plain
from inkstep.review.report import argument_json
from inkstep.workshop.take_in import one_solution


@dataclass(frozen=True)
class Explained:
    """An argument in words, and whether a solver that knows no techniques agrees with every step."""

    argument: Argument
    words: str
    proved: bool

    def to_json(self) -> dict[str, Any]:
        """The argument as plain data."""
        return {**argument_json(self.argument), "words": self.words, "proved": self.proved}


def position_of(puzzle: Puzzle, known: tuple[Fact, ...] = ()) -> Position:
    """The puzzle with its posted candidates and the facts ``known`` beside it.

    Raises:
        InputError: a fact contradicts a digit that stands, or two facts each other.
    """
    digits = list(puzzle.givens)
    for fact in known:
        _agree(digits, fact)
        if fact.holds:
            digits[fact.cell] = fact.digit
    removals = [is_not(cell, digit) for cell, digit in puzzle.known_removals()]
    removals += [fact for fact in known if not fact.holds and not digits[fact.cell]]
    return Position.of(digits, known=removals)


def _agree(digits: list[int], fact: Fact) -> None:
    standing = digits[fact.cell]
    if standing and (standing == fact.digit) is not fact.holds:
        raise InputError(f"a fact that agrees with the {standing} that stands there", where="--known", got=str(fact))


def why(puzzle: Puzzle, goal_text: str, *, known: tuple[Fact, ...] = (), most: int = 3) -> tuple[Goal, list[Explained]]:
    """Up to ``most`` arguments for the goal, lightest first; none where the catalogue does not reach it.

    Raises:
        InputError: the puzzle has no solution; the goal is badly written, already stands, or is false.
    """
    solution = _solution(puzzle)
    goal = parse_goal(goal_text, solution)
    position = position_of(puzzle, known)
    _check_known(known, solution)
    _check(goal, position, solution)
    found = lightest(position, goal, most=most, limit=2 * DEFAULT_LIMIT)
    return goal, [explained(argument, position) for argument in found]


def _solution(puzzle: Puzzle) -> tuple[int, ...] | None:
    problems = puzzle.problems()
    fatal = [problem for problem in problems if problem.kind != "several solutions"]
    if fatal:
        raise InputError("a puzzle that can be solved", got="; ".join(problem.text for problem in fatal))
    return one_solution(puzzle)


def _check_known(known: tuple[Fact, ...], solution: tuple[int, ...] | None) -> None:
    for fact in known:
        if solution and (solution[fact.cell] == fact.digit) is not fact.holds:
            got = f"{fact}, but the solution has {solution[fact.cell]} there"
            raise InputError("known facts that are true", where="--known", got=got)


def _check(goal: Goal, position: Position, solution: tuple[int, ...] | None) -> None:
    for fact in goal.facts:
        standing = position.digits[fact.cell]
        if standing:
            raise InputError("a goal that is still open", got=f"{fact}, where a {standing} stands")
        if solution and (solution[fact.cell] == fact.digit) is not fact.holds:
            raise InputError("a goal that is true", got=f"{fact}, but the solution has {solution[fact.cell]} there")


def explained(argument: Argument, position: Position) -> Explained:
    """``argument`` in words and proved."""
    return Explained(argument, plain(explain(argument, position)), prove(argument, position))


def all_chances(puzzle: Puzzle, *, known: tuple[Fact, ...] = (), limit: float) -> list[Explained]:
    """Every digit that could be written now within ``limit`` looks, lightest first.

    Raises:
        InputError: the puzzle has no solution.
    """
    solution = _solution(puzzle)
    position = position_of(puzzle, known)
    _check_known(known, solution)
    return [explained(argument, position) for argument in chances(position, limit=limit)]


def parse_known(text: str) -> tuple[Fact, ...]:
    """The facts of ``r2c3!=4,r5c5=1``.

    Raises:
        InputError: one of them has another form.
    """
    return tuple(Fact.parse(part) for part in text.replace(" ", ",").split(",") if part)
