"""The lesson page: one file that asks nothing of a network, read, tried and played in a real browser."""

from __future__ import annotations

import base64
import hashlib
import json
import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path
from random import Random
from typing import Any

import pytest

import board_drawing
import harbour_story
from accessibility import serious_findings
from chromium import Visit
from inkstep.press.drawing import Drawing, Evidence, Ink, drawing_of_page
from inkstep.press.lesson_page import MODULES, joined_modules, lesson_page, page_text
from inkstep.press.manner import manner_for_browser
from inkstep.press.shapes import shapes_of
from inkstep.press.story import Expected, Pause, Run, Scene, Story

STORY = harbour_story.story()
PAGE = lesson_page(STORY)
FIRST, SECOND, THIRD = (index for index, scene in enumerate(STORY.scenes) if scene.pause)


# The file


class Parts(HTMLParser):
    """The elements of a page, and the text of those that have an id."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.texts: dict[str, str] = {}
        self._open = ""
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))
        self._open = dict(attrs).get("id") or tag

    def handle_data(self, data: str) -> None:
        self.texts[self._open] = self.texts.get(self._open, "") + data


def test_the_page_is_one_file_that_loads_nothing() -> None:
    assert len(PAGE.encode()) < 250_000
    for _, attributes in Parts(PAGE).elements:
        assert not {"src", "href", "action", "srcset"} & set(attributes)
    assert not re.search(r"url\(|@import|fetch\(|XMLHttpRequest|WebSocket|innerHTML|insertAdjacentHTML|\beval\(", PAGE)


def test_the_policy_allows_just_the_page_s_own_script_and_style() -> None:
    policy = next(a["content"] for t, a in Parts(PAGE).elements if (a.get("http-equiv") or "") == "Content-Security-Policy")
    rules = dict(rule.split(" ", 1) for rule in (policy or "").split("; "))
    assert rules["default-src"] == "'none'"
    for name, tag in (("script-src", 'script type="module"'), ("style-src", "style")):
        text = PAGE.split(f"<{tag}>", 1)[1].split(f"</{tag.split()[0]}>", 1)[0]
        digest = base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()
        assert rules[name] == f"'sha256-{digest}'"


def test_the_story_travels_whole() -> None:
    assert json.loads(Parts(PAGE).texts["story"]) == STORY.to_json()


HOSTILE = "</script><script>window.hit=1</script><img src=x onerror=window.hit=1>{title}&lt;\u2028\x00\ud800 \"'--><!--"


def hostile_story() -> Story:
    run = (Run(HOSTILE), Run(HOSTILE, "seen"))
    pause = Pause(HOSTILE, (HOSTILE,), run, Expected((1,), 3), 900)
    scenes = (
        Scene("a", 0, None, HOSTILE, HOSTILE, run, asides=(HOSTILE,)),
        Scene("b", 1, 5, HOSTILE, HOSTILE, run, pause=pause),
    )
    note = Ink("note", where="above", house=0, text=HOSTILE, stroke=1)
    stroke = replace(STORY.strokes[0], label=HOSTILE, add=(note,), change=())
    return replace(
        STORY, title=HOSTILE, event=HOSTILE, source=HOSTILE, scenes=scenes, strokes=(stroke,), findings=(HOSTILE,), waits=()
    )


def test_hostile_words_do_not_get_out_of_the_data() -> None:
    text = lesson_page(hostile_story())
    assert text.encode()
    tags = [tag for tag, _ in Parts(text).elements]
    assert tags == [tag for tag, _ in Parts(PAGE).elements]


def test_the_modules_lean_only_on_those_before_them_and_share_no_name() -> None:
    known: dict[str, set[str]] = {}
    names: list[str] = []
    for module in MODULES:
        text = page_text(f"{module}.js")
        for wanted, source in re.findall(r"^import \{([^}]*)\} from \"\./(\w+)\.js\";", text, re.MULTILINE):
            assert source in known, f"{module} imports {source}, which comes later"
            assert {name.strip() for name in wanted.split(",")} <= known[source]
        declared = re.findall(r"^(export )?(?:async )?(?:function\*?|const|let|class) (\w+)", text, re.MULTILINE)
        known[module] = {name for exported, name in declared if exported}
        names += [name for _, name in declared]
    assert len(names) == len(set(names)), sorted(name for name in names if names.count(name) > 1)
    assert not re.search(r"^(import|export) ", joined_modules(), re.MULTILINE)


# The same picture in both languages


@pytest.fixture(scope="module")
def shapes_in_browser(browser: Any) -> Iterator[Callable[[list[Drawing]], list[list[dict[str, Any]]]]]:
    context = browser.new_context(offline=True)
    page = context.new_page()
    code = joined_modules(("layout", "lines", "evidence", "shapes"))

    def shapes(drawings: list[Drawing]) -> list[list[dict[str, Any]]]:
        work = f"([all, way]) => {{ {code}\n return all.map((d) => shapesOf({{...d, ink: d.ink.map(wholeInk)}}, way)); }}"
        found = page.evaluate(work, [[drawing.to_json() for drawing in drawings], manner_for_browser()])
        assert isinstance(found, list)
        return found

    yield shapes
    context.close()


def as_plain(drawing: Drawing) -> list[dict[str, Any]]:
    return [
        {"tag": s.tag, "paint": s.paint, "attributes": dict(s.attributes), "text": s.text, "stroke": s.stroke}
        for s in shapes_of(drawing)
    ]


def random_drawing(seed: int) -> Drawing:
    chance = Random(seed)
    cells = lambda most: tuple(chance.sample(range(81), chance.randint(1, most)))  # noqa: E731
    digits = lambda most: tuple(sorted(chance.sample(range(1, 10), chance.randint(1, most))))  # noqa: E731
    ink = []
    for stroke in range(1, 30):
        where = chance.choice(("cell", "cell", "border", "above", "below", "left", "right"))
        kind = chance.choice(("pen", "mark", "mark", "note"))
        if kind == "pen":
            ink.append(Ink("pen", cells(1), digits(1), state=chance.choice(("standing", "crossed", "over")), stroke=stroke))
            continue
        marked = cells(3)
        text = "note €𝟘" * chance.randint(1, 5) if kind == "note" and chance.random() < 0.5 else ""
        ink.append(
            Ink(
                kind,
                marked,
                () if text else digits(9),
                where,
                chance.choice((None, chance.randrange(27))),
                chance.choice(("standing", "standing", "struck", "over")),
                text,
                stroke,
                marked[:1] if chance.random() < 0.2 else (),
                ((marked[0], 5),) if chance.random() < 0.3 else (),
            )
        )
    pairs = tuple((chance.randrange(81), chance.randrange(81)) for _ in range(4))
    evidence = Evidence(
        cells(4),
        pairs,
        tuple(chance.sample(range(27), 3)),
        cells(2),
        ((cells(4), digits(3)), (cells(2), digits(2))),
        tuple((cell, chance.randint(1, 9)) for cell in cells(3)),
        tuple(chance.sample(range(1, 30), 4)),
        ((chance.randrange(81), chance.randint(1, 9)),),
    )
    return Drawing(tuple(ink), evidence)


@pytest.mark.browser
def test_the_board_draws_what_the_still_draws(shapes_in_browser: Callable[..., list[list[dict[str, Any]]]]) -> None:
    drawings = [board_drawing.drawing(), Drawing()]
    drawings += [drawing_of_page(page) for page in harbour_story.pages()[::12]]
    drawings += [random_drawing(seed) for seed in range(16)]
    for drawing, found in zip(drawings, shapes_in_browser(drawings), strict=True):
        assert found == as_plain(drawing)


# The page in a browser


@pytest.fixture(scope="module")
def lesson(tmp_path_factory: pytest.TempPathFactory) -> str:
    path = tmp_path_factory.mktemp("page") / "lesson.html"
    path.write_text(PAGE, encoding="utf-8")
    return path.as_uri()


@pytest.fixture
def open_lesson(browser: Any, lesson: str) -> Iterator[Callable[..., Any]]:
    visits: list[Visit] = []

    def open_it(url: str = lesson, **context: Any) -> Any:
        context.setdefault("viewport", {"width": 1280, "height": 900})
        context.setdefault("reduced_motion", "reduce")
        visits.append(Visit(browser, url, **context))
        return visits[-1].page

    yield open_it
    for visit in visits:
        visit.close()


def card(page: Any, index: int) -> Any:
    return page.locator("article.card").nth(index)


def cell(page: Any, number: int) -> Any:
    return page.locator(f"[data-cell='{number}']")


def position(page: Any) -> int:
    return int(page.locator("svg.strip").get_attribute("aria-valuenow"))


NEAREST = """async (index) => {
  const cards = [...document.querySelectorAll("article.card")];
  const frame = () => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)));
  dispatchEvent(new WheelEvent("wheel"));
  const current = () => cards.findIndex((card) => card.matches(".is-current"));
  for (let tries = 0; tries < 200 && current() !== index; tries += 1) {
    scrollBy(0, current() < index ? 70 : -70);
    await frame();
  }
  return current();
}"""


def read_to(page: Any, index: int) -> None:
    """Scroll as a reader does until the board shows this card's page."""
    assert page.evaluate(NEAREST, index) == index


def open_all(page: Any) -> None:
    page.get_by_role("button", name=re.compile("open all")).click()


def digits_named(page: Any) -> list[int]:
    """The digit that stands in each cell, by the names that screen readers are given."""
    names = page.locator("[role=gridcell]").evaluate_all("cells => cells.map((cell) => cell.getAttribute('aria-label'))")
    found = [re.search(r": (\d), (?:printed|written)", name) for name in names]
    return [int(match[1]) if match else 0 for match in found]


@pytest.mark.browser
def test_every_scene_shows_the_page_as_it_stood(open_lesson: Callable[..., Any]) -> None:
    page = open_lesson()
    open_all(page)
    for index, scene in enumerate(STORY.scenes):
        read_to(page, index)
        assert position(page) == scene.page
        assert digits_named(page) == list(harbour_story.pages()[scene.page].digits)
        assert card(page, index).locator(".kicker").inner_text() == scene.kicker
        evidence = scene.pause.evidence if scene.pause else scene.evidence
        assert page.locator("#board [data-paint=ring]").count() == len(evidence.seen)
        assert page.locator("#board [data-paint=goal]").count() == len(evidence.goal)


@pytest.mark.browser
def test_the_words_wear_their_roles(open_lesson: Callable[..., Any]) -> None:
    page = open_lesson()
    open_all(page)
    told = card(page, 7)
    assert told.locator("h2").inner_text() == "The pair that stood there unwritten"
    for role in ("seen", "held", "goal", "doubt"):
        assert told.locator(f".role-{role}").count() == 1
    assert page.locator("#findings li").all_inner_texts() == list(STORY.findings)
    assert page.locator("dt").all_inner_texts() == [each.name for each in STORY.techniques]
    assert "free to use" in page.locator("#rights").inner_text()


@pytest.mark.browser
def test_a_pause_tells_nothing_before_it_is_tried(open_lesson: Callable[..., Any]) -> None:
    page = open_lesson()
    scene = STORY.scenes[FIRST]
    assert card(page, FIRST).is_visible()
    assert scene.headline not in page.locator("body").inner_text()
    assert [card(page, index).is_visible() for index in range(len(STORY.scenes))] == [
        index <= FIRST for index in range(len(STORY.scenes))
    ]
    assert page.locator("#findings").is_hidden()
    assert "7 more scenes follow" in page.locator(".more").inner_text()


@pytest.mark.browser
def test_hints_come_one_at_a_time(open_lesson: Callable[..., Any]) -> None:
    page = open_lesson()
    pause = STORY.scenes[FIRST].pause
    assert pause
    nudge = card(page, FIRST).get_by_role("button", name=re.compile("nudge"))
    for count, hint in enumerate(pause.hints, 1):
        assert nudge.inner_text() == f"a nudge {count} of {len(pause.hints)}"
        nudge.click()
        assert card(page, FIRST).locator(".nudges li").all_inner_texts() == list(pause.hints[:count])
        assert hint == page.locator("#said").inner_text() or hint in page.locator("#said").text_content()
    assert nudge.is_disabled()


@pytest.mark.browser
def test_a_wrong_try_is_answered_kindly_and_a_right_one_opens_the_answer(open_lesson: Callable[..., Any]) -> None:
    page = open_lesson()
    scene = STORY.scenes[FIRST]
    assert scene.pause and scene.pause.expects
    (right,), digit = scene.pause.expects.cells, scene.pause.expects.digit
    read_to(page, FIRST)
    tried = card(page, FIRST)
    wrong = next(c for c in range(81) if STORY.puzzle[c] == "." and STORY.solution[c] != str(digit))
    cell(page, wrong).click()
    tried.get_by_role("button", name=f"{digit} at row").click()
    assert tried.locator(".reply").inner_text() == f"The {digit} is the one to look for, but not there. Try another cell."
    assert not card(page, FIRST + 1).is_visible()
    cell(page, right).click()
    assert tried.locator(".reply").is_hidden()
    tried.get_by_role("button", name=f"{digit % 9 + 1} at row").click()
    assert "The place is right" in tried.locator(".reply").inner_text()
    tried.get_by_role("button", name=f"{digit} at row").click()
    assert tried.locator(".reply").inner_text() == "Right, and without a nudge."
    assert tried.locator("h3").inner_text() == scene.headline
    assert card(page, FIRST + 1).is_visible() and card(page, SECOND).is_visible()
    assert not card(page, SECOND + 1).is_visible()
    assert page.locator("#board [data-paint=goal]").count() == 1


@pytest.mark.browser
def test_a_digit_may_be_typed_on_the_board(open_lesson: Callable[..., Any]) -> None:
    page = open_lesson()
    scene = STORY.scenes[FIRST]
    assert scene.pause and scene.pause.expects
    read_to(page, FIRST)
    cell(page, 0).focus()
    target = scene.pause.expects.cells[0]
    for _ in range(target // 9):
        page.keyboard.press("ArrowDown")
    for _ in range(target % 9):
        page.keyboard.press("ArrowRight")
    page.keyboard.press(str(scene.pause.expects.digit))
    assert "Right" in card(page, FIRST).locator(".reply").inner_text()


@pytest.mark.browser
def test_two_places_are_named_together(open_lesson: Callable[..., Any]) -> None:
    page = open_lesson()
    card(page, FIRST).get_by_role("button", name="read on without trying").click()
    read_to(page, SECOND)
    scene = STORY.scenes[SECOND]
    assert scene.pause and scene.pause.expects
    one, other = scene.pause.expects.cells
    digit = scene.pause.expects.digit
    tried = card(page, SECOND)
    cell(page, one).click()
    tried.get_by_role("button", name=f"{digit} at row").click()
    assert "one place more" in tried.locator(".reply").inner_text()
    cell(page, other).click()
    cell(page, 80).click()
    cell(page, 80).click()
    tried.get_by_role("button", name=f"{digit} at row").click()
    assert "Right" in tried.locator(".reply").inner_text()


@pytest.mark.browser
def test_reading_on_leaves_the_pause_closed_but_not_the_rest(open_lesson: Callable[..., Any]) -> None:
    page = open_lesson()
    card(page, FIRST).get_by_role("button", name="read on without trying").click()
    assert card(page, FIRST + 1).is_visible()
    assert STORY.scenes[FIRST].headline not in page.locator("body").inner_text()
    card(page, FIRST).get_by_role("button", name="open the answer").click()
    assert card(page, FIRST).locator("h3").inner_text() == STORY.scenes[FIRST].headline


@pytest.mark.browser
def test_a_free_answer_is_compared_by_the_reader(open_lesson: Callable[..., Any]) -> None:
    page = open_lesson()
    for index in (FIRST, SECOND):
        card(page, index).get_by_role("button", name="open the answer").click()
    free = card(page, THIRD)
    assert free.get_by_role("button", name=re.compile("nudge")).count() == 0
    free.locator("textarea").fill("Nothing else asked for it.")
    free.get_by_role("button", name="compare with the answer").click()
    assert free.locator(".own").inner_text() == "Nothing else asked for it."
    assert free.locator("h3").inner_text() == STORY.scenes[THIRD].headline
    assert card(page, len(STORY.scenes) - 1).is_visible()
    assert page.locator("#findings").is_visible()


# Playing


def strokes_by(ms: float) -> int:
    known = [stroke.at_ms for stroke in STORY.strokes]
    return sum(1 for index, at in enumerate(known) if (at if at is not None else (known[index - 1] or 0) + 1) <= ms)


@pytest.mark.browser
def test_playback_keeps_true_time_and_stops_at_a_closed_pause(browser: Any, lesson: str) -> None:
    context = browser.new_context(offline=True, viewport={"width": 1280, "height": 900})
    page = context.new_page()
    page.clock.install()
    page.goto(lesson)
    page.get_by_role("button", name="play as solved").click()
    page.clock.run_for(6000)
    assert abs(position(page) - strokes_by(6000)) <= 1
    assert page.locator("#play").inner_text() == "stop"
    page.clock.run_for(9000)
    first = STORY.scenes[FIRST]
    assert position(page) == first.page
    assert page.locator("#play").inner_text() == "play as solved"
    assert card(page, FIRST).get_attribute("class").split()[-1] == "is-current"
    page.clock.run_for(2000)
    open_all(page)
    page.locator("svg.strip").focus()
    page.keyboard.press("Home")
    page.get_by_role("button", name="quarter speed").click()
    page.get_by_role("button", name="play as solved").click()
    page.clock.run_for(16000)
    assert abs(position(page) - strokes_by(4000)) <= 1
    page.get_by_role("button", name="true speed").click()
    page.clock.run_for(int(STORY.strokes[-1].at_ms or 0) + 3000)
    assert position(page) == len(STORY.strokes)
    assert digits_named(page) == [int(sign) for sign in STORY.solution]
    assert page.locator("#play").inner_text() == "play as solved"
    context.close()


COUNT_WRITING = """() => {
  window.written = 0;
  const animate = Element.prototype.animate;
  Element.prototype.animate = function (...how) {
    window.written += this.dataset.stroke === "1";
    return animate.apply(this, how);
  };
}"""


@pytest.mark.browser
def test_a_digit_is_written_line_by_line_unless_the_reader_wants_calm(open_lesson: Callable[..., Any]) -> None:
    for motion, moves in (("no-preference", True), ("reduce", False)):
        page = open_lesson(reduced_motion=motion)
        page.evaluate(COUNT_WRITING)
        page.get_by_role("button", name="on a stroke").click()
        assert position(page) == 1
        assert (page.evaluate("written") > 0) is moves
        assert page.locator("#stroke").inner_text().endswith(STORY.strokes[0].label)
        page.get_by_role("button", name="back a stroke").click()
        assert page.locator("#stroke").inner_text() == "before the first stroke"


@pytest.mark.browser
def test_the_strip_moves_stroke_by_stroke_and_not_past_a_closed_pause(open_lesson: Callable[..., Any]) -> None:
    page = open_lesson()
    strip = page.locator("svg.strip")
    assert page.locator(".tick").count() == len(STORY.strokes)
    assert page.locator(".tick-unknown").count() == 1
    assert page.locator(".strip-rest").count() == len(STORY.waits)
    strip.focus()
    for key, expected in (("ArrowRight", 1), ("ArrowRight", 2), ("ArrowLeft", 1), ("Home", 0)):
        page.keyboard.press(key)
        assert position(page) == expected
    assert re.fullmatch(r"0:00\.0, 0 of \d+ strokes", strip.get_attribute("aria-valuetext"))
    page.keyboard.press("End")
    assert position(page) == STORY.scenes[FIRST].page
    assert "closed" in page.locator("#said").text_content()
    open_all(page)
    strip.focus()
    page.keyboard.press("End")
    assert position(page) == len(STORY.strokes)
    box = strip.bounding_box()
    strip.click(position={"x": box["width"] * 0.5, "y": 40})
    assert 0 < position(page) < len(STORY.strokes)
    page.locator(".strip-flag").nth(1).click()
    page.wait_for_function("index => document.querySelectorAll('article.card')[index].matches('.is-current')", arg=SECOND)


# Trying the puzzle first


@pytest.mark.browser
def test_the_puzzle_can_be_tried_and_is_kept(open_lesson: Callable[..., Any], lesson: str) -> None:
    page = open_lesson()
    page.get_by_role("button", name="try the puzzle first").click()
    assert page.locator(".telling").is_hidden()
    check = page.get_by_role("button", name="does it agree so far?")
    check.click()
    assert page.locator(".attempt .reply").inner_text() == "Nothing is written yet."
    cell(page, 1).click()
    page.get_by_role("button", name="write 3").click()
    cell(page, 2).focus()
    page.keyboard.press(STORY.solution[2])
    check.click()
    assert page.locator(".attempt .reply").inner_text() == "What you wrote agrees so far: 2 digits, 51 to go."
    cell(page, 3).focus()
    page.keyboard.press("9")
    check.click()
    assert page.locator(".attempt .reply").inner_text().startswith("1 of 3 digits does not agree.")
    page.get_by_role("button", name="show which").click()
    assert page.locator("#board [data-paint=wave]").count() == 1
    page.get_by_role("button", name="take back").click()
    assert digits_named(page)[3] == 0
    cell(page, 0).focus()
    page.keyboard.press("5")
    assert page.locator(".attempt .reply").inner_text() == "That digit is printed."
    page.goto(lesson)
    page.get_by_role("button", name="back to your own try").click()
    assert digits_named(page)[1:3] == [3, 9]
    page.get_by_role("button", name="back to the story").click()
    assert page.locator(".telling").is_visible()
    assert digits_named(page)[1] == 0


@pytest.mark.browser
def test_pencil_marks_are_struck_rather_than_rubbed_out(open_lesson: Callable[..., Any]) -> None:
    page = open_lesson()
    page.get_by_role("button", name="try the puzzle first").click()
    cell(page, 3).click()
    page.keyboard.press("p")
    page.keyboard.press("4")
    page.keyboard.press("9")
    assert cell(page, 3).get_attribute("aria-label") == "row 1, column 4: marked 4 9"
    page.keyboard.press("9")
    assert cell(page, 3).get_attribute("aria-label") == "row 1, column 4: marked 4"
    assert page.locator("#board [data-paint=strike]").count() == 1
    page.get_by_label("in ink").check()
    page.get_by_role("button", name="write 4").click()
    assert page.locator("#board [data-paint=faded]").count() >= 1
    cell(page, 3).focus()
    page.keyboard.press("Backspace")
    assert digits_named(page)[3] == 0


@pytest.mark.browser
def test_the_whole_puzzle_written_is_said_to_be_so(open_lesson: Callable[..., Any]) -> None:
    page = open_lesson()
    page.get_by_role("button", name="try the puzzle first").click()
    missing = [[number, sign] for number, sign in enumerate(STORY.solution) if STORY.puzzle[number] == "."]
    page.evaluate(
        """(missing) => missing.forEach(([cell, key]) => document.querySelector(`[data-cell="${cell}"]`)
             .dispatchEvent(new KeyboardEvent("keydown", {key, bubbles: true})))""",
        missing,
    )
    assert page.locator(".attempt .reply").inner_text() == "That is the whole puzzle, and every digit agrees."
    assert digits_named(page) == [int(sign) for sign in STORY.solution]


@pytest.mark.browser
def test_a_browser_that_keeps_nothing_is_no_hindrance(browser: Any, lesson: str) -> None:
    context = browser.new_context(offline=True)
    context.add_init_script("Object.defineProperty(window, 'localStorage', {get() { throw new Error('shut'); }});")
    page = context.new_page()
    faults: list[str] = []
    page.on("pageerror", lambda error: faults.append(str(error)))
    page.goto(lesson)
    page.get_by_role("button", name="try the puzzle first").click()
    cell(page, 1).focus()
    page.keyboard.press("3")
    assert digits_named(page)[1] == 3
    page.get_by_role("button", name="by lamplight").click()
    assert faults == []
    context.close()


# Seeing and reading it

CONTRASTS = Path(__file__).with_name("contrasts.js").read_text(encoding="utf-8")


@pytest.mark.browser
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_everything_can_be_told_from_its_ground(open_lesson: Callable[..., Any], scheme: str) -> None:
    """WCAG 2.2, 1.4.3 and 1.4.11, computed in the page for every text and every line that carries meaning."""
    page = open_lesson(color_scheme=scheme)
    seen: set[str] = set()

    def look() -> None:
        found = page.evaluate(CONTRASTS)
        seen.update(found["kinds"])
        assert found["low"] == []

    look()
    read_to(page, FIRST)
    card(page, FIRST).get_by_role("button", name=re.compile("nudge")).click()
    cell(page, 40).click()
    look()
    open_all(page)
    for index in (2, 7, 9, 10):
        read_to(page, index)
        look()
    page.get_by_role("button", name="try the puzzle first").click()
    page.get_by_role("button", name="does it agree so far?").click()
    look()
    assert {"ring", "reach", "cloud", "slash", "wave", "goal", "pen", "mark", "faded", "tick-digit", "strip-rest"} <= seen
    assert {"BUTTON", "H1", "H2", "P", "STRONG", "DT"} <= seen


@pytest.mark.browser
def test_lamp_and_daylight_can_be_chosen(open_lesson: Callable[..., Any]) -> None:
    page = open_lesson(color_scheme="light")
    ground = lambda: page.evaluate("getComputedStyle(document.body).backgroundColor")  # noqa: E731
    daylight = ground()
    page.get_by_role("button", name="by lamplight").click()
    assert ground() != daylight
    page.reload()
    assert ground() != daylight
    page.get_by_role("button", name="by daylight").click()
    assert ground() == daylight


@pytest.mark.browser
@pytest.mark.parametrize(("width", "height"), [(390, 844), (320, 568), (844, 390), (768, 1024), (1280, 720)])
def test_nothing_runs_off_the_side(open_lesson: Callable[..., Any], width: int, height: int) -> None:
    page = open_lesson(viewport={"width": width, "height": height})
    open_all(page)
    for index in (0, 5, len(STORY.scenes) - 1):
        card(page, index).scroll_into_view_if_needed()
        assert page.evaluate("document.documentElement.scrollWidth") <= width
    board = page.locator(".board").bounding_box()
    assert board["x"] >= 0 and board["x"] + board["width"] <= width
    assert board["y"] >= 0 and board["y"] + board["height"] <= height, "the board stays in sight"
    page.get_by_role("button", name="try the puzzle first").click()
    assert page.evaluate("document.documentElement.scrollWidth") <= width


@pytest.mark.browser
def test_on_a_phone_board_and_words_are_seen_together_and_fingers_find_their_aim(open_lesson: Callable[..., Any]) -> None:
    page = open_lesson(viewport={"width": 390, "height": 844}, has_touch=True)
    read_to(page, FIRST)
    cell(page, 40).tap()
    digits = card(page, FIRST).locator(".digits button")
    assert digits.count() == 9
    boxes = [digits.nth(index).bounding_box() for index in range(9)] + [cell(page, 40).bounding_box()]
    assert all(box["width"] >= 24 and box["height"] >= 24 for box in boxes), "WCAG 2.2, 2.5.8: targets of 24 by 24"
    bench, head = page.locator("#bench").bounding_box(), card(page, FIRST).locator("h2").bounding_box()
    assert bench["y"] + bench["height"] <= 844 * 0.56
    assert head["y"] > 0


@pytest.mark.browser
def test_everything_has_a_name_and_the_keyboard_reaches_it(open_lesson: Callable[..., Any]) -> None:
    page = open_lesson()
    assert page.locator("html").get_attribute("lang") == "en"
    assert page.title() == STORY.title
    assert page.get_by_role("gridcell").count() == 81
    assert page.get_by_role("row").count() == 9
    assert page.get_by_role("grid").get_attribute("aria-label").startswith("the page at")
    names = page.locator("button:visible").evaluate_all("all => all.map((b) => b.getAttribute('aria-label') || b.innerText)")
    assert all(name.strip() for name in names)
    assert len(names) == len(set(names))
    reached: list[str] = []
    page.keyboard.press("Tab")
    while page.evaluate("document.activeElement !== document.body") and len(reached) < 60:
        reached.append(page.evaluate("document.activeElement.getAttribute('role') || document.activeElement.innerText"))
        assert page.evaluate("getComputedStyle(document.activeElement).outlineStyle") != "none", reached[-1]
        page.keyboard.press("Tab")
    assert reached.count("gridcell") == 1, "the board is one stop, arrow keys move in it"
    assert "slider" in reached
    assert "open the answer" in reached


@pytest.mark.browser
def test_cells_tell_what_stands_in_them_and_what_is_pointed_out(open_lesson: Callable[..., Any]) -> None:
    page = open_lesson()
    open_all(page)
    read_to(page, 7)
    names = page.get_by_role("gridcell").evaluate_all("all => all.map((cell) => cell.getAttribute('aria-label'))")
    assert sum("to be settled" in name for name in names) == 1
    assert sum("held in mind: 4 5" in name for name in names) == 2
    assert sum("to be seen" in name for name in names) == len(STORY.scenes[7].evidence.seen)
    assert any("marked" in name for name in names)


@pytest.mark.browser
def test_on_paper_everything_is_told_and_the_answers_come_last(open_lesson: Callable[..., Any]) -> None:
    page = open_lesson(color_scheme="dark")
    page.emulate_media(media="print")
    page.wait_for_selector(".printed-scene")
    assert page.locator("#bench").is_hidden() and page.locator("#scenes").is_hidden()
    printed = page.locator("#printed").inner_text()
    for scene in STORY.scenes:
        assert scene.headline in printed
        assert scene.kicker in printed
        if scene.pause:
            assert scene.pause.question in printed
    answers = printed.index("Answers")
    for scene in STORY.scenes:
        assert (printed.index(scene.headline) > answers) is bool(scene.pause)
    assert page.locator(".printed-scene svg").count() == len(STORY.scenes) + 3
    assert page.locator("dl").is_visible() and page.locator("#findings").is_visible()
    ink = page.evaluate("getComputedStyle(document.querySelector('.printed h2')).color")
    assert ink == "rgb(33, 31, 28)", "paper is light whatever the screen was"
    assert page.evaluate("getComputedStyle(document.body).backgroundColor") == "rgba(0, 0, 0, 0)"


@pytest.mark.browser
def test_words_from_a_sheet_never_become_more_than_words(open_lesson: Callable[..., Any], tmp_path: Path) -> None:
    path = tmp_path / "hostile.html"
    path.write_text(lesson_page(hostile_story()), encoding="utf-8")
    page = open_lesson(path.as_uri())
    open_all_or_one = page.get_by_role("button", name=re.compile("open the answer"))
    open_all_or_one.click()
    assert page.evaluate("window.hit") is None
    assert page.locator("img").count() == 0
    assert "<script>window.hit=1</script>" in card(page, 0).locator("h2").inner_text()
    page.emulate_media(media="print")
    page.wait_for_selector(".printed-scene")
    assert page.evaluate("window.hit") is None


@pytest.mark.browser
@pytest.mark.parametrize(
    "story",
    [
        replace(STORY, scenes=(), strokes=(), waits=(), techniques=(), findings=()),
        replace(STORY, strokes=tuple(replace(stroke, at_ms=None) for stroke in STORY.strokes), waits=()),
        replace(STORY, event="", solver="", total="", source="", credit="", permission=""),
    ],
    ids=["nothing but the puzzle", "no times", "no heading"],
)
def test_a_story_may_lack_nearly_everything(open_lesson: Callable[..., Any], tmp_path: Path, story: Story) -> None:
    path = tmp_path / "lesson.html"
    path.write_text(lesson_page(story), encoding="utf-8")
    page = open_lesson(path.as_uri())
    assert digits_named(page)[0] == 1
    page.get_by_role("button", name="on a stroke").click()
    assert position(page) == min(1, len(story.strokes))


@pytest.mark.browser
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_a_checker_of_accessible_pages_finds_nothing_serious(open_lesson: Callable[..., Any], scheme: str) -> None:
    page = open_lesson(color_scheme=scheme)
    assert serious_findings(page) == []
    card(page, FIRST).get_by_role("button", name=re.compile("nudge")).click()
    read_to(page, FIRST)
    cell(page, 40).click()
    assert serious_findings(page) == []
    open_all(page)
    assert serious_findings(page) == []
    page.get_by_role("button", name="try the puzzle first").click()
    assert serious_findings(page) == []
