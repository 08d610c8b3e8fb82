"""The archive taken out and in: everything comes back, nothing twice, and a hostile file does nothing."""

from __future__ import annotations

import json
import struct
import zipfile
from collections.abc import Callable, Iterator
from dataclasses import replace
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import text

import archives
from archives import DEMO, opened, sheet, stroke
from inkstep.archive import exchange, zips
from inkstep.archive.exchange import FRONT, Imported, export_archive, import_archive, remove_solve
from inkstep.archive.keeping import (
    Choice,
    Happening,
    Recording,
    choices_of,
    keep_choice,
    keep_plan,
    keep_recording,
    keep_review,
    keep_setting,
    keep_state,
    plan_of,
    recording_of,
    setting,
)
from inkstep.archive.logs import Insert, Log, Move, Rewrite, Whole, amend, begin, load, redo, undo
from inkstep.archive.opening import Archive
from inkstep.archive.shelf import shelf
from inkstep.ground.errors import InputError
from inkstep.lesson.parts import Plan
from inkstep.lesson.plan import write_plan
from inkstep.trace.reading import read_sheet
from inkstep.trace.sheet import Sheet

place = archives.place
PLAN = write_plan(Plan(title="The rest in box 3", audience="club", segments=(), pauses=()))


@pytest.fixture
def archive(place: str) -> Iterator[Archive]:
    made = opened(place)
    yield made
    made.close()


@pytest.fixture
def other(tmp_path: Path) -> Iterator[Archive]:
    made = opened(tmp_path / "other.db")
    yield made
    made.close()


def exported(archive: Archive, keys: list[str] | None = None) -> bytes:
    return b"".join(export_archive(archive, keys))


def filled(archive: Archive) -> Log:
    """An archive with a solve of which everything is kept, edits and what was undone included, and a plain one."""
    log = begin(archive, DEMO)
    log = amend(archive, log.key, Insert((stroke("r1c1 = 7", 5000, "twice “so”"),), log.ids[3]), log)
    log = amend(archive, log.key, Move(log.ids[7], log.texts[7], log.ids[2]), log)
    log = amend(archive, log.key, Rewrite(((log.ids[5], log.texts[5], replace(DEMO.strokes[5], at_ms=None)),)), log)
    titled = replace(log.sheet, header=replace(log.sheet.header, title="Spring again"), after=("# The end",))
    log = amend(archive, log.key, Whole(titled, log.revision, "change the title"), log)
    log = undo(archive, log.key)
    held = Happening("held", "hidden pair", stroke=9)
    keep_review(archive, log.key, 3, effort=298.5, hardest="hidden pair", happened=[held])
    keep_plan(archive, log.key, PLAN, None)
    keep_choice(archive, log.key, 5, Choice("hidden single", "Look at box 7."))
    keep_recording(archive, log.key, Recording("round 4.mp4", {"speed": 0.5}))
    keep_state(archive, log.key, "planned")
    begin(archive, sheet(stroke("r1c1 = 7", 1000), title="Plain"))
    return log


def everything(archive: Archive) -> dict[str, list[tuple[Any, ...]]]:
    """All rows but those of jobs and settings, solves by their keys."""
    found = {}
    shelf(archive)
    with archive.reading() as connection:
        rows = connection.execute(text("SELECT * FROM solves ORDER BY key"))
        found["solves"] = [tuple(row)[1:] for row in rows]
        for name in ("strokes", "edits", "plans", "choices", "recordings", "happenings"):
            joined = f"{name} JOIN solves ON solves.id = {name}.solve"
            rows = connection.execute(text(f"SELECT solves.key, {name}.* FROM {joined}"))
            kept = [{key: value for key, value in row._mapping.items() if key != "solve"} for row in rows]
            found[name] = sorted((tuple(row.values()) for row in kept), key=repr)
    return found


def test_everything_comes_back(archive: Archive, other: Archive) -> None:
    log = filled(archive)
    keep_setting(archive, "keys", {"play": "Space"})
    assert import_archive(other, exported(archive)) == Imported(added=2)
    assert everything(other) == everything(archive)
    assert load(other, log.key) == log
    assert redo(other, log.key).sheet.header.title == "Spring again"
    for _ in range(5):
        undo(other, log.key)
    assert load(other, log.key).sheet == DEMO
    assert (plan_of(other, log.key), recording_of(other, log.key).path) == ((1, PLAN), "round 4.mp4")
    assert choices_of(other, log.key) == {5: Choice("hidden single", "Look at box 7.")}
    assert [entry.key for entry in shelf(other, "hidden pair held spring").entries] == [log.key]
    assert setting(other, "keys") is None, "settings are of one desk"
    new = amend(other, log.key, Insert((stroke("r1c2 = 3"),)))
    assert max(new.ids) == new.ids[-1] > max(log.ids), "a name is never given twice"


def test_the_same_is_taken_in_once(archive: Archive) -> None:
    log = filled(archive)
    data, before = exported(archive), everything(archive)
    assert import_archive(archive, data) == Imported(skipped=2)
    assert everything(archive) == before
    amend(archive, log.key, Insert((stroke("r1c2 = 3"),)))
    assert import_archive(archive, data) == Imported(added=1, skipped=1, beside=1)
    assert import_archive(archive, data) == Imported(skipped=2), "also where it has another name by now"
    assert shelf(archive).total == 3
    assert load(archive, log.key).undo == "write r1c2 = 3"


def test_an_export_can_be_read_without_inkstep(archive: Archive) -> None:
    log = filled(archive)
    with zipfile.ZipFile(BytesIO(exported(archive, [log.key]))) as files:
        assert files.testzip() is None
        names = files.namelist()
        folder = "solves/000001-spring-round-puzzle-4-table-4"
        assert names == [FRONT, *(f"{folder}/{name}" for name in ("solve.sheet", "plan.json", "facts.json"))]
        assert json.loads(files.read(FRONT))["record"] == "inkstep-archive/1"
        assert read_sheet(files.read(names[1]), strict=False).sheet == log.sheet
        facts = json.loads(files.read(names[3]))
    assert (facts["key"], facts["record"], facts["watching"]) == (log.key, "inkstep-archived/1", {"speed": 0.5})
    assert facts["edits"][0][4][0][2].endswith("r1c1 = 7  # twice “so”")


def test_the_same_archive_gives_the_same_bytes(tmp_path: Path) -> None:
    archive = opened(tmp_path / "archive.db")
    filled(archive)
    frozen = replace(archive, now=lambda: 7)
    assert exported(frozen) == exported(frozen)
    archive.close()


def test_many_solves_go_out_and_in_a_few_at_once(
    archive: Archive, other: Archive, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(exchange, "AT_ONCE", 3)
    logs = [begin(archive, sheet(title=f"Solve {number}")) for number in range(10)]
    assert import_archive(other, exported(archive)) == Imported(added=10)
    assert [entry.key for entry in shelf(other).entries] == [log.key for log in reversed(logs)]


def test_a_solve_taken_out_meanwhile_is_left_out(archive: Archive, other: Archive) -> None:
    log = filled(archive)
    going_out = export_archive(archive)
    remove_solve(archive, log.key)
    assert import_archive(other, b"".join(going_out)).added == 1


def test_what_is_damaged_in_the_archive_is_in_the_export_too(archive: Archive) -> None:
    log = begin(archive, sheet(stroke("r1c1 = 7", 1000)))
    with archive.writing() as connection:
        connection.execute(text("UPDATE strokes SET text = 'not a stroke'"))
    with zipfile.ZipFile(BytesIO(exported(archive, [log.key]))) as files:
        assert b"not a stroke" in files.read(files.namelist()[1])


# ---- changed by hand, or by somebody who means harm


def changed(data: bytes, ending: str, change: Callable[[str], str]) -> bytes:
    """An export with the files that end so changed."""
    made = BytesIO()
    with zipfile.ZipFile(BytesIO(data)) as old, zipfile.ZipFile(made, "w") as new:
        for name in old.namelist():
            said = old.read(name).decode()
            new.writestr(name, change(said) if name.endswith(ending) else said)
    return made.getvalue()


def with_fact(name: str, value: Any) -> Callable[[str], str]:
    return lambda said: json.dumps({**json.loads(said), name: value})


@pytest.fixture
def data(tmp_path: Path) -> bytes:
    """The export of one whole solve, its key ``kept``."""
    archive = opened(tmp_path / "source.db")
    log = filled(archive)
    found = exported(replace(archive, now=lambda: 7), [log.key])
    archive.close()
    return changed(found, "facts.json", with_fact("key", "kept"))


def test_a_sheet_that_was_mended_by_hand_is_taken(other: Archive, data: bytes) -> None:
    done = import_archive(other, changed(data, "solve.sheet", lambda said: said.replace("twice", "once")))
    assert (done.added, len(done.faults)) == (1, 1)
    assert "the edits do not lead to the sheet, and were left out" in done.faults[0]
    log = load(other, "kept")
    assert ("once “so”" in {each.comment for each in log.sheet.strokes}, log.undo, log.redo) == (True, "", "")
    assert choices_of(other, "kept") != {}
    assert amend(other, "kept", Insert((stroke("r1c2 = 3"),))).ids[-1] > max(log.ids)


def test_a_sheet_with_other_strokes_is_taken_without_what_belonged_to_them(other: Archive, data: bytes) -> None:
    done = import_archive(other, changed(data, "solve.sheet", lambda said: said + "9:00.000  r1c1 = 7\n9:01.000  rubbish\n"))
    assert [fault.partition(": ")[2][:12] for fault in done.faults] == ["expected a s", "the strokes "]
    assert choices_of(other, "kept") == {}
    log = load(other, "kept")
    assert log.sheet.after[-1].endswith("rubbish"), "what could not be read is kept as a comment"
    assert log.ids == tuple(range(1, len(log.ids) + 1))


def test_sheets_alone_are_enough(other: Archive) -> None:
    made = BytesIO()
    with zipfile.ZipFile(made, "w") as new:
        new.writestr(FRONT, '{"record": "inkstep-archive/1"}')
        new.writestr("solves/a/solve.sheet", f"inkstep sheet 1\npuzzle: {DEMO.header.puzzle}\n")
        new.writestr("solves/b/solve.sheet", "rubbish")
        new.writestr("solves/a/picture.png", "of no use here")
    done = import_archive(other, made.getvalue())
    assert done.added == 1
    assert [fault.partition(",")[0] for fault in done.faults] == ["solves/b/solve.sheet"]
    (entry,) = shelf(other).entries
    assert load(other, entry.key).sheet == Sheet(replace(DEMO.header, **NOTHING_ELSE))


NOTHING_ELSE: dict[str, Any] = {
    **dict.fromkeys(("source", "title", "event", "date", "solver", "recording", "permission", "credit", "language"), ""),
    **{"clock_start_ms": None, "audience": None, "remarks": ()},
}

EDIT: list[Any] = [1, 0, "write", [], [[1, 0, "-  r1c1 = 7"]], None, None]
#: facts that are none
WRONG: dict[str, list[Any]] = {
    "key": [1, "k" * 41, "\0", "\ud800"],
    "created_at": [-1, 1.5, 2**70, True, None],
    "state": ["gone", 3],
    "ids": [7, [1.5], ["1"], [-1], [2**40]],
    "applied": ["1", -1],
    "choices": [[[1]], [[1, 2, 3]], [[1, "a", "\0"]]],
    "watching": [[], "x", {"a": "\ud800"}],
    "recording": [1, "x" * 5000],
    "effort": ["much", float("nan"), 1e300],
    "happenings": [[["a"]], [["held", "pair", "x", 1, 1]]],
    "edits": [[[1]], [[*EDIT[:4], "x", None, None]], [[*EDIT[:6], [1, 2]]], [[1, 0, "w", [], [[1, 0]], None, None]]],
}


@pytest.mark.parametrize(("name", "value"), [(name, value) for name, values in WRONG.items() for value in values])
def test_facts_that_are_none_are_told_and_the_solve_left_out(other: Archive, data: bytes, name: str, value: Any) -> None:
    done = import_archive(other, changed(data, "facts.json", with_fact(name, value)))
    assert (done.added, len(done.faults)) == (0, 1)
    assert f"under {name}" in done.faults[0]


@pytest.mark.parametrize(
    "edits",
    [
        [EDIT],
        [[2, *EDIT[1:]]],
        [[*EDIT[:4], [[900, 0, "-  r1c1 = 7\n-  r1c2 = 3"]], None, None]],
        [[*EDIT[:4], [], ["inkstep sheet 1\n", "other\n"], None]],
        [[*EDIT[:4], [], None, ["", "rubbish"]]],
        [[*EDIT[:3], [[1, 0, "no such text"]], [], None, None]],
        [[*EDIT[:4], [[1, 5, "-  r1c1 = 7"]], None, None]],
    ],
)
@pytest.mark.parametrize("applied", [0, 1])
def test_edits_that_lead_elsewhere_are_left_out(other: Archive, data: bytes, edits: list[Any], applied: int) -> None:
    crafted = changed(changed(data, "facts.json", with_fact("edits", edits)), "facts.json", with_fact("applied", applied))
    done = import_archive(other, crafted)
    assert done.added == 1
    assert ["edits" in fault for fault in done.faults] == [True]
    log = load(other, "kept")
    assert (log.undo, log.redo) == ("", "")
    assert undo(other, "kept") == redo(other, "kept") == log


def test_a_recording_is_only_a_film(other: Archive, data: bytes) -> None:
    """Nobody leads the desk to show a file of the user's by the archive that they send."""
    done = import_archive(other, changed(data, "facts.json", with_fact("recording", "/etc/passwd")))
    assert done.added == 1
    assert "the recording was left out" in done.faults[0]
    assert recording_of(other, "kept") == Recording("", {"speed": 0.5})


def test_a_plan_that_is_none_is_left_out(other: Archive, data: bytes) -> None:
    done = import_archive(other, changed(data, "plan.json", lambda said: said[:100]))
    assert (done.added, plan_of(other, "kept")) == (1, None)
    assert "the plan was left out" in done.faults[0]


def zip_of(*files: tuple[str, str]) -> bytes:
    made = BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as new:
        for name, said in ((FRONT, '{"record": "inkstep-archive/1"}'), *files):
            new.writestr(name, said)
    return made.getvalue()


def refused(archive: Archive, data: bytes) -> str:
    with pytest.raises(InputError) as error:
        import_archive(archive, data)
    assert shelf(archive).total == 0
    return str(error.value)


@pytest.mark.parametrize("name", ["../x", "/etc/x", "a/../../x", "C:\\x", "a\\..\\x", "solves/..", "a\nb"])
def test_names_that_lead_out_are_refused(other: Archive, name: str) -> None:
    assert "which leads out of its folder" in refused(other, zip_of(("solves/a/solve.sheet", "x"), (name, "x")))


def test_a_file_that_swells_is_refused(other: Archive, monkeypatch: pytest.MonkeyPatch) -> None:
    assert "a file of 40 MB" in refused(other, zip_of(("solves/a/solve.sheet", "x" * 40 * 2**20)))
    monkeypatch.setattr(zips, "MOST_IN_ALL", 1000)
    assert "swells beyond all measure" in refused(other, zip_of(*((f"solves/{n}/solve.sheet", "x" * 400) for n in "abc")))
    monkeypatch.setattr(zips, "MOST_FILES", 3)
    assert "one of 4 files" in refused(other, zip_of(*((f"solves/{n}/solve.sheet", "x") for n in "abc")))


def test_a_file_that_is_longer_than_it_says_is_refused(other: Archive) -> None:
    long = zip_of(("solves/a/solve.sheet", "x" * 100_000))
    assert long.count(struct.pack("<I", 100_000)) == 2
    lying = long.replace(struct.pack("<I", 100_000), struct.pack("<I", 10))
    done = import_archive(other, lying)
    assert (done.added, len(done.faults)) == (0, 1)


def test_what_is_no_archive_is_refused(other: Archive, data: bytes) -> None:
    for wrong in (b"", b"PK", b"rubbish" * 100, data[: len(data) // 2]):
        assert "expected a zip file that an archive was exported to" in refused(other, wrong)
    made = BytesIO()
    with zipfile.ZipFile(made, "w") as new:
        new.writestr("letter.txt", "Dear league")
    assert "inkstep-archive" in refused(other, made.getvalue())
    newer = changed(data, FRONT, lambda said: said.replace("inkstep-archive/1", "inkstep-archive/2"))
    assert "a newer Inkstep wrote it" in refused(other, newer)
    with zipfile.ZipFile(made, "w", zipfile.ZIP_LZMA) as new:
        new.writestr(FRONT, '{"record": "inkstep-archive/1"}')
    assert "packed in another way" in refused(other, made.getvalue())


def test_a_file_of_which_a_part_is_damaged_gives_the_rest(archive: Archive, other: Archive) -> None:
    filled(archive)
    whole = bytearray(exported(archive))
    with zipfile.ZipFile(BytesIO(whole)) as files:
        entry = next(info for info in files.infolist() if info.filename.endswith("solve.sheet"))
    middle = entry.header_offset + 30 + len(entry.filename) + entry.compress_size // 2
    whole[middle] ^= 0xFF
    done = import_archive(other, bytes(whole))
    assert (done.added, len(done.faults)) == (1, 1)
    assert "expected a file that can be unpacked" in done.faults[0]
