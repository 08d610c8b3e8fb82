"""The lesson plan: segments and pauses, edited in place, and the lesson page as viewers get it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import HTMLResponse, Response
from starlette.routing import BaseRoute, Route

from inkstep.desk.answers import body_of, data, page, whole, words
from inkstep.desk.desk import Desk
from inkstep.desk.frame import solve_frame
from inkstep.desk.plan_book import PlanBook, plans_of
from inkstep.desk.plan_edits import edit_of
from inkstep.desk.plan_view import plan_json
from inkstep.press.lesson_page import lesson_page
from inkstep.press.staging import story_of

#: how long a page waits for a review before it is told how far it is, in seconds
_PATIENCE_S = 0.4
#: the lesson page's own policy, in its head before anything that a sheet says
_POLICY = re.compile(r'<meta http-equiv="Content-Security-Policy" content="([^"]*)">')


def routes(desk: Desk) -> Sequence[BaseRoute]:
    """The page of the plan, its data, and the preview."""
    book = plans_of(desk)

    async def show(request: Request) -> Response:
        key = request.path_params["key"]
        frame = await run_in_threadpool(solve_frame, desk, key, "lesson")
        return page("lesson.html", **frame, live={"address": desk.address, "token": desk.address_token})

    async def plan(request: Request) -> Response:
        have = request.query_params.get("log")
        known = whole(have, "log") if have else None
        return data(await run_in_threadpool(_plan, desk, book, request.path_params["key"], known))

    async def edit(request: Request) -> Response:
        asked = await body_of(request)
        return data(await run_in_threadpool(_edit, book, request.path_params["key"], asked))

    async def preview(request: Request) -> Response:
        return await run_in_threadpool(_preview, book, request.path_params["key"])

    return (
        Route("/solve/{key}/lesson", show),
        Route("/solve/{key}/plan", plan),
        Route("/solve/{key}/plan", edit, methods=["POST"]),
        Route("/solve/{key}/preview", preview),
    )


def _plan(desk: Desk, book: PlanBook, key: str, have_log: int | None) -> dict[str, Any]:
    """The plan where the review is made, else how far that is."""
    share = desk.studies.share(desk.log(key), _PATIENCE_S)
    if share < 1:
        return {"ready": False, "share": share}
    return {"ready": True, **plan_json(book.standing(key), have_log=have_log)}


def _edit(book: PlanBook, key: str, asked: dict[str, Any]) -> dict[str, Any]:
    """Do one edit, and answer with the plan as it stands then."""
    have_log = whole(asked["log"], "log") if asked.get("log") is not None else None
    made = ""
    if asked.get("edit") in ("undo", "redo"):
        standing = book.undo(key) if asked["edit"] == "undo" else book.redo(key)
    else:
        standing, made = book.edit(key, edit_of(asked), words(asked.get("visit", ""), "a visit", 80))
    return {"ready": True, **plan_json(standing, have_log=have_log), "made": made}


def _preview(book: PlanBook, key: str) -> Response:
    """The lesson page of the plan as it stands; its own policy goes with it, and only the desk may frame it."""
    standing = book.standing(key)
    text = lesson_page(story_of(standing.plan, standing.study.review))
    found = _POLICY.search(text)
    own = found[1] if found else "default-src 'none'"
    return HTMLResponse(text, headers={"Content-Security-Policy": f"{own}; frame-ancestors 'self'"})
