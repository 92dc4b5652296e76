"""What the server answers, on the loopback address only.

    /                 the page            /page/NAME    its script and style, and nothing else
    /state            what is shown of one sheet, as JSON
    /clearances       the frame's gaps, as JSON
    /events           a line each time there is something new (server-sent events)

A request under another name than ours (Host), or that another site's page sent (Origin), is refused. No
part of a request is ever a path: names are looked up among those read when the server began.
"""

from __future__ import annotations

import asyncio
import json
import secrets
from collections.abc import AsyncIterator, Callable
from concurrent.futures import Executor
from dataclasses import dataclass, field
from importlib.resources import files
from typing import Any

from starlette.applications import Starlette
from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import Request
from starlette.responses import PlainTextResponse, Response, StreamingResponse
from starlette.routing import Route
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from layout.preview.preview import Asked, Preview

LOOPBACK = "127.0.0.1"
NAMES = (LOOPBACK, "localhost")
"""What a browser may call this machine in its address line."""
KINDS = {
    "html": "text/html; charset=utf-8", "js": "text/javascript; charset=utf-8",
    "css": "text/css; charset=utf-8", "svg": "image/svg+xml",
}  # fmt: skip
INDEX = "index.html"
QUIET = 15.0
"""Seconds after which a page that hears nothing is told that the server is still there."""
POLICY = {
    "content-security-policy": "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; "
    "connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'",
    "x-content-type-options": "nosniff",
    "referrer-policy": "no-referrer",
    "cross-origin-resource-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cache-control": "no-store",
}
"""On every answer: no inline script or style runs, and no other page can hold or read this one."""


@dataclass
class Service:
    """The preview as it is served: its one drawing thread, and who waits for news."""

    preview: Preview
    drawing: Executor
    stop: asyncio.Event
    run: str = field(default_factory=lambda: secrets.token_hex(8))
    _news: asyncio.Event = field(default_factory=asyncio.Event)

    def tell(self) -> None:
        """Wake every page that waits."""
        self._news.set()
        self._news = asyncio.Event()

    async def made(self, work: Callable[[], Any]) -> Any:
        """Do what draws in the drawing thread."""
        return await asyncio.get_running_loop().run_in_executor(self.drawing, work)

    async def events(self) -> AsyncIterator[str]:
        """A line for the state as it is, and one for each change of it."""
        seen = -1
        while not self.stop.is_set():
            news = self._news
            if self.preview.version != seen:
                seen = self.preview.version
                yield f"data: {json.dumps({'run': self.run, 'version': seen})}\n\n"
                continue
            try:
                await asyncio.wait_for(news.wait(), QUIET)
            except TimeoutError:
                yield ": still here\n\n"

    async def clearances(self) -> bytes:
        """The frame's gaps, as JSON."""
        said = await self.made(lambda: json.dumps({"run": self.run, **self.preview.clearances()}))
        return str(said).encode()

    async def state(self, asked: Asked) -> bytes:
        """What a page shows of one sheet, as JSON."""
        said = await self.made(lambda: json.dumps({"run": self.run, **self.preview.answer(asked)}))
        return str(said).encode()


def application(service: Service, port: int) -> ASGIApp:
    """Everything that is answered; to nobody but pages of this server at `port`."""
    parts = page_files()

    async def page(request: Request) -> Response:
        name = request.path_params.get("name", INDEX)
        part = parts.get(name)
        if part is None:
            return PlainTextResponse("there is no such page", 404)
        return Response(part, media_type=KINDS[name.rpartition(".")[2]])

    async def state(request: Request) -> Response:
        asked = request.query_params
        page = asked.get("page", "")
        wanted = Asked(
            asked.get("sheet", ""), int(page) if page.isdecimal() and len(page) < 5 else 0,
            asked.get("has", ""), start=asked.get("start") == "1",
        )  # fmt: skip
        return Response(await service.state(wanted), media_type="application/json")

    async def clearances(_: Request) -> Response:
        return Response(await service.clearances(), media_type="application/json")

    async def events(_: Request) -> Response:
        return StreamingResponse(service.events(), media_type="text/event-stream")

    answers = {
        "/": page, "/page/{name}": page, "/state": state, "/clearances": clearances, "/events": events,
    }  # fmt: skip
    return Guard(Starlette(routes=[Route(path, answer) for path, answer in answers.items()]), port)


def page_files() -> dict[str, bytes]:
    """The page's own files by name, read once."""
    folder = files("layout.preview") / "page"
    parts = [part for part in folder.iterdir() if part.name.rpartition(".")[2] in KINDS]
    return {part.name: part.read_bytes() for part in parts}


class Guard:
    """Lets through requests that name this server and come from its own pages; adds the policy to answers."""

    def __init__(self, app: ASGIApp, port: int) -> None:
        self._app = app
        self._hosts = {f"{name}:{port}" for name in NAMES} | (set(NAMES) if port == 80 else set())

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] == "lifespan":
            await self._app(scope, receive, send)
            return

        async def with_policy(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in POLICY.items():
                    headers[name] = value
            await send(message)

        answer: ASGIApp = self._app
        if scope["type"] != "http" or not self._ours(Headers(scope=scope)):
            answer = PlainTextResponse("this server answers only its own page, on this machine", 403)
        await answer(scope, receive, with_policy)

    def _ours(self, headers: Headers) -> bool:
        """Whether a request names this server, and was sent by its own page or by the address line."""
        if len(headers.getlist("host")) != 1 or headers["host"].lower() not in self._hosts:
            return False
        origin = headers.get("origin")
        if origin is not None and origin.lower() not in {f"http://{host}" for host in self._hosts}:
            return False
        return headers.get("sec-fetch-site", "none") in ("none", "same-origin")
