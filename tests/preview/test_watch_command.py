"""`layout watch` as people start and end it."""

from __future__ import annotations

import http.client
import json
import socket
import time
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from preview_specs import FAULTY
from watch_process import watching

from layout.cli import commands
from layout.cli.commands import run
from layout.preview.serve import has_browser


def state(url: str) -> dict:
    link = http.client.HTTPConnection(urlsplit(url).netloc, timeout=60)
    link.request("GET", "/state")
    return json.loads(link.getresponse().read())


def drawn(url: str) -> dict:
    for _ in range(600):
        said = state(url)
        if said["save"] or said["faults"]:
            return said
        time.sleep(0.1)
    raise AssertionError("nothing was drawn in a minute")


def test_the_first_line_is_the_address_and_ctrl_c_ends_cleanly(spec: Path) -> None:
    with watching(spec, "--port", "0") as watch:
        assert watch.url.startswith("http://127.0.0.1:")
        assert drawn(watch.url)["save"] == 1
        events = http.client.HTTPConnection(urlsplit(watch.url).netloc, timeout=60)
        events.request("GET", "/events")
        events.getresponse().readline()  # a page that is open while the watch ends
        status, said = watch.end()
    assert (status, said) == (0, f"{spec}: save 1 is drawn\n")
    with pytest.raises(OSError):
        state(watch.url)


def test_a_spec_at_fault_is_watched_and_says_so(spec: Path) -> None:
    spec.write_text(FAULTY, "utf-8")
    with watching(spec, "--port", "0") as watch:
        assert len(drawn(watch.url)["faults"]) == 1
        status, said = watch.end()
    assert status == 0
    assert said.startswith(f"{spec}:")


def test_a_port_in_use_is_said(spec: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with socket.create_server(("127.0.0.1", 0)) as other:
        port = other.getsockname()[1]
        assert run(["watch", str(spec), "--no-open", "--port", str(port)]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert f"the port {port} is in use" in err


def test_the_usual_port_in_use_makes_way_for_another(spec: Path) -> None:
    with watching(spec) as first, watching(spec) as second:
        assert drawn(first.url)["save"] == drawn(second.url)["save"] == 1
        assert first.url != second.url
        assert second.end()[1].startswith("the port ")


def test_a_file_that_is_not_there_is_a_slip_of_the_command_line(tmp_path: Path) -> None:
    assert run(["watch", str(tmp_path / "none.yaml"), "--no-open"]) == 2


def test_a_medium_that_does_not_exist_is_refused_before_anything_opens(
    spec: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["watch", str(spec), "--no-open", "--media", "a99"]) == 2
    assert "a99" in capsys.readouterr().err


def test_without_its_libraries_it_says_what_to_install(
    spec: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(commands.sys.modules["layout.cli.screen"], "NEEDED", ("starlette", "no_such_library"))
    assert run(["watch", str(spec), "--no-open"]) == 2
    err = capsys.readouterr().err
    assert "no_such_library: is not installed" in err
    assert "pip install" in err


def test_no_browser_is_looked_for_where_there_is_no_screen(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sys.platform", "linux")
    monkeypatch.delenv("DISPLAY", raising=False)
    monkeypatch.delenv("WAYLAND_DISPLAY", raising=False)
    assert not has_browser()
