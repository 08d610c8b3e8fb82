"""Logs in the archive: every edit, undone and done again without end, on SQLite and on PostgreSQL."""

from __future__ import annotations

import random
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlalchemy import event, text

import archives
from archives import DEMO, opened, sheet, stroke
from inkstep.archive.logs import (
    ClashError,
    Edit,
    Insert,
    Log,
    Move,
    Rewrite,
    TakeOut,
    Whole,
    amend,
    begin,
    load,
    redo,
    stroke_text,
    undo,
)
from inkstep.archive.opening import Archive, ArchiveError
from inkstep.ground.errors import InputError
from inkstep.trace.reading import read_sheet
from inkstep.trace.sheet import Sheet
from inkstep.trace.strokes import Kind, Stroke
from inkstep.trace.writing import write_sheet

place = archives.place

A, B, C = (stroke(f"r1c{column} = {digit}", at) for column, digit, at in ((1, 7, 1000), (2, 3, 2000), (4, 6, 3000)))


@pytest.fixture
def archive(place: str) -> Iterator[Archive]:
    made = opened(place)
    yield made
    made.close()


def same(archive: Archive, log: Log) -> Log:
    """The log, when the archive holds exactly it."""
    assert load(archive, log.key) == log
    assert log.texts == tuple(map(stroke_text, log.sheet.strokes))
    return log


def test_the_demo_is_kept_to_the_letter(archive: Archive) -> None:
    log = same(archive, begin(archive, DEMO))
    assert log.sheet == DEMO
    assert write_sheet(log.sheet) == write_sheet(DEMO)
    assert (log.revision, log.undo, log.redo) == (0, "", "")


def test_each_edit_does_what_it_says_and_names_it(archive: Archive) -> None:
    log = begin(archive, sheet(A))
    log = same(archive, amend(archive, log.key, Insert((B, C)), log))
    assert log.sheet.strokes == (A, B, C)
    assert log.undo == "write 2 strokes"
    first, second, third = log.ids
    log = same(archive, amend(archive, log.key, Move(third, log.texts[2], second)))
    assert (log.ids, log.undo) == ((first, third, second), "move r1c4 = 6")
    later = replace(B, at_ms=2500, comment="seen late")
    log = same(archive, amend(archive, log.key, Rewrite(((second, stroke_text(B), later),)), log))
    assert (log.sheet.strokes, log.undo) == ((A, C, later), "change r1c2 = 3")
    log = same(archive, amend(archive, log.key, TakeOut(((first, stroke_text(A)),)), log))
    assert (log.ids, log.undo) == ((third, second), "take out r1c1 = 7")
    log = same(archive, amend(archive, log.key, Insert((A,), second), log))
    assert log.sheet.strokes == (C, A, later)
    assert log.ids[1] not in (first, second, third), "a name is never given twice"
    assert log.revision == 5


def test_what_is_between_strokes_stays(archive: Archive) -> None:
    remarked = replace(B, before=("", "# Back to box 1"))
    log = begin(archive, sheet(A, remarked))
    log = same(archive, amend(archive, log.key, Rewrite(((log.ids[1], log.texts[1], B),)), log))
    assert log.sheet.strokes[1].before == ("", "# Back to box 1"), "a stroke typed anew keeps the lines above it"
    moved = same(archive, amend(archive, log.key, Move(log.ids[1], log.texts[1], log.ids[0]), log))
    assert moved.sheet.strokes[0].before == ("# Back to box 1",), "no empty line at the start"
    assert same(archive, undo(archive, log.key)).sheet == log.sheet


def test_an_edit_that_changes_nothing_is_none(archive: Archive) -> None:
    log = begin(archive, sheet(A, B))
    assert amend(archive, log.key, Move(log.ids[0], log.texts[0], log.ids[1]), log) is log
    assert amend(archive, log.key, Whole(log.sheet, 0), log) is log
    assert load(archive, log.key).revision == 0


def test_text_is_made_canonical_before_it_is_answered(archive: Archive) -> None:
    untidy = replace(A, comment="  two\nlines \n", before=("", "", "#no blank"))
    log = same(archive, amend(archive, begin(archive, sheet(B)).key, Insert((untidy,))))
    assert log.sheet.strokes[1].comment == "  two\nlines"
    assert log.sheet.strokes[1].before == ("", "# no blank")


@pytest.mark.parametrize(
    "wrong",
    [replace(A, at_ms=-1), replace(A, digits=(0,)), replace(A, comment="bell \x07"), replace(A, before=("no remark",))],
)
def test_what_no_line_can_say_is_refused(archive: Archive, wrong: Stroke) -> None:
    log = begin(archive, sheet(B))
    with pytest.raises(InputError):
        amend(archive, log.key, Insert((wrong,)), log)
    assert same(archive, log).sheet.strokes == (B,)


def test_a_log_does_not_outgrow_what_is_read_again(archive: Archive) -> None:
    log = begin(archive, sheet(A))
    with pytest.raises(InputError, match="at most 10,000 lines"):
        amend(archive, log.key, Insert((B,) * 10_000), log)
    with pytest.raises(InputError, match="1,000,000 bytes"):
        amend(archive, log.key, Insert((replace(B, comment="x" * 1_000_000),)), log)
    assert same(archive, log).revision == 0


def test_a_changed_stroke_clashes_and_both_are_told(archive: Archive) -> None:
    log = begin(archive, sheet(A, B))
    first = log.ids[0]
    theirs = amend(archive, log.key, Rewrite(((first, log.texts[0], C),)), log)
    edits: tuple[Edit, ...] = (
        Rewrite(((first, log.texts[0], B),)),
        TakeOut(((first, log.texts[0]),)),
        Move(first, log.texts[0]),
        Whole(sheet(B), log.revision),
    )
    for edit in edits:
        with pytest.raises(ClashError) as clash:
            amend(archive, log.key, edit, log)
        assert "nothing was changed" in str(clash.value)
    with pytest.raises(ClashError) as clash:
        amend(archive, log.key, edits[0], theirs)
    assert (clash.value.was, clash.value.theirs, clash.value.ours) == tuple(map(stroke_text, (A, C, B)))
    gone = amend(archive, log.key, TakeOut(((first, stroke_text(C)),)))
    with pytest.raises(ClashError, match="taken out meanwhile"):
        amend(archive, log.key, edits[0], gone)
    with pytest.raises(InputError, match="taken out meanwhile"):
        amend(archive, log.key, Insert((A,), first), gone)
    assert same(archive, gone).sheet.strokes == (B,)


def test_two_writers_lose_nothing_of_each_other(place: str) -> None:
    one, two = opened(place), opened(place)
    known = {one: begin(one, sheet(A))}
    known[two] = load(two, known[one].key)
    for number in range(6):
        writer = (one, two)[number % 2]
        known[writer] = amend(writer, known[writer].key, Insert((replace(B, at_ms=number),)), known[writer])
    assert [s.at_ms for s in load(one, known[one].key).sheet.strokes] == [1000, 0, 1, 2, 3, 4, 5]
    with pytest.raises(ClashError):
        amend(one, known[one].key, Whole(sheet(), 3), known[one])
    for each in (one, two):
        each.close()


def test_a_whole_sheet_keeps_the_names_of_what_can_be_told_to_be_the_same(archive: Archive) -> None:
    log = begin(archive, sheet(A, B, C))
    a, b, c = log.ids
    backwards = replace(log.sheet, strokes=(C, B, A))
    log = same(archive, amend(archive, log.key, Whole(backwards, 0, "sort"), log))
    assert log.ids == (c, b, a)
    shifted = replace(log.sheet, strokes=tuple(replace(s, at_ms=(s.at_ms or 0) + 50) for s in (C, A)))
    log = same(archive, amend(archive, log.key, Whole(shifted, 1), log))
    assert log.ids == (c, a)
    other = stroke("r9c9 = 8", 9000)
    log = same(archive, amend(archive, log.key, Whole(replace(log.sheet, strokes=(other, *shifted.strokes)), 2), log))
    assert log.ids[1:] == (c, a)
    assert log.ids[0] > max(a, b, c)


def test_the_head_is_kept_as_it_is_read_again(archive: Archive) -> None:
    log = begin(archive, sheet(A))
    header = replace(log.sheet.header, title="  Two\nlines ", clock_start_ms=2000)
    log = same(archive, amend(archive, log.key, Whole(replace(log.sheet, header=header), 0, "change the title"), log))
    assert (log.sheet.header.title, log.sheet.header.clock_start_ms) == ("Two lines", 2000)
    assert same(archive, undo(archive, log.key)).sheet.header.title == "A solve"
    assert redo(archive, log.key).sheet == log.sheet


def test_undo_and_redo_go_to_both_ends_and_stay_there(place: str) -> None:
    archive = opened(place)
    log = begin(archive, sheet(A))
    states = [log]
    for edit in (Insert((B,)), Insert((C,), log.ids[0]), Whole(sheet(B, C, title="New"), 2, "all of it")):
        states.append(amend(archive, log.key, edit))
    assert states[-1].undo == "all of it"
    archive.close()
    archive = opened(place)
    for want in reversed(states[:-1]):
        found = same(archive, undo(archive, log.key))
        assert (found.sheet, found.ids, found.undo) == (want.sheet, want.ids, want.undo)
    bottom = undo(archive, log.key)
    assert (bottom.undo, bottom.redo) == ("", "write r1c2 = 3")
    archive.close()
    archive = opened(place)
    for want in states[1:]:
        found = same(archive, redo(archive, log.key))
        assert (found.sheet, found.ids, found.undo) == (want.sheet, want.ids, want.undo)
    assert redo(archive, log.key).revision == found.revision
    undo(archive, log.key)
    assert amend(archive, log.key, Insert((A,))).redo == "", "what was undone is gone after a new edit"
    archive.close()


def test_what_is_not_there_is_said(archive: Archive) -> None:
    for use in (load, undo, redo, lambda a, key: amend(a, key, Insert((A,)))):
        with pytest.raises(InputError, match="a solve that is in the archive"):
            use(archive, "nothing")


def test_a_damaged_row_is_said_and_nothing_is_dropped(archive: Archive) -> None:
    log = begin(archive, sheet(A, B, C))
    with archive.writing() as connection:
        connection.execute(text("UPDATE strokes SET text = '0:02.000  r1c2 = ' WHERE id = 2"))
    with pytest.raises(ArchiveError, match=r"stroke 2.*got '0:02.000  r1c2 = '"):
        load(archive, log.key)
    with pytest.raises(ArchiveError):
        amend(archive, log.key, Insert((A,)))
    with archive.reading() as connection:
        assert connection.execute(text("SELECT count(*) FROM strokes")).scalar() == 3


def test_a_full_disk_is_said_and_what_was_written_stays(tmp_path: Path) -> None:
    archive = opened(tmp_path / "archive.db")
    log = begin(archive, sheet(A))

    @event.listens_for(archive.engine, "begin")
    def _no_more_room(connection: object) -> None:
        pages = connection.exec_driver_sql("PRAGMA page_count").scalar()  # type: ignore[attr-defined]
        connection.exec_driver_sql(f"PRAGMA max_page_count = {pages}")  # type: ignore[attr-defined]

    long = replace(B, comment="words " * 5000)
    with pytest.raises(ArchiveError, match=r"archive.db: expected room on the disk, got a full one"):
        amend(archive, log.key, Insert((long,) * 10), log)
    event.remove(archive.engine, "begin", _no_more_room)
    assert same(archive, log).sheet.strokes == (A,)
    archive.close()
    archive = opened(tmp_path / "archive.db")
    assert amend(archive, log.key, Insert((long,) * 10), log).revision == 1
    archive.close()


# ---- any edits at all

ACTIONS = ("r1c1 = 7", "r1c2 = 3", "r1c1 r1c2 : 37", "r4c1 : 26", 'note "8?" left of row 5', "strike r4c1 : 26")
some_strokes = st.builds(
    stroke,
    st.sampled_from(ACTIONS),
    st.none() | st.integers(0, 500_000),
    st.sampled_from(("", "a comment", "two\nlines", "# sign", 'with "quotes"')),
    st.sampled_from(((), ("# above",), ("",), ("", "# apart", "#"))),
)
Steps = list[tuple[str, int, int, list[Stroke]]]
#: what to do: a name, three numbers that choose where, and strokes
some_edits = st.lists(
    st.tuples(
        st.sampled_from(("insert", "insert", "rewrite", "out", "move", "whole", "title", "undo", "redo", "reopen")),
        st.integers(0, 99),
        st.integers(0, 99),
        st.lists(some_strokes, min_size=1, max_size=3),
    ),
    max_size=16,
)


def chosen(what: str, one: int, two: int, new: list[Stroke], log: Log) -> Edit | None:
    """The edit that the numbers choose; None where the log has nothing to do it to."""
    ids = log.ids
    if what == "insert":
        return Insert(tuple(new), ids[one % len(ids)] if ids and two % 2 else None)
    if what == "title":
        return Whole(replace(log.sheet, header=replace(log.sheet.header, title=f"Title {one}")), log.revision)
    if what == "whole":
        kept = [s for i, s in enumerate(log.sheet.strokes) if (i + one) % 3]
        random.Random(two).shuffle(kept)
        return Whole(replace(log.sheet, strokes=(*kept, *new)), log.revision)
    if not ids:
        return None
    at = one % len(ids)
    if what == "rewrite":
        return Rewrite(((ids[at], log.texts[at], new[0]),))
    if what == "out":
        return TakeOut(((ids[at], log.texts[at]),))
    return Move(ids[at], log.texts[at], ids[two % len(ids)] if two % 3 else None)


def expected(edit: Edit, log: Log) -> tuple[Stroke, ...]:
    """What the strokes are after an edit, but for what stands above and beside them: by lists alone."""
    found = list(zip(log.ids, log.sheet.strokes, strict=True))
    if isinstance(edit, Whole):
        return edit.sheet.strokes
    if isinstance(edit, Insert):
        at = log.ids.index(edit.before) if edit.before else len(found)
        found[at:at] = [(0, s) for s in edit.strokes]
    elif isinstance(edit, Rewrite):
        found = [(i, edit.changes[0][2] if i == edit.changes[0][0] else s) for i, s in found]
    elif isinstance(edit, TakeOut):
        found = [(i, s) for i, s in found if i != edit.strokes[0][0]]
    elif edit.before != edit.stroke:
        moved = next(pair for pair in found if pair[0] == edit.stroke)
        found.remove(moved)
        found.insert(next((at for at, pair in enumerate(found) if pair[0] == edit.before), len(found)), moved)
    return tuple(s for _, s in found)


def plain(strokes: tuple[Stroke, ...]) -> list[Stroke]:
    return [replace(s, before=(), comment="") for s in strokes]


def play(open_it: Callable[[], Archive], steps: Steps) -> None:
    """Do random edits, and see after each that archive and answer are the same; then undo all, and redo all."""
    archive = open_it()
    log = begin(archive, sheet(A, B))
    states, at = [log], 0
    for what, one, two, new in steps:
        if what == "reopen":
            archive.close()
            archive = open_it()
        elif what in ("undo", "redo"):
            at = max(0, at - 1) if what == "undo" else min(len(states) - 1, at + 1)
            log = (undo if what == "undo" else redo)(archive, log.key, log if two % 2 else None)
            assert (log.sheet, log.ids) == (states[at].sheet, states[at].ids)
        elif (edit := chosen(what, one, two, new, log)) is not None:
            want, before = expected(edit, log), log
            log = amend(archive, log.key, edit, log if two % 2 else None)
            assert plain(log.sheet.strokes) == plain(want)
            if log.revision != before.revision:
                at += 1
                states[at:] = [log]
        same(archive, log)
        assert read_sheet(write_sheet(log.sheet)).sheet == log.sheet
    for go, ends in ((undo, reversed(states[:at])), (redo, iter(states[1:]))):
        for want_log in ends:
            log = go(archive, log.key)
            assert (log.sheet, log.ids) == (want_log.sheet, want_log.ids)
    archive.close()


@settings(max_examples=20, deadline=None)
@given(steps=some_edits)
def test_random_edits_on_sqlite(tmp_path_factory: pytest.TempPathFactory, steps: Steps) -> None:
    path = tmp_path_factory.mktemp("logs") / "archive.db"
    play(lambda: opened(path), steps)


@pytest.mark.slow
@settings(max_examples=300, deadline=None)
@given(steps=some_edits)
def test_many_random_edits_on_sqlite(tmp_path_factory: pytest.TempPathFactory, steps: Steps) -> None:
    path = tmp_path_factory.mktemp("logs") / "archive.db"
    play(lambda: opened(path), steps)


@settings(max_examples=5, deadline=None)
@given(steps=some_edits)
def test_random_edits_on_postgresql(fresh_database: Callable[[], str], steps: Steps) -> None:
    where = fresh_database()
    play(lambda: opened(where), steps)


# ---- speed: bars are for a machine that does nothing else, so a test allows several times as much


def long_log(archive: Archive) -> Log:
    return begin(archive, Sheet(DEMO.header, (DEMO.strokes * 10)[:1000]))


def processor_ms(work: Callable[[], object]) -> float:
    start = time.process_time()
    work()
    return (time.process_time() - start) * 1000


def test_a_stroke_more_is_quick_whatever_stands_before(tmp_path: Path) -> None:
    archive = opened(tmp_path / "archive.db")
    logs = [long_log(archive)]
    more = replace(A, kind=Kind.DIGIT)

    def write() -> None:
        logs.append(amend(archive, logs[-1].key, Insert((more,)), logs[-1]))

    assert sorted(processor_ms(write) for _ in range(15))[7] < 20
    archive.close()


def test_all_times_are_shifted_at_once(tmp_path: Path) -> None:
    archive = opened(tmp_path / "archive.db")
    log = long_log(archive)
    later = tuple(s if s.at_ms is None else replace(s, at_ms=s.at_ms + 500) for s in log.sheet.strokes)
    edit = Whole(replace(log.sheet, strokes=later), 0, "shift the times")
    assert processor_ms(lambda: amend(archive, log.key, edit, log)) < 400
    shifted = load(archive, log.key)
    assert (shifted.sheet.strokes, shifted.ids) == (later, log.ids)
    assert undo(archive, log.key).sheet == log.sheet
    archive.close()
