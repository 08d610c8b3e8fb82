"""The lesson plan at the desk: edits kept before they are answered, lengths as the script has them, a page to work at."""

from __future__ import annotations

import html
import re
import threading
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest

import solves
from accessibility import serious_findings
from desk_server import DeskVisit, RefusedError, RunningDesk, running_desk
from inkstep.archive.logs import begin
from inkstep.archive.opening import open_archive
from inkstep.ground.clock import clock_text
from inkstep.lesson.planning import make_plan
from inkstep.press.formats import Material
from inkstep.press.script import script
from inkstep.review.findings import Review
from inkstep.review.reviewing import review_sheet
from inkstep.trace.sheet import Sheet

#: strokes of the demo that make a short solve with pauses
SHORT = 36
SIZE = {"viewport": {"width": 1360, "height": 860}}
HOSTILE = "</script><script>document.title='taken'</script><img src=x onerror=alert(1)>"


@cache
def short() -> Sheet:
    whole = solves.solve(solves.DEMO)
    return replace(whole, strokes=whole.strokes[:SHORT])


@cache
def review() -> Review:
    return review_sheet(short())


@dataclass
class Solves:
    """A running desk, and solves that nobody has touched yet."""

    desk: RunningDesk
    keys: Iterator[str]

    def fresh(self) -> str:
        return next(self.keys)

    def plan(self, key: str) -> Any:
        while not (found := self.desk.ask(f"/solve/{key}/plan"))["ready"]:
            assert 0 <= found["share"] < 1
        return found

    def edit(self, key: str, edit: str, **fields: Any) -> Any:
        return self.desk.ask(f"/solve/{key}/plan", {"edit": edit, **fields})


def archive_of(folder: Path, names: list[str]) -> Path:
    path = folder / "archive.db"
    left = iter(names)
    archive = open_archive(str(path), now=lambda: 1_700_000_000_000, new_key=lambda: next(left))
    for _ in names:
        begin(archive, short())
    archive.close()
    return path


@pytest.fixture(scope="module")
def solved(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Solves]:
    folder = tmp_path_factory.mktemp("plans")
    names = [f"solve{number}" for number in range(13)]
    with running_desk(archive_of(folder, names), folder) as desk:
        yield Solves(desk, iter(names))


# What the server answers


def test_lengths_are_those_of_the_script(solved: Solves) -> None:
    key = solved.fresh()
    solved.plan(key)
    solved.edit(key, "write", field="words_per_minute", was=145, now=120)
    shown = solved.plan(key)
    plan = replace(make_plan(review()).plan, words_per_minute=120)
    material = Material(review(), plan)
    told = {each.passage.id: (each.start_ms, each.end_ms - each.start_ms) for each in material.passages}
    page = {each["id"]: (each["start_ms"], each["length_ms"]) for each in (*shown["segments"], *shown["pauses"])}
    assert {name: page[name] for name in told} == told
    assert shown["total_ms"] == material.passages[-1].end_ms
    text = script(material.telling, material.passages, 120)
    assert f"Narration of {clock_text(shown['total_ms']).rpartition('.')[0]} at 120 words a minute" in text


def test_an_edit_is_kept_before_it_is_answered(tmp_path: Path) -> None:
    path = archive_of(tmp_path, ["only"])
    with running_desk(path, tmp_path) as desk:
        first = Solves(desk, iter(()))
        segment = first.plan("only")["segments"][2]
        for count in range(8):
            was = segment["narration"]
            answer = first.edit("only", "write", segment=segment["id"], field="narration", was=was, now=f"Words {count}.")
            segment = answer["segments"][2]
        desk.kill()
    with running_desk(path, tmp_path) as desk:
        again = Solves(desk, iter(())).plan("only")
        assert again["segments"][2]["narration"] == "Words 7." and again["revision"] == 8
        assert again["segments"][2]["edited"] == ["narration"]


def test_a_clash_is_refused_with_both_versions_and_other_fields_go_in(solved: Solves) -> None:
    key = solved.fresh()
    one, two = solved.plan(key)["segments"][1:3]
    field = {"segment": one["id"], "field": "narration", "was": one["narration"]}
    solved.edit(key, "write", **field, now="Mine.")
    with pytest.raises(RefusedError) as refused:
        solved.edit(key, "write", **field, now="Theirs.")
    assert refused.value.status == 409
    assert (refused.value.body["theirs"], refused.value.body["ours"]) == ("Mine.", "Theirs.")
    # a page that has not seen the first edit may change something else
    solved.edit(key, "write", segment=two["id"], field="headline", was=two["headline"], now="Another headline")
    after = solved.plan(key)["segments"]
    assert (after[1]["narration"], after[2]["headline"]) == ("Mine.", "Another headline")


def test_undo_and_redo_go_back_edit_by_edit(solved: Solves) -> None:
    key = solved.fresh()
    before = solved.plan(key)
    segment, pause = before["segments"][1], before["pauses"][0]
    text = segment["narration"]
    for now in ("M", "Mi", "Mine"):
        field = {"segment": segment["id"], "field": "narration", "was": text, "now": now}
        solved.edit(key, "write", **field, visit="one")
        text = now
    dropped = solved.edit(key, "show", pause=pause["id"], shown=False)
    assert dropped["undo"] == f"drop the pause before stroke {pause['before']}"
    back = solved.edit(key, "undo")
    assert [each["shown"] for each in back["pauses"]] == [True] * len(back["pauses"]) and back["redo"] == dropped["undo"]
    # what was typed in one visit of the field is one step
    assert solved.edit(key, "undo")["segments"] == before["segments"]
    assert solved.edit(key, "redo")["segments"][1]["narration"] == "Mine"
    assert not solved.edit(key, "redo")["pauses"][0]["shown"]
    with pytest.raises(RefusedError):
        solved.edit(key, "redo")


def test_edits_of_many_pages_at_once_are_all_kept(solved: Solves) -> None:
    key = solved.fresh()
    segments = solved.plan(key)["segments"][1:9]

    def write(segment: Any) -> None:
        solved.edit(key, "write", segment=segment["id"], field="headline", was=segment["headline"], now=f"H {segment['id']}")

    threads = [threading.Thread(target=write, args=(segment,)) for segment in segments]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    after = solved.plan(key)
    assert [each["headline"] for each in after["segments"][1:9]] == [f"H {each['id']}" for each in segments]
    assert after["revision"] == 8


@pytest.mark.parametrize(
    "asked",
    [
        {"edit": "paint"},
        {"edit": 7},
        {"edit": "write", "field": "words_per_minute", "was": 145, "now": 3},
        {"edit": "write", "field": "audience", "was": "club", "now": "crowd"},
        {"edit": "write", "field": "planned_ms", "was": None, "now": "long"},
        {"edit": "write", "segment": "nothing", "field": "narration", "was": "", "now": ""},
        {"edit": "write", "segment": "opening", "field": "first", "was": None, "now": 1},
        {"edit": "write", "segment": "opening", "field": "narration", "was": "", "now": ["a"]},
        {"edit": "write", "segment": "opening", "field": "narration", "was": "", "now": "a" * 30_000},
        {"edit": "remove", "segment": "opening"},
        {"edit": "split", "segment": "opening", "stroke": 2},
        {"edit": "pause", "stroke": SHORT + 1},
        {"edit": "pause"},
        {"edit": "discard", "index": 0, "was": "x"},
        {"edit": "leave", "field": "steady"},
    ],
)
def test_what_cannot_be_done_is_said_and_changes_nothing(solved: Solves, asked: dict[str, Any]) -> None:
    with pytest.raises(RefusedError) as refused:
        solved.desk.ask("/solve/solve0/plan", asked)
    assert refused.value.status == 400 and "expected" in refused.value.body["error"]


def test_words_are_text_everywhere_and_the_preview_has_the_lessons_own_policy(solved: Solves) -> None:
    key = solved.fresh()
    before = solved.plan(key)
    solved.edit(key, "write", field="title", was=before["title"], now=HOSTILE)
    was = before["segments"][0]["narration"]
    solved.edit(key, "write", segment="opening", field="narration", was=was, now=f"{HOSTILE}\ud800")
    after = solved.plan(key)
    assert after["title"] == HOSTILE and after["segments"][0]["narration"] == f"{HOSTILE}?"
    with solved.desk._opener.open(f"{solved.desk.origin}/solve/{key}/preview") as answer:
        page, policy = answer.read().decode(), answer.headers["Content-Security-Policy"]
    assert "<img src=x" not in page and "</script><script>document" not in page
    # the preview goes out with the policy that it carries, and only the desk may frame it
    own = re.search(r'Content-Security-Policy" content="([^"]*)"', page)
    assert own is not None and policy == f"{html.unescape(own[1])}; frame-ancestors 'self'"


def test_words_whose_strokes_are_gone_wait_and_are_placed_again(solved: Solves) -> None:
    key = solved.fresh()
    before = solved.plan(key)
    pause = before["pauses"][0]
    solved.edit(key, "write", pause=pause["id"], field="question", was=pause["question"], now="Keep this question?")
    change = solved.desk.ask(f"/solve/{key}/change")
    gone = change["strokes"][pause["before"] - 1]
    solved.desk.ask(f"/solve/{key}/edit", {"edit": "out", "have": 0, "strokes": [[gone["id"], gone["was"]]]})
    after = solved.plan(key)
    assert after["log"] != before["log"]
    [lost] = after["unplaced"]
    assert "Keep this question?" in lost["texts"]
    placed = solved.edit(key, "place", index=0, was=lost["id"], stroke=12)
    assert placed["unplaced"] == []
    assert next(each for each in placed["pauses"] if each["before"] == 12)["question"] == "Keep this question?"
    # every other pause stands where it stood, one stroke earlier behind the one that is gone
    others = [each["before"] - (each["before"] > pause["before"]) for each in before["pauses"][1:]]
    assert [each["before"] for each in placed["pauses"] if each["before"] != 12] == others


# The page


@pytest.fixture
def visit(solved: Solves, browser: Any) -> Iterator[tuple[DeskVisit, str]]:
    key = solved.fresh()
    solved.plan(key)
    made = DeskVisit(browser, solved.desk, f"/solve/{key}/lesson", **SIZE)
    made.page.wait_for_selector(".passage")
    yield made, key
    made.close(allowed=("409",))


def card(page: Any, index: int) -> Any:
    return page.locator('[data-card^="segment:"]').nth(index)


def text_of(place: Any, name: str) -> Any:
    return place.get_by_role("textbox", name=name, exact=True)


def saved(page: Any) -> None:
    page.wait_for_function("() => document.getElementById('state').textContent === 'saved'")


@pytest.mark.browser
def test_narration_is_kept_while_it_is_written(visit: tuple[DeskVisit, str]) -> None:
    made, _key = visit
    page = made.page
    length = card(page, 2).locator(".spoken").inner_text()
    narration = text_of(card(page, 2), "Narration")
    theirs = narration.input_value()
    narration.click()
    page.keyboard.press("Control+End")
    page.keyboard.type(" And here are some more words, enough of them to be heard.")
    assert page.locator("#state").inner_text() == "writing…"
    saved(page)
    assert card(page, 2).locator(".spoken").inner_text() != length
    # the field has grown with its words
    assert narration.evaluate("field => field.scrollHeight <= field.clientHeight")
    page.reload()
    page.wait_for_selector(".passage")
    kept = text_of(card(page, 2), "Narration").input_value()
    assert kept == f"{theirs} And here are some more words, enough of them to be heard."
    card(page, 2).get_by_role("button", name="Narration: as the program says").click()
    page.wait_for_function("theirs => document.querySelectorAll('.narration textarea')[2].value === theirs", arg=theirs)
    page.get_by_role("button", name="undo").click()
    page.wait_for_function("theirs => document.querySelectorAll('.narration textarea')[2].value !== theirs", arg=theirs)
    assert serious_findings(page) == []


@pytest.mark.browser
def test_passages_are_moved_by_keys_and_by_dragging(visit: tuple[DeskVisit, str]) -> None:
    made, _key = visit
    page = made.page
    names = page.evaluate("() => [...document.querySelectorAll('.segment')].map(each => each.dataset.card)")
    assert len(names) > 8
    card(page, 3).locator(".grip").focus()
    page.keyboard.press("ArrowDown")
    page.wait_for_function("() => document.getElementById('told').textContent.includes('now 5 of')")
    # the focus stays with what was moved, so that it goes on
    page.keyboard.press("ArrowDown")
    page.wait_for_function("() => document.getElementById('told').textContent.includes('now 6 of')")
    moved = [*names[:3], names[4], names[5], names[3], *names[6:]]
    order = "() => [...document.querySelectorAll('.segment')].map(each => each.dataset.card)"
    assert page.evaluate(order) == moved
    page.evaluate("scrollTo(0, 0)")
    page.wait_for_timeout(100)
    start, goal = card(page, 2).locator(".grip").bounding_box(), card(page, 0).bounding_box()
    page.mouse.move(start["x"] + 8, start["y"] + 8)
    page.mouse.down()
    page.mouse.move(start["x"] + 8, start["y"] - 30, steps=3)
    page.mouse.move(goal["x"] + 20, goal["y"] + 12, steps=4)
    assert page.locator(".drop-line").is_visible()
    page.mouse.up()
    same = f"names => JSON.stringify(({order})()) === JSON.stringify(names)"
    page.wait_for_function(same, arg=[moved[2], *moved[:2], *moved[3:]])
    page.keyboard.press("Alt+Shift+ArrowDown")
    page.wait_for_function(same, arg=[moved[0], moved[2], moved[1], *moved[3:]])
    saved(page)
    page.reload()
    page.wait_for_selector(".passage")
    assert page.evaluate(order) == [moved[0], moved[2], moved[1], *moved[3:]]


@pytest.mark.browser
def test_a_pause_is_made_worded_moved_and_taken_away(visit: tuple[DeskVisit, str], solved: Solves) -> None:
    made, key = visit
    page = made.page
    before = [each["before"] for each in solved.plan(key)["pauses"]]
    page.locator(".strip").focus()
    for _ in range(29 - page.evaluate("() => Number(document.querySelector('.strip').getAttribute('aria-valuenow'))")):
        page.keyboard.press("ArrowRight")
    assert "stroke 30 comes next" in page.locator("#moment").inner_text()
    page.keyboard.press("Alt+p")
    page.wait_for_selector('[data-card="pause:own-1"]')
    pause = page.locator('[data-card="pause:own-1"]')
    assert page.evaluate("() => document.activeElement.closest('[data-card]').dataset.card") == "pause:own-1"
    assert text_of(pause, "Question").input_value()
    text_of(pause, "Question").fill("What does the column still need?")
    pause.get_by_role("button", name="add a hint").click()
    page.wait_for_function("() => document.activeElement.getAttribute('aria-label')?.startsWith('Hint')")
    page.keyboard.type("A last hint.")
    count = pause.locator(".hints li").count()
    pause.get_by_role("button", name=f"hint {count} sooner").click()
    page.wait_for_function("n => document.activeElement.getAttribute('aria-label') === `Hint ${n}`", arg=count - 1)
    text_of(pause, "Rest in seconds").fill("7.5")
    page.keyboard.press("Tab")
    saved(page)
    shown = next(each for each in solved.plan(key)["pauses"] if each["id"] == "own-1")
    assert shown["question"] == "What does the column still need?" and shown["rest_ms"] == 7500
    assert shown["hints"][count - 2] == "A last hint." and len(shown["hints"]) == count
    pause.locator(".grip").focus()
    page.keyboard.press("ArrowDown")
    page.wait_for_function("() => document.getElementById('told').textContent.startsWith('the pause is before stroke')")
    moved = next(each for each in solved.plan(key)["pauses"] if each["id"] == "own-1")
    assert moved["before"] > 30 and moved["question"] == shown["question"]
    pause.get_by_role("button", name="take away").click()
    page.wait_for_selector('[data-card="pause:own-1"]', state="detached")
    assert [each["before"] for each in solved.plan(key)["pauses"]] == before


@pytest.mark.browser
def test_two_tabs_see_each_other_and_a_clash_shows_both(visit: tuple[DeskVisit, str], solved: Solves) -> None:
    made, key = visit
    one, two = made.page, made.new_page()
    two.goto(f"{solved.desk.origin}/solve/{key}/lesson")
    two.wait_for_selector(".passage")
    text_of(card(two, 1), "Headline").fill("Written in the second tab")
    saved(two)
    one.wait_for_function(
        "words => document.querySelectorAll('.segment .headline textarea')[1].value === words",
        arg="Written in the second tab",
    )
    # the first tab is behind: its edit is of something that the second has changed meanwhile
    one.evaluate("""() => {
      const send = window.fetch;
      const held = new Promise((go) => { window.release = go; });
      window.fetch = (...asked) => held.then(() => send(...asked));
    }""")
    text_of(card(one, 2), "Narration").fill("Here.")
    one.wait_for_function("() => document.getElementById('state').textContent === 'saving…'")
    two.bring_to_front()
    text_of(card(two, 2), "Narration").fill("There.")
    two.keyboard.press("Tab")
    saved(two)
    one.bring_to_front()
    one.evaluate("() => window.release()")
    clash = card(one, 2).locator(".narration .clash")
    clash.wait_for()
    assert clash.locator("blockquote").all_inner_texts() == ["There.", "Here."]
    assert text_of(card(one, 2), "Narration").input_value() == "Here."
    clash.get_by_role("button", name="keep this one here").click()
    two.wait_for_function("() => document.querySelectorAll('.narration textarea')[2].value === 'Here.'")


@pytest.mark.browser
def test_the_preview_opens_at_its_scene_and_breaks_no_policy(visit: tuple[DeskVisit, str]) -> None:
    made, _key = visit
    page = made.page
    last = page.locator(".segment").count() - 2
    card(page, last).hover()
    name = text_of(card(page, last), "Headline").input_value()
    card(page, last).get_by_role("button", name="see it").click()
    frame = page.frame_locator("#preview iframe")
    scene = frame.locator("article.is-current")
    scene.wait_for()
    page.wait_for_function(
        """name => {
          const page = document.querySelector("#preview iframe").contentDocument;
          const titles = page.querySelectorAll("article.is-current h2, article.is-current h3");
          return [...titles].some((title) => title.textContent === name);
        }""",
        arg=name,
    )
    top, bottom, height = scene.evaluate(
        "card => { const {top, bottom} = card.getBoundingClientRect(); return [top, bottom, innerHeight]; }"
    )
    assert bottom > 0 and top < height
    page.keyboard.press("Escape")
    assert page.locator("#preview").is_hidden()


@pytest.mark.browser
def test_the_planned_length_is_shown_beside_what_the_lesson_takes(visit: tuple[DeskVisit, str], solved: Solves) -> None:
    made, key = visit
    page = made.page
    total = solved.plan(key)["total_ms"]
    text_of(page, "Planned length in minutes").fill("2")
    page.keyboard.press("Tab")
    page.wait_for_function("() => document.querySelector('.length-words').textContent.includes('over the 2:00 planned')")
    seconds = round((total - 120_000) / 1000)
    assert f"{seconds // 60}:{seconds % 60:02d} over" in page.locator(".length-words").inner_text()
    mark = page.evaluate("() => Number(document.querySelector('.length-over').getAttribute('x'))")
    assert mark == pytest.approx(1000 * 120_000 / total, abs=1)
    slices = page.evaluate(
        "() => [...document.querySelectorAll('.slice')].map(each => [each.dataset.slice, each.getAttribute('x')])"
    )
    starts = {f"segment:{each['id']}": each["start_ms"] for each in solved.plan(key)["segments"]}
    assert all(float(x) == pytest.approx(1000 * starts[name] / total, abs=0.2) for name, x in slices if name in starts)
    text_of(page, "Planned length in minutes").fill("59:59")
    page.keyboard.press("Tab")
    page.wait_for_function("() => document.querySelector('.length-words').textContent.includes('under the 59:59 planned')")
