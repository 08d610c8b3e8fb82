"""The film and the keys of the desk: files in ranges, frames to the frame, ways of watching, keys that can be changed."""

from __future__ import annotations

import json
import os
import re
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from accessibility import serious_findings
from desk_server import DeskVisit, RunningDesk, running_desk
from inkstep.archive.logs import begin
from inkstep.archive.opening import open_archive
from inkstep.desk.app import build
from inkstep.desk.desk import Desk
from inkstep.desk.guarding import POLICY
from inkstep.desk.recordings import path_of, video_kind
from inkstep.ground.errors import InputError
from inkstep.trace.editing import trim_time
from inkstep.trace.sheet import Sheet
from solves import DEMO, solve

PORT = 8123
HOME = f"http://127.0.0.1:{PORT}"
KEY = "harbour"
RECORDING, FILM, CLOCK = (f"/solve/{KEY}/{part}" for part in ("recording", "film", "clock"))
#: the beginning of an MP4, then bytes that say where they lie
BYTES = b"\0\0\0\x18ftypisom" + bytes(range(12, 256)) * 4


def some_strokes() -> Sheet:
    """The first strokes of the demo."""
    return trim_time(solve(DEMO), 0, 4200)


@pytest.fixture
def client(tmp_path: Path) -> Iterator[TestClient]:
    """The user's own browser at a desk with one solve."""
    archive = open_archive(tmp_path / "archive.db", now=lambda: 1_700_000_000_000, new_key=lambda: KEY)
    begin(archive, some_strokes())
    app = build(Desk(archive, tmp_path / "lessons", address=HOME, token="token"), token="token", port=PORT)
    with TestClient(app, base_url=HOME, headers={"Origin": HOME, "Accept": "application/json"}) as client:
        client.get("/", params={"token": "token"})
        yield client
    archive.close()


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "table 4.mp4"
    path.write_bytes(BYTES)
    return path


def name(client: TestClient, path: Path | str) -> Any:
    return client.post(RECORDING, json={"path": str(path)})


def test_a_path_is_understood_as_people_paste_it(monkeypatch: pytest.MonkeyPatch, tmp_path: Path, file: Path) -> None:
    monkeypatch.setenv("HOME", str(tmp_path))
    ways = (str(file), f"'{file}'", f'  "{file}" ', "~/table 4.mp4", file.as_uri(), str(file).replace(" ", "\\ "))
    assert [path_of(way) for way in ways] == [file] * len(ways)
    for bad in ("table 4.mp4", "./table 4.mp4", "/films/\0.mp4", "/films/\ud800.mp4", "https://example.org/film.mp4"):
        with pytest.raises(InputError, match="whole path"):
            path_of(bad)


def test_videos_are_known_by_their_first_bytes() -> None:
    heads = {
        b"\0\0\0\x20ftypisom": "video/mp4",
        b"\0\0\0\x14ftypqt  ": "video/quicktime",
        b"\0\0\0\x08wide\0\0\0\0": "video/quicktime",
        b"\x1a\x45\xdf\xa3\x9f\x42\x86\x81\x01\x42\xf7\x81": "video/webm",
        b"OggS\0\2\0\0\0\0\0\0": "video/ogg",
        b"%PDF-1.7\n%\xe2\xe3": "",
        b"-----BEGIN O": "",
        b"": "",
    }
    assert {head: video_kind(head) for head in heads} == heads


def test_a_named_file_is_kept_by_its_real_path(client: TestClient, file: Path, tmp_path: Path) -> None:
    link = tmp_path / "link.mp4"
    link.symlink_to(file)
    told = name(client, link).json()
    assert told["path"] == str(file)
    assert told == client.get(RECORDING).json()
    assert (told["name"], told["there"], told["size"], told["kind"]) == ("table 4.mp4", True, len(BYTES), "video/mp4")
    assert name(client, "").json()["path"] == ""


def test_what_is_no_video_is_refused_and_nothing_changes(client: TestClient, file: Path, tmp_path: Path) -> None:
    name(client, file)
    secret = tmp_path / "secret.mp4"
    secret.write_text("a password\n")
    os.mkfifo(tmp_path / "pipe.mp4")
    wrong = {secret: "does not begin as a video does", tmp_path: "a folder", tmp_path / "no.mp4": "there is none"}
    wrong |= {tmp_path / "pipe.mp4": "no file", file / "x": "there is none", Path("/dev/null"): "no file"}
    for path, why in wrong.items():
        answer = name(client, path)
        assert answer.status_code == 400
        assert why in answer.json()["error"]
    for body in ({}, {"path": 7}, {"path": None}, {"path": "/" + "x" * 5000}):
        assert client.post(RECORDING, json=body).status_code == 400
    assert client.get(RECORDING).json()["path"] == str(file)


@pytest.mark.skipif(os.geteuid() == 0, reason="the superuser may read every file")
def test_a_file_that_may_not_be_read_is_told(client: TestClient, file: Path) -> None:
    file.chmod(0)
    assert "not allowed to read" in name(client, file).json()["error"]


@pytest.mark.parametrize(
    ("asked", "span"),
    [
        ("bytes=0-", (0, len(BYTES))),
        ("bytes=0-0", (0, 1)),
        ("bytes=100-299", (100, 300)),
        ("bytes=900-99999", (900, len(BYTES))),
        ("bytes=-100", (len(BYTES) - 100, len(BYTES))),
    ],
)
def test_ranges_of_the_film(client: TestClient, file: Path, asked: str, span: tuple[int, int]) -> None:
    """RFC 9110, 14: byte ranges, among them those from the end."""
    name(client, file)
    answer = client.get(FILM, headers={"Range": asked})
    assert answer.status_code == 206
    assert answer.content == BYTES[slice(*span)]
    assert answer.headers["content-range"] == f"bytes {span[0]}-{span[1] - 1}/{len(BYTES)}"
    assert answer.headers["content-type"] == "video/mp4"


def test_the_whole_film_its_head_and_conditions(client: TestClient, file: Path) -> None:
    """RFC 9110, 9.3.2 (HEAD), 13.1.5 (If-Range), 15.5.17 (416)."""
    name(client, file)
    whole = client.get(FILM)
    assert (whole.status_code, whole.content, whole.headers["accept-ranges"]) == (200, BYTES, "bytes")
    head = client.head(FILM)
    assert (head.status_code, head.content, head.headers["content-length"]) == (200, b"", str(len(BYTES)))
    tag = whole.headers["etag"]
    same = client.get(FILM, headers={"Range": "bytes=5-9", "If-Range": tag})
    assert (same.status_code, same.content) == (206, BYTES[5:10])
    other = client.get(FILM, headers={"Range": "bytes=5-9", "If-Range": '"another"'})
    assert (other.status_code, other.content) == (200, BYTES)
    beyond = client.get(FILM, headers={"Range": f"bytes={len(BYTES)}-"})
    assert (beyond.status_code, beyond.headers["content-range"]) == (416, f"bytes */{len(BYTES)}")


def test_only_the_named_file_is_ever_served(client: TestClient, file: Path, tmp_path: Path) -> None:
    other = tmp_path / "other.mp4"
    other.write_bytes(BYTES[::1] + b"other")
    assert client.get(FILM).status_code == 400
    name(client, file)
    for path in (f"{FILM}?path={other}", f"{FILM}?v=../other.mp4"):
        assert client.get(path).content == BYTES
    for path in (f"{FILM}/{other}", f"{FILM}/..%2fother.mp4", f"/solve/{KEY}/other.mp4", "/solve/..%2f..%2fother.mp4/film"):
        assert client.get(path).status_code == 404
    assert client.post(RECORDING, json={"path": str(other)}, headers={"Origin": "http://example.org"}).status_code == 403
    assert client.get(FILM).content == BYTES


def test_a_vanished_or_exchanged_file_is_told_and_not_served(client: TestClient, file: Path, tmp_path: Path) -> None:
    name(client, file)
    secret = tmp_path / "secret"
    secret.write_text("a password\n")
    other = tmp_path / "other.mp4"
    other.write_bytes(BYTES)

    def trouble() -> str:
        told = client.get(RECORDING).json()
        answer = client.get(FILM)
        assert (answer.status_code, told["there"], told["name"]) == (400, False, "table 4.mp4")
        assert "password" not in answer.text
        return str(told["trouble"])

    file.unlink()
    assert "there is none" in trouble() and "The log is kept" in trouble()
    file.symlink_to(other)
    assert "a link to another" in trouble()
    file.unlink()
    file.write_text("a password\n")
    assert "does not begin as a video does" in trouble()
    file.write_bytes(BYTES)
    assert client.get(FILM).content == BYTES


def test_how_it_is_watched_is_kept_field_by_field(client: TestClient, file: Path, tmp_path: Path) -> None:
    name(client, file)
    zoom = {"scale": 2.5, "x": 0.25, "y": 0.5}
    client.post(RECORDING, json={"watching": {"speed": 0.25, "zoom": zoom, "turn": 90}})
    now = {"at_ms": 2000, "loop": [1000.5, None], "turn": None}
    kept = client.post(RECORDING, json={"watching": now}).json()["watching"]
    assert kept == {"speed": 0.25, "zoom": zoom, "at_ms": 2000, "loop": [1000.5, None]}
    wrong: list[Any] = [[], {"speed": 0}, {"speed": True}, {"zoom": {"scale": 1}}, {"turn": 45}, {"loop": [1]}]
    wrong += [{"colour": 1}, {"picked": {}}, {"picked": {"name": "\ud800", "size": 1}}, {"quiet": "yes"}, {"at_ms": -1}]
    for watching in wrong:
        answer = client.post(RECORDING, content=json.dumps({"watching": watching}))
        assert answer.status_code == 400, watching
    assert client.post(RECORDING, content='{"watching": {"speed": NaN}}').status_code == 400
    assert client.get(RECORDING).json()["watching"] == kept
    moved = tmp_path / "elsewhere" / file.name
    moved.parent.mkdir()
    assert name(client, file.rename(moved)).json()["watching"] == kept
    assert name(client, moved.rename(moved.with_name("table 5.mp4"))).json()["watching"] == {"speed": 0.25}


def test_changed_keys_are_kept_for_the_whole_desk(client: TestClient) -> None:
    assert client.get("/settings/keys").json() == {"keys": {}}
    keys = {"film-again": "q", "film-play": "Ctrl+Space"}
    assert client.put("/settings/keys", json={"keys": keys}).json() == {"keys": keys}
    wrong: list[Any] = [None, [], {"a": 1}, {"": "x"}, {"a": ""}, {"a": "x" * 61}, {"a\n": "x"}]
    wrong.append({str(number): "x" for number in range(201)})
    for each in wrong:
        assert client.put("/settings/keys", json={"keys": each}).status_code == 400
    assert client.get("/settings/keys").json() == {"keys": keys}


def test_the_clock_starts_elsewhere_and_the_strokes_follow_or_stay(client: TestClient) -> None:
    def times() -> list[int]:
        return [stroke["at_ms"] for stroke in client.get(f"/solve/{KEY}/change").json()["strokes"]]

    before = times()
    start = client.get(f"/solve/{KEY}/change").json()["head"]["clock_start_ms"]
    asked = {"start_ms": 3000, "was": start}
    assert client.post(CLOCK, json=asked).json() == {"timed": len(before)}
    assert times() == before
    answer = client.post(CLOCK, json=asked | {"strokes": "stay"}).json()
    assert (answer["head"]["clock_start_ms"], times()) == (3000, before)
    assert client.post(CLOCK, json=asked | {"strokes": "stay"}).status_code == 409
    earlier = {"start_ms": 2500, "was": 3000, "strokes": "follow"}
    assert client.post(CLOCK, json=earlier).json()["head"]["clock_start_ms"] == 2500
    assert times() == [ms + 500 for ms in before]
    late = client.post(CLOCK, json={"start_ms": 60_000, "was": 2500, "strokes": "follow"})
    assert (late.status_code, times()) == (400, [ms + 500 for ms in before])
    client.post(f"/solve/{KEY}/edit", json={"edit": "undo"})
    assert times() == before


# In a real browser, with real videos.

PAGE = """<!doctype html><html lang="en"><head><title>The film</title>
<link rel="stylesheet" href="/static/theme.css"><link rel="stylesheet" href="/static/desk.css">
<link rel="stylesheet" href="/static/film.css"><link rel="stylesheet" href="/static/keys.css"></head>
<body><main><h1>The film</h1><div id="film"></div><label>words <input id="words"></label></main>
<div class="say" id="say" role="alert" hidden></div></body></html>"""
_OPEN = """async (clock) => {
  const [{createFilm}, {filmActions}, {createKeys, keptKeys}, {say}] = await Promise.all(
    ["film", "film-keys", "keys", "asking"].map((each) => import(`/static/${each}.js`)));
  document.getElementById("film").style.width = "640px";
  window.keys = createKeys(filmActions, {overrides: await keptKeys(), where: document});
  window.film = createFilm(document.getElementById("film"), {key: "harbour", clockStartMs: clock, keys: window.keys, say});
}"""


class Watching(DeskVisit):
    """A page with nothing on it but the film, under the desk's own policy."""

    def __init__(self, browser: Any, desk: RunningDesk) -> None:
        super().__init__(browser, desk, viewport={"width": 1000, "height": 820})
        answer = {"body": PAGE, "content_type": "text/html", "headers": {"Content-Security-Policy": POLICY}}
        self.context.route(desk.origin + "/scratch", lambda route: route.fulfill(**answer))

    def open(self, clock: int | None = None) -> None:
        """Come to the page, or come again."""
        self.page.goto(self.desk.origin + "/scratch")
        self.page.evaluate(_OPEN, clock)

    def wait(self, condition: str) -> None:
        """Until something holds in the page, whose policy forbids what Playwright does for this."""
        until = time.monotonic() + 8
        while not self.page.evaluate(condition):
            assert time.monotonic() < until, condition
            time.sleep(0.02)

    def ready(self) -> Watching:
        """Wait until a frame is shown."""
        self.wait("film.ready()")
        return self

    def shown(self) -> int:
        """The number of the frame that is on the screen, read from its pixels."""
        from recordings import READ_FRAME_JS  # noqa: PLC0415 - it needs PyAV, which may be missing

        return int(self.page.eval_on_selector("video", READ_FRAME_JS))

    def step(self, count: int) -> int:
        self.page.evaluate("count => film.stepFrames(count)", count)
        return self.shown()

    def seek(self, ms: float) -> int:
        self.page.evaluate("ms => film.seekMs(ms)", ms)
        return self.shown()

    def now(self) -> int | None:
        found = self.page.evaluate("film.nowMs()")
        return None if found is None else int(found)

    def press(self, key: str) -> None:
        self.page.keyboard.press(key)

    def kept(self, *fields: str) -> Any:
        """How it was watched, once the desk keeps some fields."""
        until = time.monotonic() + 8
        while True:
            watching = self.desk.ask(RECORDING)["watching"]
            if all(field in watching for field in fields):
                return watching
            assert time.monotonic() < until, (fields, watching)
            time.sleep(0.05)


@pytest.fixture(scope="module")
def film_desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[RunningDesk]:
    folder = tmp_path_factory.mktemp("film")
    archive = open_archive(folder / "archive.db", now=lambda: 0, new_key=lambda: KEY)
    begin(archive, some_strokes())
    archive.close()
    with running_desk(folder / "archive.db", folder) as desk:
        yield desk


@pytest.fixture(scope="module")
def visitor(browser: Any, film_desk: RunningDesk) -> Iterator[Watching]:
    visit = Watching(browser, film_desk)
    yield visit
    visit.close(allowed=("400 (Bad Request)",))


@pytest.fixture
def watching(visitor: Watching, film_desk: RunningDesk) -> Callable[..., Watching]:
    """``watching(recording, clock)`` is a visitor to whom it is shown, as on the first day."""

    def visit(recording: Any = None, clock: int | None = None) -> Watching:
        visitor.page.goto("about:blank")
        visitor.page.wait_for_timeout(200)  # what the page before wanted to be kept arrives after it has gone
        fresh = dict.fromkeys(("picked", "memory", "speed", "loop", "zoom", "turn", "at_ms"))
        path = str(recording.path) if recording else ""
        film_desk.ask(RECORDING, {"path": path, "watching": fresh})
        film_desk.ask("/settings/keys", {"keys": {}}, method="PUT")
        visitor.open(clock)
        return visitor.ready() if recording else visitor

    return visit


KINDS: dict[str, dict[str, Any]] = {
    "mp4": {},
    "phone": {"jitter": 7},
    "webm": {"codec": "libvpx-vp9"},
    "webm-phone": {"codec": "libvpx-vp9", "jitter": 11},
}


def film(recording_of: Any, **how: Any) -> Any:
    """A small recording of a few strokes."""
    return recording_of(some_strokes(), size=(320, 256), **how)


@pytest.mark.browser
@pytest.mark.parametrize("kind", KINDS)
def test_steps_and_seeks_show_the_very_frame_and_tell_its_time(recording_of: Any, watching: Any, kind: str) -> None:
    recording = film(recording_of, **KINDS[kind])
    visit = watching(recording, recording.clock_start_ms)
    times = [round(ms) - recording.clock_start_ms for ms in recording.times_ms]
    for number in (1, len(recording.sheet.strokes)):
        first = recording.first_frame_of(number)
        assert visit.seek(recording.logged_ms(number)) == first
        for step, to in ((1, 1), (1, 2), (-1, 1), (-1, 0), (-1, -1), (1, 0), (2, 2)):
            assert visit.step(step) == first + to
            assert visit.now() == times[first + to]
    assert visit.seek(-5000) == 0
    assert visit.now() is None
    assert [visit.step(-1), visit.step(1), visit.step(-1)] == [0, 1, 0]
    last = len(times) - 1
    assert visit.seek(10**7) in (last - 1, last)
    assert [visit.step(1), visit.step(1), visit.step(-1)][1:] == [last, last - 1]
    if "phone" in kind:
        assert visit.page.evaluate("film.frame()") is None


@pytest.mark.browser
def test_frame_numbers_are_told_once_they_are_certain(recording_of: Any, watching: Any) -> None:
    visit = watching(film(recording_of))
    assert visit.page.evaluate("film.frame()") is None
    visit.press("]")
    visit.press("Space")
    visit.wait("film.frame() !== null")
    visit.press("Space")
    visit.page.evaluate("film.pause()")
    assert visit.page.evaluate("film.frame()") == visit.shown()
    assert visit.page.inner_text(".film-now").split("\n")[1:] == [f"frame {visit.shown()}", "one and a half times"]
    assert visit.kept("speed")["speed"] == 1.5


@pytest.mark.browser
def test_see_that_again_goes_back_slowed_and_returns(recording_of: Any, watching: Any) -> None:
    visit = watching(film(recording_of))
    page = visit.page
    for key in "]]":
        visit.press(key)
    frame = visit.seek(2500)
    page.evaluate(
        "() => { window.rates = []; film.element.querySelector('video').addEventListener('play', "
        "(event) => rates.push([event.target.playbackRate, event.target.currentTime])); }"
    )
    visit.press("a")
    visit.wait("film.playing()")
    assert page.inner_text(".film-speed") == "seen again, slowed"
    visit.wait("!film.playing()")
    page.wait_for_timeout(150)
    rate, start = page.evaluate("rates[0]")
    assert (round(rate, 3), round(start, 1)) == (0.667, 0.5)
    assert visit.shown() == frame
    assert page.evaluate("film.element.querySelector('video').playbackRate") == 2
    visit.press("a")
    visit.wait("film.playing()")
    visit.press("Space")
    visit.wait("!film.playing()")
    assert visit.shown() < frame
    assert page.inner_text(".film-speed") == "double speed"
    visit.seek(500)
    visit.press("Space")
    visit.wait("film.nowMs() > 600")
    visit.press("a")
    visit.wait("document.querySelector('.film-speed').textContent.startsWith('seen again')")
    visit.wait("film.element.querySelector('video').playbackRate === 2 && film.playing() && film.nowMs() > 600")


@pytest.mark.browser
def test_a_loop_goes_round_and_is_kept(recording_of: Any, watching: Any) -> None:
    visit = watching(film(recording_of))
    visit.seek(1000)
    visit.press("i")
    visit.seek(1500)
    visit.press("o")
    visit.seek(1400)
    visit.press("Space")
    visit.page.evaluate("() => { window.seen = []; setInterval(() => seen.push(film.nowMs()), 10); }")
    visit.wait("seen.filter((ms, i) => i && ms < seen[i - 1] - 300).length >= 2")
    visit.press("Space")
    seen = visit.page.evaluate("seen")
    assert min(seen) >= 960
    assert max(seen) <= 1700
    assert visit.kept("loop")["loop"] == [1000, 1500]
    visit.open()
    visit.ready()
    visit.wait("!document.querySelector('.film-bar-loop').hidden")
    visit.press("l")
    assert visit.page.is_hidden(".film-bar-loop")
    visit.open()
    visit.ready()
    assert "loop" not in visit.kept()


@pytest.mark.browser
def test_the_clock_s_start_is_set_and_kept_in_the_head(recording_of: Any, watching: Any, film_desk: RunningDesk) -> None:
    recording = film(recording_of)
    visit = watching(recording)
    hear = "film.onClockStart((ms, change) => heard.push([ms, change.head.clock_start_ms]))"
    visit.page.evaluate(f"() => {{ window.heard = []; {hear}; }}")
    was = film_desk.ask(f"/solve/{KEY}/change")["head"]["clock_start_ms"]
    visit.page.evaluate("was => film.setClockStart(was)", was)
    visit.seek(1000 - (was or 0))
    assert visit.shown() == 30
    visit.press("Shift+c")
    visit.page.get_by_role("button", name="the times stay as they are").click()
    visit.wait("heard.length === 1")
    assert visit.page.evaluate("heard") == [[1000, 1000]]
    assert film_desk.ask(f"/solve/{KEY}/change")["head"]["clock_start_ms"] == 1000
    assert visit.now() == 0
    assert visit.step(3) == 33
    assert visit.now() == 100
    visit.page.evaluate("film.setClockStart(900)")
    assert visit.now() == 200
    assert "0:00.900" in visit.page.inner_text(".film-clock")
    visit.seek(-500)
    assert visit.now() is None
    assert visit.page.inner_text(".film-time") == "−0:00.500"


@pytest.mark.browser
def test_zoom_keeps_the_point_under_the_pointer_and_survives_a_reload(recording_of: Any, watching: Any) -> None:
    visit = watching(film(recording_of))
    page = visit.page
    boxes = "const [s, v] = ['.film-stage', 'video'].map((each) => document.querySelector(each).getBoundingClientRect());"
    point = f"(() => {{ {boxes} return [(s.left + 200 - v.left) / v.width, (s.top + 150 - v.top) / v.height, v.width]; }})()"
    stage = page.locator(".film-stage").bounding_box()
    page.mouse.move(stage["x"] + 200, stage["y"] + 150)
    before = page.evaluate(point)
    page.mouse.wheel(0, -400)
    visit.wait("document.querySelector('video').getBoundingClientRect().width > 900")
    after = page.evaluate(point)
    assert after[:2] == pytest.approx(before[:2], abs=0.002)
    page.mouse.down()
    page.mouse.move(stage["x"] + 140, stage["y"] + 130, steps=4)
    page.mouse.up()
    assert page.evaluate("film.playing()") is False
    dragged = page.evaluate(point)
    assert (dragged[0] - after[0]) * dragged[2] == pytest.approx(60, abs=2)
    visit.press("t")
    zoom = visit.kept("turn", "zoom")
    assert zoom["turn"] == 90 and zoom["zoom"]["scale"] > 1.5
    visit.open()
    visit.ready()
    visit.wait("document.querySelector('video').style.transform.includes('rotate(90deg)')")
    assert visit.kept("turn", "zoom") == zoom
    visit.press("0")
    visit.press("+")
    assert "rotate(90deg) scale(1.25)" in page.evaluate("document.querySelector('video').style.transform")
    before = page.evaluate(point)
    page.locator(".film-stage").focus()
    visit.press("ArrowDown")
    assert page.evaluate(point)[1] > before[1]


def paper_on_a_table(path: Path) -> None:
    """A second of a dark table with a bright sheet on it, from a tenth to four tenths across, two to nine tenths down."""
    recordings = pytest.importorskip("recordings")
    with recordings.av.open(str(path), "w") as out:
        stream = out.add_stream("libx264", rate=30, options={"preset": "ultrafast", "bf": "0"})
        stream.width, stream.height, stream.pix_fmt = 640, 480, "yuv420p"
        picture = recordings.np.full((480, 640, 3), 50, dtype=recordings.np.uint8)
        picture[96:432, 64:256] = 220
        for _ in range(30):
            out.mux(stream.encode(recordings.av.VideoFrame.from_ndarray(picture, format="rgb24")))
        out.mux(stream.encode())


@pytest.mark.browser
def test_the_paper_fills_the_frame(watching: Any, film_desk: RunningDesk, tmp_path: Path) -> None:
    path = tmp_path / "table.mp4"
    paper_on_a_table(path)
    visit = watching()
    visit.page.fill("#film-path", str(path))
    visit.press("Enter")
    visit.ready()
    visit.press("f")
    stage, video = (visit.page.locator(each).bounding_box() for each in (".film-stage", "video"))
    left, right = (video["x"] + share * video["width"] - stage["x"] for share in (0.1, 0.4))
    top, bottom = (video["y"] + share * video["height"] - stage["y"] for share in (0.2, 0.9))
    assert 0 <= left < right <= stage["width"]
    assert 0 <= top < bottom <= stage["height"]
    assert bottom - top > 0.93 * stage["height"]


@pytest.mark.browser
def test_a_recording_is_named_picked_and_let_go(recording_of: Any, watching: Any, film_desk: RunningDesk) -> None:
    recording = film(recording_of)
    visit = watching()
    page = visit.page
    page.get_by_role("heading", name="Where is the recording?").wait_for()
    assert serious_findings(page) == []
    page.fill("#film-path", "/films/nothing.mp4")
    visit.press("Enter")
    visit.wait("document.querySelector('.film-trouble').textContent.includes('there is none')")
    page.fill("#film-path", f'"{recording.path}"')
    page.click("text=use this file")
    visit.ready()
    assert visit.now() == 0
    page.click("text=another recording")
    page.set_input_files("input[type=file]", str(recording.path))
    visit.ready()
    assert visit.seek(1000) == 30
    assert visit.kept("picked")["picked"]["name"] == recording.path.name
    assert film_desk.ask(RECORDING)["path"] == ""
    visit.open()
    page.get_by_role("button", name=f"pick {recording.path.name} again").wait_for()
    assert visit.now() is None
    page.click("text=no video: log from memory")
    assert page.is_hidden(".film-stage")
    assert visit.kept("memory")["memory"] is True
    visit.open()
    page.click("text=choose a recording")
    assert page.is_visible("#film-path")
    assert visit.now() is None


@pytest.mark.browser
def test_a_film_that_cannot_be_played_is_told_in_a_sentence(watching: Any, film_desk: RunningDesk, tmp_path: Path) -> None:
    recordings = pytest.importorskip("recordings")
    hevc = recordings.make_undecodable(tmp_path / "phone.mp4")
    visit = watching()
    film_desk.ask(RECORDING, {"path": str(hevc.path)})
    visit.open()
    trouble = visit.page.locator(".film-trouble")
    visit.wait("document.querySelector('.film-trouble')?.textContent")
    assert "cannot play phone.mp4: it is coded as HEVC" in trouble.inner_text()
    assert "Convert it to H.264" in trouble.inner_text()
    assert visit.page.input_value("#film-path") == str(hevc.path)
    hevc.path.unlink()
    visit.open()
    visit.wait("document.querySelector('.film-trouble')?.textContent")
    assert "there is none" in trouble.inner_text() and "The log is kept" in trouble.inner_text()
    assert visit.page.input_value("#film-path") == str(hevc.path)
    broken = tmp_path / "broken.mp4"
    broken.write_bytes(BYTES)
    visit.page.fill("#film-path", str(broken))
    visit.press("Enter")
    visit.wait("document.querySelector('.film-trouble').textContent.includes('damaged')")


@pytest.mark.browser
def test_keys_leave_fields_buttons_and_the_browser_their_own(recording_of: Any, watching: Any) -> None:
    visit = watching(film(recording_of))
    page = visit.page
    page.focus("#words")
    page.keyboard.type("a f. [0]")
    assert page.input_value("#words") == "a f. [0]"
    assert page.evaluate("film.playing()") is False
    visit.press("Control+Space")
    visit.wait("film.playing()")
    visit.press("Control+Space")
    visit.wait("!film.playing()")
    page.click("text=see that again")
    visit.press("Space")
    page.evaluate("film.pause()")
    page.focus(".film-bar")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "spacestop, go"
    visit.press("Space")
    visit.wait("film.playing()")
    visit.press("Space")
    visit.wait("!film.playing()")

    def taken(key: str, **how: Any) -> bool:
        return bool(page.evaluate("([key, how]) => keys.handle(new KeyboardEvent('keydown', {key, ...how}))", [key, how]))

    page.evaluate("document.activeElement.blur()")
    for key, how in (
        ("F5", {}),
        ("Tab", {}),
        ("r", {"ctrlKey": True}),
        ("t", {"ctrlKey": True}),
        ("0", {"ctrlKey": True}),
        ("a", {"isComposing": True}),
        ("Process", {"code": "KeyA"}),
        ("Dead", {"code": "BracketLeft"}),
        ("æ", {"code": "KeyA", "modifierAltGraph": True}),
        ("a", {"metaKey": True}),
        ("a", {"altKey": True}),
    ):
        assert not taken(key, **how), key
    german = {"code": "Digit8", "ctrlKey": True, "altKey": True, "modifierAltGraph": True}
    assert taken("[", **german)
    assert page.inner_text(".film-speed") == "three quarter speed"
    assert taken("A", code="KeyA") and taken("à", code="Digit0")
    page.evaluate("film.pause()")


@pytest.mark.browser
def test_the_sheet_of_keys_changes_a_key_and_keeps_it(recording_of: Any, watching: Any, film_desk: RunningDesk) -> None:
    visit = watching(film(recording_of))
    page = visit.page
    visit.press("?")
    page.get_by_role("dialog", name="Keys").wait_for()
    assert serious_findings(page) == []
    page.get_by_role("button", name=re.compile("^see that again, slowed: a")).press("Enter")
    told = page.locator(".keys-told")
    tries = {"f": "f is taken: the paper fills the frame", "F5": "browser keeps F5", "q": "slowed: q from now on"}
    for key, words in tries.items():
        visit.press(key)
        told.filter(has_text=words).wait_for()
    assert film_desk.ask("/settings/keys") == {"keys": {"film-again": "q"}}
    visit.press("Escape")
    assert page.locator("dialog").count() == 0
    assert "qsee that again" in page.inner_text(".film-keys").replace("\n", "")
    visit.open()
    visit.ready()
    visit.seek(1000)
    visit.press("a")
    assert page.evaluate("film.playing()") is False
    visit.press("q")
    visit.wait("film.playing()")
    visit.press("Space")
    visit.press("?")
    page.get_by_role("button", name=re.compile("^closer")).click()
    visit.press("a")
    told.filter(has_text="closer: a").wait_for()
    page.get_by_role("button", name="see that again, slowed: as at first").click()
    told.filter(has_text="a is taken now: closer").wait_for()
    page.get_by_role("button", name="every key as at first").click()
    told.filter(has_text="as it was at first").wait_for()
    assert film_desk.ask("/settings/keys") == {"keys": {}}


@pytest.mark.browser
def test_the_bar_is_dragged_and_worked_by_keys(recording_of: Any, watching: Any) -> None:
    visit = watching(film(recording_of))
    page = visit.page
    bar = page.get_by_role("slider", name="where the film is")
    box = bar.bounding_box()
    page.mouse.move(box["x"] + 10, box["y"] + 8)
    page.mouse.down()
    page.mouse.move(box["x"] + box["width"] / 2, box["y"] + 8, steps=5)
    page.mouse.up()
    half = float(bar.get_attribute("aria-valuemax") or 0) / 2
    visit.wait(f"Math.abs(film.nowMs() / 1000 - {half}) < 0.6")
    page.wait_for_timeout(200)
    before = visit.now()
    bar.focus()
    visit.press("ArrowRight")
    page.wait_for_timeout(200)
    assert visit.now() == before + 1000
    visit.press("s")
    visit.wait(f"film.nowMs() === {before}")
    assert "of 0:0" in (bar.get_attribute("aria-valuetext") or "")
    assert serious_findings(page) == []
    visit.open()
    visit.wait(f"film.nowMs() === {before}")
