"""Nobody else gets in: Host, Origin, token, cookie, policy, and sheets whose words try to be more than words."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from desk_server import DeskVisit, running_desk
from inkstep.archive.logs import begin
from inkstep.archive.opening import Archive, open_archive
from inkstep.desk.app import build
from inkstep.desk.desk import Desk
from inkstep.trace.reading import read_sheet
from inkstep.trace.sheet import Sheet

PORT = 8123
HOME = f"http://127.0.0.1:{PORT}"
TOKEN = "a token of this start"
COOKIE = f"inkstep-desk-{PORT}"
EDIT = {"edit": "write", "have": 0, "cells": [0], "digits": [7], "at_ms": None}


@pytest.fixture
def archive(tmp_path: Path) -> Iterator[Archive]:
    keys = (f"solve-{number}" for number in range(1000))
    opened = open_archive(tmp_path / "archive.db", now=lambda: 1_700_000_000_000, new_key=lambda: next(keys))
    yield opened
    opened.close()


@pytest.fixture
def client(archive: Archive, tmp_path: Path, demo: Sheet) -> Iterator[TestClient]:
    """Somebody on this computer who knows the port, and nothing else."""
    begin(archive, demo)
    app = build(Desk(archive, tmp_path / "lessons", address=HOME, token=TOKEN), token=TOKEN, port=PORT)
    with TestClient(app, base_url=HOME, follow_redirects=False) as client:
        yield client


@pytest.fixture
def demo() -> Sheet:
    path = Path(__file__).parents[1] / "examples" / "harbour-spring.sheet"
    return read_sheet(path.read_bytes()).sheet


@pytest.fixture
def own(client: TestClient) -> TestClient:
    """The user's own browser, in which the printed address was opened."""
    answer = client.get("/", params={"token": TOKEN})
    assert answer.status_code == 303
    assert answer.headers["location"] == "/"
    return client


def test_the_address_with_its_token_opens_the_desk(client: TestClient) -> None:
    answer = client.get("/solve/solve-0/logging", params={"token": TOKEN, "size": "1920x1080"})
    assert answer.status_code == 303
    assert answer.headers["location"] == "/solve/solve-0/logging?size=1920x1080"
    cookie = answer.headers["set-cookie"].lower()
    assert all(part in cookie for part in (COOKIE, "httponly", "samesite=strict", "path=/"))
    assert client.get("/solve/solve-0/logging").status_code == 200


@pytest.mark.parametrize("path", ["/", "/solve/solve-0/logging", "/solve/solve-0/change", "/static/desk.css", "/nothing"])
def test_without_the_token_nothing_is_told(client: TestClient, path: str) -> None:
    for params in ({}, {"token": "guessed"}, {"token": ""}):
        answer = client.get(path, params=params)
        assert answer.status_code == 401
        assert "solve" not in answer.text
    client.cookies.set(COOKIE, "guessed")
    assert client.get(path).status_code == 401


@pytest.mark.parametrize("host", ["evil.example", f"evil.example:{PORT}", "127.0.0.1", "127.0.0.1:1", "", f"[::1]:{PORT}"])
def test_another_name_for_this_computer_is_refused(own: TestClient, host: str) -> None:
    """DNS rebinding: the attacker's name leads here, and the browser sends it as Host."""
    assert own.get("/", headers={"host": host}).status_code == 421


@pytest.mark.parametrize(
    "headers",
    [
        {},
        {"origin": "null"},
        {"origin": "http://evil.example"},
        {"origin": f"https://127.0.0.1:{PORT}"},
        {"origin": f"http://127.0.0.1:{PORT + 1}"},
        {"origin": f"http://localhost:{PORT}"},
        {"origin": HOME, "sec-fetch-site": "cross-site"},
        {"origin": HOME, "sec-fetch-site": "same-site"},
    ],
)
def test_another_page_changes_nothing(own: TestClient, headers: dict[str, str]) -> None:
    assert own.post("/solve/solve-0/edit", json=EDIT, headers=headers).status_code == 403
    assert own.get("/solve/solve-0/change").json()["revision"] == 0


def test_a_token_in_the_address_of_a_change_counts_for_nothing(client: TestClient) -> None:
    answer = client.post("/solve/solve-0/edit", params={"token": TOKEN}, json=EDIT, headers={"origin": HOME})
    assert answer.status_code == 401


def test_every_answer_carries_the_policy(own: TestClient) -> None:
    for path in ("/", "/solve/solve-0/logging", "/static/desk.css", "/nothing", "/solve/none/logging"):
        headers = own.get(path).headers
        policy = headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "unsafe" not in policy
        assert "*" not in policy
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["referrer-policy"] == "no-referrer"


@pytest.mark.parametrize(
    "path", ["/static/../guarding.py", "/static/%2e%2e/guarding.py", "/static/board/../still.py", "/static//etc/passwd"]
)
def test_files_beside_the_static_ones_are_not_served(own: TestClient, path: str) -> None:
    answer = own.get(path)
    assert answer.status_code == 404
    assert "import" not in answer.text


@pytest.mark.parametrize("address", ["//evil.example/", "/\\evil.example/", "/%5Cevil.example"])
def test_the_token_redirects_nowhere_else(client: TestClient, address: str) -> None:
    answer = client.get(f"{HOME}{address}?token={TOKEN.replace(' ', '+')}")
    location = answer.headers.get("location", "/")
    assert location.startswith("/")
    assert not location.startswith(("//", "/\\"))


def test_what_cannot_be_read_is_a_sentence(own: TestClient) -> None:
    for body in (b"{", b"[]", b'"text"', b"\xff\xfe", b"[" * 100_000, b'{"edit": "write", "cells": [0], "digits": ["one"]}'):
        answer = own.post("/solve/solve-0/edit", content=body, headers={"origin": HOME})
        assert answer.status_code == 400, body[:30]
        assert answer.json()["error"]


HOSTILE = (
    '"><script>window.hit = 1</script>',
    "</script><script>window.hit = 1</script>",
    "<img src=x onerror='window.hit=1'>",
    "{{ 7 * 7 }}{% raw %}",
    "javascript:window.hit=1",
    "'; window.hit=1; //",
    "</style><style>body{display:none}</style>",
    "../../etc/passwd",
    "$(touch hit) `touch hit`",
    "\u2028\u2029\u202e",
)


def hostile_sheet(demo: str) -> str:
    """The demo's sheet with words everywhere that try to be more than words."""
    lines = []
    for line in demo.split("\n"):
        key, apart, _ = line.partition(": ")
        if apart and key in ("title", "event", "solver", "source", "recording", "permission", "credit", "date"):
            line = f"{key}: {' '.join(HOSTILE)}"
        lines.append(line)
    body = [f"0:00.{100 + n}  note {quoted(words)} above box 1  # {words}" for n, words in enumerate(HOSTILE)]
    start = lines.index("") + 1
    return "\n".join((*lines[:start], *body, *lines[start:]))


def quoted(text: str) -> str:
    for sign, written in (("\\", "\\\\"), ('"', '\\"'), ("\u2028", "\\u{2028}"), ("\u2029", "\\u{2029}")):
        text = text.replace(sign, written)
    return f'"{text}"'


PAGES = ("logging", "reading", "lesson", "press", "live", "compare")


@pytest.mark.browser
def test_a_hostile_sheet_stays_words(browser: Any, tmp_path: Path, demo_text: str) -> None:
    sheet = read_sheet(hostile_sheet(demo_text)).sheet
    assert HOSTILE[0] in sheet.header.title
    archive = open_archive(tmp_path / "archive.db", now=lambda: 0, new_key=lambda: "hostile")
    begin(archive, sheet)
    archive.close()
    with running_desk(tmp_path / "archive.db", tmp_path) as desk:
        visit = DeskVisit(browser, desk)
        _look(visit, desk.origin + "/")
        for name in PAGES:
            _look(visit, f"{desk.origin}/solve/hostile/{name}")
        visit.close()


def _look(visit: DeskVisit, address: str) -> None:
    visit.page.goto(address)
    visit.page.wait_for_timeout(1500)
    assert visit.page.evaluate("window.hit") is None
    assert visit.page.evaluate("document.querySelectorAll('img[src=x], body > style').length") == 0
    assert visit.page.evaluate("getComputedStyle(document.body).display") != "none"


@pytest.fixture
def demo_text() -> str:
    return (Path(__file__).parents[1] / "examples" / "harbour-spring.sheet").read_text("utf-8")


