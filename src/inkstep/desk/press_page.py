"""Publishing: formats chosen, progress watched, results opened."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import BaseRoute, Route

from inkstep.archive import keeping
from inkstep.archive.keeping import Job
from inkstep.desk.answers import body_of, data, page, words
from inkstep.desk.desk import Desk
from inkstep.desk.frame import solve_frame
from inkstep.desk.jobs import Jobs, job_json
from inkstep.desk.naming import slug
from inkstep.ground.errors import InputError
from inkstep.press.edition import MANIFEST
from inkstep.press.formats import FORMATS, chosen_formats
from inkstep.workshop.publishing import reminders

#: fields of the head that say whose a puzzle and a recording are
RIGHTS = ("source", "permission", "credit")

#: A file that was made is shown like a page of anybody's: it may run the script it names in its own policy, but belongs
#: to no origin, so it can reach neither the desk nor anything else.
_SHOWN = "; ".join(
    (
        "sandbox allow-scripts allow-modals allow-downloads",
        "default-src 'none'",
        "script-src 'unsafe-inline'",
        "style-src 'unsafe-inline'",
        "img-src data:",
        "base-uri 'none'",
        "form-action 'none'",
        "frame-ancestors 'self'",
    )
)
_KINDS = {".html": "text/html", ".svg": "image/svg+xml", ".json": "application/json"}


def routes(desk: Desk) -> Sequence[BaseRoute]:
    """The pages and the data of publishing."""
    jobs = Jobs(desk)

    async def show(request: Request) -> Response:
        values = await run_in_threadpool(_page_values, desk, jobs, request.path_params["key"])
        return page("press.html", **values)

    async def listed(request: Request) -> Response:
        found = await run_in_threadpool(jobs.of, request.path_params["key"])
        return data([job_json(job) for job in found])

    async def start(request: Request) -> Response:
        asked = await body_of(request)
        return data(job_json(await run_in_threadpool(_start, desk, jobs, request.path_params["key"], asked)))

    async def stop(request: Request) -> Response:
        return data(job_json(await run_in_threadpool(jobs.stop, request.path_params["key"], request.path_params["job"])))

    async def file(request: Request) -> Response:
        found = await run_in_threadpool(jobs.one, request.path_params["key"], request.path_params["job"])
        name = request.path_params["name"]
        content = await run_in_threadpool(_content, found, name)
        kind = _KINDS.get(Path(name).suffix, "text/plain")
        return Response(content, media_type=kind, headers={"Content-Security-Policy": _SHOWN})

    return (
        Route("/solve/{key}/press", show),
        Route("/solve/{key}/press", start, methods=["POST"]),
        Route("/solve/{key}/press/jobs", listed),
        Route("/solve/{key}/press/{job:int}/stop", stop, methods=["POST"]),
        Route("/solve/{key}/press/{job:int}/file/{name:path}", file),
    )


def _page_values(desk: Desk, jobs: Jobs, key: str) -> dict[str, Any]:
    frame = solve_frame(desk, key, "press")
    found = jobs.of(key)
    last = found[0] if found else None
    header = frame["header"]
    return {
        **frame,
        "formats": FORMATS,
        "chosen": set(last.asked.get("formats", ())) if last else {each.name for each in FORMATS},
        "folder": last.folder if last else str(default_folder(desk.files, header.title)),
        "rights": {name: getattr(header, name) for name in RIGHTS},
        "reminders": reminders(header),
        "planned": keeping.plan_of(desk.archive, key) is not None,
        "jobs": [job_json(job) for job in found],
    }


def default_folder(files: Path, title: str) -> Path:
    """A folder for a lesson of that title in which no other lesson lies."""
    first, number = files / slug(title), 1
    folder = first
    while (folder / MANIFEST).exists() and number < 1000:
        number += 1
        folder = first.with_name(f"{first.name}-{number}")
    return folder


def _start(desk: Desk, jobs: Jobs, key: str, asked: dict[str, Any]) -> Job:
    names = asked.get("formats")
    if not isinstance(names, list) or not names:
        raise InputError("one format at least")
    formats = tuple(each.name for each in chosen_formats([words(name, "a format", 40) for name in names]))
    folder = usable_folder(words(asked.get("folder"), "the folder", 4000), desk.files)
    if any(job.state in ("waiting", "running") and job.folder == str(folder) for job in jobs.of(key)):
        raise InputError("one job at a time for a folder", hint="wait for the one that runs, or stop it")
    return jobs.start(key, formats, str(folder))


def usable_folder(text: str, files: Path) -> Path:
    """The folder that the user named: in full, by ``~``, or within the desk's own folder ``files``.

    It need not be there: then the first of its parents that is must be one in which it can be made.

    Raises:
        InputError: it cannot be written to, or is no folder.
    """
    if not text.strip() or "\0" in text:
        raise InputError("a folder for the lesson", got=repr(text)[:40])
    try:
        folder = Path(os.path.abspath(files / Path(text.strip()).expanduser()))
        there = next(each for each in (folder, *folder.parents) if os.path.lexists(each))
        if not there.is_dir():
            raise InputError("a folder", where=str(there), got="a file", hint="choose another")
        if not os.access(there, os.W_OK | os.X_OK):
            raise InputError("a folder that you may write to", where=str(there), got="no permission", hint="choose another")
    except (OSError, RuntimeError) as fault:
        raise InputError("a folder that can be used", got=str(fault)) from None
    return folder


def _content(job: Job, name: str) -> bytes:
    """A file that the job wrote, and no other.

    Raises:
        InputError: it wrote none of that name, or the file has gone.
    """
    path = next((Path(each) for each in job.written if Path(each) == Path(job.folder, name)), None)
    if path is None or not name:
        raise InputError("a file that this job wrote")
    try:
        return path.read_bytes()
    except OSError as fault:
        raise InputError("a file that is still there", where=str(path), got=fault.strerror or "nothing") from None
