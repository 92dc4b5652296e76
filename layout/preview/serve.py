"""Run the server: a port, the watched file, a browser where there is one, and a clean end on Ctrl-C."""

from __future__ import annotations

import asyncio
import contextlib
import errno
import gc
import os
import signal
import socket
import sys
import webbrowser
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from functools import partial
from threading import Thread

import uvicorn

from layout.errors import Fault, SheetError
from layout.preview.changes import PATIENCE, changes, saved
from layout.preview.preview import Preview
from layout.preview.server import LOOPBACK, Service, application

PORT = 8391
"""Tried first where none is asked for, so that a page left open finds the next run."""
LAST = 65535
TIDY_EVERY = 20
"""Saves between looks for garbage: the program looks seldom, since one drawing makes little."""
WAIT_FOR_PAGES = 2
"""Seconds that an answer under way has to end."""

Say = Callable[[str], None]


def serve(preview: Preview, port: int | None, *, show: bool, address: Say, say: Say) -> None:
    """Serve the preview until Ctrl-C. `address` hears where, once it is open; `say` each save.

    `show` opens the page in a browser, where there is one. Raises SheetError where the port is taken.
    """
    with contextlib.closing(listening(port, say)) as where:
        asyncio.run(_serve(preview, where, show=show, address=address, say=say))


def listening(port: int | None, say: Say) -> socket.socket:
    """A socket of the loopback address: at `port`, at the usual port or at any that is free."""
    try:
        return _bound(PORT if port is None else port)
    except OSError as e:
        if e.errno != errno.EADDRINUSE and not isinstance(e, PermissionError):
            raise
        if port is not None:
            why = "is in use by another program" if e.errno == errno.EADDRINUSE else "needs more rights"
            message = f"the port {port} {why}. Give another number, or leave --port out."
            raise SheetError(Fault(message, "media", "port")) from e
    say(f"the port {PORT} is in use, so this page has another address.")
    return _bound(0)


def _bound(port: int) -> socket.socket:
    found = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    try:
        if sys.platform != "win32":
            found.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        found.bind((LOOPBACK, port))
        found.listen(64)
    except OSError:
        found.close()
        raise
    return found


async def _serve(preview: Preview, where: socket.socket, *, show: bool, address: Say, say: Say) -> None:
    """Serve and follow the file until a signal ends both."""
    stop = asyncio.Event()
    port = where.getsockname()[1]
    with ThreadPoolExecutor(1, thread_name_prefix="drawing") as drawing:
        service = Service(preview, drawing, stop)
        server = _Server(uvicorn.Config(
            application(service, port), log_level="critical", access_log=False, lifespan="off", ws="none",
            timeout_graceful_shutdown=WAIT_FOR_PAGES, server_header=False, date_header=False,
        ))  # fmt: skip

        def end() -> None:
            server.should_exit = True
            stop.set()
            service.tell()

        with _signals(end):
            following = asyncio.create_task(follow(service, say))
            following.add_done_callback(lambda _: end())
            serving = asyncio.create_task(server.serve([where]))
            url = f"http://{LOOPBACK}:{port}/"
            address(url)
            if show and has_browser():
                Thread(target=webbrowser.open, args=(url,), daemon=True).start()
            await serving
            end()
            await following


class _Server(uvicorn.Server):
    """Leaves signals alone: they end the watch too."""

    @contextlib.contextmanager
    def capture_signals(self) -> Iterator[None]:
        """Capture none."""
        yield


@contextlib.contextmanager
def _signals(end: Callable[[], None]) -> Iterator[None]:
    """Ctrl-C and the system's request to end call `end`, and only that, within the block."""
    loop = asyncio.get_running_loop()
    before = {}
    for which in (signal.SIGINT, signal.SIGTERM):
        with contextlib.suppress(ValueError):  # another thread than the main one gets no signals
            before[which] = signal.signal(which, lambda *_: loop.call_soon_threadsafe(end))
    try:
        yield
    finally:
        for which, handler in before.items():
            signal.signal(which, handler)


def has_browser() -> bool:
    """Whether a browser has somewhere to open a window."""
    screens = ("DISPLAY", "WAYLAND_DISPLAY")
    if sys.platform.startswith("linux") and not any(os.environ.get(name) for name in screens):
        return False
    try:
        webbrowser.get()
    except webbrowser.Error:
        return False
    return True


async def follow(service: Service, say: Say) -> None:
    """Show each save. One that is at fault is read again after a moment: it may be half written."""
    preview, seen, saves = service.preview, None, 0
    async for _ in changes(preview.source, service.stop):
        read = saved(preview.source)
        if read == seen:
            continue
        text, faults = read
        if text is not None:
            faults = await service.made(partial(preview.take, text))
        if faults:
            await asyncio.sleep(PATIENCE)
            if saved(preview.source) != read:
                continue
            preview.refuse(faults)
        seen = read
        service.tell()
        _say_so(preview, say)
        saves += 1
        if saves % TIDY_EVERY == 0:
            await service.made(gc.collect)


def _say_so(preview: Preview, say: Say) -> None:
    """The save that is drawn, or its faults, one a line."""
    if preview.faults:
        for fault in preview.faults:
            say(str(fault))
    elif preview.shown is not None:
        say(f"{preview.source}: save {preview.shown.save} is drawn")
