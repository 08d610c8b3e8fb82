"""The shelf: newest first, found by words and by what happened, on SQLite and on PostgreSQL."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sqlalchemy import text

import archives
from archives import DEMO, opened, sheet, stroke
from inkstep.archive import opening
from inkstep.archive.exchange import remove_solve
from inkstep.archive.finding import MOST_COUNTED
from inkstep.archive.keeping import Happening, keep_review, keep_state
from inkstep.archive.logs import Insert, TakeOut, Whole, amend, begin, undo
from inkstep.archive.opening import Archive
from inkstep.archive.phrases import PHRASES, Bound, Happened, Is
from inkstep.archive.questions import read_question
from inkstep.archive.searching import Asked, words_of
from inkstep.archive.shelf import EXAMPLES, Shelf, shelf
from inkstep.grid.symmetry import random_symmetry
from inkstep.ground.errors import InputError
from inkstep.reasoning.techniques import CATALOGUE
from inkstep.trace.sheet import Header, Sheet

place = archives.place


@pytest.fixture
def archive(place: str) -> Iterator[Archive]:
    made = opened(place)
    yield made
    made.close()


def titles(archive: Archive, query: str = "") -> list[str]:
    """The titles of what a query finds, newest first."""
    return [entry.title for entry in shelf(archive, query).entries]


# ---- what is on it


def test_an_empty_shelf(archive: Archive) -> None:
    assert shelf(archive) == Shelf((), None, 0)


def test_an_entry_tells_the_solve(archive: Archive) -> None:
    log = begin(archive, DEMO)
    keep_review(archive, log.key, 0, effort=298.5, hardest="hidden pair", happened=())
    (entry,) = shelf(archive).entries
    assert (entry.key, entry.title, entry.event) == (log.key, DEMO.header.title, DEMO.header.event)
    assert (entry.solver, entry.puzzle, entry.strokes) == ("table 4", DEMO.header.puzzle, len(DEMO.strokes))
    assert (entry.length_ms, entry.state, entry.effort, entry.hardest) == (107_220, "reviewed", 298.5, "hidden pair")
    assert (entry.created_at, entry.changed_at, entry.twins) == (1000, 1000, 0)
    assert len(entry.last_page) == 81 and "0" not in entry.last_page


def test_it_follows_every_edit_also_across_a_restart(place: str) -> None:
    archive = opened(place)
    log = begin(archive, sheet(stroke("r1c1 = 7", 1000, "first thought")))
    assert shelf(archive, "thought").total == 1
    log = amend(archive, log.key, Insert((stroke("r1c2 = 3", 2000, "an afterthought"),)), log)
    header = replace(log.sheet.header, title="Other name")
    log = amend(archive, log.key, Whole(replace(log.sheet, header=header), log.revision), log)
    archive.close()
    archive = opened(place)
    (entry,) = shelf(archive, "afterthought").entries
    assert (entry.title, entry.strokes, entry.length_ms, entry.last_page[:2]) == ("Other name", 2, 2000, "73")
    amend(archive, log.key, TakeOut(((log.ids[0], log.texts[0]),)))
    assert shelf(archive, "thought").total == 0
    undo(archive, log.key)
    assert shelf(archive, "thought").total == 1
    archive.close()


def test_it_is_shown_while_the_archive_is_locked(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(opening, "BUSY_SECONDS", 0.1)
    one, two = opened(tmp_path / "archive.db"), opened(tmp_path / "archive.db")
    log = begin(one, sheet())
    amend(one, log.key, Insert((stroke("r1c1 = 7"),)), log)
    with two.writing():
        assert [entry.strokes for entry in shelf(one).entries] == [0], "as it was described last"
    assert [entry.strokes for entry in shelf(one).entries] == [1]
    one.close()
    two.close()


def test_a_damaged_solve_does_not_hide_the_others(archive: Archive) -> None:
    log = begin(archive, sheet(stroke("r1c1 = 7"), title="Damaged"))
    begin(archive, sheet(title="Sound"))
    amend(archive, log.key, Insert((stroke("r1c2 = 3"),)))
    with archive.writing() as connection:
        connection.execute(text("UPDATE strokes SET text = 'nonsense' WHERE id = 1"))
    assert titles(archive) == ["Sound", "Damaged"]


def test_pages_follow_one_another_newest_first(archive: Archive) -> None:
    for number in range(7):
        begin(archive, sheet(title=f"Solve {number} of spring"))
    for query in ("", "spring"):
        seen, after = [], None
        while True:
            found = shelf(archive, query, after=after, most=3)
            seen += [entry.title for entry in found.entries]
            assert found.total == 7
            after = found.next
            if after is None:
                break
        assert seen == [f"Solve {number} of spring" for number in reversed(range(7))]
    assert shelf(archive, "solve 6").next is None


@pytest.mark.parametrize("cursor", ["x", "-1", "", "1" * 30, "１"])
def test_a_cursor_that_is_none(archive: Archive, cursor: str) -> None:
    with pytest.raises(InputError, match="a place on the shelf"):
        shelf(archive, after=cursor)


def test_a_search_counts_no_further_than_it_must(archive: Archive) -> None:
    row = {"key": "key", "head": "", "created_at": 0, "changed_at": 0, "puzzle": "", "described_revision": 0}
    with archive.writing() as connection:
        names = ", ".join(row)
        values = [row | {"key": f"made-{number}"} for number in range(MOST_COUNTED + 50)]
        connection.execute(text(f"INSERT INTO solves ({names}) VALUES ({', '.join(':' + name for name in row)})"), values)
    found = shelf(archive, "state logging")
    assert (found.total, found.more) == (MOST_COUNTED, True)
    assert (shelf(archive).total, shelf(archive).more) == (MOST_COUNTED + 50, False)
    last = found
    for _ in range(3):
        last = shelf(archive, "state logging", after=last.next, most=400)
    assert (len(last.entries), last.next) == (MOST_COUNTED + 50 - 30 - 800, None)


# ---- twins


def test_a_puzzle_is_found_however_it_is_moved_and_renamed(archive: Archive) -> None:
    symmetry = random_symmetry(random.Random(5))
    moved = replace(DEMO.header, givens=symmetry.apply_grid(DEMO.givens), title="Moved")
    other = replace(DEMO.header, givens=(*DEMO.givens[:-1], 1), title="Other")
    for header in (DEMO.header, moved, other):
        begin(archive, Sheet(header))
    assert {entry.title: entry.twins for entry in shelf(archive).entries} == {DEMO.header.title: 1, "Moved": 1, "Other": 0}
    found = shelf(archive, f"{moved.puzzle}")
    assert [entry.title for entry in found.entries] == ["Moved", DEMO.header.title]
    assert found.understood == ("this puzzle, moved or renamed as it may be",)


def test_solves_without_a_puzzle_are_no_twins(archive: Archive) -> None:
    for _ in range(2):
        begin(archive, Sheet(Header((0,) * 81)))
    assert [entry.twins for entry in shelf(archive).entries] == [0, 0]


def test_a_puzzle_that_changes_has_other_twins(archive: Archive) -> None:
    log, _ = begin(archive, Sheet(DEMO.header)), begin(archive, Sheet(DEMO.header))
    header = replace(DEMO.header, givens=(*DEMO.givens[:-1], 1))
    amend(archive, log.key, Whole(Sheet(header), 0))
    assert [entry.twins for entry in shelf(archive).entries] == [0, 0]


# ---- words


def test_words_are_found_wherever_a_person_wrote_them(archive: Archive) -> None:
    said = stroke("r1c1 = 7", comment="why here?", before=("# Chapter of rests",))
    note = stroke('note "eights left" left of row 5')
    header = {"source": "Pilot's almanac", "event": "Übung im Hafen", "solver": "table 41", "other": (("Weather", "fog"),)}
    log = begin(archive, sheet(said, note, **header))
    found = ("why", "chapter rests", "eights", "pilot almanac", "ubung", "ÜBUNG", "hafen im", "table 41", "fog")
    for query in (*found, '"im hafen"'):
        assert shelf(archive, query).total == 1, query
    for query in ("nothere", '"hafen im"', "why nothere", "table 4", "eight here", "haf im"):
        assert shelf(archive, query).total == 0, query
    for query in ("haf", "why chap", "almana", "eigh"):
        assert shelf(archive, query).total == 1, f"{query}, still being typed"
    remove_solve(archive, log.key)
    assert shelf(archive, "why").total == 0


SIGNS = ('"', '""', "'", "a' OR 1=1 --", "NEAR(a b)", "a AND", "NOT a", "*", "a*b", "^a", "-a", "{", ":*", "<->", "\x00")


@pytest.mark.parametrize("query", SIGNS)
def test_signs_of_the_databases_are_only_signs(archive: Archive, query: str) -> None:
    begin(archive, sheet())
    shelf(archive, query)


@given(said=st.text(max_size=60))
def test_any_line_is_a_question(said: str) -> None:
    question = read_question(said)
    words = [word for asked in question.conditions if isinstance(asked, Asked) for word in asked.words]
    assert all(words_of(word) == (word,) for word in words)


def test_any_text_is_searched_alike_in_both(archive: Archive) -> None:
    strange = ("naïve", "Ⅷ", "½ look", "日本", "r5c1", "9-5", "o'clock", "ﬁsh", "x" * 3000, "под 5")
    for number, said in enumerate(strange):
        begin(archive, sheet(title=f"{said} n{number}"))
    for number, said in enumerate(strange):
        assert titles(archive, f'"{said}"') == [f"{said} n{number}"], said


# ---- what happened


def reviewed(archive: Archive, title: str, *happened: Happening, effort: float = 300, hardest: str = "naked pair") -> str:
    key = begin(archive, sheet(title=title)).key
    keep_review(archive, key, 0, effort=effort, hardest=hardest, happened=happened)
    return key


def test_solves_are_found_by_what_happened(archive: Archive) -> None:
    reviewed(archive, "A", Happening("technique", "x-wing", stroke=3), Happening("wait", value=6500, stroke=4))
    reviewed(archive, "B", Happening("held", "hidden pair"), Happening("wait", value=2000), Happening("wait", value=7000))
    reviewed(archive, "C", Happening("lying", value=21_000), Happening("mark", "false"), effort=500, hardest="x-wing")
    last = reviewed(archive, "D", Happening("mark", "never used"), Happening("verdict", "correction"))
    keep_state(archive, last, "planned")
    assert titles(archive, "X-Wing") == titles(archive, "x wings") == ["A"]
    assert titles(archive, "solves in which a hidden pair was held") == titles(archive, "held hidden pair") == ["B"]
    assert titles(archive, "waits over 6 s") == titles(archive, "wait longer than 6 seconds") == ["B", "A"]
    assert titles(archive, "wait over 6,6 s") == ["B"]
    assert titles(archive, "wait over 1 min") == []
    assert titles(archive, "left lying over 20 s") == titles(archive, "digit left lying") == ["C"]
    assert titles(archive, "false mark") == ["C"]
    assert titles(archive, "unused marks") == titles(archive, "slip put right") == titles(archive, "state planned") == ["D"]
    assert titles(archive, "hardest x-wing") == titles(archive, "effort over 400") == ["C"]
    assert titles(archive, "effort under 400 looks, wait over 6 s, x-wing") == ["A"]
    assert titles(archive, "solve x-wing") == []
    assert titles(archive, "state reviewed wait over 6 s") == ["B", "A"]


def test_a_new_review_takes_the_place_of_the_old(archive: Archive) -> None:
    key = reviewed(archive, "A", Happening("technique", "x-wing"))
    keep_review(archive, key, 0, effort=1, hardest=None, happened=[Happening("technique", "xy-wing")])
    assert (titles(archive, "x-wing"), titles(archive, "xy-wing")) == ([], ["A"])


@pytest.mark.parametrize("name", [technique.name for technique in CATALOGUE])
def test_every_technique_can_be_asked_for(name: str) -> None:
    for spelled in (name, name.upper(), name.replace("-", " "), f"{name}s", f"a {name}"):
        assert read_question(spelled).conditions == (Happened("technique", name),), spelled
    assert read_question(f"{name} held").conditions == (Happened("held", name),)
    assert read_question(f"hardest: {name}").conditions == (Is("hardest", name),)


def test_how_a_query_was_read_is_said() -> None:
    question = read_question('spring XY-wing wait over 1.5 min "long rest" ta')
    assert question.understood == (
        "an xy-wing needed",
        "a wait of more than 90 s",
        "the text “long rest”",
        "the words spring, ta…",
    )
    assert question.unknown == ()
    assert question.conditions == (
        Happened("technique", "xy-wing"),
        Happened("wait", over=90_000),
        Asked(("long", "rest")),
        Asked(("spring",)),
        Asked(("ta",), open_end=True),
    )


def test_what_looks_like_a_condition_and_is_none_is_said() -> None:
    for said in ("wait over soon", "effort over", "left lying over night", "wait under 3 s"):
        assert (read_question(said).unknown, read_question(said).conditions) == ((said,), ()), said
    assert read_question("state of the art").unknown == ()
    assert read_question("strokes > 100").conditions == (Bound("strokes", True, 100),)


def test_the_examples_are_all_understood() -> None:
    plain = [example for example in EXAMPLES if read_question(example).unknown]
    assert plain == []
    kinds = {type(condition) for example in EXAMPLES for condition in read_question(example).conditions}
    assert {Asked, Happened, Is} <= kinds
    assert len(PHRASES) > 10
