"""Phrases, lesson time, captions and chapters, read back by readers that know nothing of the writers."""

from __future__ import annotations

import base64
import html
import json
import re
import shutil
import subprocess
import unicodedata
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inkstep.ground.errors import InputError
from inkstep.press.captions import Cue, cues, subrip, webvtt
from inkstep.press.chapters import chapters
from inkstep.press.phrases import paragraphs, phrases, plain, spoken_words
from inkstep.press.telling import Part, Passage, PauseText, Telling, TimedPassage, timed

CALM = settings(deadline=None)  # a busy machine is no fault of the code

# Netflix, English Timed Text Style Guide: 42 characters a line, 2 lines, at most 7 seconds, 2 frames between
# (83.3 ms at 24 a second), 17 characters a second for children; TED, subtitling tips: 42 characters, 2 lines.
# One second at least is our own, over the 5/6 s of the first.
LINE, LINES, SPEED, SHORTEST, LONGEST, GAP = 42, 2, 17, 1000, 7000, 2000 / 24

Read = tuple[str, int, int, list[str]]


class BrokenError(Exception):
    """The file is not of the form it says it is."""


def need(holds: object, why: str) -> None:
    if not holds:
        raise BrokenError(why)


VTT_TIME = re.compile(r"(?:(\d{2,}):)?([0-5]\d):([0-5]\d)\.(\d{3})", re.ASCII)
VTT_ESCAPE = re.compile(r"&(?:amp|lt|gt|lrm|rlm|nbsp|#\d+|#x[0-9A-Fa-f]+);")


def read_vtt(data: bytes) -> list[Read]:
    """The cues of a WebVTT file, by the syntax of w3.org/TR/webvtt1, section 4; text without tags."""
    text = data.decode("utf-8").removeprefix("\ufeff")
    need("\0" not in text, "a NUL character")
    lines = re.split(r"\r\n|\n|\r", text)
    need(re.fullmatch(r"WEBVTT(?:[ \t].*)?", lines[0]) and "-->" not in lines[0], "the signature")
    need(lines[-1] == "" and (len(lines) < 3 or lines[1] == ""), "a blank line after the signature")
    read: list[Read] = []
    for block in re.split(r"\n{2,}", "\n".join(lines[2:]).strip("\n")):
        if block:
            read.append(read_vtt_cue(block.split("\n")))
    need(len({cue[0] for cue in read}) == len(read), "two cues of one id")
    need(all(a[1] <= b[1] for a, b in pairwise(read)), "starts that go back")
    return read


def read_vtt_cue(lines: list[str]) -> Read:
    name = "" if "-->" in lines[0] else lines.pop(0)
    need(not re.match(r"(?:NOTE|STYLE|REGION)(?:[ \t]|$)", name), "a cue named as another block")
    timing = re.fullmatch(r"(\S+)[ \t]+-->[ \t]+(\S+)", lines.pop(0) if lines else "")
    need(timing, "a line of times")
    assert timing
    start, end = (vtt_ms(timing[i]) for i in (1, 2))
    need(end > start, "an end before its start")
    for line in lines:
        need("-->" not in line, "an arrow in the text")
        bare = VTT_ESCAPE.sub("", line)
        need("&" not in bare and "<" not in bare, f"a bare sign in {line!r}")
    return name, start, end, [html.unescape(line) for line in lines]


def vtt_ms(text: str) -> int:
    match = VTT_TIME.fullmatch(text)
    need(match, f"a time: {text!r}")
    assert match
    hours, minutes, seconds, rest = (int(group or 0) for group in match.groups())
    return ((hours * 60 + minutes) * 60 + seconds) * 1000 + rest


def read_srt(data: bytes) -> list[Read]:
    """The cues of a SubRip file (no standard, from memory): counter, times with a comma, text, blank line."""
    read: list[Read] = []
    body = data.decode("utf-8")
    for block in body.removesuffix("\n").split("\n\n") if body else []:
        counter, times, *lines = block.rstrip("\n").split("\n")
        need(counter == str(len(read) + 1), f"the counter {counter!r}")
        match = re.fullmatch(r"(\d\d+:[0-5]\d:[0-5]\d),(\d{3}) --> (\d\d+:[0-5]\d:[0-5]\d),(\d{3})", times, re.ASCII)
        need(match and lines, f"times and text: {block!r}")
        assert match
        need("-->" not in "".join(lines), "an arrow in the text")
        read.append((counter, vtt_ms(f"{match[1]}.{match[2]}"), vtt_ms(f"{match[3]}.{match[4]}"), lines))
    return read


MARKUP = [
    "-->",
    "--",
    ">",
    "<b>",
    "</i>",
    "<",
    "&amp;",
    "&",
    "&#8195;",
    "{\\an8}",
    "NOTE",
    "WEBVTT",
    "00:01.000",
    "\n\n",
    "\r\n",
]
SIGNS = [
    "👩‍👩‍👧",
    "🏳️‍🌈",
    "e\u0301" * 30,
    "x" * 100,
    "r4c7",
    "...",
    "Row 4.",
    "1,",
    "\u2028",
    "\0",
    "\x1b[0m",
    "\ud800",
    "1" * 60,
]
WORDS = st.one_of(st.sampled_from(MARKUP + SIGNS), st.text(max_size=50), st.text(st.characters(), max_size=5))
TEXTS = st.lists(WORDS, max_size=30).map(" ".join)
PAUSES = st.builds(PauseText, TEXTS, st.tuples(TEXTS), TEXTS, st.integers(0, 60_000))
PASSAGES = st.builds(
    Passage, st.text(max_size=5), TEXTS, TEXTS, st.integers(0, 200), st.none(), st.one_of(st.none(), PAUSES)
)
TELLINGS = st.builds(Telling, st.just("A solve"), st.lists(PASSAGES, max_size=5).map(tuple))


def telling(*texts: str, pause: PauseText | None = None) -> Telling:
    return Telling("A solve", tuple(Passage(f"p{i}", f"Part {i}", text, i, None, pause) for i, text in enumerate(texts)))


def said(told: Telling) -> str:
    """Everything read aloud, without white space and what no file can show; by code of its own."""
    parts: list[str] = []
    for passage in told.passages:
        parts.append(passage.text)
        if passage.pause:
            parts += [passage.pause.question, passage.pause.answer]
    return bare("".join(parts))


def bare(text: str) -> str:
    shown = (char for char in text if not char.isspace() and unicodedata.category(char) != "Cc")
    return "".join("\ufffd" if unicodedata.category(char) == "Cs" else char for char in shown)


@CALM
@given(TELLINGS, st.integers(60, 300))
def test_any_text_gives_valid_webvtt_that_loses_nothing(told: Telling, pace: int) -> None:
    captions = cues(timed(told, pace))
    read = read_vtt(webvtt(captions).encode("utf-8"))
    assert [(cue.id, cue.start_ms, cue.end_ms, list(cue.lines)) for cue in captions] == read
    assert bare("".join(line for _, _, _, lines in read for line in lines)) == said(told)


@CALM
@given(TELLINGS)
def test_any_text_gives_valid_subrip_at_the_same_times(told: Telling) -> None:
    captions = cues(timed(told))
    read = read_srt(subrip(captions).encode("utf-8"))
    assert [(start, end) for _, start, end, _ in read] == [(cue.start_ms, cue.end_ms) for cue in captions]
    for (_, _, _, lines), cue in zip(read, captions, strict=True):
        assert [line.replace("→", "-->").replace("‹", "<") for line in lines] == [
            line.replace("→", "-->").replace("‹", "<") for line in cue.lines
        ]
        assert not re.search(r"<[A-Za-z/]", "\n".join(lines))


@CALM
@given(TELLINGS, st.integers(60, 300))
def test_cues_keep_within_the_published_limits(told: Telling, pace: int) -> None:
    captions = cues(timed(told, pace))
    for cue in captions:
        length = cue.end_ms - cue.start_ms
        assert 1 <= len(cue.lines) <= LINES
        assert max(map(len, cue.lines)) <= LINE
        assert SHORTEST <= length <= LONGEST
        assert len("\n".join(cue.lines)) * 1000 <= SPEED * length
    for before, after in pairwise(captions):
        assert after.start_ms - before.end_ms >= GAP


@CALM
@given(TELLINGS, st.integers(60, 300))
def test_lesson_time_has_no_holes_and_nobody_is_hurried(told: Telling, pace: int) -> None:
    now = 0
    for place in timed(told, pace):
        assert place.start_ms == now
        spans = place.spans
        assert all(span.start_ms < span.end_ms for span in spans)
        assert all(a.end_ms <= b.start_ms for a, b in pairwise(spans))
        assert not spans or (spans[0].start_ms >= now and spans[-1].end_ms <= place.end_ms)
        for span in spans:
            words = spoken_words(" ".join(span.lines))
            assert (span.end_ms - span.start_ms) * pace >= words * 60_000
        now = place.end_ms
        assert now > place.start_ms
    assert len(timed(told, pace)) == len(told.passages)


@CALM
@given(TELLINGS)
def test_a_pause_is_question_rest_answer_after_the_text(told: Telling) -> None:
    for place in timed(told):
        parts = [span.part for span in place.spans]
        assert parts == sorted(parts, key=list(Part).index)
        rests = [span.end_ms - span.start_ms for span in place.spans if span.part is Part.REST]
        pause = place.passage.pause
        assert rests == ([pause.rest_ms] if pause and pause.rest_ms else [])


def test_a_pace_of_145_words_a_minute() -> None:
    """58 words of a syllable or two take 24 seconds at that pace, and a breath."""
    (place,) = timed(telling("only the seven is left for this " * 8 + "cell here"))
    assert spoken_words(place.passage.text) == 58
    assert 24_000 <= place.end_ms <= 24_000 + 700 + 10
    quick, slow = (timed(telling("one two three four five six"), pace)[0].end_ms for pace in (145, 100))
    assert quick < slow


@pytest.mark.parametrize(
    ("text", "words"),
    [("r4c7", 4), ("so r4c7 is 5", 7), ("r2c3=5", 6), ("12.4 s", 4), ("it's the solver’s", 3), ("— … !", 0)],
)
def test_spoken_words(text: str, words: int) -> None:
    assert spoken_words(text) == words


def lines_of(text: str) -> list[tuple[str, ...]]:
    return [phrase.lines for phrase in phrases(plain(text), 145)]


def test_a_caption_ends_with_its_sentence() -> None:
    assert lines_of("The 7 is the last digit of row 4. Nothing else was needed.") == [
        ("The 7 is the last digit of row 4.", "Nothing else was needed.")
    ]
    assert lines_of("Row 4 needs 1, 3 and 7. Column 6 holds the 1 and box 5 the 3, so the 7 goes in there.") == [
        ("Row 4 needs 1, 3 and 7.",),
        ("Column 6 holds the 1 and box 5 the 3,", "so the 7 goes in there."),
    ]


@pytest.mark.parametrize("house", ["row", "column", "box"])
def test_a_house_keeps_its_number(house: str) -> None:
    for filler in range(30):
        text = " ".join(["seen"] * filler + [f"there in {house} 4 was nothing more to find by anybody who looked there"])
        assert f"{house} 4" in "\n".join("\n".join(lines) for lines in lines_of(text))


@pytest.mark.parametrize("kept", ["row 3, column 7", "1, 3 and 7", "two digits", "the 5"])
def test_what_belongs_together_stays_together(kept: str) -> None:
    for filler in range(30):
        text = " ".join(["seen"] * filler + [f"there {kept} was something more to find by anybody who looked"])
        assert kept in "\n".join("\n".join(lines) for lines in lines_of(text))


@CALM
@given(st.text(st.characters(codec="utf-8", exclude_categories=["Z", "C"]), min_size=43, max_size=200))
def test_a_word_longer_than_a_line_is_whole_when_its_parts_are_joined(word: str) -> None:
    assert "".join("".join(lines) for lines in lines_of(word)) == plain(word)


def test_a_long_word_is_not_cut_inside_a_character_of_several_parts() -> None:
    lines = [line for lines in lines_of("👩‍👩‍👧" * 30) for line in lines]
    assert all(line[0] == "👩" and line[-1] == "👧" for line in lines)
    assert all(line.startswith("e") for lines in lines_of("e\u0301" * 50) for line in lines)


def test_paragraphs_have_a_breath_between_them() -> None:
    apart = timed(telling("One more thing here.\n\nTwo more things here."))[0].spans
    assert [span.lines for span in apart] == [("One more thing here.",), ("Two more things here.",)]
    assert apart[1].start_ms - apart[0].end_ms >= 500
    assert paragraphs(" a\r\n \t\r\nb\nc \n\n\n") == ("a", "b c")


def test_a_negative_rest_and_pace_are_refused() -> None:
    with pytest.raises(InputError, match="pause at p0: expected a rest of 0 ms or longer, got -1 ms"):
        timed(telling("Look.", pause=PauseText("Where?", (), "There.", -1)))
    with pytest.raises(ValueError, match="at least 1 word"):
        timed(telling("Look."), 0)


SAMPLE = (
    Cue("cue-1", 0, 1500, ("Is 3 < 5 & 5 --> 7?", "<b>Yes</b> &amp; no")),
    Cue("cue-2", 3_600_000, 3_605_250, ("An hour on: é ≠ 👍",)),
)


def test_webvtt_by_the_letter() -> None:
    assert webvtt(SAMPLE) == (
        "WEBVTT\n\n"
        "cue-1\n00:00:00.000 --> 00:00:01.500\n"
        "Is 3 &lt; 5 &amp; 5 --&gt; 7?\n&lt;b&gt;Yes&lt;/b&gt; &amp;amp; no\n\n"
        "cue-2\n01:00:00.000 --> 01:00:05.250\nAn hour on: é ≠ 👍\n"
    )
    assert read_vtt(webvtt(()).encode()) == []


def test_subrip_by_the_letter() -> None:
    assert subrip(SAMPLE) == (
        "1\n00:00:00,000 --> 00:00:01,500\nIs 3 < 5 & 5 → 7?\n‹b>Yes‹/b> &amp; no\n\n"
        "2\n01:00:00,000 --> 01:00:05,250\nAn hour on: é ≠ 👍\n"
    )
    assert subrip(()) == ""


@pytest.mark.parametrize(
    "damaged",
    [
        "WEBVTT\na\n",
        "WEBVT\n\n",
        "WEBVTT\n\n00:00.000 --> 00:01.00\nx\n",
        "WEBVTT\n\n00:02.000 --> 00:01.000\nx\n",
        "WEBVTT\n\n00:00.000 --> 00:01.000\na < b\n",
        "WEBVTT\n\n00:00.000 --> 00:01.000\na & b\n",
        "WEBVTT\n\nx\n00:00.000 --> 00:01.000\na --> b\n",
        "WEBVTT\n\n00:00,000 --> 00:01,000\nx\n",
    ],
)
def test_the_strict_reader_is_strict(damaged: str) -> None:
    with pytest.raises(BrokenError):
        read_vtt(damaged.encode())


def test_webvtt_by_the_parser_from_npm(tmp_path: Path) -> None:
    """A second opinion, where somebody has installed the package ``webvtt-parser`` beside the project."""
    package = Path(__file__).parents[1] / "node_modules" / "webvtt-parser"
    node = shutil.which("node")
    if not node or not package.is_dir():
        pytest.skip("needs node, and webvtt-parser under node_modules (npm install webvtt-parser)")
    told = telling(*(f"{' '.join(MARKUP)} in row {i}. {' '.join(SIGNS)}" for i in range(5)))
    file = tmp_path / "captions.vtt"
    file.write_text(webvtt(cues(timed(told))), encoding="utf-8", newline="\n")
    program = (
        "const { WebVTTParser } = require(process.argv[1]); const fs = require('fs');"
        "const tree = new WebVTTParser().parse(fs.readFileSync(process.argv[2], 'utf8'), 'subtitles');"
        "console.log(JSON.stringify([tree.errors, tree.cues.length]));"
    )
    ran = subprocess.run([node, "-e", program, str(package), str(file)], capture_output=True, text=True, check=True)
    assert json.loads(ran.stdout) == [[], len(cues(timed(told)))]


@pytest.mark.browser
def test_webvtt_by_a_browser(browser: Any) -> None:
    """What Chromium shows for each cue is the text that was written, and when."""
    told = telling(*(f"{' '.join(MARKUP)} in row {i}. {' '.join(SIGNS)}" for i in range(3)))
    captions = cues(timed(told))
    source = "data:text/vtt;base64," + base64.b64encode(webvtt(captions).encode("utf-8")).decode("ascii")
    page = browser.new_page()
    try:
        page.set_content(f'<video><track default src="{source}"></video>')
        page.wait_for_function("document.querySelector('track').readyState >= 2")
        shown = page.evaluate(
            "Array.from(document.querySelector('track').track.cues, cue => [cue.id,"
            " Math.round(cue.startTime * 1000), Math.round(cue.endTime * 1000),"
            " cue.getCueAsHTML().textContent])"
        )
    finally:
        page.close()
    assert shown == [[cue.id, cue.start_ms, cue.end_ms, "\n".join(cue.lines)] for cue in captions]


def places(*lengths_s: float, headlines: tuple[str, ...] = ()) -> list[TimedPassage]:
    found, now = [], 0
    for number, length in enumerate(lengths_s):
        headline = headlines[number] if headlines else f"Part {number + 1}"
        end = now + round(length * 1000)
        found.append(TimedPassage(Passage(f"p{number}", headline, "", number), now, end, ()))
        now = end
    return found


def test_chapters_by_the_letter() -> None:
    told = chapters(places(61.9, 10, 3540, 25))
    assert told.text == "0:00 Part 1\n1:01 Part 2\n1:11 Part 3\n1:00:11 Part 4\n"
    assert told.remark == ""


def test_short_chapters_are_joined_to_the_one_before() -> None:
    told = chapters(places(12, 4, 4, 30, 11, 9.9))
    assert told.text == "0:00 Part 1\n0:12 Part 2\n0:50 Part 5\n"
    assert told.remark == "3 headlines joined to the chapter before: a chapter lasts 10 seconds or longer"
    assert chapters(places(10, 10, 10, 3)).remark.startswith("1 headline joined")


def test_ten_seconds_are_counted_as_they_are_written() -> None:
    assert chapters(places(9.9, 20, 20, 20)).text == "0:00 Part 1\n0:29 Part 3\n0:49 Part 4\n"
    assert chapters(places(10.9, 10, 10)).text == "0:00 Part 1\n0:10 Part 2\n0:20 Part 3\n"


def test_a_passage_without_a_headline_goes_on_with_the_chapter() -> None:
    told = chapters(places(20, 20, 20, 20, 20, headlines=("", "First", "First", " Se\ncond ", "Third")))
    assert told.text == "0:00 First\n1:00 Se cond\n1:20 Third\n"


def test_too_few_chapters_are_said_and_not_written() -> None:
    told = chapters(places(30, 30, 5))
    assert told.text is None
    assert told.remark == "no chapters: they need 3 of 10 seconds or longer, and there is room for only 2"
    assert chapters([]).remark.endswith("room for none")


@CALM
@given(st.lists(st.tuples(st.floats(0.7, 40), st.sampled_from(["", "A", "B", "C", "D"])), max_size=12))
def test_chapters_keep_the_rule(drawn: list[tuple[float, str]]) -> None:
    """First at 0:00, three or more, ascending, each at least ten seconds: the rule of video platforms."""
    told = places(*(length for length, _ in drawn), headlines=tuple(name for _, name in drawn))
    written = chapters(told).text
    if written is None:
        assert "no chapters" in chapters(told).remark
        return
    rows = [re.fullmatch(r"(\d+):(\d\d) (\S.*)", line) for line in written.splitlines()]
    starts = [int(row[1]) * 60 + int(row[2]) for row in rows if row]
    assert len(starts) == len(rows) >= 3
    assert starts[0] == 0
    ends = [*starts[1:], told[-1].end_ms / 1000]
    assert all(end - start >= 10 for start, end in zip(starts, ends, strict=True))
