"""A fast solver on paper, played stroke by stroke: what is seen next, what is marked, where the hand goes.

Every digit and every mark follows from the page as it stands, save two lapses that are played on purpose. What is modelled
is the order. The digits are scanned one after another and their two places in a box marked on the way; what costs next to
nothing is written at once; when the scan is over, the nearest thing of all is taken, a digit rather than a mark. A hidden
pair is sometimes only seen, not written. When nothing is near, the lightest digit of all is looked for, however long it
takes.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations
from random import Random

from paper_eyes import Eyes, shared
from paper_lapses import Lapse, digit_of, mark_of, overlooked, slipped

from inkstep.grid.geometry import CLASSIC, bits
from inkstep.reasoning.argument import Argument
from inkstep.reasoning.effort import LIMITS
from inkstep.review.findings import Verdict
from inkstep.review.judging import Judge
from inkstep.trace.strokes import Kind, Place, Reading, Stroke, Where

#: looks: a digit written at once; one found while its digit is scanned; one taken before marking goes on; and what this
#: solver goes to for a digit that a hidden pair gives
FLOW, SCAN, NEAR, HELD = 3.3, 5.2, 7.0, 14.0
#: looks: what a mark may take, and one for several digits
MARK, SET = 6.2, 12.0
#: looks by which a mark stands back behind a digit
BIAS = {"box": 1.0, "cell": 2.4, "line": 6.0}
#: looks that a cell of distance from the last stroke costs
DISTANCE = 0.12
#: how often two places are not bothered with in the scan, and a hidden pair is kept in mind
SKIPPED, KEPT = 0.08, 0.5
#: between which strokes a witness is overlooked, and a wrong digit written
OVERLOOKING, SLIPPING = range(10, 61), range(60, 111)


@dataclass(frozen=True)
class Move:
    """A stroke that could be made now, why it follows, and what reaching for it costs, in looks."""

    stroke: Stroke
    argument: Argument
    cost: float


class PaperSolver:
    """Plays one solve. ``strokes`` are what was inked, without times."""

    def __init__(self, givens: tuple[int, ...], solution: tuple[int, ...], taste: Random) -> None:
        self.givens = givens
        self.taste = taste
        self.judge = Judge(solution, LIMITS["contest"])
        self.strokes: list[Stroke] = []
        self._focus = CLASSIC.cells // 2
        self._lapse: Lapse | None = None
        self._done: set[str] = set()
        self._agenda = sorted(CLASSIC.digits, key=lambda digit: (-givens.count(digit), taste.random()))
        self._box = 0
        self._skipped = {(d, b) for d in CLASSIC.digits for b in CLASSIC.boxes if taste.random() < SKIPPED}
        #: houses in which a hidden pair is taken as seen, not written
        self._kept_in_mind = {house for house in range(27) if taste.random() < KEPT}
        self.eyes = Eyes(givens, [], self.judge)

    def solve(self) -> list[Stroke]:
        """All strokes until the grid is full, or until nothing more is found."""
        while True:
            self.eyes = Eyes(self.givens, self.strokes, self.judge)
            if self._lapse and len(self.strokes) >= self._lapse.until:
                self._mend(self._lapse)
                continue
            move = self._next()
            if move is None:
                return self.strokes
            if not self._errs(move):
                self._ink(move.stroke)

    def _next(self) -> Move | None:
        looks = (self._flow, self._eye_catching, self._scan, self._seen_pair, self._nearest, self._lightest)
        return next(filter(None, (look() for look in looks)), None)

    def _ink(self, stroke: Stroke) -> None:
        self.strokes.append(stroke)
        self._focus = stroke.cells[0]

    # -- lapses ------------------------------------------------------------------------------------------------------

    def _errs(self, move: Move) -> bool:
        """Whether one of the two lapses, each of which comes once, is made in place of ``move``."""
        if self._lapse or move.stroke.kind is not Kind.DIGIT:
            return False
        written = len(self.strokes)
        if "overlooked" not in self._done and written in OVERLOOKING:
            return self._begin("overlooked", overlooked(self.eyes, move.argument, written + self.taste.randint(7, 10)))
        if "slipped" not in self._done and written in SLIPPING and move.argument.effort <= FLOW:
            return self._begin("slipped", slipped(self.eyes, move.argument, written + self.taste.randint(4, 5)))
        return False

    def _begin(self, name: str, lapse: Lapse | None) -> bool:
        if lapse is None:
            return False
        self._done.add(name)
        self._lapse = lapse
        self._ink(lapse.wrong)
        return True

    def _mend(self, lapse: Lapse) -> None:
        self._lapse = None
        for stroke in lapse.mends:
            self._ink(stroke)

    # -- digits ------------------------------------------------------------------------------------------------------

    def _reach(self, cell: int) -> float:
        (row, column), (at_row, at_column) = divmod(cell, CLASSIC.size), divmod(self._focus, CLASSIC.size)
        return DISTANCE * (abs(row - at_row) + abs(column - at_column))

    def _digits(self, limit: float) -> list[Move]:
        moves = []
        for argument in self.eyes.digits(limit):
            stroke = digit_of(argument.goal[0].cell, argument.goal[0].digit)
            if not (self._lapse and self._lapse.hides(stroke)):
                moves.append(Move(stroke, argument, argument.effort + self._reach(stroke.cells[0])))
        return moves

    def _flow(self) -> Move | None:
        """A digit that costs next to nothing; distance counts twice."""
        return min(self._digits(FLOW), key=lambda move: 2 * move.cost - move.argument.effort, default=None)

    def _seen_pair(self) -> Move | None:
        """With no digit near: one that an unwritten hidden pair gives."""
        if self._digits(NEAR):
            return None
        found = [move for move in self._digits(HELD) if self._leans_on_unwritten_pair(move.argument)]
        return min(found, key=lambda move: move.argument.effort, default=None)

    def _leans_on_unwritten_pair(self, argument: Argument) -> bool:
        pairs = [step for step in argument.steps[:-1] if step.technique == "hidden pair"]
        claims = self.eyes.page.open_claims
        return any(
            not any(set(claim.digits) & set(pair.digits) and set(claim.cells) & set(pair.cells) for claim in claims)
            for pair in pairs
        )

    def _lightest(self) -> Move | None:
        """The lightest digit there is."""
        for limit in (9.0, 14.0, 22.0, LIMITS["contest"]):
            found = self._digits(limit)
            if found:
                return min(found, key=lambda move: move.argument.effort)
        return None

    # -- scanning ----------------------------------------------------------------------------------------------------

    def _scan(self) -> Move | None:
        """The next thing to write or mark of the digit being scanned, box by box."""
        while self._agenda:
            while self._box < CLASSIC.size:
                move = self._scan_box(self._agenda[0], CLASSIC.boxes[self._box])
                if move:
                    if move.stroke.kind is Kind.DIGIT:
                        self._box = 0
                    return move
                self._box += 1
            self._agenda.pop(0)
            self._box = 0
        return None

    def _scan_box(self, digit: int, box: int) -> Move | None:
        for move in self._digits(SCAN):
            if move.stroke.digits[0] == digit and move.argument.last.house == box:
                return move
        if (digit, box) in self._skipped:
            return None
        two = self._accepted(self._places(digit, box, 2))
        if two or "three places" in self._done or len(self.strokes) <= 6:
            return two
        three = self._accepted(self._places(digit, box, 3))
        if three:
            self._done.add("three places")
        return three

    # -- marks -------------------------------------------------------------------------------------------------------

    def _nearest(self) -> Move | None:
        """The nearest thing of all, digits before marks."""
        moves = self._digits(NEAR)
        for digit in CLASSIC.digits:
            moves += filter(None, (self._places(digit, house, 2) for house in range(27)))
        moves += [*self._sets(), *self._candidates()]
        return self._first_accepted(moves)

    def _eye_catching(self) -> Move | None:
        """A set of digits in as many cells that springs to the eye."""
        return self._first_accepted(move for move in self._sets() if move.argument.effort <= SCAN)

    def _first_accepted(self, moves: Iterator[Move] | list[Move]) -> Move | None:
        by_cost = sorted(moves, key=lambda move: move.cost)
        return next(filter(None, map(self._accepted, by_cost)), None)

    def _accepted(self, move: Move | None) -> Move | None:
        """The move, unless it is a mark of which the review would say that it could say more."""
        if move is None or move.stroke.kind is Kind.DIGIT:
            return move
        return move if self.eyes.review(move.stroke).verdict is Verdict.FOLLOWS else None

    def _mark(self, mark: Stroke, limit: float, bias: float) -> Move | None:
        if self._lapse and self._lapse.hides(mark):
            return None
        argument = self.eyes.why(mark, limit)
        return Move(mark, argument, argument.effort + bias + self._reach(mark.cells[0])) if argument else None

    def _places(self, digit: int, house: int, count: int) -> Move | None:
        """The digit's places in the house, where there are ``count`` of them; in a line, where no box holds them."""
        cells = self.eyes.places(digit, house)
        if len(cells) != count or any(self.eyes.page.digits[cell] == digit for cell in CLASSIC.house_cells[house]):
            return None
        kind = "box" if house in CLASSIC.boxes else "line"
        if count == 2 and house in self._kept_in_mind and self.eyes.has_twin(digit, house):
            return None
        if self.eyes.says_already(digit, cells, house) or (kind == "line" and len(shared(cells)) > 1):
            return None
        return self._mark(mark_of(cells, (digit,), house), MARK, BIAS[kind])

    def _sets(self) -> Iterator[Move]:
        """Two digits that take two cells of a house, or three that take three where a box and a line cross."""
        for house in range(len(CLASSIC.house_cells)):
            cells = self.eyes.open_cells(house)
            pairs = [pair for pair in combinations(cells, 2) if shared(pair)[-1] == house]
            triples = [three for three in combinations(cells, 3) if house in CLASSIC.boxes and len(shared(three)) > 1]
            yield from filter(None, (self._set(group, house) for group in (*pairs, *triples)))

    def _set(self, cells: tuple[int, ...], house: int) -> Move | None:
        digits = self.eyes.left_in(cells)
        if len(digits) != len(cells) or self.eyes.is_marked(cells, Reading.SET) or not self.eyes.clears(cells, digits):
            return None
        move = self._mark(mark_of(cells, digits, place=self._place_of_set(cells, house)), SET, 0.0)
        # a set tells more than other marks: it comes before them
        return Move(move.stroke, move.argument, 0.6 * move.cost - 1.0) if move else None

    def _place_of_set(self, cells: tuple[int, ...], house: int) -> Place:
        """Across the border of two neighbours, as long as one of them bears no other mark; else beside the house."""
        neighbours = len(cells) == 2 and cells[1] - cells[0] in (1, CLASSIC.size)
        return Place(Where.BORDER) if neighbours and not all(map(self.eyes.bears_mark, cells)) else beside(house)

    def _candidates(self) -> Iterator[Move]:
        """The two digits left in one cell."""
        for cell in bits(self.eyes.search.view.open):
            digits = self.eyes.left_in((cell,))
            if len(digits) == 2 and not self.eyes.is_marked((cell,), Reading.SET, Reading.CELL):
                move = self._mark(mark_of((cell,), digits), MARK, BIAS["cell"])
                if move:
                    yield move


def beside(house: int) -> Place:
    """Outside the frame beside a house, where it meets the frame; in the cells for the box in the middle."""
    row, column = divmod(house - CLASSIC.boxes[0], 3)
    sides = (
        (house in CLASSIC.rows, Where.LEFT),
        (house in CLASSIC.columns or row == 0, Where.ABOVE),
        (row == 2, Where.BELOW),
        (column == 0, Where.LEFT),
        (column == 2, Where.RIGHT),
    )
    return next((Place(where, house) for meets, where in sides if meets), Place())
