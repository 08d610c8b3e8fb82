"""Two logs of one recording, laid side by side: what agrees, what differs, and one log merged of both."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import BaseRoute, Route

from inkstep.desk.answers import body_of, bytes_of, data, page
from inkstep.desk.compare_merge import write_merged
from inkstep.desk.compare_rows import laid_side_by_side
from inkstep.desk.compare_sides import FILE, file_side, kept_side, others
from inkstep.desk.desk import Desk
from inkstep.desk.frame import solve_frame
from inkstep.trace.comparing import NEAR_MS
from inkstep.trace.writing import write_sheet


def routes(desk: Desk) -> Sequence[BaseRoute]:
    """Their pages and data."""

    async def choose(request: Request) -> Response:
        return page("compare.html", **await run_in_threadpool(_choosing, desk, request.path_params["key"]))

    async def show(request: Request) -> Response:
        key, other = request.path_params["key"], request.path_params["other"]
        return page("compare.html", **await run_in_threadpool(_comparing, desk, key, other))

    async def rows(request: Request) -> Response:
        key, other = request.path_params["key"], request.path_params["other"]
        return await run_in_threadpool(_rows, desk, key, other, request.query_params.get("clock", ""))

    async def file_rows(request: Request) -> Response:
        content, asked = await bytes_of(request), request.query_params
        key, name, clock = request.path_params["key"], asked.get("name", ""), asked.get("clock", "")
        return await run_in_threadpool(_file_rows, desk, key, name, content, clock)

    async def write(request: Request) -> Response:
        key, other, asked = request.path_params["key"], request.path_params["other"], await body_of(request)
        return data(await run_in_threadpool(write_merged, desk, key, other, asked))

    return (
        Route("/solve/{key}/compare", choose),
        Route(f"/solve/{{key}}/compare/{FILE}/rows", file_rows, methods=["POST"]),
        Route("/solve/{key}/compare/{other}", show),
        Route("/solve/{key}/compare/{other}/rows", rows),
        Route("/solve/{key}/compare/{other}/write", write, methods=["POST"]),
    )


def _choosing(desk: Desk, key: str) -> dict[str, Any]:
    return {**solve_frame(desk, key, "compare"), "other": None, "others": others(desk, key)}


def _comparing(desk: Desk, key: str, other: str) -> dict[str, Any]:
    frame = solve_frame(desk, key, "compare")
    about = {"other": other, "file": other == FILE, "near_ms": NEAR_MS}
    title = "" if other == FILE else kept_side(desk, key, other).title
    return {**frame, "other": other, "other_title": title, "about": about}


def _rows(desk: Desk, key: str, other: str, clock: str) -> Response:
    """The rows. A thousand of them are long enough as JSON that this, too, is kept off the event loop."""
    return data(laid_side_by_side(desk.track(key), kept_side(desk, key, other), clock))


def _file_rows(desk: Desk, key: str, name: str, content: bytes, clock: str) -> Response:
    """The rows, and the sheet of the file as text: the page keeps it, the desk does not."""
    side = file_side(desk.log(key).sheet, name, content)
    rows = laid_side_by_side(desk.track(key), side, clock)
    return data({**rows, "text": write_sheet(side.log.sheet), "damage": side.damage})
