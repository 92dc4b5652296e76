"""What the server answers and what it refuses, asked without a network."""

from __future__ import annotations

import asyncio
import json
import re
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import pytest
from preview_specs import FAULTY, TEXT

from layout.preview.preview import Preview
from layout.preview.server import Service, application, page_files

PORT = 8391
OURS = {"host": f"127.0.0.1:{PORT}"}


@dataclass
class Answer:
    status: int
    headers: dict[str, str]
    body: bytes


@pytest.fixture(scope="module")
def preview() -> Preview:
    preview = Preview("frame.yaml")
    assert preview.take(TEXT) == ()
    return preview


def ask(preview: Preview, path: str, query: str = "", method: str = "GET", **headers: str) -> Answer:
    """One request to the application, by the protocol that servers speak to it (ASGI 3.0)."""
    sent: list[dict] = []
    named = {**OURS, **{name.replace("_", "-"): value for name, value in headers.items()}}

    async def run() -> None:
        with ThreadPoolExecutor(1) as drawing:
            service = Service(preview, drawing, asyncio.Event())
            scope = {
                "type": "http", "asgi": {"version": "3.0"}, "http_version": "1.1", "method": method,
                "scheme": "http", "path": path, "raw_path": path.encode(), "query_string": query.encode(),
                "headers": [(n.encode(), v.encode()) for n, v in named.items()], "root_path": "",
            }  # fmt: skip

            async def receive() -> dict:
                return {"type": "http.request", "body": b"", "more_body": False}

            async def send(message: dict) -> None:
                sent.append(message)

            await application(service, PORT)(scope, receive, send)

    asyncio.run(run())
    start, *rest = sent
    headers = {n.decode().lower(): v.decode() for n, v in start["headers"]}
    return Answer(start["status"], headers, b"".join(m.get("body", b"") for m in rest))


def test_the_page_and_its_own_files_and_nothing_else(preview: Preview) -> None:
    assert b'id="drawing"' in ask(preview, "/").body
    for name, body in page_files().items():
        assert ask(preview, f"/page/{name}").body == body
    assert set(page_files()) == {"index.html", "page.css", "page.js", "view.js", "numbers.js", "icon.svg"}


@pytest.mark.parametrize(
    "path",
    [
        "/page/../preview.py", "/page/..%2fpreview.py", "/page/%2e%2e/preview.py", "/page//etc/passwd",
        "/page/__init__.py", "/frame.yaml", "/etc/passwd", "/page/", "/page/index.html/..",
    ],
)  # fmt: skip
def test_no_path_of_a_request_reaches_a_file(preview: Preview, path: str) -> None:
    answer = ask(preview, path)
    assert answer.status == 404
    assert b"import" not in answer.body and b"root:" not in answer.body


@pytest.mark.parametrize(
    "headers",
    [
        {"host": f"frames.example:{PORT}"},
        {"host": "127.0.0.1"},
        {"host": f"127.0.0.1:{PORT + 1}"},
        {"host": ""},
        {"origin": "http://frames.example"},
        {"origin": f"https://127.0.0.1:{PORT}"},
        {"origin": "null"},
        {"sec_fetch_site": "cross-site"},
        {"sec_fetch_site": "same-site"},
    ],
)
@pytest.mark.parametrize("path", ["/", "/state", "/events", "/page/page.js"])
def test_another_name_or_another_sites_page_is_refused(preview: Preview, path: str, headers: dict) -> None:
    answer = ask(preview, path, **headers)
    assert answer.status == 403
    assert b"head" not in answer.body


def test_its_own_page_is_answered_under_both_names_of_this_machine(preview: Preview) -> None:
    for name in ("127.0.0.1", "localhost"):
        host = f"{name}:{PORT}"
        headers = {"host": host, "origin": f"http://{host}", "sec_fetch_site": "same-origin"}
        assert ask(preview, "/state", **headers).status == 200


@pytest.mark.parametrize("path", ["/", "/state", "/page/page.js", "/nothing"])
def test_every_answer_forbids_inline_script_and_other_sites(preview: Preview, path: str) -> None:
    headers = ask(preview, path).headers
    policy = dict(part.strip().split(" ", 1) for part in headers["content-security-policy"].split(";"))
    assert policy["default-src"] == "'none'"
    assert policy["script-src"] == policy["style-src"] == policy["connect-src"] == "'self'"
    assert "unsafe" not in headers["content-security-policy"]
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["cache-control"] == "no-store"
    assert "access-control-allow-origin" not in headers


def test_the_page_has_no_inline_script_and_calls_nothing_elsewhere() -> None:
    parts = page_files()
    page = parts["index.html"].decode()
    assert page.count("<script") == 1 and 'src="/page/page.js"></script>' in page
    assert not re.search(r"<[^>]*\s(on\w+|style)\s*=", page)
    for name, body in parts.items():
        text = body.decode().replace("http://www.w3.org/2000/svg", "")
        assert "://" not in text, name
        assert "innerHTML" not in text and "insertAdjacentHTML" not in text, name
        assert "<input" not in text and "<select" not in text and "<textarea" not in text, name


def test_the_state_is_asked_for_by_the_names_of_sheets(preview: Preview) -> None:
    said = json.loads(ask(preview, "/state", "sheet=setup&page=1").body)
    assert (said["sheet"], said["page"]) == ("setup", 1)
    for query in (
        "sheet=..%2F..%2Fetc",
        "page=-1",
        "page=99999999999999",
        "page=1e9",
        "sheet=%00",
        "has=%F0",
    ):
        assert json.loads(ask(preview, "/state", query).body)["sheet"] == "side"


def test_only_reading_is_answered(preview: Preview) -> None:
    for method in ("POST", "PUT", "DELETE"):
        assert ask(preview, "/state", method=method).status == 405


def test_each_change_is_told_to_every_page_once() -> None:
    preview = Preview("frame.yaml")

    async def heard() -> list[list[int]]:
        with ThreadPoolExecutor(1) as drawing:
            service = Service(preview, drawing, asyncio.Event())

            async def page() -> list[int]:
                found = []
                async for line in service.events():
                    found.append(json.loads(line.removeprefix("data: "))["version"])
                return found

            pages = [asyncio.create_task(page()) for _ in range(3)]
            await asyncio.sleep(0)
            for text in (TEXT, FAULTY, TEXT):
                preview.refuse(preview.take(text))
                service.tell()
                await asyncio.sleep(0.05)
            service.stop.set()
            service.tell()
            return await asyncio.gather(*pages)

    first, *others = asyncio.run(heard())
    assert first == sorted(set(first)) and len(first) == 4
    assert others == [first, first]
