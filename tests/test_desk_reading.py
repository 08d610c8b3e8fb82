"""The reading page: its data, choices that are kept, and the page itself in a browser, by pointer and by keys alone."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from accessibility import serious_findings
from desk_server import DeskVisit, RunningDesk, running_desk
from inkstep.archive import keeping
from inkstep.archive.keeping import Choice
from inkstep.archive.logs import Log, begin
from inkstep.archive.opening import Archive, open_archive
from inkstep.desk import studies
from inkstep.desk.app import build
from inkstep.desk.desk import Desk
from inkstep.press.staging import story_of
from inkstep.review.findings import Review
from inkstep.review.reviewing import review_sheet
from inkstep.trace.reading import read_sheet
from inkstep.trace.sheet import Sheet

PORT = 8124
HOME = f"http://127.0.0.1:{PORT}"
TOKEN = "a token of this start"
OWN = "Everybody looks at box 5 here, and nobody at this cell."
#: a stroke with runners-up, with a chance beside it, and told by a held pair: the 8 at row 2, column 6
STROKE = 48
#: milliseconds: a busy machine takes its time for a review
PATIENCE_MS = 30_000
PHONE = {"viewport": {"width": 390, "height": 844}, "has_touch": True}
HOSTILE = "<img src=x onerror='window.owned=1'><script>window.owned=1</script>"


def demo_sheet(**head: str) -> Sheet:
    """The demo's sheet; ``head`` are lines of its head to be others."""
    text = (Path(__file__).parents[1] / "examples" / "harbour-spring.sheet").read_text(encoding="utf-8")
    for name, value in head.items():
        text = "\n".join(f"{name}: {value}" if line.startswith(f"{name}:") else line for line in text.split("\n"))
    return read_sheet(text).sheet


# What the desk answers


@pytest.fixture
def archive(tmp_path: Path) -> Iterator[Archive]:
    keys = (f"solve-{number}" for number in range(1000))
    opened = open_archive(tmp_path / "archive.db", now=lambda: 0, new_key=lambda: next(keys))
    yield opened
    opened.close()


@cache
def reviewed(sheet: Sheet) -> Review:
    """A sheet's review, made once for all tests that do not look at how it is made."""
    return review_sheet(sheet)


@pytest.fixture
def desk(archive: Archive, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, request: pytest.FixtureRequest) -> Desk:
    begin(archive, demo_sheet())
    if "slowly" not in request.fixturenames:
        monkeypatch.setattr(studies, "review_sheet", lambda sheet, progress: reviewed(sheet))
    return Desk(archive, tmp_path / "lessons", address=HOME, token=TOKEN)


@pytest.fixture
def own(desk: Desk) -> Iterator[TestClient]:
    """The user's own browser."""
    with TestClient(build(desk, token=TOKEN, port=PORT), base_url=HOME, headers={"Origin": HOME}) as client:
        client.get("/", params={"token": TOKEN})
        yield client


@pytest.fixture
def slowly() -> None:
    """The review takes its time, as it does for a user."""


def study_of(client: TestClient, key: str = "solve-0") -> dict[str, Any]:
    """The study, waited for."""
    while True:
        answer = client.get(f"/solve/{key}/study", params={"patience": 3000})
        assert answer.status_code == 200, answer.text
        if answer.json()["ready"]:
            return dict(answer.json())


def stroke(client: TestClient, number: int = STROKE) -> dict[str, Any]:
    return dict(client.get(f"/solve/solve-0/reading/{number}").json())


def choose(client: TestClient, **asked: Any) -> Any:
    return client.post("/solve/solve-0/choice", json=asked)


def text_of(reading: dict[str, Any]) -> str:
    return "".join(run["text"] for run in reading["words"])


@pytest.mark.usefixtures("slowly")
def test_the_study_is_begun_by_asking_and_says_how_far_it_is(own: TestClient) -> None:
    shares = []
    while True:
        found = own.get("/solve/solve-0/study", params={"patience": 20}).json()
        if found["ready"]:
            break
        shares.append(found["share"])
    assert shares, "a review takes longer than an answer"
    assert shares == sorted(shares)
    assert all(0 <= share < 1 for share in shares)
    assert [row["n"] for row in found["strokes"]] == list(range(1, 112))


@pytest.mark.usefixtures("slowly")
def test_the_log_answers_while_a_review_is_made(own: TestClient) -> None:
    assert not own.get("/solve/solve-0/study").json()["ready"]
    assert own.get("/solve/solve-0/change").json()["revision"] == 0
    assert not own.get("/solve/solve-0/study").json()["ready"]


def test_a_revision_is_reviewed_once_whatever_is_chosen(own: TestClient, monkeypatch: pytest.MonkeyPatch) -> None:
    made: list[Log] = []

    def counted(sheet: Any, **how: Any) -> Any:
        made.append(sheet)
        return reviewed(sheet)

    monkeypatch.setattr(studies, "review_sheet", counted)
    study_of(own)
    reading = stroke(own)
    choose(own, stroke=reading["id"], words=OWN)
    choose(own, stroke=reading["id"], argument=reading["runners_up"][0]["name"])
    study_of(own)
    assert stroke(own)["choice"]["words"] == OWN
    assert len(made) == 1
    change = own.get("/solve/solve-0/change").json()
    last = change["strokes"][-1]
    own.post("/solve/solve-0/edit", json={"edit": "out", "have": 0, "strokes": [[last["id"], last["was"]]]})
    assert len(study_of(own)["strokes"]) == 110
    assert len(made) == 2


def test_a_stroke_is_told_with_all_that_belongs_to_it(own: TestClient) -> None:
    reading = stroke(own)
    assert (reading["title"], reading["at_ms"], reading["page"]) == ("Why the 8 at row 2, column 6", 58620, STROKE - 1)
    assert reading["wait_ms"] == 6120
    assert {run.get("role", "") for run in reading["words"]} >= {"seen", "held", "goal"}
    assert reading["evidence"]["written"] == [[14, 8]]
    assert reading["argument"]["held"][0]["technique"] == "hidden pair"
    assert [each["n"] for each in reading["marks_used"]] == [3, 15, 18]
    assert all(each["effort"] >= reading["argument"]["effort"] for each in reading["runners_up"])
    assert [14, 8] not in [chance["goal"] for chance in reading["chances"]]
    assert len(reading["chances"]) <= 12
    for chance in reading["chances"]:
        assert chance["evidence"]["written"] == [chance["goal"]]
        assert chance["taken"] is None or chance["taken"] > STROKE


def test_the_map_and_the_list_count_the_same_chances(own: TestClient) -> None:
    rows = study_of(own)["strokes"]
    for number in range(5, 111, 15):
        near = [chance for chance in stroke(own, number)["chances"] if chance["near"]]
        others = rows[number - 1]["open"] - (rows[number - 1]["rank"] is not None)
        assert len(near) == min(12, others), number


def test_slips_wide_marks_and_notes_say_what_they_are(own: TestClient) -> None:
    slip, wide, note, struck = (stroke(own, number) for number in (51, 26, 39, 33))
    assert slip["title"].endswith("a slip")
    assert "slip" in text_of(slip)
    assert slip["evidence"]["doubt"] == [51]
    assert wide["verdict"]["words"] == "true, and wider than it need be"
    assert wide["instead"][0]["line"] == "6 at r7c1: last place for the 6 in box 7"
    assert note["readings"][0] == "4, 8 and 9: what row 2 still lacks"
    assert struck["title"] == "Why the mark of 6 at row 9, column 1 is crossed out"


def test_every_finding_leads_to_a_stroke(own: TestClient) -> None:
    study = study_of(own)
    kinds = {finding["kind"]: finding for finding in study["findings"]}
    assert list(kinds) == ["slip", "lying", "held", "rest", "wide", "mark"]
    assert kinds["slip"]["items"] == [{"words": "The 5 at row 8, column 4", "stroke": 51}]
    for finding in study["findings"]:
        assert all(1 <= item["stroke"] <= 111 for item in finding["items"])
    first = kinds["lying"]["items"][0]
    assert first["goal"] in [chance["goal"] for chance in stroke(own, first["stroke"])["chances"]]


def test_an_unknown_stroke_and_an_old_revision_are_refused(own: TestClient) -> None:
    assert own.get("/solve/solve-0/reading/112").status_code == 400
    assert own.get("/solve/solve-0/reading/none").status_code == 400
    assert own.get("/solve/nowhere/study").status_code == 404
    old = own.get("/solve/solve-0/reading/3", params={"have": 7})
    assert (old.status_code, old.json()["revision"]) == (409, 0)


def test_a_puzzle_without_one_solution_is_told_and_its_page_opens(own: TestClient, archive: Archive) -> None:
    begin(archive, read_sheet(f"inkstep sheet 1\npuzzle: {'.' * 80}1\n\n0:01 r1c1 = 2\n").sheet)
    refused = own.get("/solve/solve-1/study", params={"patience": 3000})
    assert refused.status_code == 400
    assert "exactly one solution" in refused.json()["error"]
    assert own.get("/solve/solve-1/reading").status_code == 200


def test_a_picked_argument_is_kept_and_can_be_taken_back(own: TestClient, desk: Desk) -> None:
    before = stroke(own)
    other = before["runners_up"][0]
    told = choose(own, stroke=before["id"], argument=other["name"]).json()
    assert told["argument"]["name"] == other["name"]
    assert told["words"] == other["words"]
    assert before["argument"]["name"] in [each["name"] for each in told["runners_up"]]
    assert stroke(own)["choice"]["argument"] == other["name"]
    assert desk.study("solve-0").review.strokes[STROKE - 1].argument is not None
    assert choose(own, stroke=before["id"], argument="").json()["argument"] == before["argument"]
    assert keeping.choices_of(desk.archive, "solve-0") == {}


def test_own_words_arrive_in_plan_and_story(own: TestClient, desk: Desk) -> None:
    told = choose(own, stroke=stroke(own, 64)["id"], words=f"  {OWN}\n").json()
    assert text_of(told) == OWN
    assert told["program"] != OWN
    study = desk.study("solve-0")
    plan = desk.studies.plan(study)[1].plan
    assert any(OWN in segment.narration for segment in plan.segments)
    scenes = story_of(plan, study.review).scenes
    assert any(OWN in "".join(run.text for run in scene.words) for scene in scenes)
    choose(own, stroke=told["id"], words="")
    assert text_of(stroke(own, 64)) == told["program"]


def test_choices_follow_their_stroke_when_others_are_put_before_it(own: TestClient) -> None:
    chosen = stroke(own)
    choose(own, stroke=chosen["id"], words=OWN)
    edit = {"edit": "write", "have": 0, "cells": [0], "digits": [7], "note": True, "place": {"where": "left", "house": 4}}
    assert own.post("/solve/solve-0/edit", json=edit | {"before": 1, "at_ms": None}).status_code == 200
    assert text_of(stroke(own, STROKE)) != OWN
    assert text_of(stroke(own, STROKE + 1)) == OWN


def test_what_was_changed_meanwhile_is_not_written_over(own: TestClient) -> None:
    reading = stroke(own)
    choose(own, stroke=reading["id"], words="mine, first")
    refused = choose(own, stroke=reading["id"], words="mine, too", was={"words": ""})
    assert refused.status_code == 409
    assert (refused.json()["theirs"], refused.json()["ours"]) == ("mine, first", "mine, too")
    assert stroke(own)["choice"]["words"] == "mine, first"
    assert choose(own, stroke=reading["id"], words="mine, too", was={"words": "mine, first"}).status_code == 200


def test_an_argument_that_nobody_found_cannot_be_picked(own: TestClient) -> None:
    refused = choose(own, stroke=stroke(own)["id"], argument="because I say so")
    assert refused.status_code == 400
    assert choose(own, stroke=9999, words="x").status_code == 400
    assert choose(own, stroke=stroke(own)["id"], words="x" * 4001).status_code == 400


def test_a_pick_that_is_not_found_any_more_is_kept_and_told(own: TestClient, desk: Desk) -> None:
    lost = Choice("hidden single in box 9: 1 at r9c9", "and words")
    keeping.keep_choice(desk.archive, "solve-0", stroke(own)["id"], lost)
    told = stroke(own)
    assert told["unmet"]
    assert told["choice"] == {"argument": lost.argument, "words": "and words"}
    assert text_of(told) == "and words"
    assert study_of(own)["unmet"] == [{"n": STROKE, "words": "the 8 at row 2, column 6"}]
    assert choose(own, stroke=told["id"], words="others").json()["unmet"], "words may be changed beside it"
    assert not choose(own, stroke=told["id"], argument="").json()["unmet"]


def test_the_search_learns_what_was_picked(own: TestClient, desk: Desk) -> None:
    study = desk.study("solve-0")
    held = {h.stroke for h in studies.happened(study.review) if h.kind == "held"}
    assert STROKE in held
    assert any(h.kind == "lying" and h.value > 19_000 for h in studies.happened(study.review))


# The page in a browser

@pytest.fixture(scope="module")
def running(tmp_path_factory: pytest.TempPathFactory) -> Iterator[RunningDesk]:
    """One desk with the demo for reading, one for being changed, and one with nothing on it."""
    folder = tmp_path_factory.mktemp("reading")
    keys = iter(("demo", "hostile", "empty"))
    archive = open_archive(folder / "archive.db", now=lambda: 0, new_key=lambda: next(keys))
    begin(archive, demo_sheet())
    begin(archive, demo_sheet(title=HOSTILE, solver=HOSTILE))
    begin(archive, Sheet(demo_sheet().header))
    archive.close()
    with running_desk(folder / "archive.db", folder) as desk:
        yield desk


class Reader(DeskVisit):
    """A visit of the reading page at a stroke, once its words are there."""

    def __init__(self, browser: Any, desk: RunningDesk, number: int = 0, key: str = "demo", **context: Any) -> None:
        context.setdefault("viewport", {"width": 1360, "height": 860})
        super().__init__(browser, desk, f"/solve/{key}/reading{f'#{number}' if number else ''}", **context)
        self.page.set_default_timeout(PATIENCE_MS)
        self.page.wait_for_selector("#edit" if number else "#begin")

    @property
    def title(self) -> str:
        return str(self.page.text_content("#title"))

    def at(self, number: int) -> None:
        """Wait for the words of a stroke."""
        self.page.wait_for_selector(f"#why[data-stroke='{number}']:not([aria-busy])")

    def said(self, words: str) -> None:
        """Wait for what is told to those who cannot see."""
        self.page.wait_for_selector(f"#said:text-is('{words}')", state="attached")

    def drawn(self, paint: str) -> int:
        """How much of the board is drawn in a paint."""
        return int(self.page.locator(f"#board [data-paint={paint}]").count())


@pytest.fixture
def read(browser: Any, running: RunningDesk) -> Iterator[Any]:
    """``read(number, ...)`` opens the page; every visit is closed, and must have had nothing to complain about."""
    visits: list[Reader] = []

    def opened(number: int = 0, **how: Any) -> Reader:
        visits.append(Reader(browser, running, number, **how))
        return visits[-1]

    yield opened
    for visit in visits:
        visit.close(allowed=("409",))


@pytest.mark.browser
def test_keys_lead_from_stroke_to_stroke(read: Any) -> None:
    visit = read()
    assert visit.title == "The whole solve"
    visit.page.keyboard.press("j")
    visit.at(1)
    visit.page.keyboard.press("j")
    visit.at(2)
    assert visit.title == "Why the 8 at row 4, column 1"
    assert visit.page.url.endswith("#2")
    assert visit.page.text_content("#said") == "Why the 8 at row 4, column 1. Stroke 2 of 111."
    visit.page.keyboard.press("k")
    visit.at(1)
    visit.page.keyboard.press("End")
    visit.at(111)
    for key, number in (("Shift+K", 101), ("PageDown", 102), ("PageUp", 101), ("ArrowRight", 102), ("ArrowLeft", 101)):
        visit.page.keyboard.press(key)
        visit.at(number)
    visit.page.keyboard.press("Home")
    visit.page.wait_for_selector("#begin")
    visit.page.keyboard.press("u")
    visit.at(20)


@pytest.mark.browser
def test_the_page_shows_evidence_and_words(read: Any) -> None:
    visit = read(STROKE)
    assert visit.title == "Why the 8 at row 2, column 6"
    assert visit.page.text_content(".kicker").endswith("6.1 s after the stroke before")
    assert visit.page.text_content(".when") == "0:58.6"
    assert visit.page.locator(".own .role-held").first.text_content() == "an unwritten pair, 5 and 9"
    assert "10.2 looks" in visit.page.text_content(".cost")
    assert (visit.drawn("ring"), visit.drawn("goal")) == (2, 1)
    assert visit.drawn("cloud") >= 2
    assert visit.page.text_content("#step").startswith("48 of 111")
    assert visit.page.text_content("#state") == "reviewed, 111 strokes, 10 looks at the heaviest"


@pytest.mark.browser
def test_strip_and_cells_and_flags_lead_to_strokes(read: Any) -> None:
    visit = read(STROKE)
    visit.page.locator(".strip-flag").first.click()
    visit.at(20)
    visit.page.locator("#board [data-cell='14']").click()
    visit.at(STROKE)
    visit.page.locator("#board [data-cell='2']").click()
    visit.said("That digit is printed.")
    box = visit.page.locator(".strip").bounding_box()
    visit.page.mouse.click(box["x"] + 3, box["y"] + 20)
    visit.page.wait_for_selector("#begin")


@pytest.mark.browser
def test_pace_and_chances_lead_to_the_moment_by_pointer_and_keys(read: Any) -> None:
    visit = read(STROKE)
    for band in ("#pace svg", "#map svg"):
        visit.page.focus(band)
        visit.page.keyboard.press("ArrowRight")
        visit.at(STROKE + 1)
        assert visit.page.get_attribute(band, "aria-valuenow") == str(STROKE + 1)
        words = visit.page.get_attribute(band, "aria-valuetext")
        assert words.startswith("stroke 49 of 111, 0:59.2: the 4 at row 2, column 5")
        visit.page.keyboard.press("ArrowLeft")
        visit.at(STROKE)
    box = visit.page.locator("#map svg").bounding_box()
    visit.page.mouse.click(box["x"] + box["width"] - 8, box["y"] + 30)
    visit.at(111)
    rows = visit.desk.ask("/solve/demo/study")["strokes"]
    taken = sum(row["kind"] == "digit" and row["rank"] is not None for row in rows)
    assert visit.page.locator("#map .map-taken").count() == taken
    assert visit.page.locator("#map .map-far").count() == sum(row["kind"] == "digit" for row in rows) - taken
    visit.page.click("#every summary")
    assert visit.page.locator("#table tbody tr").count() == 111
    visit.page.click("#table tbody tr:nth-child(3) button")
    visit.at(3)


@pytest.mark.browser
def test_findings_lead_to_their_strokes(read: Any) -> None:
    visit = read()
    visit.page.keyboard.press("n")
    visit.at(2)
    assert visit.page.locator(".look[aria-expanded=true]").text_content().startswith("9 at r5c2")
    visit.page.click(".finding summary >> text=One slip")
    visit.page.click(".finding button >> text=The 5 at row 8")
    visit.at(51)
    assert visit.page.text_content(".verdict") == "not so in the solution"
    assert visit.drawn("wave") == 0 or visit.drawn("goal") == 1
    visit.page.keyboard.press("p")
    visit.page.wait_for_selector("#why[data-stroke]:not([data-stroke='51'])")
    assert int(visit.page.url.partition("#")[2]) < 51


@pytest.mark.browser
def test_what_else_there_was_is_drawn_while_it_is_looked_at(read: Any) -> None:
    visit = read(STROKE)
    own = visit.page.inner_html("#board .paper")
    line = visit.page.locator(".look").first
    line.hover()
    assert visit.page.inner_html("#board .paper") != own
    visit.page.mouse.move(5, 5)
    assert visit.page.inner_html("#board .paper") == own
    line.click()
    assert line.get_attribute("aria-expanded") == "true"
    assert visit.page.locator(".more:visible .words").count() == 1
    # by keys: the focus alone draws, Escape goes back
    visit.page.keyboard.press("Tab")
    visit.page.keyboard.press("Tab")
    assert visit.page.locator(".look").nth(1).get_attribute("aria-expanded") == "true"
    assert line.get_attribute("aria-expanded") == "false"
    visit.page.keyboard.press("Escape")
    assert visit.page.locator(".look[aria-expanded=true]").count() == 0
    assert visit.page.inner_html("#board .paper") == own


@pytest.mark.browser
def test_another_argument_is_picked_and_taken_back(read: Any) -> None:
    visit = read(STROKE)
    words = visit.page.text_content(".own .words")
    visit.page.locator(".look").first.click()
    visit.page.click(".more:visible .boxed")
    visit.page.wait_for_selector("#unpick")
    assert visit.page.text_content(".own .words") != words
    visit.page.reload()
    visit.page.wait_for_selector("#unpick")
    visit.page.click("#unpick")
    visit.page.wait_for_selector("#unpick", state="detached")
    assert visit.page.text_content(".own .words") == words


@pytest.mark.browser
def test_words_are_edited_by_keys_kept_and_taken_back(read: Any) -> None:
    visit = read(STROKE)
    program = visit.page.text_content(".own .words")
    visit.page.keyboard.press("e")
    assert visit.page.evaluate("document.activeElement.id") == "words-field"
    assert visit.page.input_value("#words-field") == program
    visit.page.fill("#words-field", f"{OWN} {HOSTILE} The 8s in row 4 and box 8 help.")
    visit.page.reload()
    # what was typed and not saved is still there
    visit.page.wait_for_selector("#words-field")
    assert visit.page.input_value("#words-field").startswith(OWN)
    visit.page.focus("#words-field")
    visit.page.keyboard.press("Control+Enter")
    visit.page.wait_for_selector("#restore")
    assert visit.page.text_content(".own .words") == f"{OWN} {HOSTILE} The 8s in row 4 and box 8 help."
    assert visit.page.text_content(".own .role-seen") == "The 8s in row 4 and box 8"
    assert visit.page.evaluate("window.owned") is None
    assert visit.page.evaluate("document.activeElement.id") == "edit"
    visit.page.reload()
    visit.page.wait_for_selector("#restore")
    visit.page.click("#restore")
    visit.page.wait_for_selector("#restore", state="detached")
    assert visit.page.text_content(".own .words") == program


@pytest.mark.browser
def test_two_tabs_that_edit_the_same_words_see_both(read: Any) -> None:
    visit = read(60)
    visit.page.keyboard.press("e")
    visit.page.fill("#words-field", "Mine.")
    here = visit.desk.ask("/solve/demo/reading/60")
    visit.desk.ask("/solve/demo/choice", {"stroke": here["id"], "words": "Theirs."})
    visit.page.keyboard.press("Control+Enter")
    visit.page.wait_for_selector(".clash blockquote")
    assert visit.page.text_content(".clash blockquote") == "Theirs."
    visit.page.click("#keep-mine")
    visit.page.wait_for_selector("#restore")
    assert visit.page.text_content(".own .words") == "Mine."
    # and a choice made elsewhere is seen here
    visit.desk.ask("/solve/demo/choice", {"stroke": here["id"], "words": ""})
    visit.page.wait_for_selector("#restore", state="detached")


@pytest.mark.browser
def test_a_log_changed_elsewhere_is_read_anew_at_the_same_stroke(read: Any) -> None:
    visit = read(30, key="hostile")
    change = visit.desk.ask("/solve/hostile/change")
    first = change["strokes"][0]
    visit.desk.ask("/solve/hostile/edit", {"edit": "out", "have": 0, "strokes": [[first["id"], first["was"]]]})
    visit.page.click("#anew")
    visit.at(29)
    assert visit.page.text_content("#step").startswith("29 of 110")
    assert visit.page.is_hidden("#stale")
    assert visit.page.evaluate("window.owned") is None
    visit.page.keyboard.press("Home")
    visit.page.wait_for_selector("#begin")
    assert HOSTILE in visit.page.text_content(".kicker")


@pytest.mark.browser
def test_a_log_without_strokes_says_so(browser: Any, running: RunningDesk) -> None:
    visit = DeskVisit(browser, running, "/solve/empty/reading")
    visit.page.wait_for_selector("#why a")
    assert visit.page.text_content("#why h2") == "Nothing is written yet"
    visit.close()


@pytest.mark.browser
@pytest.mark.parametrize("context", [{}, {"color_scheme": "dark"}, PHONE], ids=["light", "dark", "phone"])
def test_nothing_serious_for_those_who_cannot_see_or_point(read: Any, context: dict[str, Any]) -> None:
    visit = read(26, **context)
    visit.page.wait_for_timeout(400)
    visit.page.locator(".look").first.click()
    visit.page.click(".finding summary >> nth=1")
    assert serious_findings(visit.page) == []
    assert visit.page.evaluate("document.documentElement.scrollWidth <= innerWidth")


@pytest.mark.browser
def test_the_page_opens_before_the_review_is_made(browser: Any, tmp_path: Path) -> None:
    archive = open_archive(tmp_path / "archive.db", now=lambda: 0, new_key=lambda: "demo")
    begin(archive, demo_sheet())
    archive.close()
    with running_desk(tmp_path / "archive.db", tmp_path) as desk:
        visit = DeskVisit(browser, desk)
        visit.page.goto(f"{desk.origin}/solve/demo/reading#20")
        visit.page.wait_for_selector("#share")
        assert visit.page.locator(".strip .tick").count() == 111
        visit.page.wait_for_selector("#edit", timeout=PATIENCE_MS)
        visit.close()


@pytest.mark.browser
def test_the_film_jumps_along(browser: Any, tmp_path: Path, recording_of: Any) -> None:
    whole = demo_sheet()
    few = replace(whole, header=replace(whole.header, clock_start_ms=500), strokes=whole.strokes[:3])
    filmed = recording_of(few, clock_start_ms=500, size=(320, 240))
    archive = open_archive(tmp_path / "archive.db", now=lambda: 0, new_key=lambda: "demo")
    begin(archive, few)
    archive.close()
    with running_desk(tmp_path / "archive.db", tmp_path) as desk:
        desk.ask("/solve/demo/recording", {"path": str(filmed.path)})
        visit = Reader(browser, desk, 2)
        for number in (2, 3, 1):
            visit.page.locator(".strip").focus()
            visit.page.keyboard.press("Home")
            for _ in range(number):
                visit.page.keyboard.press("j")
            visit.at(number)
            wanted = (500 + (few.strokes[number - 1].at_ms or 0)) / 1000
            shown = _settled(visit.page)
            assert abs(shown - wanted) < 0.1, (number, shown, wanted)
        visit.close()


def _settled(page: Any) -> float:
    """The moment of the film that is shown, in seconds, once it stays."""
    last = -1.0
    for _ in range(100):
        found = float(page.evaluate("document.querySelector('#film video')?.currentTime ?? 0"))
        if found == last and found > 0:
            return found
        last = found
        page.wait_for_timeout(300)
    raise AssertionError("the film does not come to rest")
