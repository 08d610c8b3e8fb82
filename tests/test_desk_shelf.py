"""The shelf: what stands on it, what is found, what comes in and goes out; and the first visit with its tour."""

from __future__ import annotations

import re
import socket
import time
from collections.abc import Iterator
from dataclasses import replace
from io import BytesIO
from pathlib import Path
from typing import Any
from urllib.parse import unquote

import pytest
from starlette.testclient import TestClient

from accessibility import serious_findings
from desk_server import DeskVisit, RunningDesk, running_desk
from inkstep.archive import keeping
from inkstep.archive.logs import begin, load
from inkstep.archive.opening import Archive, open_archive
from inkstep.archive.shelf import shelf
from inkstep.cli.main import main
from inkstep.desk import first, shelf_arrivals
from inkstep.desk.app import build
from inkstep.desk.desk import Desk
from inkstep.desk.shelf_arrivals import take_in
from inkstep.desk.shelf_new import begin_solve, look_at
from inkstep.desk.shelf_page import row
from inkstep.desk.shelf_pictures import drawn_once, picture
from inkstep.ground.errors import InputError
from inkstep.lesson.plan import write_plan
from inkstep.lesson.planning import make_plan
from inkstep.press.manner import manner
from inkstep.review.reviewing import review_sheet
from inkstep.trace.plain import sheet_to_json
from inkstep.trace.reading import read_sheet
from inkstep.trace.sheet import Sheet
from inkstep.trace.tabular import sheet_to_csv
from inkstep.trace.writing import write_sheet

DEMO = Path(__file__).parents[1] / "examples" / "harbour-spring.sheet"
PORT = 8124
HOME = f"http://127.0.0.1:{PORT}"
TOKEN = "the token of this start"
PAGE = {"accept": "text/html"}
FROM_HERE = {"origin": HOME, "accept": "application/json"}

#: the worked example of Wikipedia's page "Sudoku" (origin from memory; its solution is checked by two solvers elsewhere)
WORKED = "530070000600195000098000060800060003400803001700020006060000280000419005000080079"
#: a puzzle with exactly two solutions, see data/wrong-inputs.jsonl
TWO = "1.....58.8....1..6.6..2.......59........7.....93..2....1....8.4...9.7.5.6..2..71."
#: what a page has once its keys do something
KEYS_WORK = "body[data-keys=on]"
HOSTILE = '<img src=x onerror="alert(1)"></script><b>round</b>'


def demo(**header: Any) -> Sheet:
    sheet = read_sheet(DEMO.read_bytes()).sheet
    return replace(sheet, header=replace(sheet.header, **header))


@pytest.fixture
def archive(tmp_path: Path) -> Iterator[Archive]:
    keys = (f"solve-{number}" for number in range(1000))
    opened = open_archive(tmp_path / "archive.db", now=lambda: 1_760_000_000_000, new_key=lambda: next(keys))
    yield opened
    opened.close()


@pytest.fixture
def desk(archive: Archive, tmp_path: Path) -> Desk:
    return Desk(archive, tmp_path / "lessons")


@pytest.fixture
def own(desk: Desk) -> Iterator[TestClient]:
    """The user's own browser, in which the printed address was opened."""
    with TestClient(build(desk, token=TOKEN, port=PORT), base_url=HOME, follow_redirects=False) as client:
        client.get("/shelf/found", params={"token": TOKEN})
        yield client


def on_shelf(archive: Archive) -> int:
    return shelf(archive).total


# --- what stands on the shelf


def test_a_picture_shows_printed_and_written_digits_apart() -> None:
    drawn = picture("5........" + "." * 72, "53" + "0" * 79)
    assert drawn.count("<use ") == 3
    assert '<use href="#g5" x="45" y="45"/>' in drawn and '<use href="#p3" x="135" y="45"/>' in drawn
    assert picture("." * 81, "").count("<use ") == 1
    defined = drawn_once()
    assert all(f'id="{kind}{digit}"' in defined for kind in "gp" for digit in range(1, 10))
    assert defined.count("<path d=") == sum(len(manner().pen[digit]) for digit in range(1, 10))


def test_an_entry_is_told_in_words(archive: Archive) -> None:
    key = begin(archive, demo()).key
    (entry,) = shelf(archive).entries
    fresh = row(entry)
    assert fresh["numbers"] == ["1:47.2", "111 strokes"] and fresh["state"] == "being logged" and fresh["way"] == "logging"
    assert fresh["by"] == "table 4 · Harbour Town Puzzle League, spring round"
    keeping.keep_review(archive, key, 0, effort=231.4, hardest="hidden pair", happened=[])
    (entry,) = shelf(archive).entries
    known = row(entry)
    assert known["numbers"][2:] == ["231 looks", "hardest: hidden pair"]
    assert (known["state"], known["way"]) == ("reviewed", "reading")


def test_a_page_of_the_shelf_is_quick_and_leads_to_the_next(archive: Archive, own: TestClient) -> None:
    for number in range(31):
        begin(archive, demo(title=f"Round {number}"))
    own.get("/", headers=PAGE)
    # the time of this process alone: others on the same machine are not the shelf's fault
    began = time.process_time()
    answer = own.get("/", headers=PAGE)
    took = time.process_time() - began
    assert answer.text.count('class="entry card"') == 30 and took < 0.2
    assert answer.text.index("Round 30") < answer.text.index("Round 29")
    link = answer.text.split('data-after="')[1].split('"')[0]
    further = own.get("/shelf/found", params={"after": link}).json()["html"]
    assert further.count('class="entry card"') == 1 and "Round 0" in further and "data-after" not in further
    assert own.get("/", params={"after": link}, headers=PAGE).text.count('class="entry card"') == 1


def test_the_search_says_how_it_understood_and_points_out_twins(archive: Archive, own: TestClient) -> None:
    begin(archive, demo(title="One of them"))
    begin(archive, demo(title="The lantern"))
    found = own.get("/shelf/found", params={"q": "lant"}).json()["html"]
    assert "The lantern" in found and "One of them" not in found and "1 solve" in found
    assert "the same puzzle as" in found and "1 other<" in found
    twins = own.get("/shelf/found", params={"q": demo().header.puzzle}).json()["html"]
    assert "The lantern" in twins and "One of them" in twins
    none = own.get("/shelf/found", params={"q": "lighthouse"}).json()["html"]
    assert "Nothing on the shelf is like that" in none


def test_hostile_words_stay_words(archive: Archive, own: TestClient) -> None:
    begin(archive, demo(title=HOSTILE, event=HOSTILE, solver=HOSTILE))
    for text in (
        own.get("/", headers=PAGE).text,
        own.get("/", params={"q": HOSTILE}, headers=PAGE).text,
        own.get("/shelf/found", params={"q": f'"{HOSTILE}"'}).json()["html"],
    ):
        assert "<img" not in text and "<b>" not in text
        assert "&lt;img src=x onerror=" in text


def test_a_bad_cursor_or_an_endless_query_is_refused_in_a_sentence(own: TestClient) -> None:
    assert own.get("/shelf/found", params={"q": "x" * 3000}).status_code == 400
    assert own.get("/shelf/found", params={"after": "nonsense"}).status_code == 400
    assert own.get("/shelf/found", params={"q": "\x00'\"; drop table solves --"}).status_code == 200


# --- a new solve


@pytest.mark.parametrize("text", [WORKED, WORKED.replace("0", "."), "\n".join(WORKED[i : i + 9] for i in range(0, 81, 9))])
def test_a_puzzle_in_any_form_is_looked_at(desk: Desk, text: str) -> None:
    found = look_at(desk, text)
    assert found["line"] == WORKED.replace("0", ".") and found["problems"] == [] and found["givens"] == 30
    assert found["picture"].count("<use ") == 31


def test_all_that_is_wrong_is_said_at_once(desk: Desk) -> None:
    found = look_at(desk, f"x{WORKED[1:40]}?{WORKED[41:79]}")
    assert found["line"] is None and len(found["problems"]) == 3
    two = look_at(desk, "55" + WORKED[2:])
    assert two["line"] and any("5" in problem for problem in two["problems"])
    assert "solution" in look_at(desk, TWO)["problems"][0]


def test_a_puzzle_that_is_on_the_shelf_is_pointed_out(desk: Desk) -> None:
    begin(desk.archive, demo())
    assert look_at(desk, demo().header.puzzle)["twins"] == 1
    assert look_at(desk, WORKED)["twins"] == 0


def test_a_new_solve_is_begun_with_what_was_typed(desk: Desk) -> None:
    key = begin_solve(desk, {"puzzle": WORKED, "title": "  Harbour\n cup ", "solver": "table 9", "source": HOSTILE})
    header = load(desk.archive, key).sheet.header
    assert (header.title, header.solver, header.source) == ("Harbour cup", "table 9", HOSTILE)
    assert header.puzzle == WORKED.replace("0", ".")


def test_a_puzzle_with_two_solutions_is_taken_only_all_the_same(desk: Desk) -> None:
    with pytest.raises(InputError, match="exactly one solution"):
        begin_solve(desk, {"puzzle": TWO})
    assert on_shelf(desk.archive) == 0
    assert begin_solve(desk, {"puzzle": TWO, "anyway": True})
    with pytest.raises(InputError):
        begin_solve(desk, {"puzzle": WORKED[:80], "anyway": True})
    with pytest.raises(InputError, match="at most 2000"):
        begin_solve(desk, {"puzzle": WORKED, "title": "x" * 2001})


# --- what comes in


def came_in(desk: Desk, name: str, content: bytes, puzzle: str = "") -> dict[str, Any]:
    return take_in(desk, name, BytesIO(content), puzzle)


def test_sheets_records_and_tables_come_in_as_they_are(desk: Desk) -> None:
    sheet = demo()
    came = came_in(desk, "a.sheet", write_sheet(sheet).encode())
    assert load(desk.archive, came["key"]).sheet == sheet and came["damage"] == [] and came["twins"] == 0
    came = came_in(desk, "b.json", b"\xef\xbb\xbf" + sheet_to_json(sheet).encode())
    assert load(desk.archive, came["key"]).sheet == sheet and came["twins"] == 1
    table = sheet_to_csv(sheet).encode("utf-16")
    assert came_in(desk, "Spring final.csv", table) == {"name": "Spring final.csv", "needs": "puzzle"}
    came = came_in(desk, "Spring final.csv", table, sheet.header.puzzle)
    taken = load(desk.archive, came["key"]).sheet
    assert taken.header.title == "Spring final" and came["strokes"] == len(sheet.strokes)
    assert [replace(s, before=()) for s in sheet.strokes] == list(taken.strokes)


def test_the_content_tells_what_a_file_is(desk: Desk) -> None:
    assert "needs" in came_in(desk, "strokes", sheet_to_csv(demo()).encode())
    assert came_in(desk, "no-ending", write_sheet(demo()).encode())["strokes"] == 111
    assert came_in(desk, "wrong.csv", write_sheet(demo()).encode())["strokes"] == 111
    assert came_in(desk, "record.txt", sheet_to_json(demo()).encode())["strokes"] == 111


def test_a_damaged_sheet_comes_in_with_its_damage_by_line(desk: Desk) -> None:
    lines = write_sheet(demo()).splitlines()
    lines[40] = "0:1x.000  r3c6 = 1"
    cut = "\n".join(lines)[:-20].encode() + b"\xff\xfe"
    came = came_in(desk, "..\\..\\cut<b>.sheet", cut)
    assert came["name"] == "cut<b>.sheet"
    assert any(line.startswith("line 41: expected") for line in came["damage"])
    assert "0:1x.000  r3c6 = 1" in write_sheet(load(desk.archive, came["key"]).sheet), "it stays in the sheet as a remark"
    later = came_in(desk, "later.sheet", write_sheet(demo()).replace("inkstep sheet 1", "inkstep sheet 7").encode())
    assert later["complete"] is False and later["strokes"] == 111


@pytest.mark.parametrize("content", [b"", b"just words", bytes(100), b"{", b'{"record": "other/1"}', b"PK\x03\x04 no zip"])
def test_what_cannot_be_read_is_refused_and_nothing_comes_in(desk: Desk, content: bytes) -> None:
    with pytest.raises(InputError):
        came_in(desk, "x.json" if content.startswith(b"{") else "x", content)
    assert on_shelf(desk.archive) == 0


def test_the_whole_archive_goes_out_and_comes_in_again(desk: Desk, own: TestClient, tmp_path: Path) -> None:
    begin(desk.archive, demo(title=HOSTILE))
    begin(desk.archive, demo(title="Second"))
    answer = own.get("/shelf/archive.zip")
    assert answer.headers["content-type"] == "application/zip"
    assert disposition(answer.headers["content-disposition"])[1].endswith(".zip")
    again = own.post("/shelf/arrive", params={"name": "a.zip"}, content=answer.content, headers=FROM_HERE).json()
    assert (again["added"], again["skipped"]) == (0, 2)
    keys = (f"new-{number}" for number in range(9))
    other = open_archive(tmp_path / "other.db", now=lambda: 0, new_key=lambda: next(keys))
    came = came_in(Desk(other, tmp_path), "a.zip", answer.content)
    assert (came["added"], came["skipped"], came["faults"]) == (2, 0, [])
    assert {entry.title for entry in shelf(other).entries} == {HOSTILE, "Second"}
    other.close()


def test_what_is_too_large_or_no_archive_is_refused(own: TestClient, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(shelf_arrivals, "MOST_FILE", 10_000)
    answer = own.post("/shelf/arrive", params={"name": "x"}, content=b"x" * 20_000, headers=FROM_HERE)
    assert answer.status_code == 400 and "at most" in answer.json()["error"]
    answer = own.post("/shelf/arrive", params={"name": "x"}, content=b"PK\x03\x04" + b"x" * 20_000, headers=FROM_HERE)
    assert answer.status_code == 400 and "zip" in answer.json()["error"]


# --- what goes out


def disposition(header: str) -> tuple[str, str]:
    """The plain name of a file, and its own, as RFC 6266 and RFC 5987 write them."""
    match = re.fullmatch(r'attachment; filename="([a-z0-9.-]+)"; filename\*=UTF-8\'\'([A-Za-z0-9%._~-]+)', header)
    assert match, header
    return match[1], unquote(match[2], errors="strict")


@pytest.mark.parametrize("form", ["sheet", "csv", "json"])
def test_a_solve_goes_out_in_each_form(desk: Desk, own: TestClient, form: str) -> None:
    key = begin(desk.archive, demo(title='Été "4"; a=b\\/x')).key
    answer = own.get(f"/solve/{key}/keep.{form}")
    assert answer.status_code == 200
    plain, name = disposition(answer.headers["content-disposition"])
    assert (plain, name) == (f"ete-4-a-b-x.{form}", f"Été 4 ; a=b x.{form}")
    came = came_in(desk, name, answer.content, demo().header.puzzle if form == "csv" else "")
    assert came["strokes"] == 111 and came["damage"] == []
    assert own.get(f"/solve/{key}/keep.exe").status_code == 400
    assert own.get(f"/solve/nobody/keep.{form}").status_code == 404


def test_a_solve_that_was_kept_whole_comes_back_with_its_plan(desk: Desk, own: TestClient) -> None:
    key = begin(desk.archive, demo(title="Kept")).key
    plan = write_plan(make_plan(review_sheet(demo(title="Kept"))).plan)
    keeping.keep_plan(desk.archive, key, plan, None)
    answer = own.get(f"/solve/{key}/keep.zip")
    assert disposition(answer.headers["content-disposition"]) == ("kept.zip", "Kept.zip")
    own.post(f"/solve/{key}/remove", headers=FROM_HERE)
    assert came_in(desk, "kept.zip", answer.content)["added"] == 1
    (entry,) = shelf(desk.archive).entries
    kept = keeping.plan_of(desk.archive, entry.key)
    assert load(desk.archive, entry.key).sheet == demo(title="Kept") and kept and kept[1] == plan
    assert own.get("/solve/nobody/keep.zip").status_code == 404


def test_a_solve_is_taken_off_the_shelf_for_good(desk: Desk, own: TestClient) -> None:
    key = begin(desk.archive, demo()).key
    assert own.get(f"/solve/{key}/change").status_code == 200
    assert own.post(f"/solve/{key}/remove", headers={"origin": "http://elsewhere.example"}).status_code == 403
    assert own.post(f"/solve/{key}/remove", headers=FROM_HERE).status_code == 200
    assert own.get(f"/solve/{key}/change").status_code == 404
    assert own.post(f"/solve/{key}/remove", headers=FROM_HERE).status_code == 404
    assert on_shelf(desk.archive) == 0


# --- the first visit


def test_the_demo_that_is_carried_along_is_the_example() -> None:
    carried = Path(first.__file__).parent / "demo" / "harbour-spring.sheet"
    assert carried.read_bytes() == DEMO.read_bytes()
    assert first.demo_sheet() == demo()


def test_the_first_visit_finds_the_demo_and_the_second_the_shelf(desk: Desk, own: TestClient) -> None:
    assert own.get("/", headers={"accept": "application/json"}).status_code == 200 and on_shelf(desk.archive) == 0
    answer = own.get("/", headers=PAGE)
    assert answer.status_code == 303 and answer.headers["location"] == "/solve/solve-0/logging?tour"
    assert load(desk.archive, "solve-0").sheet == demo()
    assert own.get("/", headers=PAGE).status_code == 200
    assert own.get("/tour", headers=PAGE).headers["location"] == "/solve/solve-0/logging?tour"


def test_a_shelf_that_was_emptied_stays_empty_until_the_tour_is_wanted(desk: Desk, own: TestClient) -> None:
    own.get("/", headers=PAGE)
    own.post("/solve/solve-0/remove", headers=FROM_HERE)
    answer = own.get("/", headers=PAGE)
    assert answer.status_code == 200 and "The shelf is empty" in answer.text
    assert own.get("/tour", headers=PAGE).headers["location"] == "/solve/solve-1/logging?tour"
    own.post("/solve/solve-1/remove", headers=FROM_HERE)
    begin(desk.archive, demo(title="Mine"))
    assert own.get("/tour", headers=PAGE).headers["location"] == "/solve/solve-2/logging?tour"


def test_somebody_with_solves_is_not_given_the_demo(desk: Desk, own: TestClient) -> None:
    begin(desk.archive, demo(title="Mine"))
    assert own.get("/", headers=PAGE).status_code == 200 and on_shelf(desk.archive) == 1


def test_how_the_tour_ended_is_remembered(desk: Desk, own: TestClient) -> None:
    begin(desk.archive, demo())
    assert "one minute" in own.get("/", headers=PAGE).text
    assert own.post("/tour", json={"ended": "in tears"}, headers=FROM_HERE).status_code == 400
    assert own.post("/tour", json={"ended": "left"}, headers=FROM_HERE).status_code == 200
    assert "one minute" not in own.get("/", headers=PAGE).text


# --- in the browser


def until(page: Any, expression: str, *given: Any) -> None:
    """Wait until the expression is true in the page, asked from outside: the page's policy allows no ``eval`` within."""
    late = time.monotonic() + 20
    while not page.evaluate(expression, *given):
        assert time.monotonic() < late, expression
        time.sleep(0.03)


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[RunningDesk]:
    folder = tmp_path_factory.mktemp("shelf")
    keys = (f"solve-{number}" for number in range(1000))
    archive = open_archive(folder / "archive.db", now=lambda: 1_760_000_000_000, new_key=lambda: next(keys))
    begin(archive, demo(title=HOSTILE, solver=HOSTILE))
    for number in range(34):
        begin(archive, demo(title=f"Harbour round {number}", solver=f"table {number % 7}"))
    archive.close()
    with running_desk(folder / "archive.db", folder) as desk:
        yield desk


@pytest.mark.browser
def test_the_search_answers_as_one_types_and_stays_in_the_address(browser: Any, served: RunningDesk) -> None:
    visit = DeskVisit(browser, served, "/", viewport={"width": 1360, "height": 860})
    page = visit.page
    assert page.locator(".entry").count() == 30
    assert serious_findings(page) == []
    page.wait_for_selector(KEYS_WORK)
    page.keyboard.press("/")
    page.keyboard.type("round 33")
    until(page, "document.querySelectorAll('.entry').length === 1")
    assert page.url == f"{served.origin}/?q=round%2033"
    page.reload()
    assert page.input_value("#query") == "round 33" and page.locator(".entry").count() == 1
    page.click(".found-words a")
    until(page, "document.querySelectorAll('.entry').length === 30")
    page.go_back()
    until(page, "document.querySelectorAll('.entry').length === 1")
    page.fill("#query", "lighthouse")
    page.wait_for_selector(".none")
    visit.close()


@pytest.mark.browser
def test_the_shelf_is_walked_by_keys_and_grows_by_more(browser: Any, served: RunningDesk) -> None:
    visit = DeskVisit(browser, served, "/", viewport={"width": 1360, "height": 860}, color_scheme="dark")
    page = visit.page
    focused = "document.activeElement.textContent"
    page.wait_for_selector(KEYS_WORK)
    page.keyboard.press("ArrowDown")
    page.keyboard.press("ArrowRight")
    assert page.evaluate(focused) == "Harbour round 32"
    page.keyboard.press("ArrowDown")
    assert page.evaluate(focused) == "Harbour round 29"
    assert page.locator("img").count() == 0
    page.locator("#more a").press("Enter")
    until(page, "document.querySelectorAll('.entry').length === 35")
    assert page.evaluate(focused) == "Harbour round 3"
    assert page.locator(".entry-title").last.inner_text() == HOSTILE
    assert serious_findings(page) == []
    page.keyboard.press("Enter")
    page.wait_for_url("**/logging")
    visit.close()


@pytest.mark.browser
def test_a_new_solve_is_never_lost_while_it_is_typed(browser: Any, served: RunningDesk) -> None:
    visit = DeskVisit(browser, served, "/")
    page = visit.page
    page.wait_for_selector(KEYS_WORK)
    page.keyboard.press("n")
    page.keyboard.insert_text(WORKED[:80] + "x")
    page.wait_for_selector("#new-said .problem >> nth=0")
    assert "strange character" in page.inner_text("#new-said")
    page.fill("[name=title]", "The harbour <b>cup</b>")
    page.keyboard.press("Enter")
    page.wait_for_timeout(200)
    assert page.url == f"{served.origin}/"
    page.keyboard.press("Escape")
    page.reload()
    page.wait_for_selector(KEYS_WORK)
    page.keyboard.press("n")
    assert page.input_value("[name=puzzle]") == WORKED[:80] + "x"
    assert serious_findings(page) == []
    page.fill("[name=puzzle]", TWO)
    page.wait_for_selector("#new-anyway:not([hidden])")
    page.fill("[name=puzzle]", WORKED)
    page.wait_for_selector("#new-said .sound")
    page.wait_for_selector("#new-picture svg")
    page.keyboard.press("Control+Enter")
    page.wait_for_url("**/logging")
    assert page.locator("h1").inner_text() == "The harbour <b>cup</b>"
    page.goto(served.origin)
    page.wait_for_selector(KEYS_WORK)
    page.keyboard.press("n")
    assert page.input_value("[name=puzzle]") == "" and page.input_value("[name=title]") == ""
    key = page.locator(".entry").first.get_attribute("data-key")
    served.ask(f"/solve/{key}/remove", {})
    visit.close(allowed=("status of 400",))


_DROP = """([name, text]) => {
  const data = new DataTransfer();
  data.items.add(new File([text], name));
  const event = (kind) => new DragEvent(kind, {dataTransfer: data, bubbles: true, cancelable: true});
  document.body.dispatchEvent(event("dragover"));
  document.body.dispatchEvent(event("drop"));
}"""


@pytest.mark.browser
def test_files_are_dropped_or_picked_and_one_is_taken_off_again(browser: Any, served: RunningDesk, tmp_path: Path) -> None:
    visit = DeskVisit(browser, served, "/", viewport={"width": 390, "height": 844})
    page = visit.page
    text = write_sheet(demo(title="Dropped <i>in</i>"))
    page.evaluate(_DROP, ["<img src=x>.sheet", text.replace("r5c1 = 5", "r5c1 = five", 1)])
    page.wait_for_selector("#arrived .damage li")
    assert "<img src=x>.sheet" in page.inner_text("#arrived") and page.locator("img").count() == 0
    (tmp_path / "strokes.csv").write_text(sheet_to_csv(demo()))
    (tmp_path / "rubbish.sheet").write_text("nothing in here")
    page.set_input_files("#files", [tmp_path / "strokes.csv", tmp_path / "rubbish.sheet"])
    page.wait_for_selector("#arrived textarea")
    page.wait_for_selector("#arrived .problem >> text=expected a sheet")
    page.fill("#arrived textarea", WORKED[:70])
    page.click("#arrived >> text=Bring it in")
    page.wait_for_selector("#arrived .problem >> text=70 cells")
    page.fill("#arrived textarea", demo().header.puzzle)
    page.click("#arrived >> text=Bring it in")
    page.wait_for_selector("#arrived a >> text=strokes")
    assert serious_findings(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    for title in ("strokes", "Dropped <i>in</i>"):
        entry = page.locator(".entry", has=page.get_by_role("link", name=title, exact=True)).first
        entry.locator("summary").click()
        entry.get_by_role("button", name="take off the shelf").click()
        assert title in page.inner_text("#remove")
        page.click("#remove-now")
        until(page, "(title) => document.getElementById('state').textContent.includes(title)", title)
    visit.close(allowed=("status of 400",))


@pytest.mark.browser
def test_the_first_visit_shows_the_demo_and_a_tour_by_keys(browser: Any, tmp_path: Path) -> None:
    with running_desk(tmp_path / "archive.db", tmp_path) as desk:
        visit = DeskVisit(browser, desk, viewport={"width": 1360, "height": 860})
        page = visit.page
        assert page.url.endswith("/logging?tour")
        page.wait_for_selector(".tour-note")
        heads = [page.inner_text(".tour-note h2")]
        assert serious_findings(page) == []
        strokes = len(desk.ask(page.url.removeprefix(desk.origin).replace("logging?tour", "change"))["strokes"])
        while page.inner_text(".tour-note .boxed") != "Done":
            page.keyboard.press("ArrowRight")
            heads.append(page.inner_text(".tour-note h2"))
            note = page.locator(".tour-note").bounding_box()
            assert note and note["x"] >= 0 and note["y"] >= 0
            assert note["x"] + note["width"] <= 1360 and note["y"] + note["height"] <= 860
        assert len(heads) == len(set(heads)) <= 6
        page.keyboard.press("ArrowLeft")
        assert page.inner_text(".tour-note h2") == heads[-2]
        page.keyboard.press("5")
        page.keyboard.press("Escape")
        until(page, "!location.search && !document.querySelector('.tour-note')")
        assert page.evaluate("document.activeElement !== document.body")
        key = page.url.split("/")[-2]
        assert len(desk.ask(f"/solve/{key}/change")["strokes"]) == strokes, "keys pressed in a note are no strokes"
        page.goto(desk.origin)
        assert page.inner_text(".ways") == "the tour"
        page.click(".ways a")
        page.wait_for_selector(".tour-note")
        for _ in heads:
            page.keyboard.press("Enter")
        until(page, "!document.querySelector('.tour-note')")
        visit.close()


def test_two_desks_on_one_archive_see_each_others_solves(tmp_path: Path) -> None:
    with running_desk(tmp_path / "archive.db", tmp_path) as one, running_desk(tmp_path / "archive.db", tmp_path) as two:
        key = one.ask("/shelf/new", {"puzzle": WORKED, "title": "Begun on the one"})["key"]
        assert "Begun on the one" in two.ask("/shelf/found?q=begun")["html"]
        gesture = {"edit": "write", "have": 0, "cells": [2], "digits": [4], "at_ms": None}
        two.ask(f"/solve/{key}/edit", gesture)
        assert len(two.ask(f"/solve/{key}/change")["strokes"]) == 1


def test_the_command_says_in_a_sentence_why_it_cannot_open(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "notes.txt").write_text("no archive")
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = str(taken.getsockname()[1])
        for options, said in (
            (["--archive", str(tmp_path / "archive.db"), "--port", port], "expected a port that is free"),
            (["--archive", str(tmp_path / "archive.db"), "--port", "70000"], "expected a port that is free"),
            (["--archive", str(tmp_path / "notes.txt")], "expected an archive, got a file of another kind"),
            (["--archive", str(tmp_path / "nowhere" / "archive.db")], "expected a folder that is there"),
            (["--archive", "carrier-pigeon://x/y"], "the address of a PostgreSQL database"),
        ):
            assert main(["desk", "--no-open", *options]) == 1
            err = capsys.readouterr().err
            assert said in err and "Traceback" not in err
