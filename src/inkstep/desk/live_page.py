"""Live: the page and its evidence on transparent ground, for streaming software; it follows the desk, or a clock."""

from __future__ import annotations

import threading
import time
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from typing import Any

from starlette.background import BackgroundTask
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import BaseRoute, Route

from inkstep.desk.answers import body_of, data, page, whole
from inkstep.desk.desk import Desk
from inkstep.desk.live_scene import Here, Scene, bare_scene, here_of, scene_of, stroke_scene
from inkstep.desk.plan_book import plans_of
from inkstep.ground.errors import InkstepError, InputError

#: the sizes that streaming software has, wide and tall
SIZES = ("1920x1080", "1080x1920")
FOLLOWS = ("desk", "clock")
THEMES = ("light", "dark")
#: milliseconds: a stroke that stands alone for less has no evidence shown, lest the page flickers
STANDS_MS = 700
#: milliseconds since 1970: no clock starts later
_LATEST = 10**14


@dataclass
class _Place:
    """Where the user of a solve is, counted; and when its clock started (milliseconds since 1970, or None)."""

    number: int = 0
    here: Here = field(default_factory=Here)
    start: int | None = None


class _Places:
    """Where the users of the solves are. Any thread may call a method."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._lock = threading.Lock()
        self._places: dict[str, _Place] = {}

    def of(self, key: str) -> _Place:
        """The place in one solve."""
        with self._lock:
            return self._places.setdefault(key, _Place())

    def move(self, key: str, here: Here) -> tuple[int, bool]:
        """Go to a place and tell the live pages; gives its number, and whether more can be shown once a review is made.

        Raises:
            InputError: there is no such solve, or no such segment or pause in its plan.
        """
        place, scene = self.of(key), self._scene(key, here)
        with self._lock:
            place.number += 1
            place.here = here
            number = place.number
        if scene or not (here.segment or here.pause):
            self._tell(key, here, number, scene or self._bare(key, here))
        return number, scene is None

    def complete(self, key: str, number: int) -> None:
        """Make the review that a place needs, and tell the live pages, if the user is still there."""
        # a puzzle without one solution has no evidence: the page alone is shown
        with suppress(InkstepError):
            self._desk.study(key)
            here = self.of(key).here
            scene = self._scene(key, here)
            if scene and self.of(key).number == number:
                self._tell(key, here, number, scene)

    def event(self, key: str) -> dict[str, Any]:
        """What a live page that opens now shows: the user's place, or the page at the end."""
        place = self.of(key)
        here = place.here if place.number else Here(len(self._desk.log(key).ids))
        scene = None
        with suppress(InputError):
            scene = self._scene(key, here)
        return self._event(key, here, place.number, scene or self._bare(key, here))

    def _scene(self, key: str, here: Here) -> Scene | None:
        """What is shown of a place; None where that needs a review which is not made yet."""
        if not here.needs_review:
            return self._bare(key, here)
        study = self._desk.studies.at_hand(self._desk.log(key))
        if study is None:
            return None
        if here.segment or here.pause:
            return scene_of(here, plans_of(self._desk).standing(key))
        return stroke_scene(study.review, min(here.stroke, len(study.log.ids)))

    def _bare(self, key: str, here: Here) -> Scene:
        return bare_scene(here, len(self._desk.log(key).ids))

    def _tell(self, key: str, here: Here, number: int, scene: Scene) -> None:
        self._desk.hub.tell(key, "here", self._event(key, here, number, scene))

    def _event(self, key: str, here: Here, number: int, scene: Scene) -> dict[str, Any]:
        revision = self._desk.log(key).revision
        return {"number": number, "ms": here.ms, "revision": revision, **scene.to_json()}

    def clock(self, key: str, start: int | None) -> None:
        """Start the clock of a solve at a moment, or stop it."""
        self.of(key).start = start
        self._desk.hub.tell(key, "clock", {"start": start})


def routes(desk: Desk) -> Sequence[BaseRoute]:
    """The live page, and where the desk's pages say what they are at."""
    places = _Places(desk)

    async def show(request: Request) -> Response:
        key, query = request.path_params["key"], request.query_params
        wanted = {
            "size": _one_of(query.get("size", SIZES[0]), SIZES, "size"),
            "follow": _one_of(query.get("follow", FOLLOWS[0]), FOLLOWS, "follow"),
            "theme": _one_of(query.get("theme", THEMES[0]), THEMES, "theme"),
        }
        given = query.get("start")
        start = whole(given, "start", most=_LATEST) if given else places.of(key).start
        change = await run_in_threadpool(desk.change, key, None)
        here = await run_in_threadpool(places.event, key)
        live = {"key": key, "follow": wanted["follow"], "start": start, "here": here, "change": change}
        return page("live.html", size=wanted["size"], theme=wanted["theme"], live=live)

    async def here(request: Request) -> Response:
        key, asked = request.path_params["key"], await body_of(request)
        if "clock" in asked:
            start = time.time_ns() // 1_000_000 if _one_of(asked["clock"], ("start", "stop"), "clock") == "start" else None
            await run_in_threadpool(desk.log, key)
            places.clock(key, start)
            return data({"start": start})
        number, more = await run_in_threadpool(places.move, key, here_of(asked))
        task = BackgroundTask(places.complete, key, number) if more else None
        return JSONResponse({"number": number}, background=task)

    async def evidence(request: Request) -> Response:
        return data(await run_in_threadpool(_evidence, desk, request.path_params["key"]))

    return (
        Route("/solve/{key}/live", show),
        Route("/solve/{key}/live/evidence", evidence),
        Route("/solve/{key}/here", here, methods=["POST"]),
    )


def _evidence(desk: Desk, key: str) -> dict[str, Any]:
    """For a live page that follows a clock: every stroke that stands long enough to be looked at, with its reasons.

    The digit itself stands on the page then, so it is not written once more.
    """
    study = desk.study(key)
    found: dict[str, Any] = {}
    strokes = study.review.strokes
    for judged, then in zip(strokes, (*strokes[1:], None), strict=True):
        if then is None or then.wait_ms is None or then.wait_ms >= STANDS_MS:
            scene = stroke_scene(study.review, judged.number).to_json()
            scene["evidence"].pop("written", None)
            found[str(judged.number)] = scene | {"page": judged.number}
    return {"revision": study.log.revision, "strokes": found}


def _one_of(value: object, known: Sequence[str], what: str) -> str:
    if value not in known:
        raise InputError(f"{what} as one of {', '.join(known)}", got=repr(value)[:40])
    return str(value)
