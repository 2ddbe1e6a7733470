"""The bench behind a page: a program of its own, which ends with its server and lets another window ring."""

from __future__ import annotations

import asyncio
import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

pytest.importorskip("textual_serve", reason="the bench in a browser needs the extra: pip install 'proofbell[serve]'")

from proofbell.app.alarms.notification import way_of
from proofbell.app.alarms.who_rings import who_rings
from proofbell.app.terminal.job_control import JobControl
from proofbell.app.widgets.themes import theme_name
from proofbell.browser import DRIVER, in_browser
from proofbell.clock import WallClock
from proofbell.errors import Failure
from proofbell.journal.files.lock import BROWSER, Lead
from proofbell.serve import window as windows
from proofbell.serve.window import Window, surroundings
from tests.support.command_line import PROVING, bake
from tests.support.signals import hears_all

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="a window is closed otherwise there")

WEB = "textual.drivers.web_driver:WebDriver"


@pytest.fixture
def bench(tmp_path: Path) -> subprocess.Popen[bytes]:
    """The program as the server starts it, with a dough on: then it draws each second."""
    bake(tmp_path / "journal.sqlite", "A", *PROVING)
    named = {"PROOFBELL_JOURNAL": str(tmp_path / "journal.sqlite"), "PROOFBELL_KITCHEN": str(tmp_path / "kitchen.toml")}
    return subprocess.Popen(
        [sys.executable, "-m", "proofbell"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        preexec_fn=hears_all,  # noqa: PLW1509 - no other thread runs here
        env={**os.environ, **named, **surroundings("day"), DRIVER: WEB},
    )


@pytest.mark.parametrize("how", ["closed", "server gone"])
def test_it_ends_as_from_a_closed_terminal(bench: subprocess.Popen[bytes], how: str, tmp_path: Path) -> None:
    with bench:
        assert bench.stdin is not None
        assert bench.stdout is not None
        lead = Lead(tmp_path / "journal.sqlite")
        drawn = b""
        # It draws each second, and takes the right to ring in the same tick.
        while lead.take():
            lead.let_go()
            drawn += os.read(bench.stdout.fileno(), 65536)
        assert drawn.startswith(b"__GANGLION__\n")
        holder = lead.holder()
        assert holder is not None
        assert holder.terminal == BROWSER
        assert f"one in a browser (process {bench.pid})" in who_rings(holder, WallClock().stamp(), leads=False)
        if how == "closed":
            bench.send_signal(signal.SIGHUP)
        else:
            bench.stdin.close()
        try:
            bench.wait(timeout=30)
        finally:
            bench.kill()
        assert lead.take()
        assert lead.held
        lead.let_go()


async def test_one_that_does_not_leave_is_ended(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(windows, "HANG_UP_S", 0.05)
    deaf = (
        "import os, signal; signal.signal(signal.SIGHUP, signal.SIG_IGN); os.write(1, b'__GANGLION__\\nD\\0\\0\\0\\1x')"
    )
    heard: asyncio.Queue[bytes] = asyncio.Queue()
    closed = asyncio.Event()

    async def close() -> None:
        closed.set()

    window = Window((sys.executable, "-c", f"{deaf}; signal.pause()"), "night", write=heard.put, close=close)
    await window.start(80, 24)
    assert await heard.get() == b"x"
    async with asyncio.timeout(30):
        await window.stop()
    assert closed.is_set()
    await window.stop()  # twice does no harm


def test_it_is_told_of_the_browser_and_not_of_the_server_s_terminal() -> None:
    told = {**surroundings("day"), DRIVER: WEB}
    assert in_browser(told)
    assert not in_browser(surroundings("day"))
    assert not in_browser({DRIVER: WEB})
    assert theme_name("", told) == "day"
    assert theme_name("night", told) == "night"
    assert theme_name("", {}) == "night"
    # What the page shows while it rings comes as OSC 9.
    assert way_of("auto", told).osc == "9"


def test_an_editor_is_refused_there_in_words(monkeypatch: pytest.MonkeyPatch) -> None:
    for name, value in {**surroundings("day"), DRIVER: WEB}.items():
        monkeypatch.setenv(name, value)
    with pytest.raises(Failure, match="in a terminal only"), JobControl().aside():
        pass
