"""Puzzles for the tests: the files of tests/data, and worked grids with what is known about them."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

DATA = Path(__file__).parent / "data"
Grid = tuple[int, ...]


def grid(line: str) -> Grid:
    """The digits of a line of cells, 0 for an empty one."""
    return tuple(int(c) if c.isdigit() else 0 for c in line)


def numbers(text: str) -> tuple[int, ...]:
    """The numbers of a text with spaces between."""
    return tuple(map(int, text.split()))


def puzzle_lines(path: Path) -> list[str]:
    """The puzzles of a file with one line each."""
    return path.read_text("ascii").split()


def records(name: str) -> list[dict[str, Any]]:
    """The lines of a ``jsonl`` file of tests/data."""
    return [json.loads(line) for line in (DATA / name).read_text("utf-8").splitlines()]


@dataclass(frozen=True)
class Worked:
    """A puzzle, its solution, and how many solutions it has once one given (in reading order) is taken away."""

    name: str
    givens: Grid
    solution: Grid
    without_one: tuple[int, ...] = ()


# Where these puzzles were first printed is told from memory; the solutions and the numbers were computed with a SAT
# solver and with a backtracker, neither of them this project's.
WORKED = (
    Worked(
        "example of the Wikipedia article on the puzzle",
        grid("530070000600195000098000060800060003400803001700020006060000280000419005000080079"),
        grid("534678912672195348198342567859761423426853791713924856961537284287419635345286179"),
        numbers("1 1 1 1 1 1 1 1 8 2 1 2 1 1 1 1 3 1 4 1 1 6 3 1 1 1 1 1 2 1"),
    ),
    Worked(
        "Project Euler, problem 96, grid 01",
        grid("003020600900305001001806400008102900700000008006708200002609500800203009005010300"),
        grid("483921657967345821251876493548132976729564138136798245372689514814253769695417382"),
    ),
    Worked(
        "first of Royle's list of 17-clue puzzles",
        grid("000000010400000000020000000000050407008000300001090000300400200050100000000806000"),
        grid("693784512487512936125963874932651487568247391741398625319475268856129743274836159"),
        numbers("507806 1225 329 298303 309791 76215 107265 24825 518474 97290 15085 12941 9282 3556 184622 300891 7309"),
    ),
    Worked(
        "17 givens, slow for a search in the order of rows; Wikipedia article on solving algorithms",
        grid("000000000000003085001020000000507000004000100090000000500000073002010000000040009"),
        grid("987654321246173985351928746128537694634892157795461832519286473472319568863745219"),
        numbers("528 252 31275 85429 8609 6719 5497 42646 79335 190 60141 41668 40617 10449 227707 52716 7265"),
    ),
    Worked(
        "Inkala 2012, 21 givens, no single at the start",
        grid("800000000003600000070090200050007000000045700000100030001000068008500010090000400"),
        grid("812753649943682175675491283154237896369845721287169534521974368438526917796318452"),
        numbers("292 1634 1734 2974 1767 3219 1449 434 2351 840 1081 1187 3408 1726 1822 747 630 85 1440 1539 849"),
    ),
    Worked(
        "Inkala 2006, 23 givens, one single at the start",
        grid("100007090030020008009600500005300900010080002600004000300000010040000007007000300"),
        grid("162857493534129678789643521475312986913586742628794135356478219241935867897261354"),
        numbers("155 135 20 51 373 185 166 199 325 179 132 231 157 314 308 205 175 62 348 336 121 141 90"),
    ),
    Worked(
        "21 givens; Ercsey-Ravasz & Toroczkai, The Chaos Within Sudoku, Sci. Rep. 2 (2012) 725",
        grid("000000012000000003002300400001800005060070800000009000008500000900040500470006000"),
        grid("839465712146782953752391486391824675564173829287659341628537194913248567475916238"),
    ),
)

# No two of its 17 givens clash, and a search that goes cell by cell is very slow to say that it has no solution
# (unsatisfiable by a SAT solver; origin from memory).
NO_SOLUTION = grid("000005080000601043000000000010500000000106000300000005530000061000000004000000000")
# More than a thousand solutions, though it has 17 givens too.
MANY_SOLUTIONS = grid("000006000059000008200008000045000000003000000006003054000325006000000000000000000")
