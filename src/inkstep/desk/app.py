"""The desk as one ASGI application: its pages, their data, its static files, behind the guard."""

from __future__ import annotations

import json
from collections.abc import AsyncIterator, Callable, Sequence
from contextlib import asynccontextmanager
from importlib.resources import files
from typing import Any

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import BaseRoute, Mount, Route
from starlette.staticfiles import StaticFiles

from inkstep.desk import (
    compare_page,
    live_page,
    log_page,
    plan_page,
    press_page,
    reading_page,
    recordings,
    settings_page,
    shelf_page,
)
from inkstep.desk.answers import page, told
from inkstep.desk.desk import Desk
from inkstep.desk.guarding import Guard
from inkstep.ground.errors import InkstepError
from inkstep.press.lesson_page import theme_rules
from inkstep.press.manner import manner_for_browser

#: the parts of the desk, each with its own routes
PARTS: Sequence[Callable[[Desk], Sequence[BaseRoute]]] = (
    shelf_page.routes,
    settings_page.routes,
    recordings.routes,
    log_page.routes,
    reading_page.routes,
    plan_page.routes,
    press_page.routes,
    live_page.routes,
    compare_page.routes,
)


def build(desk: Desk, *, token: str, port: int) -> Guard:
    """The whole application, for a server on ``port`` of this computer."""
    app = Starlette(
        routes=[*_static(), *(route for part in PARTS for route in part(desk))],
        exception_handlers={InkstepError: _ours, HTTPException: _theirs, Exception: _fault},
        lifespan=_lifespan(desk),
    )
    return Guard(app, token=token, port=port)


def _static() -> list[BaseRoute]:
    """Files that are the same for everybody: the desk's own, the board of the lesson page, the colours and the manner."""
    here, press = files("inkstep.desk").joinpath("static"), files("inkstep.press").joinpath("page")
    return [
        Route("/static/theme.css", _fixed(theme_rules(), "text/css")),
        Route("/static/manner.js", _fixed(_manner_module(), "text/javascript")),
        Mount("/static/board", StaticFiles(directory=str(press))),
        Mount("/static", StaticFiles(directory=str(here))),
    ]


def _manner_module() -> str:
    return f"// how things are drawn, from the press\nexport const manner = {json.dumps(manner_for_browser())};\n"


def _fixed(text: str, kind: str) -> Callable[[Request], Response]:
    def answer(_request: Request) -> Response:
        return Response(text, media_type=kind)

    return answer


def _lifespan(desk: Desk) -> Callable[[Any], Any]:
    @asynccontextmanager
    async def living(_app: Any) -> AsyncIterator[None]:
        desk.hub.open()
        yield
        desk.hub.close()

    return living


def _ours(request: Request, fault: Exception) -> Response:
    assert isinstance(fault, InkstepError)
    return told(fault, request)


def _theirs(request: Request, fault: Exception) -> Response:
    assert isinstance(fault, HTTPException)
    return page("error.html", fault.status_code, sentence=f"There is nothing here ({fault.detail.lower()}).")


def _fault(_request: Request, fault: Exception) -> Response:
    """A fault of ours, not of the user: said plainly, while the server writes the details to its own output."""
    sentence = f"Something went wrong inside the desk: {type(fault).__name__}. Nothing was lost."
    return page("error.html", 500, sentence=sentence)
