"""Logging: the page beside the video on which strokes are entered and repaired, and the data it asks for."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response, StreamingResponse
from starlette.routing import BaseRoute, Route

from inkstep.archive import keeping
from inkstep.desk.answers import body_of, data, page, whole
from inkstep.desk.desk import Desk
from inkstep.desk.doubts import Doubts
from inkstep.desk.frame import solve_frame
from inkstep.desk.likely import likely
from inkstep.desk.log_edits import do_edit
from inkstep.ground.errors import InputError
from inkstep.review.pace import REST_MS

#: the setting by which the cue is remembered; it is off until somebody asks for it
CUE = "cue"


def routes(desk: Desk) -> Sequence[BaseRoute]:
    """The pages and the data of logging."""
    doubting = Doubts()

    async def show(request: Request) -> Response:
        key = request.path_params["key"]
        frame = await run_in_threadpool(solve_frame, desk, key, "logging")
        change = await run_in_threadpool(desk.change, key, None)
        cue = await run_in_threadpool(keeping.setting, desk.archive, CUE, False)
        logging, tour = {"cue": cue is True, "rest_ms": REST_MS}, "tour" in request.query_params
        return page("logging.html", **frame, change=change, tour=tour, logging=logging)

    async def change(request: Request) -> Response:
        have = request.query_params.get("have")
        key, known = request.path_params["key"], whole(have, "have") if have else None
        return data(await run_in_threadpool(desk.change, key, known))

    async def edit(request: Request) -> Response:
        asked = await body_of(request)
        return data(await run_in_threadpool(do_edit, desk, request.path_params["key"], asked))

    async def events(request: Request) -> Response:
        stream = desk.hub.stream(request.path_params["key"])
        return StreamingResponse(stream, media_type="text/event-stream")

    async def doubts(request: Request) -> Response:
        first = whole(request.query_params.get("from", "0"), "from")
        return data(await run_in_threadpool(_doubts, desk, doubting, request.path_params["key"], first))

    async def cues(request: Request) -> Response:
        number = whole(request.query_params.get("number", ""), "number")
        return data(await run_in_threadpool(_likely, desk, request.path_params["key"], number))

    async def cue(request: Request) -> Response:
        on = (await body_of(request)).get("on") is True
        await run_in_threadpool(keeping.keep_setting, desk.archive, CUE, on)
        return data({"on": on})

    return (
        Route("/solve/{key}/logging", show),
        Route("/solve/{key}/change", change),
        Route("/solve/{key}/edit", edit, methods=["POST"]),
        Route("/solve/{key}/events", events),
        Route("/solve/{key}/doubts", doubts),
        Route("/solve/{key}/likely", cues),
        Route("/logging/cue", cue, methods=["PUT"]),
    )


def _doubts(desk: Desk, doubting: Doubts, key: str, first: int) -> dict[str, Any]:
    return doubting.answer(desk.track(key), first)


def _likely(desk: Desk, key: str, number: int) -> dict[str, Any]:
    """The next likely strokes on the page after stroke ``number``."""
    pages = desk.track(key).pages
    if number >= len(pages):
        raise InputError(f"a page from 0 to {len(pages) - 1}", got=str(number))
    return {"number": number, **likely(pages[number])}
