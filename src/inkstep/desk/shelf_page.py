"""The shelf: all solves of the archive, newest first; the search; and the ways in and out."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response, StreamingResponse
from starlette.routing import BaseRoute, Route

from inkstep.archive import exchange, keeping
from inkstep.archive.shelf import EXAMPLES, Entry, Shelf, shelf
from inkstep.desk import first
from inkstep.desk.answers import body_of, data, fragment, page, words
from inkstep.desk.desk import Desk
from inkstep.desk.naming import attachment
from inkstep.desk.shelf_arrivals import arriving, take_in
from inkstep.desk.shelf_exports import FORMS, parcel
from inkstep.desk.shelf_new import FIELDS, begin_solve, look_at
from inkstep.desk.shelf_pictures import drawn_once, picture
from inkstep.ground.clock import clock_text
from inkstep.ground.errors import InputError

#: solves on one page of the shelf
MOST_ENTRIES = 30
_MOST_QUERY = 2000

#: the form of file in which a solve is kept with its plan and all that is known of it
ALL_OF_IT = "zip"

#: how far a solve has come, in words, and the page on which one goes on with it
STATES = {
    "logging": ("being logged", "logging"),
    "reviewed": ("reviewed", "reading"),
    "planned": ("lesson planned", "lesson"),
    "published": ("published", "press"),
}


def routes(desk: Desk) -> Sequence[BaseRoute]:
    """The shelf's page and data."""
    return (*_looking(desk), *_coming_and_going(desk), *_touring(desk))


def _looking(desk: Desk) -> Sequence[BaseRoute]:
    async def show(request: Request) -> Response:
        if "text/html" in request.headers.get("accept", "") and not request.query_params:
            key = await run_in_threadpool(first.greet, desk.archive)
            if key:
                return _to_tour(key)
        return page("shelf.html", **await run_in_threadpool(_shelf_values, desk, request.query_params))

    async def found(request: Request) -> Response:
        values = await run_in_threadpool(_found_values, desk, request.query_params)
        html = fragment("shelf_more.html" if request.query_params.get("after") else "shelf_found.html", **values)
        return data({"html": html})

    return (Route("/", show), Route("/shelf/found", found))


def _coming_and_going(desk: Desk) -> Sequence[BaseRoute]:
    async def puzzle(request: Request) -> Response:
        text = words((await body_of(request)).get("text"), "the puzzle", 100_000)
        return data(await run_in_threadpool(look_at, desk, text))

    async def new(request: Request) -> Response:
        return data({"key": await run_in_threadpool(begin_solve, desk, await body_of(request))})

    async def arrive(request: Request) -> Response:
        asked = request.query_params
        async with arriving(request) as file:
            return data(await run_in_threadpool(take_in, desk, asked.get("name", ""), file, asked.get("puzzle", "")))

    async def keep(request: Request) -> Response:
        key, form = request.path_params["key"], request.path_params["form"]
        if form == ALL_OF_IT:
            title = (await run_in_threadpool(desk.log, key)).sheet.header.title or key
            return await _zipped(desk, attachment(title, ".zip"), [key])
        made = await run_in_threadpool(parcel, desk, key, form)
        return Response(made.content, media_type=made.kind, headers={"Content-Disposition": made.disposition})

    async def keep_all(_request: Request) -> Response:
        return await _zipped(desk, attachment(f"inkstep archive {_day(desk.archive.now())}", ".zip"), None)

    async def remove(request: Request) -> Response:
        key = request.path_params["key"]
        await run_in_threadpool(exchange.remove_solve, desk.archive, key)
        desk.forget(key)
        return data({"removed": key})

    return (
        Route("/shelf/puzzle", puzzle, methods=["POST"]),
        Route("/shelf/new", new, methods=["POST"]),
        Route("/shelf/arrive", arrive, methods=["POST"]),
        Route("/shelf/archive.zip", keep_all),
        Route("/solve/{key}/keep.{form}", keep),
        Route("/solve/{key}/remove", remove, methods=["POST"]),
    )


async def _zipped(desk: Desk, disposition: str, keys: list[str] | None) -> Response:
    """Solves with all that is known of them, as a zip file that can be brought in again."""
    parts = await run_in_threadpool(exchange.export_archive, desk.archive, keys)
    return StreamingResponse(parts, media_type="application/zip", headers={"Content-Disposition": disposition})


def _touring(desk: Desk) -> Sequence[BaseRoute]:
    async def tour(_request: Request) -> Response:
        return _to_tour(await run_in_threadpool(first.tour_solve, desk.archive))

    async def toured(request: Request) -> Response:
        ended = (await body_of(request)).get("ended")
        if ended not in first.TOUR_ENDS:
            raise InputError(f"how the tour ended, one of {', '.join(first.TOUR_ENDS)}", got=repr(ended)[:40])
        await run_in_threadpool(keeping.keep_setting, desk.archive, first.TOUR, ended)
        return data({"ended": ended})

    return (Route("/tour", tour), Route("/tour", toured, methods=["POST"]))


def _to_tour(key: str) -> Response:
    return RedirectResponse(f"/solve/{key}/logging?tour", 303)


def _shelf_values(desk: Desk, asked: Any) -> dict[str, Any]:
    values = _found_values(desk, asked)
    return {
        **values,
        "title": "The shelf",
        "here": "shelf",
        "empty": not values["total"] and not values["query"],
        "fields": FIELDS,
        "drawn_once": drawn_once(),
        "toured": keeping.setting(desk.archive, first.TOUR) is not None,
    }


def _found_values(desk: Desk, asked: Any) -> dict[str, Any]:
    query = " ".join(asked.get("q", "").split())
    if len(query) > _MOST_QUERY:
        raise InputError(f"at most {_MOST_QUERY} characters to search for")
    found = shelf(desk.archive, query, after=asked.get("after") or None, most=MOST_ENTRIES)
    return {
        "query": query,
        "total": found.total,
        "rows": [row(entry) for entry in found.entries],
        "next": found.next,
        "understood": _listed(found),
        "unknown": found.unknown,
        "examples": EXAMPLES,
        "forms": (*FORMS, ALL_OF_IT),
    }


def _listed(found: Shelf) -> str:
    return "; ".join(found.understood)


def row(entry: Entry) -> dict[str, Any]:
    """What the shelf shows of a solve."""
    state, way = STATES.get(entry.state, (entry.state, "logging"))
    numbers = [clock_text(entry.length_ms)[:-2]] if entry.length_ms else []
    numbers.append(f"{entry.strokes} {'stroke' if entry.strokes == 1 else 'strokes'}")
    if entry.effort is not None:
        numbers.append(f"{entry.effort:.0f} looks")
    if entry.hardest:
        numbers.append(f"hardest: {entry.hardest}")
    return {
        "key": entry.key,
        "title": entry.title or "A solve without a title",
        "by": " · ".join(part for part in (entry.solver, entry.event) if part),
        "numbers": numbers,
        "state": state,
        "way": way,
        "day": _day(entry.created_at),
        "twins": entry.twins,
        "puzzle": entry.puzzle,
        "picture": picture(entry.puzzle, entry.last_page),
    }


def _day(ms: int) -> str:
    """A day by the calendar of this computer: ``25 Nov 2026``."""
    day = datetime.fromtimestamp(ms / 1000).astimezone()
    return f"{day.day} {day:%b %Y}"
