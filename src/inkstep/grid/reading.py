"""Reading a puzzle as people post it: a line, nine lines, or a candidate grid."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from inkstep.grid.geometry import CLASSIC, Geometry
from inkstep.grid.puzzle import Puzzle
from inkstep.ground.errors import InputError, shown

#: a puzzle in any form is far shorter; longer text is not looked through to its end
MOST_CHARACTERS = 20_000
#: how many problems are listed one by one
MOST_PROBLEMS = 20

_EMPTY = ".0*_"
#: what may stand between cells: white space, and what people draw lines with
_BETWEEN = r"\s|\-+:=,;/\\!¦‖–—\u2500-\u257f"
_PIECE = re.compile(f"[^{_BETWEEN}]+")
_STRANGE = re.compile(r"[^0-9.*_]")
#: a drawn line: at least two dashes side by side, and besides them only what lines end, cross or begin with
_RULE = re.compile(r"(?=.*(?:--|==|––|——|[\u2500-\u257f]{2}))[" + _BETWEEN + r".*'`]+")


@dataclass(frozen=True)
class FormatProblem:
    """Why a text is no puzzle; ``line`` and ``column`` count from 1, and are None for the text as a whole."""

    text: str
    line: int | None = None
    column: int | None = None

    def __str__(self) -> str:
        return self.text


class PuzzleError(InputError):
    """The text is no puzzle; ``problems`` lists everything that keeps it from being one."""

    def __init__(self, problems: Sequence[FormatProblem], *, where: str = "", cells: int = 81) -> None:
        super().__init__(
            f"a puzzle ({cells} cells, or {cells} groups of candidates)",
            where=where,
            got="; ".join(problem.text for problem in problems),
            hint="an empty cell is written . or 0 or * or _",
        )
        self.problems = tuple(problems)


@dataclass(frozen=True)
class _Piece:
    """A run of characters that are not drawing: one cell, several cells, or a group of candidates."""

    text: str
    line: int
    column: int


def read_puzzle(text: str, where: str = "", geometry: Geometry = CLASSIC) -> Puzzle:
    """The puzzle in ``text``; ``where`` (a file's name, say) opens the sentence of an error.

    It may be one line of cells, a line a row, or a candidate grid, with any bars, dashes, plus signs, colons
    and spaces between. In a candidate grid a group of one digit is a placed digit, a group without digits is an
    empty cell for which nothing is noted, and a star beside a group's digits is taken as emphasis.

    >>> read_puzzle("1.|.4 / ..|.. / ..|.. / 4.|.1", geometry=Geometry(2, 2)).line
    '1..4........4..1'

    Raises:
        PuzzleError: with all that is wrong with the form. What is wrong with the puzzle: `Puzzle.problems`.
    """
    text = text.removeprefix("\ufeff")
    pieces = _pieces(text[:MOST_CHARACTERS], geometry.size)
    strange = [problem for piece in pieces for problem in _strange(piece, geometry)]
    if len(text) > MOST_CHARACTERS:
        problems = [FormatProblem(f"{len(text):,} characters of text, far more than a puzzle has"), *strange]
    elif _as_candidates(pieces, geometry):
        ones = [(1, 1)] * len(pieces)
        groups = [problem for piece in pieces for problem in _bad_group(piece)]
        problems = [*_wrong_counts("groups", pieces, ones, geometry), *strange, *groups]
    else:
        counts = [_cell_counts(piece) for piece in pieces]
        problems = [*_wrong_counts("cells", pieces, counts, geometry), *strange]
    if problems:
        raise PuzzleError(_bounded(problems), where=where, cells=geometry.cells)
    return _puzzle(pieces, geometry)


def _pieces(text: str, size: int) -> list[_Piece]:
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    return [
        _Piece(match[0], number, match.start() + 1)
        for number, line in enumerate(lines, 1)
        if not _is_rule(line, size)
        for match in _PIECE.finditer(line)
    ]


def _is_rule(line: str, size: int) -> bool:
    """Whether the line is drawn, not written; a row has ``size`` cells, a drawn line fewer dots or stars."""
    return bool(_RULE.fullmatch(line)) and sum(map(line.count, ".*")) < size


def _as_candidates(pieces: Sequence[_Piece], geometry: Geometry) -> bool:
    """Whether the pieces are groups of candidates, or were meant to be: many, and not of one character each."""
    characters = sum(len(piece.text) for piece in pieces)
    if characters == geometry.cells:
        return False
    return len(pieces) == geometry.cells or (len(pieces) > geometry.cells // 2 and characters > len(pieces) * 6 // 5)


def _strange(piece: _Piece, geometry: Geometry) -> Iterator[FormatProblem]:
    for index, character in enumerate(piece.text):
        place = f"in line {piece.line}, column {piece.column + index}"
        if _STRANGE.match(character):
            text = f"the strange character {shown(character)} {place}"
        elif character.isdigit() and int(character) > geometry.size:
            text = f"the digit {character} {place}, where {geometry.size} is the highest"
        else:
            continue
        yield FormatProblem(text, piece.line, piece.column + index)


def _cell_counts(piece: _Piece) -> tuple[int, int]:
    """The cells of a piece if its strange characters are none, and if each is meant as one."""
    characters = len(piece.text)
    return characters - len(_STRANGE.findall(piece.text)), characters


def _wrong_counts(
    what: str, pieces: Sequence[_Piece], counts: Sequence[tuple[int, int]], geometry: Geometry
) -> Iterator[FormatProblem]:
    """What is wrong with the number of cells or groups; ``counts`` has the least and the most of each piece."""
    least, most = sum(few for few, _ in counts), sum(many for _, many in counts)
    if geometry.cells not in (least, most):
        excess = least - geometry.cells
        off = f"{excess} too many" if excess > 0 else f"{-excess} too few"
        yield FormatProblem(f"{least} {what}, {off}" if least else f"no {what} at all")
    rows: dict[int, list[tuple[int, int]]] = {}
    for piece, count in zip(pieces, counts, strict=True):
        rows.setdefault(piece.line, []).append(count)
    if len(rows) != geometry.size:
        return
    for line, row in rows.items():
        few, many = (sum(numbers) for numbers in zip(*row, strict=True))
        if geometry.size not in (few, many):
            yield FormatProblem(f"{few} {what} in line {line}, where a row has {geometry.size}", line)


def _bad_group(piece: _Piece) -> Iterator[FormatProblem]:
    digits = [character for character in piece.text if character in "0123456789"]
    place = f"in line {piece.line}, column {piece.column}"
    if len(set(digits)) < len(digits):
        text = f"a digit twice in the group {shown(piece.text)} {place}"
        yield FormatProblem(text, piece.line, piece.column)
    if "0" in digits and len(digits) > 1:
        text = f"a 0 among the digits of {shown(piece.text)} {place}"
        yield FormatProblem(text, piece.line, piece.column)


def _bounded(problems: Sequence[FormatProblem]) -> list[FormatProblem]:
    listed = list(problems[:MOST_PROBLEMS])
    left = len(problems) - len(listed)
    return [*listed, FormatProblem(f"and {left:,} problems more")] if left else listed


def _puzzle(pieces: Sequence[_Piece], geometry: Geometry) -> Puzzle:
    if not _as_candidates(pieces, geometry):
        characters = "".join(piece.text for piece in pieces)
        return Puzzle(tuple(0 if c in _EMPTY else int(c) for c in characters), geometry=geometry)
    groups = [[int(c) for c in piece.text if c not in _EMPTY] for piece in pieces]
    givens = tuple(group[0] if len(group) == 1 else 0 for group in groups)
    every = (1 << geometry.size) - 1
    masks = tuple(sum(1 << (digit - 1) for digit in group) or every for group in groups)
    return Puzzle(givens, masks, geometry)
