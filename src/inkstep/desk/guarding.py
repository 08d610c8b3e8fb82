"""Who may speak to the desk: this computer's browser, from the desk's own pages, with the token of this start.

The checks follow what a local service owes its user: the Host header is one of ours (DNS rebinding), whatever changes
something comes from our own origin (Fetch Metadata, https://www.w3.org/TR/fetch-metadata/), and every request carries a
secret of this start, in a cookie that no other site's page can have sent.
"""

from __future__ import annotations

import hmac
from collections.abc import Mapping
from http.cookies import CookieError, SimpleCookie
from urllib.parse import parse_qsl, urlencode

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

#: what a page of the desk may load: its own files, and nothing from anywhere else
POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' data: blob:",
        "media-src 'self' blob:",
        "connect-src 'self'",
        "frame-src 'self'",
        "form-action 'self'",
        "base-uri 'none'",
        "frame-ancestors 'self'",
    )
)
_HEADERS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cache-Control": "no-store",
}
#: methods that change nothing
_SAFE = frozenset({"GET", "HEAD"})
_CLOSED = "This desk opens with the address that `inkstep desk` printed: it carries the token of this start.\n"


class Guard:
    """ASGI middleware around the whole desk."""

    def __init__(self, app: ASGIApp, *, token: str, port: int) -> None:
        self._app = app
        self._token = token
        self._hosts = {f"127.0.0.1:{port}", f"localhost:{port}"}
        self._cookie = f"inkstep-desk-{port}"

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let the request through, or answer it."""
        if scope["type"] != "http":
            if scope["type"] == "lifespan":
                await self._app(scope, receive, send)
            return
        answer = self._answer(scope)
        if answer is not None:
            await answer(scope, receive, _with_headers(send))
            return
        await self._app(scope, receive, _with_headers(send))

    def _answer(self, scope: Scope) -> Response | None:
        """What the guard itself answers; None lets the request through."""
        headers = Headers(scope=scope)
        host = headers.get("host", "")
        if host not in self._hosts:
            return PlainTextResponse("This is not a name of the desk.\n", 421)
        if scope["method"] not in _SAFE and not _from_ourselves(headers, host):
            return PlainTextResponse("Only the desk's own pages may change something here.\n", 403)
        query = dict(parse_qsl(scope["query_string"].decode("latin-1")))
        offered = query.pop("token", None)
        if offered is not None and scope["method"] in _SAFE and self._is_token(offered):
            address = scope["path"].replace("\\", "/")
            address = "/" + address.lstrip("/") + (f"?{urlencode(query)}" if query else "")
            answer = RedirectResponse(address, 303)
            answer.set_cookie(self._cookie, self._token, path="/", httponly=True, samesite="strict")
            return answer
        if not self._is_token(_cookies(headers).get(self._cookie, "")):
            return PlainTextResponse(_CLOSED, 401)
        return None

    def _is_token(self, text: str) -> bool:
        return hmac.compare_digest(text.encode(), self._token.encode())


def _from_ourselves(headers: Headers, host: str) -> bool:
    """Whether a request that may change something comes from a page of the desk."""
    return headers.get("origin") == f"http://{host}" and headers.get("sec-fetch-site", "same-origin") == "same-origin"


def _cookies(headers: Headers) -> Mapping[str, str]:
    try:
        return {name: morsel.value for name, morsel in SimpleCookie(headers.get("cookie", "")).items()}
    except CookieError:
        return {}


def _with_headers(send: Send) -> Send:
    """Every answer says what its page may do; a route that has set a header of its own keeps it."""

    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in _HEADERS.items():
                headers.setdefault(name, value)
        await send(message)

    return sending
