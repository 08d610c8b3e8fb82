"""Reading: each stroke with the page it was written on, its argument, and what else lay open."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import BaseRoute, Route

from inkstep.archive import keeping
from inkstep.archive.keeping import Choice
from inkstep.desk.answers import body_of, data, page, whole, words
from inkstep.desk.desk import Desk
from inkstep.desk.frame import solve_frame
from inkstep.desk.reading import stroke_json
from inkstep.desk.reading_summary import study_json
from inkstep.ground.errors import InputError
from inkstep.review.choosing import arguments_of

#: milliseconds for which a request for the study may wait for it
MOST_PATIENCE_MS = 5000
#: characters of a teacher's own words for one stroke
MOST_WORDS = 4000


def routes(desk: Desk) -> Sequence[BaseRoute]:
    """The page and the data of reading."""

    async def show(request: Request) -> Response:
        key = request.path_params["key"]
        frame = await run_in_threadpool(solve_frame, desk, key, "reading")
        change = await run_in_threadpool(desk.change, key, None)
        recording = await run_in_threadpool(keeping.recording_of, desk.archive, key)
        return page("reading.html", **frame, change=change, film={"has": bool(recording.path)})

    async def study(request: Request) -> Response:
        patience = whole(request.query_params.get("patience", "0"), "patience", most=MOST_PATIENCE_MS)
        return data(await run_in_threadpool(_study, desk, request.path_params["key"], patience))

    async def stroke(request: Request) -> Response:
        number = whole(request.path_params["number"], "a stroke", least=1)
        have = request.query_params.get("have")
        known = whole(have, "have") if have else None
        return await run_in_threadpool(_stroke, desk, request.path_params["key"], number, known)

    async def choose(request: Request) -> Response:
        asked = await body_of(request)
        return data(await run_in_threadpool(_choose, desk, request.path_params["key"], asked))

    return (
        Route("/solve/{key}/reading", show),
        Route("/solve/{key}/study", study),
        Route("/solve/{key}/reading/{number}", stroke),
        Route("/solve/{key}/choice", choose, methods=["POST"]),
    )


def _study(desk: Desk, key: str, patience_ms: int) -> dict[str, Any]:
    """The summary where the review is made, else how far it is."""
    log = desk.log(key)
    if not log.ids:
        raise InputError("strokes to read", got="a solve without any", hint="log some first")
    share = desk.studies.share(log, patience_ms / 1000)
    study = desk.studies.at_hand(log) if share == 1 else None
    if study is None:
        return {"ready": False, "revision": log.revision, "share": share}
    return {"ready": True, **study_json(study, desk.studies.plan(study)[1].plan)}


def _stroke(desk: Desk, key: str, number: int, have: int | None) -> Response:
    """One stroke of the revision that the page shows."""
    study = desk.study(key)
    if have is not None and have != study.log.revision:
        sentence = "The log was changed meanwhile; read it anew."
        return data({"error": sentence, "revision": study.log.revision}, 409)
    if number > len(study.log.ids):
        raise InputError(f"a stroke from 1 to {len(study.log.ids)}", got=str(number))
    return data(stroke_json(study, number))


def _choose(desk: Desk, key: str, asked: dict[str, Any]) -> dict[str, Any]:
    """Keep the argument or the words chosen for a stroke, and answer with the stroke as it is told now."""
    study = desk.study(key)
    stroke = whole(asked.get("stroke"), "a stroke")
    number = study.log.number(stroke)
    stands = study.choices.get(number, Choice())
    was = _choice(asked.get("was"), stands)
    choice = _choice(asked, stands)
    found = arguments_of(study.review.strokes[number - 1])
    if choice.argument not in ("", stands.argument, *found):
        raise InputError("an argument that was found for the stroke", got=choice.argument)
    desk.studies.choose(study.log, stroke, choice, was)
    desk.hub.tell(key, "chosen", {"stroke": stroke})
    return stroke_json(desk.study(key), number)


def _choice(asked: object, default: Choice) -> Choice:
    """The choice in a request; what it does not name stays."""
    if not isinstance(asked, dict):
        return default
    argument = words(asked.get("argument", default.argument), "an argument", 2000)
    return Choice(argument, words(asked.get("words", default.words), "the words", MOST_WORDS).strip())
