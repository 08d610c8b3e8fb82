"""From a sheet to a lesson as a user has it: the command run, its files read back, its page opened in a real browser."""

from __future__ import annotations

import contextlib
import hashlib
import importlib
import io
import json
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from chromium import Visit
from inkstep.cli.main import main
from inkstep.lesson.plan import Part, Plan
from inkstep.lesson.planning import make_plan
from inkstep.reasoning.proof import prove
from inkstep.review.findings import Review
from inkstep.review.reviewing import review_sheet
from inkstep.trace.grammar import action_text
from inkstep.trace.reading import read_sheet
from inkstep.trace.writing import write_sheet
from test_press_captions import GAP, LINE, LINES, LONGEST, SHORTEST, SPEED, Read, bare, read_srt, read_vtt
from test_press_page import CONTRASTS, card, cell, digits_named, position, read_to

ROOT = Path(__file__).resolve().parents[1]
DEMO = ROOT / "examples" / "harbour-spring.sheet"
#: the three longest published walkthroughs that can be replayed; people told them in words, so no time is known
WALKTHROUGHS = ("dailysudoku-2005-12-13-full", "simetric-times", "enjoysudoku-t4071")
#: a page with a clock time on it, such as 0:34.7
CLOCK = re.compile(r"\b\d+:\d\d\b")
#: what careless code shows where it has nothing to show
NOTHINGS = re.compile(r"\b(?:NaN|undefined|null|None|Infinity)\b|\[object|\{[a-z_]+\}")


@dataclass(frozen=True)
class Lesson:
    """A sheet, the folder that ``inkstep press`` made of it, and what the command answered."""

    sheet: Path
    folder: Path
    code: int
    said: str
    complained: str

    @cached_property
    def review(self) -> Review:
        return review_sheet(read_sheet(self.sheet.read_bytes(), strict=True).sheet)

    @cached_property
    def plan(self) -> Plan:
        return make_plan(self.review).plan

    @cached_property
    def story(self) -> dict[str, Any]:
        """The data that the page carries."""
        found = re.search(r'<script type="application/json" id="story">(.*?)</script>', self.text("lesson.html"), re.DOTALL)
        assert found
        story = json.loads(found[1])
        assert isinstance(story, dict)
        return story

    @cached_property
    def scenes(self) -> list[dict[str, Any]]:
        return list(self.story["scenes"])

    @cached_property
    def pauses(self) -> list[int]:
        """The scenes that ask something."""
        return [index for index, scene in enumerate(self.scenes) if scene["pause"]]

    @cached_property
    def answers(self) -> list[tuple[int, int]]:
        """Cell and digit that each pause asks for, by the plan and the strokes: the page is not asked."""
        strokes = [self.review.strokes[pause.before - 1].stroke for pause in self.plan.pauses]
        return [(stroke.cells[0], stroke.digits[0]) for stroke in strokes]

    def answer(self, index: int) -> str:
        """The answer of a pause in the page's words, which name cells shorter than the words read aloud."""
        return "".join(run["text"] for run in self.scenes[index]["pause"]["answer"])

    @property
    def url(self) -> str:
        return (self.folder / "lesson.html").as_uri()

    def text(self, name: str) -> str:
        return (self.folder / name).read_text("utf-8")

    def names(self) -> set[str]:
        return {path.relative_to(self.folder).as_posix() for path in self.folder.rglob("*") if path.is_file()}


def press(sheet: Path, folder: Path) -> Lesson:
    """Run the command in this process as a user would."""
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        code = main(["press", str(sheet), "--to", str(folder)])
    return Lesson(sheet, folder, code, out.getvalue(), err.getvalue())


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Lesson:
    return press(DEMO, tmp_path_factory.mktemp("demo") / "lesson")


@pytest.fixture(scope="module")
def walkthrough(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Callable[[str], Lesson]]:
    """The lesson of a walkthrough, made when it is first asked for."""
    made: dict[str, Lesson] = {}
    folder = tmp_path_factory.mktemp("walkthroughs")
    with pytest.MonkeyPatch.context() as patch:
        patch.syspath_prepend(str(ROOT / "scripts"))
        script = importlib.import_module("walkthrough_sheets")

    def lesson_of(name: str) -> Lesson:
        if name not in made:
            sheet = folder / f"{name}.sheet"
            sheet.write_text(write_sheet(script.sheet_of(script.records()[name])), "utf-8")
            made[name] = press(sheet, folder / name)
        return made[name]

    yield lesson_of


@pytest.fixture(params=("demo", *WALKTHROUGHS))
def lesson(request: pytest.FixtureRequest, demo: Lesson, walkthrough: Callable[[str], Lesson]) -> Lesson:
    """Each of the four lessons in turn."""
    return demo if request.param == "demo" else walkthrough(request.param)


# The files


def test_the_command_succeeds_and_writes_all_it_names(lesson: Lesson) -> None:
    assert (lesson.code, "Traceback" in lesson.complained) == (0, False)
    stills = {f"stills/{number:02d}-pause.svg" for number in range(1, len(lesson.plan.pauses) + 1)}
    needed = {"lesson.html", "script.md", "captions.vtt", "captions.srt", "manifest.json", "stills/last-page.svg"} | stills
    assert needed <= lesson.names() <= needed | {"chapters.txt"}
    assert all(name in lesson.said for name in lesson.names())
    assert "chapters.txt" in lesson.names() or "no chapters" in lesson.said


def test_the_manifest_lists_every_file_by_its_sum(lesson: Lesson) -> None:
    listed = {each["name"]: (each["size"], each["sha256"]) for each in json.loads(lesson.text("manifest.json"))["files"]}
    lying = {name: (lesson.folder / name).read_bytes() for name in lesson.names() - {"manifest.json"}}
    assert listed == {name: (len(data), hashlib.sha256(data).hexdigest()) for name, data in lying.items()}


def test_every_argument_of_the_review_is_proved(lesson: Lesson) -> None:
    proved = 0
    for judged in lesson.review.strokes:
        arguments = (judged.argument, *judged.runners_up, *judged.instead, judged.lightest_open)
        for argument in filter(None, arguments):
            assert prove(argument, judged.position), f"stroke {judged.number}, {action_text(judged.stroke)}"
            proved += 1
    assert proved >= len(lesson.review.strokes)
    for left in lesson.review.lying:
        assert lesson.review.solution[left.cell] == left.digit


HEADING = re.compile(r"^## \d+\. (.*)$", re.MULTILINE)
ESCAPED = re.compile(r"\\([!-/:-@\[-`{-~])")


def plainly(markdown: str) -> str:
    """Text as CommonMark shows it: a backslash before punctuation is none ("Backslash escapes", spec.commonmark.org)."""
    return ESCAPED.sub(r"\1", markdown)


def test_the_script_has_every_segment_and_every_pause_in_order(lesson: Lesson) -> None:
    headings = [plainly(heading) for heading in HEADING.findall(lesson.text("script.md"))]
    stops = [heading for heading in headings if re.fullmatch(r"Pause \d+: your turn", heading)]
    assert stops == [f"Pause {number}: your turn" for number in range(1, len(lesson.plan.pauses) + 1)]
    shown = [each for each in lesson.plan.segments if each.shown]
    told = [heading for heading in headings if heading not in stops]
    assert told == [each.headline for each in shown if each.narration or each.kind is not Part.PAUSE]
    text = plainly(lesson.text("script.md"))
    at = 0
    for segment in shown:
        for paragraph in filter(None, segment.narration.split("\n\n")):
            at = text.index(paragraph, at) + len(paragraph)
    for pause in lesson.plan.pauses:
        assert all(words in text for words in (pause.question, pause.answer, *pause.hints))
    assert not NOTHINGS.search(text)


def script_aloud(markdown: str) -> str:
    """What of a script is read aloud: no headings, times, credits and hints, by code of its own."""
    aloud: list[str] = []
    for line in markdown.split("\n## ", 1)[1].splitlines()[1:]:
        if not line.strip() or line.startswith(("## ", "*")) or re.match(r"> \d+\. Hint: |>$", line):
            continue
        aloud.append(re.sub(r"^> (?:\*\*Pause\*\* \([^)]*\): |\*\*Answer:\*\* )", "", line))
    return plainly("".join(aloud))


def captions_of(lesson: Lesson) -> list[Read]:
    return read_vtt((lesson.folder / "captions.vtt").read_bytes())


def test_captions_are_webvtt_and_subrip_of_one_text(lesson: Lesson) -> None:
    vtt, srt = captions_of(lesson), read_srt((lesson.folder / "captions.srt").read_bytes())
    assert vtt
    assert [cue[1:] for cue in vtt] == [cue[1:] for cue in srt]


def test_captions_say_what_the_script_says(lesson: Lesson) -> None:
    shown = "".join("".join(lines) for _, _, _, lines in captions_of(lesson))
    assert bare(shown) == bare(script_aloud(lesson.text("script.md")))


def test_captions_can_be_read_in_their_time_and_never_overlap(lesson: Lesson) -> None:
    for name, start, end, lines in captions_of(lesson):
        assert SHORTEST <= end - start <= LONGEST, name
        assert 1 <= len(lines) <= LINES and max(map(len, lines)) <= LINE, name
        assert len("\n".join(lines)) * 1000 <= SPEED * (end - start), name
    for before, after in pairwise(captions_of(lesson)):
        assert after[1] - before[2] >= GAP, after[0]


def test_chapters_begin_at_nought_and_last_ten_seconds(lesson: Lesson) -> None:
    """Common practice on video platforms: at least three, the first at 0:00, ten seconds or longer."""
    if "chapters.txt" not in lesson.names():
        return
    rows = [re.fullmatch(r"(\d+):(\d\d) (\S.*)", line) for line in lesson.text("chapters.txt").splitlines()]
    starts = [int(row[1]) * 60 + int(row[2]) for row in rows if row]
    assert len(starts) == len(rows) >= 3 and starts[0] == 0
    assert all(after - before >= 10 for before, after in pairwise(starts))
    assert {row[3] for row in rows if row} <= {plainly(h) for h in HEADING.findall(lesson.text("script.md"))}
    assert starts[-1] * 1000 < captions_of(lesson)[-1][2]


# The page in a browser, opened from disk with the network cut off


@pytest.fixture
def visit(browser: Any) -> Iterator[Callable[..., Any]]:
    """Opens a lesson's page; in the end none may have complained or asked for anything but itself."""
    visits: list[Visit] = []

    def open_it(lesson: Lesson, **context: Any) -> Any:
        context.setdefault("viewport", {"width": 1280, "height": 900})
        context.setdefault("reduced_motion", "reduce")
        visits.append(Visit(browser, lesson.url, **context))
        return visits[-1].page

    yield open_it
    for each in visits:
        each.close()


def pass_all(page: Any, lesson: Lesson) -> None:
    """Pass every pause by, one after the other."""
    for index in lesson.pauses:
        assert card(page, index).is_visible()
        assert not any(card(page, later).is_visible() for later in range(index + 1, len(lesson.scenes)))
        card(page, index).get_by_role("button", name="read on without trying").click()


def show(page: Any, index: int) -> None:
    """Ask for a scene as a click on its card does, without scrolling to it."""
    card(page, index).locator("h2").dispatch_event("click")
    assert "is-current" in card(page, index).get_attribute("class")


def type_on(page: Any, number: int, digit: int) -> None:
    cell(page, number).focus()
    page.keyboard.press(str(digit))


def cell_words(number: int) -> str:
    row, column = divmod(number, 9)
    return f"row {row + 1}, column {column + 1}"


@pytest.mark.browser
def test_every_scene_shows_the_page_as_it_stood(visit: Callable[..., Any], lesson: Lesson) -> None:
    page = visit(lesson)
    pass_all(page, lesson)
    for index, scene in enumerate(lesson.scenes):
        show(page, index)
        assert position(page) == scene["page"]
        assert digits_named(page) == list(lesson.review.pages[scene["page"]].digits)
        assert card(page, index).locator(".kicker").inner_text() == scene["kicker"]
        asked = index in lesson.pauses
        assert card(page, index).locator("h2").inner_text() == (scene["pause"]["question"] if asked else scene["headline"])
    told = page.locator("body").inner_text()
    assert not any(lesson.scenes[index]["headline"] in told for index in lesson.pauses), "a pause passed by stays closed"
    assert not NOTHINGS.search(told)
    assert page.locator("#findings li").all_inner_texts() == lesson.story["findings"]


def test_the_scenes_of_the_page_are_the_plan_s_and_end_with_the_whole_solve(lesson: Lesson) -> None:
    assert [scene["id"] for scene in lesson.scenes] == [each.id for each in lesson.plan.segments if each.shown]
    assert [lesson.scenes[index]["pause"]["question"] for index in lesson.pauses] == [p.question for p in lesson.plan.pauses]
    assert [scene["page"] for scene in lesson.scenes] == sorted(scene["page"] for scene in lesson.scenes)
    assert lesson.scenes[-1]["page"] == len(lesson.review.strokes) == len(lesson.story["strokes"])
    assert all(lesson.answer(index) for index in lesson.pauses)
    assert lesson.story["solution"] == "".join(map(str, lesson.review.solution))


@pytest.mark.browser
@pytest.mark.parametrize("name", WALKTHROUGHS)
def test_strokes_without_times_are_stepped_through_and_no_time_is_told(
    visit: Callable[..., Any], walkthrough: Callable[[str], Lesson], name: str
) -> None:
    lesson = walkthrough(name)
    page = visit(lesson)
    page.get_by_role("button", name="on a stroke").click()
    assert page.locator("#stroke").inner_text() == f"time unknown · {lesson.story['strokes'][0]['label']}"
    page.get_by_role("button", name=re.compile("open all|open it now")).click()
    page.locator("svg.strip").focus()
    page.keyboard.press("End")
    assert position(page) == len(lesson.review.strokes)
    assert digits_named(page) == list(lesson.review.pages[-1].digits)
    assert page.locator(".tick").count() == page.locator(".tick-unknown").count() == len(lesson.review.strokes)
    assert page.locator(".strip-flag").count() == len(lesson.pauses)
    told = " ".join(page.locator(".top, .telling, #stroke").all_inner_texts())
    assert not CLOCK.search(told) and "The solver took" not in told
    drawn = page.locator("svg.strip path, svg.strip text, .card p").evaluate_all(
        "all => all.flatMap((each) => [...each.attributes].map((a) => a.value)).join(' ')"
    )
    assert not NOTHINGS.search(drawn)


@pytest.mark.browser
def test_the_strip_tells_no_clock_where_no_time_is_known(
    visit: Callable[..., Any], walkthrough: Callable[[str], Lesson]
) -> None:
    page = visit(walkthrough(WALKTHROUGHS[1]))
    page.get_by_role("button", name="on a stroke").click()
    strip = page.locator("svg.strip")
    told = [*strip.locator("text, title").all_text_contents(), strip.get_attribute("aria-valuetext")]
    told.append(page.get_by_role("grid").get_attribute("aria-label"))
    assert [words for words in told if CLOCK.search(words)] == []


def test_the_page_of_the_demo_is_light_to_send(demo: Lesson) -> None:
    assert (demo.folder / "lesson.html").stat().st_size < 400_000


@pytest.mark.browser
def test_a_pause_of_the_demo_is_tried_wrongly_and_then_rightly_on_the_board(visit: Callable[..., Any], demo: Lesson) -> None:
    page = visit(demo)
    index, (right, digit) = demo.pauses[0], demo.answers[0]
    read_to(page, index)
    tried = card(page, index)
    free = [c for c, found in enumerate(demo.review.pages[demo.scenes[index]["page"]].digits) if not found]
    wrong = next(c for c in free if demo.review.solution[c] != digit)
    type_on(page, wrong, digit)
    assert tried.locator(".reply").inner_text() == f"The {digit} is the one to look for, but not there. Try another cell."
    type_on(page, right, digit % 9 + 1)
    assert "The place is right" in tried.locator(".reply").inner_text()
    assert demo.scenes[index]["headline"] not in page.locator("body").inner_text()
    cell(page, right).click()
    tried.get_by_role("button", name=f"{digit} at {cell_words(right)}").click()
    assert tried.locator(".reply").inner_text() == "Right, and without a nudge."
    assert tried.locator("h3").inner_text() == demo.scenes[index]["headline"]
    assert demo.answer(index) in tried.inner_text()
    assert page.locator("#board [data-paint=goal]").count() == 1
    assert card(page, demo.pauses[1]).is_visible() and not card(page, demo.pauses[1] + 1).is_visible()


@pytest.mark.browser
def test_every_pause_of_the_demo_takes_the_solver_s_stroke_for_an_answer(visit: Callable[..., Any], demo: Lesson) -> None:
    page = visit(demo)
    for index, (right, digit) in zip(demo.pauses, demo.answers, strict=True):
        show(page, index)
        assert demo.review.solution[right] == digit
        type_on(page, right, digit)
        assert card(page, index).locator(".reply").inner_text() == "Right, and without a nudge."
    assert page.locator("#findings").is_visible()


@pytest.mark.browser
def test_the_nudges_of_a_pause_run_out_and_its_answer_can_be_opened(visit: Callable[..., Any], demo: Lesson) -> None:
    page = visit(demo)
    index, item = demo.pauses[0], demo.plan.pauses[0]
    read_to(page, index)
    asked = card(page, index)
    nudge = asked.get_by_role("button", name=re.compile("nudge"))
    for count in range(1, len(item.hints) + 1):
        nudge.click()
        assert asked.locator(".nudges li").all_inner_texts() == list(item.hints[:count])
    assert nudge.is_disabled()
    assert demo.answer(index) not in asked.inner_text()
    asked.get_by_role("button", name="open the answer").click()
    assert demo.answer(index) in asked.inner_text()
    assert asked.locator(".reply").is_hidden(), "who opens an answer is not told to be right"


@pytest.mark.browser
def test_the_demo_plays_at_half_its_speed_up_to_a_closed_pause(visit: Callable[..., Any], demo: Lesson) -> None:
    page = visit(demo, reduced_motion="no-preference")
    page.clock.install()
    page.reload()
    page.get_by_role("button", name="half speed").click()
    page.get_by_role("button", name="play as solved").click()
    times = [stroke.at_ms for stroke in demo.review.sheet.strokes]
    for seconds in (4, 12):
        page.clock.run_for(8000 if seconds == 4 else 16_000)
        made = sum(at is not None and at <= seconds * 1000 for at in times)
        assert abs(position(page) - made) <= 1
        assert digits_named(page) == list(demo.review.pages[position(page)].digits)
    first = demo.pauses[0]
    page.clock.run_for(32_000)
    assert page.locator("#play").inner_text() == "play as solved", "playing stops at a closed pause"
    assert position(page) == demo.scenes[first]["page"]
    assert "is-current" in card(page, first).get_attribute("class")


@pytest.mark.browser
def test_the_demo_s_puzzle_can_be_tried_first(visit: Callable[..., Any], demo: Lesson) -> None:
    page = visit(demo)
    page.get_by_role("button", name="try the puzzle first").click()
    assert page.locator(".telling").is_hidden()
    empty = [c for c, given in enumerate(demo.review.sheet.givens) if not given]
    assert digits_named(page) == list(demo.review.sheet.givens)
    type_on(page, empty[0], demo.review.solution[empty[0]])
    assert digits_named(page)[empty[0]] == demo.review.solution[empty[0]]
    page.get_by_role("button", name="does it agree so far?").click()
    assert page.locator(".attempt .reply").inner_text() == f"What you wrote agrees so far: 1 digit, {len(empty) - 1} to go."
    page.get_by_role("button", name="back to the story").click()
    assert digits_named(page) == list(demo.review.sheet.givens)
    assert page.locator(".telling").is_visible()


@pytest.mark.browser
def test_a_lesson_is_printed_whole_with_its_answers_last(visit: Callable[..., Any], lesson: Lesson) -> None:
    page = visit(lesson, color_scheme="dark")
    page.emulate_media(media="print")
    page.wait_for_selector(".printed-scene")
    assert page.locator("#bench").is_hidden() and page.locator("#scenes").is_hidden()
    printed = page.locator("#printed").inner_text()
    answers = printed.index("\nAnswers")
    at = 0
    for index, scene in enumerate(lesson.scenes):
        words = scene["pause"]["question"] if index in lesson.pauses else scene["headline"]
        at = printed.index(words, at)
        assert at < answers
    for index in lesson.pauses:
        assert printed.index(lesson.answer(index)) > answers
        assert printed.rindex(lesson.scenes[index]["headline"]) > answers
    assert page.locator(".printed-scene svg").count() == len(lesson.scenes) + len(lesson.pauses)
    assert not NOTHINGS.search(printed)


@pytest.mark.browser
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_everything_of_the_demo_can_be_told_from_its_ground(visit: Callable[..., Any], demo: Lesson, scheme: str) -> None:
    """WCAG 2.2, 1.4.3 and 1.4.11: every text and every line that carries meaning, at closed pauses and in open scenes."""
    page = visit(demo, color_scheme=scheme)
    seen: set[str] = set()

    def look() -> None:
        found = page.evaluate(CONTRASTS)
        seen.update(found["kinds"])
        assert found["low"] == []

    read_to(page, demo.pauses[0])
    card(page, demo.pauses[0]).get_by_role("button", name=re.compile("nudge")).click()
    cell(page, demo.answers[0][0]).click()
    look()
    page.get_by_role("button", name=re.compile("open all")).click()
    for index in (*demo.pauses[1::2], *range(9, len(demo.scenes), 9)):
        show(page, index)
        look()
    page.get_by_role("button", name="try the puzzle first").click()
    look()
    assert {"ring", "reach", "cloud", "goal", "pen", "mark", "faded", "tick-digit", "tick-unknown", "strip-rest"} <= seen
    assert {"BUTTON", "H1", "H2", "P", "DT", "LI"} <= seen
