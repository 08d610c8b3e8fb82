"""Measure what users wait for, and print it as a table beside its bar. Times are medians; nothing here fails a build.

    python scripts/bench.py [FOLDER] [--quick]

The last part sets our arguments beside the smallest explanations of a general tool on a general solver (python-sat's
OptUx: a smallest unsatisfiable subset over 27 house rules and the givens), for the same digits in the same run, as a
ratio of times. FOLDER may hold the two puzzle lists that are measured where they lie; without them that part is left
out and said so.
"""

from __future__ import annotations

import argparse
import random
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from functools import partial
from itertools import combinations
from pathlib import Path

from pysat.examples.optux import OptUx
from pysat.formula import WCNF

from inkstep.grid.geometry import CLASSIC
from inkstep.grid.solving import solutions
from inkstep.reasoning.goals import digit_goal
from inkstep.reasoning.lightest import chances, lightest
from inkstep.reasoning.position import Position
from inkstep.reasoning.search import Search
from inkstep.review.reviewing import review_sheet
from inkstep.trace.reading import read_sheet

ROOT = Path(__file__).resolve().parent.parent
DEMO = ROOT / "examples" / "harbour-spring.sheet"
SEVENTEEN = ROOT / "tests" / "data" / "seventeen-clue.txt"

#: the worked example of Wikipedia's page "Sudoku", and digits that follow from its start in one step; the same cells as the
#: exact smallest explanations published with the project's check values
WORKED = "530070000600195000098000060800060003400803001700020006060000280000419005000080079"
WORKED_CELLS = ("r5c5", "r3c7", "r5c3", "r6c3", "r1c6", "r3c5")


def median_ms(work: Callable[[], object], runs: int) -> float:
    """Median time of one call, in milliseconds."""
    times = []
    for _ in range(runs):
        start = time.perf_counter()
        work()
        times.append(1000 * (time.perf_counter() - start))
    return statistics.median(times)


def row(name: str, value: str, bar: str) -> None:
    """One row of the table."""
    print(f"{name:<66} {value:>14}   {bar}", flush=True)


def lines_of(path: Path) -> list[tuple[int, ...]]:
    """The puzzles of a file, one a line."""
    texts = [line.split()[0] for line in path.read_text().splitlines() if line and not line.startswith("#")]
    return [tuple(int(c) if c.isdigit() else 0 for c in text) for text in texts if len(text) == 81]


def pages_along(givens: Sequence[int], rng: random.Random, count: int) -> Iterator[tuple[int, ...]]:
    """Pages on the way to the solution, with a random set of digits written."""
    solution = solutions(givens, limit=1)[0]
    empty = [cell for cell in range(81) if not givens[cell]]
    for _ in range(count):
        page = list(givens)
        for cell in rng.sample(empty, rng.randrange(len(empty) - 5)):
            page[cell] = solution[cell]
        yield tuple(page)


def bench_chances() -> None:
    """All chances of a page, over pages along the way of 17-given puzzles."""
    rng = random.Random(17)
    pages = [page for givens in lines_of(SEVENTEEN)[:60:3] for page in pages_along(givens, rng, 5)]
    times = sorted(median_ms(partial(chances, Position.of(page), limit=22.0), 3) for page in pages)
    row(
        f"all chances of a page within 22 looks, median of {len(pages)} pages", f"{statistics.median(times):.1f} ms", "15 ms"
    )
    row("  the same, 99th percentile", f"{times[int(len(times) * 0.99)]:.1f} ms", "")


def bench_demo() -> None:
    """Review and press of the demo."""
    sheet = read_sheet(DEMO.read_bytes()).sheet
    row(
        f"review of the demo ({len(sheet.strokes)} strokes, alternatives, chances)",
        f"{median_ms(lambda: review_sheet(sheet), 5) / 1000:.2f} s",
        "1.5 s",
    )
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder) / "lesson"
        row("inkstep press of the demo", f"{command('press', str(DEMO), '--to', str(out)):.2f} s", "4 s")
        size = (out / "lesson.html").stat().st_size
        row("lesson.html of the demo", f"{size / 1000:.0f} kB", "400 kB")


def command(*arguments: str) -> float:
    """Median seconds of a whole `inkstep` process from a cold start."""

    def once() -> None:
        call = [sys.executable, "-m", "inkstep", *arguments]
        subprocess.run(call, check=True, stdout=subprocess.DEVNULL)

    return median_ms(once, 5) / 1000


def bench_commands() -> None:
    """What the user waits for at the prompt."""
    row("inkstep --help", f"{command('--help'):.2f} s", "0.25 s")
    row("inkstep why PUZZLE r5c5, cold start", f"{command('why', WORKED, 'r5c5'):.2f} s", "0.6 s")


class SmallestExplanation:
    """Smallest sets of house rules and givens that leave a cell its digit, by python-sat's OptUx."""

    def __init__(self, givens: Sequence[int]) -> None:
        self._givens = givens

    def of(self, cell: int, digit: int) -> int:
        """The size of a smallest explanation: house rules used and givens used, one each."""
        formula = WCNF()
        for each in range(81):
            _exactly_one(formula, [self._variable(each, d) for d in CLASSIC.digits])
        switches = iter(range(730, 1000))
        for cells in CLASSIC.house_cells:
            switch = next(switches)
            for d in CLASSIC.digits:
                _exactly_one(formula, [self._variable(c, d) for c in cells], -switch)
            formula.append([switch], weight=1)
        for each, d in enumerate(self._givens):
            if d:
                formula.append([self._variable(each, d)], weight=1)
        formula.append([-self._variable(cell, digit)])
        with OptUx(formula) as smallest:
            return len(smallest.compute() or ())

    @staticmethod
    def _variable(cell: int, digit: int) -> int:
        return cell * 9 + digit


def _exactly_one(formula: WCNF, variables: list[int], *guard: int) -> None:
    formula.append([*guard, *variables])
    for one, two in combinations(variables, 2):
        formula.append([*guard, -one, -two])


def bench_against_general() -> None:
    """The same digits by the general tool and by ours."""
    givens = tuple(int(c) for c in WORKED)
    solution = solutions(givens, limit=1)[0]
    general = SmallestExplanation(givens)
    ratios = []
    print("\nsmallest explanation by a general tool (OptUx) beside our lightest argument, same digit, same run")
    for name in WORKED_CELLS:
        cell = CLASSIC.cell(name)
        start = time.perf_counter()
        size = general.of(cell, solution[cell])
        theirs = 1000 * (time.perf_counter() - start)
        goal = digit_goal(cell, solution[cell])
        ours = median_ms(partial(lightest, Position.of(givens), goal), 5)
        argument = lightest(Position.of(givens), goal)[0]
        ratios.append(theirs / ours)
        evidence = f"evidence {size} beside {_evidence(argument.steps)}"
        row(f"  {name}={solution[cell]}: {theirs:.0f} ms beside {ours:.1f} ms, {evidence}", f"{theirs / ours:.0f} x", "")
    row("ratio of times, median", f"{statistics.median(ratios):.0f} x", "")


def _evidence(steps: Sequence[object]) -> int:
    """House rules and digits our argument names, counted as the general tool counts."""
    houses = {h for step in steps for h in step.houses}  # type: ignore[attr-defined]
    digits = {f.cell for step in steps for f in step.premises if f.holds}  # type: ignore[attr-defined]
    return len(houses) + len(digits)


def bench_lists(checks: Path | None) -> None:
    """How far the catalogue reaches on the lists, playing the lightest chance each time."""
    names = [("17-given puzzles (every fifth)", SEVENTEEN, 5)]
    if checks is None:
        print("\nno FOLDER named: players-hard.txt and project-annealing.txt are not measured")
    else:
        names += [(n, checks / n, 5) for n in ("players-hard.txt", "project-annealing.txt") if (checks / n).is_file()]
    print()
    for name, path, every in names:
        puzzles = lines_of(path)[::every]
        start = time.perf_counter()
        solved = sum(_solved(givens) for givens in puzzles)
        each = (time.perf_counter() - start) / max(1, len(puzzles))
        row(f"{name}: solved to the end by the catalogue", f"{solved}/{len(puzzles)}", f"{each:.2f} s a puzzle")


def _solved(givens: Sequence[int]) -> bool:
    digits = list(givens)
    while not all(digits):
        search = Search(Position.of(digits))
        for limit in (4.0, 8.0, 16.0, 32.0, 64.0):
            search.run(limit)
            if search.digits:
                break
        if not search.digits:
            return False
        cell, digit = min(search.digits, key=lambda place: search.digits[place].price)
        digits[cell] = digit
    return True


def main() -> None:
    """Print the table."""
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("checks", nargs="?", type=Path, help="folder with puzzle lists that are measured where they lie")
    options.add_argument("--quick", action="store_true", help="leave out the lists")
    chosen = options.parse_args()
    row("measure", "median", "bar")
    bench_chances()
    bench_commands()
    bench_demo()
    bench_against_general()
    if not chosen.quick:
        bench_lists(chosen.checks)


if __name__ == "__main__":
    main()
