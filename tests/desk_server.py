"""A desk for tests: the real command in a process of its own, and a browser on it that may speak to nothing else."""

from __future__ import annotations

import json
import os
import re
import signal
import subprocess
import sys
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from http.cookiejar import CookieJar
from pathlib import Path
from typing import Any
from urllib.error import HTTPError

ADDRESS = re.compile(r"http://127\.0\.0\.1:\d+/\?token=\S+")


class RunningDesk:
    """One desk process on its archive; ``ask`` speaks to it as its own page would."""

    def __init__(self, archive: Path | str, home: Path, port: int = 0) -> None:
        environment = {**os.environ, "XDG_DATA_HOME": str(home), "PYTHONUNBUFFERED": "1"}
        options = ["--no-open", "--port", str(port), "--archive", str(archive)]
        command = [sys.executable, "-m", "inkstep.cli.main", "desk", *options]
        self.process = subprocess.Popen(
            command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=environment, start_new_session=True
        )
        assert self.process.stdout is not None
        found = ADDRESS.search(self.process.stdout.readline())
        if found is None:
            self.process.kill()
            raise AssertionError(f"no address: {self.process.communicate()[1]}")
        self.address = found[0]
        self.origin = self.address.partition("/?")[0]
        self.cookies = CookieJar()
        self._opener = urllib.request.build_opener(urllib.request.HTTPCookieProcessor(self.cookies))
        self._opener.open(self.address, timeout=20).read()

    def ask(self, path: str, body: Any = None, *, method: str | None = None, raw: bytes | None = None) -> Any:
        """The JSON (or text) that the desk answers; errors come as ``(status, JSON)`` in a `RefusedError`."""
        sent = raw if raw is not None else None if body is None else json.dumps(body).encode()
        headers = {"Accept": "application/json", "Origin": self.origin, "Content-Type": "application/json"}
        request = urllib.request.Request(self.origin + path, data=sent, headers=headers, method=method)
        try:
            with self._opener.open(request, timeout=30) as answer:
                text = answer.read().decode()
                return json.loads(text) if "json" in answer.headers.get("Content-Type", "") else text
        except HTTPError as refused:
            text = refused.read().decode()
            raise RefusedError(refused.code, json.loads(text) if text.startswith("{") else {"error": text}) from None

    def kill(self) -> None:
        """End the process at once, as a power cut would."""
        self.process.send_signal(signal.SIGKILL)
        self.process.wait(20)

    def stop(self) -> None:
        """End the process as Ctrl-C does."""
        if self.process.poll() is None:
            self.process.send_signal(signal.SIGINT)
            try:
                self.process.wait(10)
            except subprocess.TimeoutExpired:
                self.kill()
        for stream in (self.process.stdout, self.process.stderr):
            if stream:
                stream.close()


class RefusedError(Exception):
    """What the desk answered when it refused."""

    def __init__(self, status: int, body: dict[str, Any]) -> None:
        super().__init__(f"{status}: {body.get('error')}")
        self.status, self.body = status, body


@contextmanager
def running_desk(archive: Path | str, home: Path, port: int = 0) -> Iterator[RunningDesk]:
    """A desk that is stopped at the end."""
    desk = RunningDesk(archive, home, port)
    try:
        yield desk
    finally:
        desk.stop()


class DeskVisit:
    """A page of the desk in Chromium; what it complains about, or asks of anybody else, fails the test at its end."""

    def __init__(self, browser: Any, desk: RunningDesk, path: str = "/", **context: Any) -> None:
        self.desk = desk
        self.context = browser.new_context(**context)
        self.faults: list[str] = []
        self.asked: list[str] = []
        self.context.on("request", lambda request: self.asked.append(request.url))
        self.page = self.new_page()
        self.page.goto(desk.address)
        if path != "/":
            self.page.goto(desk.origin + path)

    def new_page(self) -> Any:
        """Another tab of the same visitor."""
        page = self.context.new_page()
        page.set_default_timeout(8000)
        page.on("console", self._hear)
        page.on("pageerror", lambda error: self.faults.append(str(error)))
        return page

    def _hear(self, message: Any) -> None:
        if message.type in ("error", "warning"):
            self.faults.append(message.text)

    def close(self, *, allowed: tuple[str, ...] = ()) -> None:
        """End the visit."""
        self.context.close()
        assert [fault for fault in self.faults if not any(part in fault for part in allowed)] == []
        elsewhere = [url for url in self.asked if not url.startswith((self.desk.origin, "data:", "blob:"))]
        assert elsewhere == []
