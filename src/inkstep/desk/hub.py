"""Telling open pages what changed: server-sent events (HTML Living Standard, 9.2), one stream a page."""

from __future__ import annotations

import asyncio
import json
from collections.abc import AsyncIterator
from typing import Any

#: seconds between two comments on a silent stream, by which both ends notice that the other has gone
HEARTBEAT_S = 15.0
#: events that wait for a slow page; a page that is further behind is told to ask anew
MOST_WAITING = 64


class Hub:
    """Streams by topic (a solve's key, say). ``tell`` may be called from any thread."""

    def __init__(self) -> None:
        self._loop: asyncio.AbstractEventLoop | None = None
        self._waiting: dict[str, set[asyncio.Queue[str]]] = {}
        self._closed = False

    def open(self) -> None:
        """Belong to the running event loop."""
        self._loop = asyncio.get_running_loop()

    def close(self) -> None:
        """End every stream."""
        self._closed = True
        for queues in self._waiting.values():
            for queue in queues:
                _put(queue, "")

    def tell(self, topic: str, event: str, data: dict[str, Any]) -> None:
        """Send an event to every page that listens to the topic."""
        text = f"event: {event}\ndata: {json.dumps(data, ensure_ascii=False, separators=(',', ':'))}\n\n"
        if self._loop is not None and not self._closed:
            self._loop.call_soon_threadsafe(self._spread, topic, text)

    def _spread(self, topic: str, text: str) -> None:
        for queue in self._waiting.get(topic, ()):
            _put(queue, text)

    async def stream(self, topic: str) -> AsyncIterator[str]:
        """The events of a topic from now on, as text of the stream."""
        queue: asyncio.Queue[str] = asyncio.Queue(MOST_WAITING)
        self._waiting.setdefault(topic, set()).add(queue)
        try:
            yield "retry: 500\n\n"
            while not self._closed:
                try:
                    text = await asyncio.wait_for(queue.get(), HEARTBEAT_S)
                except TimeoutError:
                    text = ": still here\n\n"
                if text:
                    yield text
        finally:
            self._waiting[topic].discard(queue)


def _put(queue: asyncio.Queue[str], text: str) -> None:
    if queue.full():
        while not queue.empty():
            queue.get_nowait()
        text = "event: behind\ndata: {}\n\n"
    queue.put_nowait(text)
