"""Two logs side by side at the desk: what it says of them, what is picked, written, taken back and refused."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from accessibility import serious_findings
from desk_server import DeskVisit, RunningDesk, running_desk
from inkstep.archive import logs
from inkstep.archive.opening import Archive, open_archive
from inkstep.archive.shelf import shelf
from inkstep.desk.app import build
from inkstep.desk.compare_rows import laid_side_by_side
from inkstep.desk.compare_sides import file_side
from inkstep.desk.desk import Desk
from inkstep.desk.tracks import Track
from inkstep.trace.editing import insert, move, remove, replace_stroke, shift
from inkstep.trace.grammar import read_action
from inkstep.trace.plain import sheet_to_json
from inkstep.trace.reading import read_sheet
from inkstep.trace.sheet import Sheet
from inkstep.trace.tabular import sheet_to_csv
from inkstep.trace.writing import write_sheet

PORT = 8124
HOME = f"http://127.0.0.1:{PORT}"
TOKEN = "a token"
FIRST = (
    "inkstep sheet 1\n"
    "puzzle: ......1..4....965...2..4....2.518.6.1..6..4....7.2....71.3....4385..2.......6....\n"
    "title: Spring round, table 4\nrecording: camera 2\n\n"
    "0:01.200  r4c1 = 9\n0:02.450  r6c6 = 3\n0:03.100  r7c6 = 5  # seen before\n0:04.800  r5c6 = 7\n"
    "0:06.000  r4c7 r4c9 : 37\n0:07.520  r4c3 = 4\n0:08.340  r6c4 = 9\n0:09.020  r5c5 = 9\n"
)
OURS = read_sheet(FIRST).sheet
#: the numbers of the rows that differ in `second`, counted from 0, with what is said of them
SAID = {1: "other digit", 3: "1.5 s later", 4: "written elsewhere", 5: "only here", 7: "only there"}


def stroke(line: str, at_ms: int | None) -> Any:
    return replace(read_action(line), at_ms=at_ms)


def second() -> Sheet:
    """The same recording logged again, with a difference of each kind."""
    theirs = replace(OURS, header=replace(OURS.header, title="A second pass"))
    theirs = insert(theirs, 8, stroke("r2c2 r3c2 : 7", 8700))
    theirs = remove(theirs, 6)
    theirs = replace_stroke(theirs, 5, stroke("r4c7 r4c9 : 37 above box 6", 6100))
    theirs = replace_stroke(theirs, 4, replace(theirs.strokes[3], at_ms=6300))
    return replace_stroke(theirs, 2, stroke("r6c6 = 8", 2500))


@pytest.fixture
def archive(tmp_path: Path) -> Iterator[Archive]:
    """``ours`` and ``theirs``, of one recording; and what must not be offered beside them."""
    keys = iter(["ours", "memory", "theirs", "turned", *(f"new-{number}" for number in range(20))])
    opened = open_archive(tmp_path / "archive.db", now=lambda: 1_700_000_000_000, new_key=lambda: next(keys))
    logs.begin(opened, OURS)
    logs.begin(opened, replace(OURS, header=replace(OURS.header, title="From memory", recording="")))
    logs.begin(opened, second())
    logs.begin(opened, turned(OURS))
    yield opened
    opened.close()


def turned(sheet: Sheet) -> Sheet:
    """The same puzzle with its rows and columns exchanged: the shelf's canonical form is the same, the cells are not."""
    givens = tuple(sheet.givens[9 * (cell % 9) + cell // 9] for cell in range(81))
    return Sheet(replace(sheet.header, givens=givens, title="Turned"))


@pytest.fixture
def client(archive: Archive, tmp_path: Path) -> Iterator[TestClient]:
    desk = Desk(archive, tmp_path / "lessons", address=HOME, token=TOKEN)
    with TestClient(build(desk, token=TOKEN, port=PORT), base_url=HOME, headers={"origin": HOME}) as client:
        client.get("/", params={"token": TOKEN})
        yield client


def compared(client: TestClient, clock: str = "", other: str = "theirs") -> dict[str, Any]:
    answer = client.get(f"/solve/ours/compare/{other}/rows", params={"clock": clock})
    assert answer.status_code == 200, answer.text
    found: dict[str, Any] = answer.json()
    return found


def written(client: TestClient, picks: dict[int, str], other: str = "theirs", **asked: Any) -> Any:
    body = {"into": "this", "have": 0, "other_have": 0, "picks": picks, **asked}
    return client.post(f"/solve/ours/compare/{other}/write", json=body)


def actions(archive: Archive, key: str = "ours") -> list[str]:
    return [text.split(None, 1)[1] for text in map(logs.stroke_text, logs.load(archive, key).sheet.strokes)]


# what is offered


def test_other_logs_of_the_very_puzzle_are_offered(client: TestClient) -> None:
    text = client.get("/solve/ours/compare").text
    assert text.index("/solve/ours/compare/theirs") < text.index("/solve/ours/compare/memory")  # the same recording first
    assert "of the same recording: camera 2" in text
    assert "/compare/turned" not in text and "/compare/ours" not in text


@pytest.mark.parametrize(("other", "status"), [("ours", 400), ("turned", 400), ("nowhere", 404)])
def test_what_cannot_be_laid_beside_is_a_sentence(client: TestClient, other: str, status: int) -> None:
    for path in (f"/solve/ours/compare/{other}", f"/solve/ours/compare/{other}/rows"):
        answer = client.get(path)
        assert answer.status_code == status
        assert answer.json()["error"].startswith("expected")


# what is said of two logs


def test_each_row_says_what_agrees(client: TestClient) -> None:
    found = compared(client)
    rows = found["rows"]
    assert {number: row["says"] for number, row in enumerate(rows) if row["sort"] != "same"} == SAID
    sorts = ["same", "differs", "same", "differs", "differs", "ours", "same", "theirs", "same"]
    assert [row["sort"] for row in rows] == sorts
    assert [row["ours"] for row in rows] == [0, 1, 2, 3, 4, 5, 6, None, 7]
    assert [row["theirs"] for row in rows] == [0, 1, 2, 3, 4, None, 5, 6, 7]
    assert found["summary"] == [
        "4 of 9 strokes agree (44 %).",
        "Differing: 1 in digits, 1 in where the ink lies, 1 in time. Only here: 1. Only there: 1.",
        "In time they are 0 seconds apart at the median, 1.5 seconds at the most.",
    ]
    assert found["clock"] == {"offset_ms": 0, "taken_out": False, "words": ""}
    assert found["ours"]["strokes"][4]["told"] == "3 and 7 in two cells of row 4"


def test_a_log_beside_itself_agrees(client: TestClient) -> None:
    found = compared(client, other="memory")
    assert {row["says"] for row in found["rows"]} == {"same"}
    assert found["summary"][0] == "All 8 strokes agree."


def test_the_offset_of_the_clocks_is_taken_out_or_left(client: TestClient, archive: Archive) -> None:
    logs.amend(archive, "memory", logs.Whole(shift(OURS, 2300), 0))
    found = compared(client, other="memory")
    assert found["clock"]["taken_out"] and found["clock"]["offset_ms"] == 2300
    assert found["clock"]["words"].startswith("Their clock runs 2.3 s later than ours.")
    assert [each["at_ms"] for each in found["theirs"]["strokes"]] == [each.at_ms for each in OURS.strokes]
    left = compared(client, "theirs", "memory")
    assert not left["clock"]["taken_out"]
    assert [each["at_ms"] for each in left["theirs"]["strokes"]] == [(each.at_ms or 0) + 2300 for each in OURS.strokes]
    assert {row["says"] for row in (*found["rows"], *left["rows"])} == {"same"}


def test_a_small_offset_is_taken_out_when_asked(client: TestClient, archive: Archive) -> None:
    logs.amend(archive, "memory", logs.Whole(shift(OURS, 200), 0))
    found = compared(client, other="memory")
    assert found["clock"] == {"offset_ms": 200, "taken_out": False, "words": "Their clock runs 0.2 s later than ours."}
    assert [row["late_ms"] for row in found["rows"]] == [200] * 8
    assert [row["late_ms"] for row in compared(client, "ours", "memory")["rows"]] == [0] * 8


def test_an_offset_that_leads_before_the_start_is_said_to(client: TestClient, archive: Archive) -> None:
    early = insert(shift(OURS, 900), 1, stroke("note 1", 100))
    logs.amend(archive, "memory", logs.Whole(early, 0))
    found = compared(client, other="memory")
    assert not found["clock"]["taken_out"]
    assert "before the clock's start" in found["clock"]["words"]


# what is written


def test_picks_are_merged_into_the_log_and_taken_back(client: TestClient, archive: Archive) -> None:
    answer = written(client, {1: "theirs", 3: "both", 4: "neither", 5: "neither", 7: "theirs"})
    assert answer.status_code == 200, answer.text
    assert answer.json() == {"key": "ours", "revision": 1, "strokes": 8}
    assert actions(archive) == [
        "r4c1 = 9", "r6c6 = 8", "r7c6 = 5  # seen before", "r5c6 = 7", "r5c6 = 7", "r6c4 = 9",
        "r2c2 r3c2 : 7 in box 1", "r5c5 = 9",
    ]  # fmt: skip
    assert logs.load(archive, "ours").undo == "merge with another log"
    assert client.post("/solve/ours/edit", json={"edit": "undo"}).json()["revision"] == 2
    assert logs.load(archive, "ours").sheet == OURS
    assert logs.load(archive, "theirs").revision == 0


def test_without_picks_a_log_stays_as_it_is(client: TestClient, archive: Archive) -> None:
    for picks in ({}, {1: "ours", 7: "neither"}):
        answer = written(client, picks)
        assert answer.status_code == 400
        assert "leave this log as it is" in answer.json()["error"]
    assert logs.load(archive, "ours").revision == 0


def test_times_are_merged_by_our_clock(client: TestClient, archive: Archive) -> None:
    late = insert(shift(OURS, 2300), 9, stroke("r9c9 = 1", 14_000))
    logs.amend(archive, "memory", logs.Whole(late, 0))
    assert written(client, {8: "theirs"}, "memory", other_have=1, clock="ours").status_code == 200
    assert logs.load(archive, "ours").sheet.strokes[-1].at_ms == 11_700
    client.post("/solve/ours/edit", json={"edit": "undo"})
    assert written(client, {8: "theirs"}, "memory", have=2, other_have=1, clock="theirs").status_code == 200
    assert logs.load(archive, "ours").sheet.strokes[-1].at_ms == 14_000


def test_a_merge_as_a_new_solve_changes_neither(client: TestClient, archive: Archive) -> None:
    made = written(client, {1: "theirs"}, into="new").json()
    sheet = logs.load(archive, made["key"]).sheet
    assert sheet.header.title == "Spring round, table 4, merged"
    assert sheet.strokes[1] == second().strokes[1]
    assert logs.load(archive, "ours").sheet == OURS and logs.load(archive, "theirs").sheet == second()


@pytest.mark.parametrize("changed", ["ours", "theirs"])
def test_a_log_that_was_changed_meanwhile_is_not_written_over(client: TestClient, archive: Archive, changed: str) -> None:
    edit = {"edit": "write", "have": 0, "cells": [0], "digits": [7], "at_ms": 60_000}
    assert client.post(f"/solve/{changed}/edit", json=edit).status_code == 200
    before = actions(archive)
    for into in ("this", "new"):
        answer = written(client, {1: "theirs"}, into=into)
        assert answer.status_code == 409
        said = answer.json()
        assert "r1c1 = 7" in said["theirs"] and "9 strokes" in said["theirs"]
        assert said["ours"] == "merge the two, with 1 pick"
        assert said["was"] == ("this log" if changed == "ours" else "the other log")
    assert actions(archive) == before
    assert shelf(archive).total == 4


@pytest.mark.parametrize(
    "asked",
    [
        {"picks": None},
        {"picks": [1]},
        {"picks": {"1": "mine"}},
        {"picks": {"1": ["ours"]}},
        {"picks": {"-1": "theirs"}},
        {"picks": {"900": "theirs"}},
        {"picks": {"one": "theirs"}},
        {"into": "elsewhere"},
        {"into": None},
        {"have": None},
        {"other_have": "later"},
        {"clock": "nobody's"},
        {"clock": 7},
    ],
)
def test_what_cannot_be_written_is_a_sentence(client: TestClient, archive: Archive, asked: dict[str, Any]) -> None:
    body = {"into": "this", "have": 0, "other_have": 0, "picks": {"1": "theirs"}, **asked}
    answer = client.post("/solve/ours/compare/theirs/write", json=body)
    assert answer.status_code == 400, answer.text
    assert answer.json()["error"].startswith("expected")
    assert logs.load(archive, "ours").revision == 0


# a file laid beside


def sent(client: TestClient, content: bytes, name: str = "second.sheet") -> Any:
    return client.post("/solve/ours/compare/file/rows", params={"name": name}, content=content)


@pytest.mark.parametrize(
    ("name", "write"), [("a.sheet", write_sheet), ("a.json", sheet_to_json), ("a", sheet_to_json), ("a.csv", sheet_to_csv)]
)
def test_a_file_is_laid_beside_and_merged_but_not_kept(client: TestClient, archive: Archive, name: str, write: Any) -> None:
    answer = sent(client, write(second()).encode(), name)
    assert answer.status_code == 200, answer.text
    found = answer.json()
    assert {number: row["says"] for number, row in enumerate(found["rows"]) if row["sort"] != "same"} == SAID
    assert shelf(archive).total == 4
    beside = {"text": found["text"], "name": name}
    assert written(client, {1: "theirs", 7: "theirs"}, "file", **beside).status_code == 200
    assert "r6c6 = 8" in actions(archive) and "r2c2 r3c2 : 7 in box 1" in actions(archive)
    assert shelf(archive).total == 4


def test_a_sheet_without_its_puzzle_is_taken_for_ours(client: TestClient) -> None:
    lines = [line for line in write_sheet(second()).split("\n") if not line.startswith("puzzle")]
    found = sent(client, "\n".join(lines).encode()).json()
    assert sum(row["sort"] == "same" for row in found["rows"]) == 4
    assert any("puzzle" in line for line in found["damage"])


NO_LOGS = (
    b"",
    b"\x00\xff\xfe" * 400,
    b"PK\x03\x04" + bytes(900),
    b"{",
    b"[" * 50_000,
    b"<svg onload='hit'>",
    b"{" + b'"a":{' * 5000,
)


@pytest.mark.parametrize("content", NO_LOGS)
@pytest.mark.parametrize("name", ["x.sheet", "x.csv", "x.json", "../../etc/passwd", "<img src=x onerror=hit>", "\u202e\x00"])
def test_a_file_that_is_no_log_is_a_sentence(client: TestClient, archive: Archive, content: bytes, name: str) -> None:
    answer = sent(client, content, name)
    assert answer.status_code == 400
    assert answer.json()["error"]
    assert shelf(archive).total == 4


def test_a_file_of_another_puzzle_is_refused(client: TestClient) -> None:
    answer = sent(client, write_sheet(turned(OURS)).encode())
    assert answer.status_code == 400
    assert "a log of the same puzzle" in answer.json()["error"]


def test_a_thousand_strokes_on_each_side_are_laid_beside_each_other() -> None:
    lines = [stroke(f"r{1 + n % 9}c{1 + n // 9 % 9} : {1 + n % 8}{9}", 500 * n) for n in range(1000)]
    ours = replace(OURS, strokes=tuple(lines))
    theirs = move(remove(shift(ours, 1800), 300, 320), 50, 60)
    track = Track(logs.Log("ours", 0, ours, tuple(range(1, 1001)), texts=tuple(map(logs.stroke_text, lines))))
    found = laid_side_by_side(track, file_side(ours, "theirs.json", sheet_to_json(theirs).encode()))
    text = json.dumps(found)
    assert len(text) < 2_000_000
    assert sum(row["sort"] == "same" for row in found["rows"]) > 970


# in the browser


@pytest.fixture
def desk(archive: Archive, tmp_path: Path) -> Iterator[RunningDesk]:
    archive.close()
    with running_desk(tmp_path / "archive.db", tmp_path) as running:
        yield running


def visit_of(browser: Any, desk: RunningDesk, path: str = "/solve/ours/compare/theirs", **context: Any) -> DeskVisit:
    visit = DeskVisit(browser, desk, path, viewport={"width": 1360, "height": 860}, **context)
    if path.count("/") > 3:
        visit.page.wait_for_selector("body[data-ready]")
    return visit


def press(page: Any, *keys: str) -> None:
    for key in keys:
        page.keyboard.press(key)


def still(page: Any) -> str:
    return str(page.inner_text("#still"))


def said(page: Any) -> str:
    return str(page.inner_text(".pair.is-chosen .says > :first-child"))


def log_of(desk: RunningDesk, key: str = "ours") -> list[str]:
    return [row["action"] for row in desk.ask(f"/solve/{key}/change")["strokes"]]


@pytest.mark.browser
def test_picked_by_keys_kept_over_a_reload_written_and_taken_back(browser: Any, desk: RunningDesk) -> None:
    visit = visit_of(browser, desk)
    page = visit.page
    before = log_of(desk)
    assert still(page) == "5 of 5 undecided"
    assert said(page) == "other digit"  # the first difference
    press(page, "ArrowRight", "ArrowLeft", "b")
    assert still(page) == "2 of 5 undecided"
    assert said(page) == "only here"
    page.reload()
    page.wait_for_selector("body[data-ready]")
    assert still(page) == "2 of 5 undecided"
    assert said(page) == "only here"
    assert page.is_checked(".pair[data-index='1'] .theirs input")
    press(page, "x", "t")
    assert still(page) == "0 of 5 undecided"
    press(page, "z", "z")
    assert still(page) == "2 of 5 undecided"
    press(page, "x", "t", "Control+Enter")
    page.wait_for_selector("#notice:has-text('written into this log')")
    merged = ["r4c1 = 9", "r6c6 = 8", "r7c6 = 5", "r5c6 = 7", "r4c7 r4c9 : 37", "r4c7 r4c9 : 37 above box 6", "r6c4 = 9",
              "r2c2 r3c2 : 7 in box 1", "r5c5 = 9"]  # fmt: skip
    assert log_of(desk) == merged
    assert "undecided" in still(page)
    press(page, "z")
    page.wait_for_selector("#notice:has-text('taken back')")
    assert log_of(desk) == before
    assert still(page) == "0 of 5 undecided"
    assert page.evaluate("document.activeElement.matches('.pair.is-chosen')")
    visit.close()


@pytest.mark.browser
def test_picked_with_the_mouse_and_for_all_the_rest(browser: Any, desk: RunningDesk) -> None:
    visit = visit_of(browser, desk)
    page = visit.page
    page.evaluate("document.querySelectorAll('.pair').forEach((row, index) => { row.mine = index; })")
    page.check(".pair[data-index='7'] .theirs input")
    page.click("#row [data-way=ours]")
    page.click("#rest-theirs")
    assert still(page) == "0 of 5 undecided"
    page.check("#only")
    assert page.locator(".pair:visible").count() == 5
    press(page, "Home", "ArrowDown")
    assert page.get_attribute(".pair.is-chosen", "data-index") == "3"
    # rows are made once: whatever is picked or hidden, they are the same elements
    assert page.evaluate("[...document.querySelectorAll('.pair')].every((row, index) => row.mine === index)")
    page.click("#write-new")
    page.click("#notice a")
    page.wait_for_url("**/logging")
    key = page.url.split("/")[-2]
    assert log_of(desk, key)[1] == "r6c6 = 8"
    assert "r2c2 r3c2 : 7 in box 1" not in log_of(desk, key)
    visit.close()


@pytest.mark.browser
def test_a_clash_shows_both_and_keeps_the_picks(browser: Any, desk: RunningDesk) -> None:
    visit = visit_of(browser, desk)
    page = visit.page
    press(page, "ArrowRight")
    desk.ask("/solve/theirs/edit", {"edit": "write", "have": 0, "cells": [0], "digits": [7], "at_ms": 60_000})
    press(page, "Control+Enter")
    page.wait_for_selector("#notice .clash")
    notice = page.inner_text("#notice")
    assert "the other log was changed meanwhile" in notice
    assert "r1c1 = 7" in notice and "merge the two, with 1 pick" in notice
    assert desk.ask("/solve/ours/change")["revision"] == 0
    page.click("#notice button")
    page.wait_for_selector("#still:has-text('5 of 6 undecided')")
    press(page, "Control+Enter")
    page.wait_for_selector("#notice:has-text('written into this log')")
    assert log_of(desk)[1] == "r6c6 = 8"
    visit.close(allowed=("409",))


@pytest.mark.browser
def test_a_change_in_another_tab_is_told(browser: Any, desk: RunningDesk) -> None:
    visit = visit_of(browser, desk)
    desk.ask("/solve/ours/edit", {"edit": "write", "have": 0, "cells": [0], "digits": [7], "at_ms": 60_000})
    visit.page.wait_for_selector("#notice:has-text('changed somewhere else')")
    visit.page.click("#notice button")
    visit.page.wait_for_selector("#still:has-text('6 of 6 undecided')")
    visit.close()


DROP = """([name, text]) => {
  const carried = new DataTransfer();
  carried.items.add(new File([text], name));
  document.dispatchEvent(new DragEvent("drop", {dataTransfer: carried, bubbles: true, cancelable: true}));
}"""
HOSTILE = "<img src=x onerror='window.hit=1'></script><script>window.hit=1</script>{{ 7 * 7 }}"


@pytest.mark.browser
def test_a_hostile_file_dropped_stays_words(browser: Any, desk: RunningDesk) -> None:
    sheet = write_sheet(second()).replace("title: A second pass", f"title: {HOSTILE}\nsolver: {HOSTILE}")
    sheet += f'0:10.000  note "{HOSTILE}" above box 1  # {HOSTILE}\nthis line is damaged {HOSTILE}\n'
    visit = visit_of(browser, desk, "/solve/ours/compare")
    page = visit.page
    page.evaluate(DROP, [f"{HOSTILE}.sheet", "\x00 no sheet at all"])
    page.wait_for_selector("#say:not([hidden])")
    assert page.url.endswith("/compare")
    page.evaluate(DROP, [f"{HOSTILE}.sheet", sheet])
    page.wait_for_url("**/compare/file")
    page.wait_for_selector("body[data-ready]")
    assert HOSTILE.rpartition("/")[2] in page.inner_text("#other-title")
    assert page.locator("#damage li").count() >= 1
    page.click("#damage summary")
    assert serious_findings(page) == []
    page.focus(".pair.is-chosen")
    press(page, "End")
    assert HOSTILE in page.inner_text("#row")
    press(page, "t", "Control+Enter")
    page.wait_for_selector("#notice:has-text('written into this log')")
    page.reload()
    page.wait_for_selector("body[data-ready]")
    assert page.evaluate("window.hit") is None
    assert page.locator("img[src=x]").count() == 0
    assert HOSTILE in log_of(desk)[-1]
    assert desk.ask("/shelf/found")["html"].count("compare") == 0
    visit.close(allowed=("400",))


@pytest.mark.browser
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_both_pages_are_accessible(browser: Any, desk: RunningDesk, scheme: str) -> None:
    visit = visit_of(browser, desk, color_scheme=scheme)
    page = visit.page
    press(page, "ArrowRight")
    assert serious_findings(page) == []
    assert page.evaluate("document.querySelectorAll('[style]').length") <= 6  # the boards place themselves by the CSSOM
    page.goto(f"{desk.origin}/solve/ours/compare")
    assert serious_findings(page) == []
    for _ in range(20):
        press(page, "Tab")
        if page.evaluate("document.activeElement.matches('.other')"):
            break
    press(page, "Enter")
    page.wait_for_url("**/compare/theirs")
    visit.close()


@pytest.mark.browser
def test_the_strip_and_the_clock_work_by_keys(browser: Any, desk: RunningDesk) -> None:
    desk.ask("/solve/theirs/edit", {"edit": "shift", "have": 0, "by_ms": 2300})
    visit = visit_of(browser, desk)
    page = visit.page
    press(page, "ArrowRight")
    times = "() => [...document.querySelectorAll('.theirs .time')].map((each) => each.textContent)"
    alike = page.evaluate(times)
    press(page, "c")
    page.wait_for_selector("#clock:has-text('Their times stay as they stand')")
    assert alike[0] == "0:01.2" and page.evaluate(times)[0] == "0:03.5"
    assert still(page) == "4 of 5 undecided"
    page.focus("[role=slider]")
    press(page, "End", "ArrowLeft")
    assert page.get_attribute("[role=slider]", "aria-valuetext") == "row 8 of 9, 0:11.0: only there"
    assert said(page) == "only there"
    visit.close()


@pytest.mark.browser
def test_what_differs_is_framed_on_both_boards(browser: Any, desk: RunningDesk) -> None:
    visit = visit_of(browser, desk)
    page = visit.page
    framed = "[data-paint=goal]"
    for board in ("#ours-board", "#theirs-board"):
        page.wait_for_selector(f"{board} {framed}", state="attached")
        assert page.locator(f"{board} {framed}").count() == 1
    assert "to be settled" in page.get_attribute("#ours-board [data-cell='50']", "aria-label")
    press(page, "Home")
    page.wait_for_selector(framed, state="detached")
    assert page.inner_text("#ours-count") == "one stroke"
    visit.close()
