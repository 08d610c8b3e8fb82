"""The videos that other tests log: what they show, when, and that a browser shows it to the frame."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from fractions import Fraction
from functools import partial
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from threading import Thread
from typing import Any

import pytest

import recordings
from inkstep.trace.editing import trim_time
from inkstep.trace.sheet import Header, Sheet
from inkstep.trace.strokes import Kind, Stroke
from recordings import READ_FRAME_JS, Recording, frame_number, frame_of, make_recording, make_undecodable, ms_of
from solves import DEMO, solve

NTSC = Fraction(30_000, 1001)
KINDS: dict[str, dict[str, Any]] = {
    "mp4": {},
    "webm": {"codec": "libvpx-vp9"},
    "jittered": {"jitter": 7},
    "broadcast": {"fps": NTSC},
}


def some_strokes() -> Sheet:
    """The first strokes of the demo, of several kinds."""
    return trim_time(solve(DEMO), 0, 8200)


def frames(recording: Recording) -> Iterator[tuple[Any, Fraction, bool]]:
    """The pixels of each frame, its moment in milliseconds, and whether it is a key frame."""
    with recordings.av.open(str(recording.path)) as file:
        for frame in file.decode(video=0):
            yield frame.to_ndarray(format="rgb24"), 1000 * frame.pts * frame.time_base, frame.key_frame


@pytest.mark.parametrize("kind", KINDS)
def test_every_frame_has_its_number_and_its_exact_moment(recording_of: Callable[..., Recording], kind: str) -> None:
    recording = recording_of(some_strokes(), **KINDS[kind])
    found = list(frames(recording))
    assert [frame_number(pixels) for pixels, _, _ in found] == list(range(len(recording.times_ms)))
    assert tuple(at for _, at, _ in found) == recording.times_ms
    assert [index for index, (_, _, key) in enumerate(found) if key] == list(range(0, len(found), 15))


def test_frames_and_moments_are_exact() -> None:
    for fps in (Fraction(30), Fraction(25), NTSC, Fraction(60_000, 1001)):
        for frame in (0, 1, 2, 3, 100, 101, 53_945):
            assert frame_of(ms_of(frame, fps), fps) == frame
            assert frame_of(ms_of(frame, fps) - Fraction(1, 10**9), fps) == frame - 1
    assert ms_of(30_000, NTSC) == 1_001_000


def test_the_known_moments_are_those_of_an_even_rate(recording_of: Callable[..., Recording]) -> None:
    recording = recording_of(some_strokes())
    assert recording.times_ms == tuple(ms_of(frame, Fraction(30)) for frame in range(len(recording.times_ms)))
    assert len(recording.times_ms) == frame_of(2000 + 8120 + 1500, Fraction(30))
    jittered = recording_of(some_strokes(), **KINDS["jittered"])
    steps = [later - at for at, later in zip(jittered.times_ms, jittered.times_ms[1:], strict=False)]
    assert min(steps) > 0
    assert len(set(steps)) > 100


@pytest.mark.parametrize("kind", ["mp4", "jittered", "broadcast"])
def test_a_stroke_appears_on_the_frame_on_the_screen_at_its_time(recording_of: Callable[..., Recording], kind: str) -> None:
    recording = recording_of(some_strokes(), **KINDS[kind])
    shown = [pixels[: -recordings.STRIP, :, 0].astype("int16") for pixels, _, _ in frames(recording)]
    changed = [index for index in range(1, len(shown)) if abs(shown[index] - shown[index - 1]).max() > 60]
    assert changed == [recording.first_frame_of(number) for number in range(1, len(recording.sheet.strokes) + 1)]
    for number, stroke in enumerate(recording.sheet.strokes, 1):
        assert stroke.at_ms is not None
        assert 0 <= stroke.at_ms - recording.logged_ms(number) < 50


def test_a_stroke_without_a_time_appears_with_the_one_before_it(tmp_path: Path) -> None:
    strokes = (
        Stroke(Kind.DIGIT, 500, cells=(0,), digits=(4,)),
        Stroke(Kind.DIGIT, None, cells=(1,), digits=(5,)),
        Stroke(Kind.DIGIT, 900, cells=(2,), digits=(6,)),
    )
    sheet = Sheet(Header((0,) * 81), strokes)
    recording = make_recording(tmp_path / "short.mp4", sheet, clock_start_ms=0, tail_ms=200)
    assert [recording.first_frame_of(number) for number in (1, 2, 3)] == [15, 15, 27]
    assert len(recording.times_ms) == 33


def test_a_picture_that_is_no_frame_is_refused(recording_of: Callable[..., Recording]) -> None:
    one, two = (pixels for pixels, _, _ in list(frames(recording_of(some_strokes())))[6:8])
    with pytest.raises(ValueError, match="neither black nor white"):
        frame_number((one.astype(int) + two) // 2)


# In a browser

_RANGE = re.compile(r"bytes=(\d+)-(\d*)")


class Ranges(BaseHTTPRequestHandler):
    """A page with one video, and the files of a folder in ranges, as players ask for them."""

    protocol_version = "HTTP/1.1"

    def __init__(self, folder: Path, *parts: Any) -> None:
        self.folder = folder
        super().__init__(*parts)

    def do_GET(self) -> None:
        file = self.folder / self.path.lstrip("/")
        if not file.is_file():
            self.answer(200, b"<!doctype html><title>video</title><video muted preload=auto></video>", "text/html")
            return
        whole = file.read_bytes()
        wanted = _RANGE.match(self.headers.get("Range", ""))
        start = int(wanted[1]) if wanted else 0
        end = min(int(wanted[2]) if wanted and wanted[2] else len(whole) - 1, start + 200_000)
        self.answer(206, whole[start : end + 1], f"video/{file.suffix[1:]}", f"bytes {start}-{end}/{len(whole)}")

    def answer(self, status: int, body: bytes, kind: str, span: str = "") -> None:
        self.send_response(status)
        self.send_header("Content-Type", kind)
        self.send_header("Content-Length", str(len(body)))
        if span:
            self.send_header("Content-Range", span)
            self.send_header("Accept-Ranges", "bytes")
        self.end_headers()
        self.wfile.write(body)

    def log_message(self, *parts: Any) -> None:
        """Say nothing."""


@pytest.fixture
def player(browser: Any) -> Iterator[Callable[[Recording], Any]]:
    """Opens a recording in a page of Chromium and gives its video."""
    open_things: list[Any] = []

    def play(recording: Recording) -> Any:
        server = ThreadingHTTPServer(("127.0.0.1", 0), partial(Ranges, recording.path.parent))
        Thread(target=server.serve_forever, daemon=True).start()
        page = browser.new_context().new_page()
        open_things.append((server, page.context))
        page.goto(f"http://127.0.0.1:{server.server_address[1]}/")
        video = page.locator("video").element_handle()
        video.evaluate("(video, name) => { video.src = name; }", recording.path.name)
        return video

    yield play
    for server, context in open_things:
        context.close()
        server.shutdown()
        server.server_close()


SEEK = """(video, seconds) => new Promise((done, fail) => {
  video.addEventListener("seeked", () => done(video.currentTime), {once: true});
  video.addEventListener("error", () => fail(video.error), {once: true});
  video.currentTime = seconds;
})"""
LOADED = """(video) => new Promise((done) => {
  const told = () => done(video.error?.code ?? 0);
  if (video.error || video.readyState > 1) told();
  for (const event of ["loadeddata", "error"]) video.addEventListener(event, told, {once: true});
})"""


@pytest.mark.browser
@pytest.mark.parametrize("kind", KINDS)
def test_seeking_to_the_middle_of_a_frame_shows_that_frame(
    player: Callable[[Recording], Any], recording_of: Callable[..., Recording], kind: str
) -> None:
    recording = recording_of(some_strokes(), **KINDS[kind])
    times = recording.times_ms
    video = player(recording)
    assert video.evaluate(LOADED) == 0
    last = len(times) - 2
    wanted = [1, 2, 3, 101, 100, 99, 14, 15, 16, 200, 30, 29, 170, last, 60]
    for frame in wanted:
        video.evaluate(SEEK, float((times[frame] + times[frame + 1]) / 2000))
        assert video.evaluate(READ_FRAME_JS) == frame


@pytest.mark.browser
def test_what_chromium_cannot_decode_is_an_error_there_and_not_elsewhere(
    player: Callable[[Recording], Any], tmp_path: Path
) -> None:
    recording = make_undecodable(tmp_path / "phone.mp4")
    assert [frame_number(pixels) for pixels, _, _ in frames(recording)] == list(range(30))
    video = player(recording)
    assert video.evaluate(LOADED) == 4
    assert video.evaluate(READ_FRAME_JS) == -1
