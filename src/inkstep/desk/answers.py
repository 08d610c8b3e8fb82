"""Answers: pages from templates, plain data, and our own errors as the sentence that the user sees."""

from __future__ import annotations

import json
from importlib.resources import files
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup
from starlette.requests import ClientDisconnect, Request
from starlette.responses import HTMLResponse, JSONResponse, Response

from inkstep import __version__
from inkstep.archive.logs import ClashError
from inkstep.archive.opening import ArchiveError
from inkstep.ground.clock import clock_text
from inkstep.ground.errors import InkstepError, InputError
from inkstep.press.lesson_page import embedded

#: bytes of a request's body; no sheet, plan or archive of strokes is longer
MOST_BODY = 64 * 1024 * 1024


def _environment() -> Environment:
    made = Environment(loader=PackageLoader("inkstep.desk"), autoescape=True, undefined=StrictUndefined, trim_blocks=True)
    made.filters["clock"] = lambda ms: "-" if ms is None else clock_text(ms)[:-2]
    made.filters["data"] = lambda value: Markup(embedded(value))
    made.globals["version"] = __version__
    return made


_TEMPLATES = _environment()


def page(template: str, status: int = 200, **values: Any) -> HTMLResponse:
    """A page of the desk from its template; a value goes into a script element of data with ``|data``."""
    return HTMLResponse(_TEMPLATES.get_template(template).render(**values), status)


def fragment(template: str, **values: Any) -> str:
    """A piece of a page as text."""
    return _TEMPLATES.get_template(template).render(**values)


def data(value: Any, status: int = 200) -> Response:
    """Plain data."""
    return JSONResponse(value, status)


def static_text(name: str) -> str:
    """The text of one file of the ``static`` folder."""
    return files(__package__).joinpath("static", name).read_text(encoding="utf-8")


async def body_of(request: Request) -> dict[str, Any]:
    """The fields of a request's JSON.

    Raises:
        InputError: it is no JSON object, or too long.
    """
    try:
        value = json.loads(await text_of(request) or "{}")
    except (ValueError, RecursionError):
        raise InputError("a request in JSON") from None
    if not isinstance(value, dict):
        raise InputError("a JSON object", got=type(value).__name__)
    return value


async def bytes_of(request: Request) -> bytes:
    """A request's body.

    Raises:
        InputError: it is too long, or broke off.
    """
    found = bytearray()
    try:
        async for part in request.stream():
            found += part
            if len(found) > MOST_BODY:
                raise InputError(f"at most {MOST_BODY // 2**20} MB")
    except ClientDisconnect:
        raise InputError("a whole request", got="one that broke off") from None
    return bytes(found)


async def text_of(request: Request) -> str:
    """A request's body as text."""
    return (await bytes_of(request)).decode("utf-8", "replace")


def told(fault: InkstepError, request: Request) -> Response:
    """An error of ours: data for a script that asked, a page for a person who went there."""
    status = _status(fault)
    if "text/html" in request.headers.get("accept", ""):
        return page("error.html", status, sentence=str(fault))
    fields: dict[str, Any] = {"error": str(fault), "plain": _plain(fault)}
    if isinstance(fault, ClashError):
        fields |= {"was": fault.was, "theirs": fault.theirs, "ours": fault.ours}
    return data(fields, status)


def _plain(fault: InkstepError) -> str:
    """The fault for somebody in the middle of typing: what there is, then what was wanted."""
    wanted = f"wanted: {fault.expected}"
    said = f"{fault.got} ({wanted})" if fault.got else wanted
    return f"{said}; {fault.hint}" if fault.hint else said


def _status(fault: InkstepError) -> int:
    if isinstance(fault, ClashError):
        return 409
    if isinstance(fault, ArchiveError):
        return 503
    return 404 if fault.expected.startswith("a solve that is in the archive") else 400


def whole(value: object, what: str, *, least: int = 0, most: int = 10**12) -> int:
    """A whole number from a request.

    Raises:
        InputError: it is none, or out of range.
    """
    if isinstance(value, str) and value.lstrip("-").isdigit() and len(value) < 16:
        value = int(value)
    if type(value) is not int or not least <= value <= most:
        raise InputError(f"a whole number for {what}", got=repr(value)[:40])
    return value


def words(value: object, what: str, most: int = 20_000) -> str:
    """A text from a request.

    Raises:
        InputError: it is none, or too long.
    """
    if not isinstance(value, str) or len(value) > most:
        raise InputError(f"a text for {what}, of at most {most} characters", got=repr(value)[:40])
    return value


