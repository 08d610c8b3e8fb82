"""Settings of the whole desk: the keys, as the user changed them."""

from __future__ import annotations

from collections.abc import Sequence

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import BaseRoute, Route

from inkstep.archive.keeping import keep_setting, setting
from inkstep.desk.answers import body_of, data
from inkstep.desk.desk import Desk
from inkstep.ground.errors import InputError

KEYS = "keys"
#: keys that may be changed, and characters of a key's or an action's name
MOST_KEYS, MOST_NAME = 200, 60


def routes(desk: Desk) -> Sequence[BaseRoute]:
    """Their data. Which actions there are, and what their keys are at first, is the pages' affair."""

    async def show(_request: Request) -> Response:
        return data({"keys": await run_in_threadpool(setting, desk.archive, KEYS, {})})

    async def keep(request: Request) -> Response:
        keys = changed_keys((await body_of(request)).get("keys"))
        await run_in_threadpool(keep_setting, desk.archive, KEYS, keys)
        return data({"keys": keys})

    return (Route("/settings/keys", show), Route("/settings/keys", keep, methods=["PUT"]))


def changed_keys(value: object) -> dict[str, str]:
    """The keys that the user changed, by the action's name.

    Raises:
        InputError: it is no such table.
    """
    if not isinstance(value, dict) or len(value) > MOST_KEYS:
        raise InputError(f"a table of at most {MOST_KEYS} keys")
    for name, key in value.items():
        if not _is_name(name) or not _is_name(key):
            raise InputError("an action's name and its key", got=repr((name, key))[:80])
    return dict(value)


def _is_name(value: object) -> bool:
    return isinstance(value, str) and 0 < len(value) <= MOST_NAME and value.isprintable()
