"""Make an archive of many solves, to measure the shelf and its search on; with PATH made already, only measure.

    python scripts/archive_of.py N PATH [--seed SEED] [--only-make]

The solves are the demo's, with some of its digits given beforehand, moved and renamed by symmetries of the grid, under
names of the same league; the same seed makes the same archive. What happened in them is the demo's review with some of
it left out and some that is rarer put in: it is for the search alone.
"""

from __future__ import annotations

import argparse
import random
import time
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from sqlalchemy import Connection

from inkstep.archive.describing import canonical_form, description, said_in
from inkstep.archive.opening import Archive, open_archive
from inkstep.archive.searching import words_of
from inkstep.archive.shelf import shelf
from inkstep.archive.stroke_texts import head_text, stroke_text
from inkstep.desk.studies import happened
from inkstep.grid.symmetry import Symmetry, random_symmetry
from inkstep.review.reviewing import review_sheet
from inkstep.trace.reading import read_sheet
from inkstep.trace.sheet import Sheet
from inkstep.trace.strokes import Kind, Stroke

DEMO = Path(__file__).resolve().parent.parent / "examples" / "harbour-spring.sheet"
#: puzzles that differ, and sheets of them that are moved and renamed
PUZZLES, SHEETS = 400, 2_000
SEASONS = ("spring", "summer", "autumn", "winter")
#: solves that are written in one transaction
AT_ONCE = 2_000
DAY = 86_400_000
#: of what rarely happens, in how many solves of a hundred
RARE = {
    ("technique", "x-wing"): 3,
    ("technique", "xy-wing"): 2,
    ("technique", "swordfish"): 0.1,
    ("held", "hidden pair"): 12,
}

QUERIES = (
    *("", "spring", "spr", "table 17", "long rest", '"the habit of table 4"', "zzz", "winter round table 3"),
    *("hidden pair held", "x-wing", "swordfish", "wait over 6 s", "wait over 20 s", "false mark", "state planned"),
    *("spring hidden pair held", "xy-wing wait over 6 s", "table 99 swordfish", "effort over 400", "hardest x-wing"),
)


def easier(sheet: Sheet, rng: random.Random) -> Sheet:
    """The sheet with some of its digits given beforehand, and without the strokes that touch them."""
    strokes = sheet.strokes
    slips = {s.cells[0] for s in strokes if s.replaces is not None}
    digits = {s.cells[0]: s.digits[0] for s in strokes if s.kind is Kind.DIGIT and s.cells[0] not in slips}
    given = dict(rng.sample(sorted(digits.items()), rng.randrange(1, 9)))
    givens = tuple(given.get(cell, digit) for cell, digit in enumerate(sheet.givens))
    kept = tuple(stroke for stroke in strokes if not set(stroke.cells) & set(given))
    return Sheet(replace(sheet.header, givens=givens), kept)


def moved(sheet: Sheet, symmetry: Symmetry) -> Sheet:
    """The sheet on the paper that a symmetry makes (one without transposition: sides of the frame stay)."""
    givens = symmetry.apply_grid(sheet.givens)
    return Sheet(replace(sheet.header, givens=givens), tuple(_moved(stroke, symmetry) for stroke in sheet.strokes))


def _moved(stroke: Stroke, symmetry: Symmetry) -> Stroke:
    place = stroke.place
    return replace(
        stroke,
        cells=tuple(map(symmetry.apply_cell, stroke.cells)),
        digits=tuple(map(symmetry.apply_digit, stroke.digits)),
        house=None if stroke.house is None else symmetry.apply_house(stroke.house),
        place=place if place.house is None else replace(place, house=symmetry.apply_house(place.house)),
        replaces=None if stroke.replaces is None else symmetry.apply_digit(stroke.replaces),
    )


class Maker:
    """Makes solves one after another from a number of sheets."""

    def __init__(self, demo: Sheet, seed: int) -> None:
        self.rng = random.Random(seed)
        self.review = review_sheet(demo)
        self.happened = happened(self.review)
        puzzles = [easier(demo, self.rng) for _ in range(PUZZLES)]
        forms = [canonical_form(puzzle.givens) for puzzle in puzzles]
        self.sheets = [self._sheet(puzzles[i % PUZZLES], forms[i % PUZZLES]) for i in range(SHEETS)]

    def _sheet(self, puzzle: Sheet, form: str) -> tuple[Sheet, list[str], str, dict[str, object]]:
        symmetry = replace(random_symmetry(self.rng), transpose=False)
        sheet = moved(puzzle, symmetry)
        return sheet, [stroke_text(stroke) for stroke in sheet.strokes], form, description(sheet)

    def solve(self, number: int) -> Iterator[tuple[str, list[tuple[object, ...]]]]:
        """The rows of a solve by their table."""
        sheet, texts, form, told = self.rng.choice(self.sheets)
        table, season, year = self.rng.randrange(1, 60), self.rng.choice(SEASONS), self.rng.randrange(2000, 2026)
        event = f"Harbour Town Puzzle League, {season} round {year}"
        header = replace(sheet.header, title=f"Puzzle {self.rng.randrange(1, 9)}: table {table}", event=event)
        sheet = replace(sheet, header=replace(header, solver=f"table {table}"))
        at, effort = number * DAY // 8, self.review.effort * self.rng.uniform(0.5, 1.5)
        state = self.rng.choice(("reviewed", "planned", "published")) if number % 97 else "logging"
        log = (number, f"made-{number}", len(texts) + 1, head_text(sheet.header), "", at, at)
        shown = (header.title, event, f"table {table}", sheet.header.puzzle, form)
        page = (told["last_page"], told["strokes"], told["length_ms"], 0)
        yield "solves", [(*log, *shown, *page, state, effort, self._hardest(), 0)]
        yield "strokes", [(number, i, i - 1, text) for i, text in enumerate(texts, 1)]
        yield "words", [(number, " ".join(words_of("\n".join(said_in(sheet)))))]
        yield "happenings", list(self._happenings(number))

    def _hardest(self) -> str:
        return self.rng.choice(("hidden pair", "naked pair", "x-wing", "naked triple"))

    def _happenings(self, number: int) -> Iterator[tuple[object, ...]]:
        found: dict[tuple[str, str], list[tuple[float, int | None]]] = {}
        for each in self.happened:
            if (each.kind, each.name) not in RARE and self.rng.random() < 0.8:
                times = found.setdefault((each.kind, each.name), [])
                times.append((each.value * self.rng.uniform(0.3, 2.0), each.stroke))
        found |= {name: [(0, 1)] for name, share in RARE.items() if self.rng.random() * 100 < share}
        for (kind, name), times in found.items():
            yield (number, kind, name, *max(times), len(times))


INSERTS = {
    "solves": "INSERT INTO solves (id, key, next_stroke, head, tail, created_at, changed_at, title, event, solver, puzzle,"
    " canonical, last_page, strokes, length_ms, described_revision, state, effort, hardest, reviewed_revision)"
    f" VALUES ({', '.join('?' * 20)})",
    "strokes": "INSERT INTO strokes (solve, id, position, text) VALUES (?, ?, ?, ?)",
    "words": "INSERT INTO words (rowid, text) VALUES (?, ?)",
    "happenings": "INSERT INTO happenings (solve, kind, name, value, stroke, times) VALUES (?, ?, ?, ?, ?, ?)",
}


def make(archive: Archive, count: int, seed: int) -> None:
    """Fill an empty archive."""
    maker = Maker(read_sheet(DEMO.read_bytes()).sheet, seed)
    for start in range(1, count + 1, AT_ONCE):
        with archive.writing() as connection:
            _write(connection, maker, range(start, min(start + AT_ONCE, count + 1)))
        print(f"\r{min(start + AT_ONCE - 1, count):,} solves", end="", flush=True)
    print()


def _write(connection: Connection, maker: Maker, numbers: range) -> None:
    rows: dict[str, list[tuple[object, ...]]] = {name: [] for name in INSERTS}
    for number in numbers:
        for name, found in maker.solve(number):
            rows[name] += found
    for name, statement in INSERTS.items():
        connection.exec_driver_sql(statement, rows[name])


def measure(path: Path) -> None:
    """Each query on a newly opened archive, and again five times (the median)."""
    print(f"{'query':<28}{'found':>9}{'first':>12}{'again':>12}{'last page':>12}")
    for query in QUERIES:
        archive = _opened(path)
        found, first = timed(archive, query)
        again = sorted(timed(archive, query)[1] for _ in range(5))[2]
        deep = timed(archive, query, after="2000")[1]
        print(f"{query or '(all)':<28}{found:>9,}{first:>9.1f} ms{again:>9.1f} ms{deep:>9.1f} ms")
        archive.close()


def timed(archive: Archive, query: str, after: str | None = None) -> tuple[int, float]:
    """How many solves a query finds, and the milliseconds until its page is there."""
    start = time.perf_counter()
    found = shelf(archive, query, after=after)
    return found.total, (time.perf_counter() - start) * 1000


def _opened(path: Path) -> Archive:
    return open_archive(path, now=lambda: 0, new_key=lambda: "new")


def main() -> None:
    """Make, then measure."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("count", metavar="N", type=int)
    parser.add_argument("path", metavar="PATH", type=Path)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--only-make", action="store_true")
    arguments = parser.parse_args()
    if not arguments.path.exists():
        archive, start = _opened(arguments.path), time.perf_counter()
        make(archive, arguments.count, arguments.seed)
        archive.close()
        size = arguments.path.stat().st_size / 1e6
        print(f"made in {time.perf_counter() - start:.0f} s, {size:,.0f} MB")
    if not arguments.only_make:
        measure(arguments.path)


if __name__ == "__main__":
    main()
