"""The true least effort of a goal, over every derivation there is: slow, complete, and not the engine's search.

Made for the pages of a 4x4 grid; a light goal on a well-filled page of 9x9 is within its reach too.

All instances of every rule of the catalogue that hold on the page's solution are listed, whatever a solver might
know by then. A derivation is a choice of a last instance, of inner instances that are held, and of looks, stocks and
marks, such that each need of each chosen instance is closed by something that comes before it. A constraint solver that
proves its optima (CP-SAT of OR-Tools) picks the lightest choice. Nothing of the engine's own search, ledger, covers or
extraction is used; the rules' instances and the weights of the effort table are.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import combinations, permutations

from ortools.sat.python import cp_model

from inkstep.grid.geometry import bits
from inkstep.reasoning.effort import STANDARD, Effort
from inkstep.reasoning.goals import Goal, Shape
from inkstep.reasoning.position import Position
from inkstep.reasoning.techniques import CATALOGUE, CROSS_HATCHING, SCANNING, fish, locked, singles, subsets, wings
from inkstep.reasoning.techniques.base import Pattern
from inkstep.reasoning.view import View
from pages import pattern_premises, view_of

#: techniques in whose premises a nearly full house may be read at one look (docs of the effort table)
READS_STOCK = frozenset({"naked pair", "naked triple", "naked quad", "xy-wing", SCANNING})
#: weights are multiples of 0.05 looks; the solver counts in thousandths
SCALE = 1000
SLIGHT = 1e-6
INFINITE = float("inf")

Solution = tuple[int, ...]


# -- every instance of every rule -------------------------------------------------------------------------------------


def instances(view: View, solution: Solution) -> Iterator[Pattern]:
    """Every instance of the catalogue's rules whose needs the solution does not contradict."""
    truth = sum(view.removal(cell, digit) for cell, digit in enumerate(solution))
    for build in (_singles, _subsets, _locked, _fish, _wings):
        for pattern in build(view, solution):
            if not pattern.need & truth:
                if _gives(view, pattern) & truth:
                    raise AssertionError(f"a rule with true premises gives a false conclusion: {pattern}")
                yield pattern


def _gives(view: View, pattern: Pattern) -> int:
    return view.consequences(*pattern.settles) if pattern.settles else pattern.gives


def _singles(view: View, solution: Solution) -> Iterator[Pattern]:
    for house, mask in enumerate(view.geometry.house_masks):
        empty = list(bits(mask & view.open))
        for cell in empty:
            if len(empty) == 1:
                yield singles.last_digit(view, house, cell, solution[cell])
            yield singles.hidden_single(view, house, cell, solution[cell])
            stock = singles.taking_stock(view, house, cell, solution[cell])
            if stock:
                yield stock
    for cell in bits(view.open):
        yield singles.naked_single(view, cell, solution[cell])


def _subsets(view: View, solution: Solution) -> Iterator[Pattern]:
    for house, mask in enumerate(view.geometry.house_masks):
        for count in (2, 3, 4):
            for cells in combinations(bits(mask & view.open), count):
                cell_mask = sum(1 << c for c in cells)
                digits = sum(1 << solution[c] - 1 for c in cells)
                yield subsets.naked_subset(view, house, cell_mask, digits)
                yield subsets.hidden_subset(view, house, cell_mask, digits)


def _locked(view: View, solution: Solution) -> Iterator[Pattern]:
    """A digit locked in a crossing, of all its empty cells, and of those only that the page leaves open to the digit."""
    geometry = view.geometry
    for line in range(2 * geometry.size):
        for box in geometry.boxes:
            crossing = geometry.house_masks[line] & geometry.house_masks[box] & view.open
            for digit in {solution[cell] for cell in bits(crossing)}:
                for places in {crossing, crossing & ~view.gone[digit]}:
                    if places & (places - 1):
                        yield locked.locked(view, box, line, digit, places, locked.POINTING)
                        yield locked.locked(view, line, box, digit, places, locked.CLAIMING)


def _fish(view: View, solution: Solution) -> Iterator[Pattern]:
    geometry = view.geometry
    for lines, across in ((geometry.rows, geometry.columns), (geometry.columns, geometry.rows)):
        for digit in geometry.digits:
            of_digit = sum(1 << c for c in bits(view.open) if solution[c] == digit)
            unserved = [h for h in lines if geometry.house_masks[h] & of_digit]
            for count in (2, 3):
                for chosen in combinations(unserved, count):
                    bodies = sum(geometry.house_masks[h] for h in chosen)
                    crossed = tuple(h for h in across if geometry.house_masks[h] & bodies & of_digit)
                    places = bodies & sum(geometry.house_masks[h] for h in crossed) & view.open
                    yield fish.fish(view, digit, chosen, crossed, places)


def _wings(view: View, solution: Solution) -> Iterator[Pattern]:
    for pivot in bits(view.open):
        for one, two in combinations(bits(view.geometry.peers[pivot] & view.open), 2):
            for x, y, z in permutations(view.geometry.digits, 3):
                if solution[pivot] in (x, y) and solution[one] in (x, z) and solution[two] in (y, z):
                    yield _wing(view, {pivot: (x, y), one: (x, z), two: (y, z)})


def _wing(view: View, pairs: dict[int, tuple[int, int]]) -> Pattern:
    """The wing of three cells of two digits each, pivot first, as if these were all the cells could hold."""
    kept = view.candidates
    view.candidates = list(kept)
    for cell, (one, two) in pairs.items():
        view.candidates[cell] = 1 << one - 1 | 1 << two - 1
    pattern = wings.xy_wing(view, *pairs)
    view.candidates = kept
    return pattern


def is_found(position: Position, pattern: Pattern) -> bool:
    """Whether the technique's finder names ``pattern``, word for word, once its needs are known on the page.

    A finder passes over an instance where the page shows more than it needs: a naked pair one of whose cells can hold one
    digit only, a digit locked in a crossing in which a cell is closed already.
    """
    view = view_of(position)
    view.learn(pattern.need)
    wanted = _said(pattern)
    return any(
        wanted == _said(found)
        for technique in CATALOGUE
        if technique.name == pattern.technique
        for found in technique.find(view, view.known)
    )


def _said(pattern: Pattern) -> tuple[object, ...]:
    return (pattern.technique, pattern.manner, set(pattern.houses), pattern.digits, pattern.need, pattern.settles)


# -- the lightest derivation ------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Source:
    """A look, a stock or a mark: the removals it shows, and its weight."""

    name: str
    covers: int
    weight: float
    stock: bool = False


@dataclass(frozen=True)
class Held:
    """An inner instance with what its conclusion closes, and its weight when it is held."""

    pattern: Pattern
    gives: int
    weight: float


@dataclass(frozen=True)
class Derivation:
    """A derivation of least effort: inner instances in order, the last one, and what was looked at."""

    effort: float
    inner: tuple[Pattern, ...]
    last: Pattern
    sources: tuple[Source, ...]


class Exhaustive:
    """All derivations on one page: with every instance of every rule, or with those only that the finders name."""

    def __init__(self, position: Position, solution: Solution, *, named_only: bool, effort: Effort = STANDARD) -> None:
        self.position = position
        self.effort = effort
        self.named_only = named_only
        self.view = view_of(position)
        self.patterns = list(instances(self.view, solution))
        self.sources = list(self._sources())
        self._held = [self._as_held(p) for p in self.patterns]
        self._least = self._least_to_know()
        self._named: dict[Pattern, bool] = {}

    def _as_held(self, pattern: Pattern) -> Held:
        hold = self.effort.held_digit if pattern.settles else self.effort.held_fact
        return Held(pattern, _gives(self.view, pattern), self.own(pattern) + hold)

    def _sources(self) -> Iterator[Source]:
        geometry = self.position.geometry
        fresh = dict(zip(self.position.fresh, self.effort.fresh, strict=False))
        for cell in bits(self.view.filled):
            digit = self.position.digits[cell]
            weight = fresh.get(cell, self.effort.look)
            yield Source(geometry.cell_name(cell), self.view.removals(geometry.peers[cell], digit), weight)
        for house, cells in enumerate(geometry.house_cells):
            shown = [self.position.digits[c] for c in cells if self.position.digits[c]]
            lacks = geometry.size - len(shown)
            if 0 < lacks < len(self.effort.stock):
                covers = sum(self.view.removals(geometry.house_masks[house], d) for d in shown)
                yield Source(geometry.house_name(house), covers, self.effort.stock[lacks], stock=True)
        for note in self.position.notes:
            yield Source(note.name, self.view.mask(note.excludes), self.effort.note)

    def own(self, pattern: Pattern) -> float:
        """The price of an instance itself."""
        price = self.effort.technique(pattern.price) + self.effort.stock[pattern.stock]
        newest = self.position.fresh[:1]
        near = pattern.houses and any(c in self.position.geometry.house_cells[pattern.houses[0]] for c in newest)
        return price - self.effort.near if near else price

    def endings(self, goal: Goal) -> list[Pattern]:
        """Every instance that concludes the goal, and looking around for its facts one by one."""
        if goal.shape is Shape.DIGIT:
            return self._allowed(p for p in self.patterns if p.settles == (goal.cells[0], goal.digits[0]))
        wanted = self.view.mask(goal.facts)
        for digit in self.position.geometry.digits:
            wanted &= ~self.view.removals(self.view.filled, digit)
        cells = sum(1 << c for c in goal.cells)
        around, frame = (CROSS_HATCHING, (goal.house,)) if goal.house is not None else (SCANNING, ())
        plain = Pattern(around, "", frame, cells, goal.digits, wanted, price=around)
        return [*self._allowed(p for p in self.patterns if p.gives and not wanted & ~p.gives), plain]

    def _allowed(self, patterns: Iterable[Pattern]) -> list[Pattern]:
        if not self.named_only:
            return list(patterns)
        allowed = []
        for pattern in patterns:
            if pattern not in self._named:
                self._named[pattern] = is_found(self.position, pattern)
            if self._named[pattern]:
                allowed.append(pattern)
        return allowed

    def _least_to_know(self) -> dict[int, float]:
        """For each removal that can be known at all, looks that no derivation of it undercuts.

        A derivation pays at least for its own last source and for the dearest of that one's needs.
        """
        least: dict[int, float] = {}
        for source in self.sources:
            for fact in bits(source.covers):
                least[fact] = min(source.weight, least.get(fact, source.weight))
        settled = False
        while not settled:
            settled = True
            for held in self._held:
                weight = held.weight + _dearest(held.pattern.need, least)
                for fact in bits(held.gives):
                    if weight < least.get(fact, INFINITE):
                        least[fact] = weight
                        settled = False
        return least

    def within(self, ends: list[Pattern], bound: float) -> list[Held]:
        """The inner instances that a derivation of at most ``bound`` looks to one of ``ends`` may need."""
        left = bound - min(map(self.own, ends), default=0.0) + SLIGHT
        affordable = [h for h in self._held if h.weight + _dearest(h.pattern.need, self._least) <= left]
        useful = _leant_on(affordable, ends)
        named = set(self._allowed(h.pattern for h in useful))
        return _leant_on(_undominated([h for h in useful if h.pattern in named]), ends)

    def lightest(self, goal: Goal, bound: float) -> Derivation | None:
        """The lightest derivation of at most ``bound`` looks; None where there is none."""
        ends = [p for p in self.endings(goal) if self.own(p) + _dearest(p.need, self._least) <= bound + SLIGHT]
        return _Model(self, ends, self.within(ends, bound), bound).solve()


def _leant_on(held: list[Held], ends: list[Pattern]) -> list[Held]:
    """Those that may close a need of one of ``ends``, or of another that may."""
    wanted = 0
    for pattern in ends:
        wanted |= pattern.need
    kept: list[Held] = []
    while True:
        useful = [h for h in held if h.gives & wanted]
        if len(useful) == len(kept):
            return useful
        kept = useful
        for one in useful:
            wanted |= one.pattern.need


def _undominated(held: list[Held]) -> list[Held]:
    """Inner instances, less those that another matches or betters in needs, conclusions and weight."""
    kept: list[Held] = []
    for one in sorted(held, key=lambda h: (h.weight, h.pattern.need.bit_count(), -h.gives.bit_count())):
        if not any(_betters(other, one) for other in kept):
            kept.append(one)
    return kept


def _dearest(need: int, least: dict[int, float]) -> float:
    """The most that one of the facts of ``need`` costs at least."""
    return max((least.get(fact, INFINITE) for fact in bits(need)), default=0.0)


def _betters(one: Held, other: Held) -> bool:
    return (
        not one.pattern.need & ~other.pattern.need
        and not other.gives & ~one.gives
        and one.weight <= other.weight
        and (one.pattern.technique in READS_STOCK or other.pattern.technique not in READS_STOCK)
    )


class _Model:
    """The choice of a derivation as a constraint model."""

    def __init__(self, page: Exhaustive, ends: list[Pattern], held: list[Held], bound: float) -> None:
        self.page = page
        self.ends = ends
        self.held = held
        self.model = model = cp_model.CpModel()
        self.is_end = [model.new_bool_var("") for _ in self.ends]
        self.is_seen = [model.new_bool_var("") for _ in page.sources]
        self.is_held = [model.new_bool_var("") for _ in self.held]
        # no derivation within the bound holds more steps than this, so a place in the order never runs out
        longest = int(bound / min((h.weight for h in self.held), default=bound)) + 1
        self.place = [model.new_int_var(0, longest, "") for _ in self.held]
        self.before: dict[tuple[int, int], cp_model.IntVar] = {}
        model.add_exactly_one(self.is_end)
        for chosen, pattern in zip(self.is_end, self.ends, strict=True):
            self._close(chosen, pattern, None)
        for index, inner in enumerate(self.held):
            self._close(self.is_held[index], inner.pattern, index)
        weights = [round(SCALE * w) for w in self._weights()]
        total = sum(w * v for w, v in zip(weights, (*self.is_end, *self.is_seen, *self.is_held), strict=True))
        model.add(total <= round(SCALE * bound))
        model.minimize(total)

    def _weights(self) -> Iterator[float]:
        yield from (self.page.own(p) for p in self.ends)
        yield from (s.weight for s in self.page.sources)
        yield from (h.weight for h in self.held)

    def _close(self, chosen: cp_model.IntVar, pattern: Pattern, index: int | None) -> None:
        """Each need of ``pattern``, where it is chosen, is seen or comes from a held instance before it."""
        reads_stock = pattern.technique in READS_STOCK
        for fact in bits(pattern.need):
            ways = [
                seen
                for seen, source in zip(self.is_seen, self.page.sources, strict=True)
                if source.covers >> fact & 1 and (reads_stock or not source.stock)
            ]
            ways += [
                self._comes_before(i, index) for i, held in enumerate(self.held) if i != index and held.gives >> fact & 1
            ]
            self.model.add_bool_or([chosen.negated(), *ways])

    def _comes_before(self, one: int, other: int | None) -> cp_model.IntVar:
        """Whether instance ``one`` is held, and earlier than ``other`` (None: the last)."""
        if other is None:
            return self.is_held[one]
        if (one, other) not in self.before:
            before = self.before[one, other] = self.model.new_bool_var("")
            self.model.add_implication(before, self.is_held[one])
            self.model.add(self.place[one] < self.place[other]).only_enforce_if(before)
        return self.before[one, other]

    def solve(self) -> Derivation | None:
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        status = solver.solve(self.model)
        if status == cp_model.INFEASIBLE:
            return None
        if status != cp_model.OPTIMAL:
            raise AssertionError(f"no proved optimum: {solver.status_name(status)}")
        inner = [i for i, v in enumerate(self.is_held) if solver.value(v)]
        inner.sort(key=lambda i: solver.value(self.place[i]))
        derivation = Derivation(
            solver.objective_value / SCALE,
            tuple(self.held[i].pattern for i in inner),
            next(p for p, v in zip(self.ends, self.is_end, strict=True) if solver.value(v)),
            tuple(s for s, v in zip(self.page.sources, self.is_seen, strict=True) if solver.value(v)),
        )
        return derivation


def holds_together(page: Exhaustive, derivation: Derivation) -> bool:
    """Whether the derivation stands on its own, read step by step without the model, and weighs what it says."""
    known = [0, 0]
    for source in derivation.sources:
        known[1] |= source.covers
        known[0] |= 0 if source.stock else source.covers
    weight = sum(s.weight for s in derivation.sources)
    for pattern in (*derivation.inner, derivation.last):
        if pattern.need & ~known[pattern.technique in READS_STOCK]:
            return False
        gives = _gives(page.view, pattern)
        known = [k | gives for k in known]
        weight += page.own(pattern)
        if pattern is not derivation.last:
            weight += page.effort.held_digit if pattern.settles else page.effort.held_fact
    return abs(weight - derivation.effort) < 1e-6


def described(page: Exhaustive, derivation: Derivation) -> str:
    """One line for a person: the steps with what they need, and what was seen."""
    geometry = page.position.geometry
    steps = (
        f"{p.technique} {p.manner} {' '.join(map(geometry.house_name, p.houses[:1]))} on "
        f"{' '.join(f.text(geometry) for f in pattern_premises(p, page.view))}"
        for p in (*derivation.inner, derivation.last)
    )
    return f"{derivation.effort:g}: {'; '.join(steps)}; seen {' '.join(s.name for s in derivation.sources)}"
