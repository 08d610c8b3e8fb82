"""An evening at the desk: a recording logged by keys alone, right to the frame; repaired, cut off, read, planned, out."""

from __future__ import annotations

import json
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from desk_server import DeskVisit, RunningDesk
from inkstep.archive.logs import begin
from inkstep.archive.opening import open_archive
from inkstep.ground.clock import parse_ms
from inkstep.trace.grammar import action_text
from inkstep.trace.sheet import Sheet
from inkstep.trace.strokes import Stroke
from recordings import Recording
from test_desk_logging import EVERY_KIND, demo, typed_sheet, typing

#: frames a second of the recording: a frame lasts 40 ms, as the times of the strokes allow
FPS = 25
#: strokes logged before the desk is killed, and before the browser is
FIRST, SECOND = 9, 18


def wanted() -> Sheet:
    """Strokes of every kind, each with a time."""
    sheet = typed_sheet(EVERY_KIND)
    strokes = (s if s.at_ms is not None else replace(s, at_ms=18_480) for s in sheet.strokes)
    return replace(sheet, strokes=tuple(strokes), header=demo(0).header)


class Evening:
    """A desk, its visitor, and the hand on the keys."""

    def __init__(self, browser: Any, folder: Path, recording: Recording) -> None:
        self.browser, self.folder, self.recording = browser, folder, recording
        archive = open_archive(folder / "archive.db", now=lambda: 1_760_000_000_000, new_key=lambda: "evening")
        header = replace(demo(0).header, clock_start_ms=None)
        begin(archive, Sheet(header))
        archive.close()
        self.desk = RunningDesk(folder / "archive.db", folder)
        self.visit = self.open()
        self.hand: int | None = 0
        self.several = False

    def open(self, name: str = "logging") -> DeskVisit:
        self.visit = DeskVisit(self.browser, self.desk, f"/solve/evening/{name}", viewport={"width": 1360, "height": 860})
        return self.visit

    @property
    def page(self) -> Any:
        return self.visit.page

    def go_to(self, name: str) -> None:
        self.page.goto(f"{self.desk.origin}/solve/evening/{name}")

    def look(self, name: str) -> None:
        self.page.screenshot(path=self.folder / f"{name}.png")

    def press(self, *keys: str) -> None:
        for key in keys:
            self.page.keyboard.press(key)

    def moment(self) -> str:
        """The time that the film shows."""
        text: str = self.page.inner_text(".film-now").split("\n")[0]
        return text

    def to_moment(self, target_ms: int) -> None:
        """By the keys of the film alone: a second, then frame by frame."""
        for _ in range(200):
            shown = self.moment()
            away = round((target_ms - parse_ms(shown)) * FPS / 1000)
            if not away:
                return
            key = ("d" if away > 0 else "s") if abs(away) > FPS // 2 + 1 else ("." if away > 0 else ",")
            self.press(key)
            moved = "(was) => !document.querySelector('.film-now').innerText.startsWith(was)"
            self.page.wait_for_function(moved, arg=shown)
        raise AssertionError(f"{target_ms} ms was not reached, but {self.moment()}")

    def log(self, *strokes: Stroke) -> None:
        for stroke in strokes:
            assert stroke.at_ms is not None
            self.to_moment(stroke.at_ms)
            keys, self.hand, comment = typing(stroke, self.hand, several=self.several)
            self.several = len(stroke.cells) > 1
            self.press(*keys, *comment)

    def rows(self) -> list[dict[str, Any]]:
        rows: list[dict[str, Any]] = self.desk.ask("/solve/evening/change")["strokes"]
        return rows

    def texts(self) -> list[str]:
        return [row["was"] for row in self.rows()]

    def until(self, fits: Callable[[list[str]], bool]) -> None:
        """Wait until the strokes in the archive are as they should be."""
        end = time.monotonic() + 8
        while not fits(self.texts()):
            assert time.monotonic() < end, self.texts()
            self.page.wait_for_timeout(20)

    def saved(self, count: int) -> None:
        words = "(words) => document.getElementById('state').textContent.startsWith(words)"
        self.page.wait_for_function(words, arg=f"saved, {count} stroke")

    def ready(self) -> None:
        self.page.wait_for_selector(".board .cell.chosen")
        self.page.wait_for_function("() => /^[0-9]/.test(document.querySelector('.film-now')?.innerText)")

    def close(self) -> None:
        self.visit.context.close()
        self.desk.stop()


@pytest.fixture
def evening(browser: Any, tmp_path: Path, recording_of: Any) -> Iterator[Evening]:
    found = Evening(browser, tmp_path, recording_of(wanted(), fps=Fraction(FPS)))
    yield found
    found.close()


@pytest.mark.browser
def test_an_evening_at_the_desk(evening: Evening) -> None:
    strokes = wanted().strokes
    _name_the_recording(evening)
    evening.log(*strokes[:FIRST])
    evening.saved(FIRST)
    _repair_and_undo(evening, strokes)
    evening.look("logging")
    _killed_server(evening)
    evening.log(*strokes[FIRST:SECOND])
    evening.saved(SECOND)
    _killed_browser(evening)
    evening.log(*strokes[SECOND:])
    evening.saved(len(strokes))
    _all_is_there(evening, strokes)
    _read(evening)
    _plan(evening)
    _publish(evening)
    _live(evening)
    evening.visit.close(allowed=("ERR_CONNECTION", "Failed to load resource", "Failed to fetch"))


def _name_the_recording(evening: Evening) -> None:
    page = evening.page
    page.wait_for_selector("#film-path")
    page.focus("#film-path")
    page.keyboard.type(str(evening.recording.path))
    evening.press("Enter")
    evening.ready()
    page.focus(".board [tabindex='0']")
    evening.to_moment(evening.recording.clock_start_ms)
    evening.press("Shift+C")
    page.wait_for_function("() => document.querySelector('.film-now').innerText.startsWith('0:00.0')")
    assert evening.desk.ask("/solve/evening/change")["head"]["clock_start_ms"] == evening.recording.clock_start_ms


def _repair_and_undo(evening: Evening, strokes: tuple[Stroke, ...]) -> None:
    before = evening.texts()
    evening.press(">")
    evening.until(lambda texts: texts != before)
    later = evening.rows()
    assert later[-1]["at_ms"] == (strokes[FIRST - 1].at_ms or 0) + 1000 // FPS
    evening.press("z", "z", "z")
    evening.until(lambda texts: len(texts) < len(before))
    evening.press("Shift+Z", "Shift+Z", "Shift+Z")
    evening.until(lambda texts: texts == [row["was"] for row in later])
    evening.press("z")
    evening.until(lambda texts: texts == before)


def _killed_server(evening: Evening) -> None:
    """The desk is gone in the middle of an evening; started again, it has everything."""
    before = evening.rows()
    evening.desk.kill()
    evening.desk.stop()
    evening.visit.context.close()
    evening.desk = RunningDesk(evening.folder / "archive.db", evening.folder)
    assert evening.rows() == before
    _back(evening)


def _killed_browser(evening: Evening) -> None:
    before = evening.rows()
    evening.visit.context.close()
    assert evening.rows() == before
    _back(evening)


def _back(evening: Evening) -> None:
    """The page opened again: the film is there without being asked for."""
    evening.open()
    evening.ready()
    evening.hand, evening.several = None, False


def _all_is_there(evening: Evening, strokes: tuple[Stroke, ...]) -> None:
    found = [(row["at_ms"], row["action"], row["comment"]) for row in evening.rows()]
    assert found == [(stroke.at_ms, action_text(stroke), stroke.comment) for stroke in strokes]
    shown = [round(evening.recording.logged_ms(number)) for number in range(1, len(strokes) + 1)]
    assert [at for at, _, _ in found] == shown, "each stroke has the time of the first frame that shows it"


def _read(evening: Evening) -> None:
    evening.go_to("reading")
    evening.page.get_by_text("found in this solve").first.wait_for(timeout=30_000)
    evening.press("j", "j", "j")
    evening.page.get_by_text("open at the same moment").first.wait_for(timeout=30_000)
    evening.look("reading")


def _plan(evening: Evening) -> None:
    evening.go_to("lesson")
    evening.page.wait_for_selector("#plan:not([hidden])", timeout=30_000)
    evening.page.wait_for_selector("#list textarea")
    box = evening.page.locator("#list textarea").first
    box.fill("An evening with table 4.")
    box.blur()
    evening.page.wait_for_function("() => document.getElementById('state').textContent.includes('saved')")
    evening.look("lesson")
    evening.page.reload()
    evening.page.wait_for_selector("#list textarea")
    assert evening.page.locator("#list textarea").first.input_value() == "An evening with table 4."


def _publish(evening: Evening) -> None:
    evening.go_to("press")
    evening.page.fill("input[name=folder]", str(evening.folder / "lesson"))
    evening.page.get_by_role("button", name="Make it").click()
    evening.page.get_by_text("Open the lesson").first.wait_for(timeout=60_000)
    evening.look("press")
    manifest = json.loads((evening.folder / "lesson" / "manifest.json").read_text("utf-8"))
    assert {"lesson.html", "script.md"} <= {each["name"] for each in manifest["files"]}
    assert "An evening with table 4." in (evening.folder / "lesson" / "script.md").read_text("utf-8")


def _live(evening: Evening) -> None:
    """The live page follows what is chosen in the reading page, in another tab."""
    live = evening.visit.new_page()
    live.set_viewport_size({"width": 1920, "height": 1080})
    live.goto(f"{evening.desk.origin}/solve/evening/live?size=1920x1080")
    live.wait_for_selector("#board .picture")
    evening.page.bring_to_front()
    evening.go_to("reading")
    evening.page.get_by_text("found in this solve").first.wait_for(timeout=30_000)
    evening.press("j", "j", "j", "j", "j")
    live.get_by_text("2nd digit").wait_for()
    live.screenshot(path=evening.folder / "live.png", omit_background=True)
