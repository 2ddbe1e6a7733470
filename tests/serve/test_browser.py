"""A bench in a real browser at three sizes: the code, a reading by the pad, a tap on done, and the line lost."""

from __future__ import annotations

import sys
from collections.abc import AsyncIterator
from pathlib import Path

import pytest

pytest.importorskip("textual_serve", reason="the bench in a browser needs the extra: pip install 'proofbell[serve]'")

from aiohttp.test_utils import TestServer

from proofbell.bake.events import ReadingTaken, StageEnded
from proofbell.cli import main
from proofbell.clock import WallClock
from proofbell.journal.storage.store import Journal
from proofbell.kitchen.model import Kitchen
from proofbell.serve.reach import Reach
from proofbell.serve.server import Serving
from tests.support.chromium import PROGRAM, Page, page_of

pytestmark = pytest.mark.skipif(PROGRAM is None, reason="no chromium is on the PATH")

LAPTOP, TABLET, PHONE = (1280, 800), (820, 1180), (390, 844)

SMALL = """JSON.stringify([...document.querySelectorAll("footer button")].map(each => [each.innerText,
each.getBoundingClientRect()]).filter(([_, box]) => box.width && (box.width < 44 || box.height < 44)))"""
"""Keys that a finger would miss: under 44 by 44 px, the size of WCAG 2.2's success criterion 2.5.5."""


@pytest.fixture
async def serving(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> AsyncIterator[tuple[Serving, str]]:
    """A server whose bench has a dough on, and its address."""
    monkeypatch.setenv("PROOFBELL_JOURNAL", str(tmp_path / "journal.sqlite"))
    monkeypatch.setenv("PROOFBELL_KITCHEN", str(tmp_path / "kitchen.toml"))
    assert main(["start", "harbour-knots"]) == 0
    one = Serving(Reach("127.0.0.1", 8470), WallClock(), (sys.executable, "-m", "proofbell"), Kitchen)
    async with TestServer(one.app()) as server:
        yield one, str(server.make_url("/"))


def shows(words: str) -> str:
    return f"document.querySelector('#screen').innerText.includes({words!r})"


async def let_in(page: Page, serving: Serving, url: str) -> None:
    await page.go(url)
    assert await page.evaluate("document.querySelector('#screen') === null && typeof BenchScreen === 'undefined'")
    assert await page.evaluate("fetch('/bench.js').then(answer => answer.status)") == 401
    page.errors.clear()  # the browser writes that refusal down
    await page.type(serving.door.code)
    await page.tap("form button")
    await page.until(f"document.querySelector('#screen') && {shows('Mix')}")


@pytest.mark.parametrize(("size", "columns"), [(LAPTOP, 110), (TABLET, 80), (PHONE, 40)])
async def test_a_reading_and_a_stage_by_taps(
    serving: tuple[Serving, str], size: tuple[int, int], columns: int, tmp_path: Path
) -> None:
    one, url = serving
    async with page_of(tmp_path / "profile", *size, touch=size != LAPTOP, light=size == TABLET) as page:
        await let_in(page, one, url)
        assert await page.evaluate("shown.columns") >= columns
        assert await page.evaluate("document.documentElement.scrollWidth") == size[0]
        assert await page.evaluate(SMALL) == "[]"
        await page.tap('[data-id="bench.reading"]')
        await page.until(shows("Reading · A"))
        assert await page.evaluate(SMALL) == "[]"
        for key in ("2", "6", "full_stop", "5", "5", "backspace"):
            await page.tap(f'#pad [data-id="{key}"]')
        await page.until(f"{shows('26.5')} && !{shows('26.55')}")
        await page.tap('#pad [data-id="enter"]')
        await page.until(f"!{shows('Reading · A')}")
        if size == PHONE:
            await page.tap("#digits")
        await page.tap('[data-id="bench.done"]')
        await page.until(shows("Knead"))
        assert page.errors == []
    await one.end_all()
    with Journal.open(tmp_path / "journal.sqlite") as journal:
        (bake,) = journal.live_bakes()
        said = [event.body for event in journal.events_of(bake)]
    assert [body.value for body in said if isinstance(body, ReadingTaken)] == [26.5]
    assert len([body for body in said if isinstance(body, StageEnded)]) == 1
    assert main(["journal", "verify"]) == 0


async def test_a_lost_line_is_told_and_comes_back_by_itself(serving: tuple[Serving, str], tmp_path: Path) -> None:
    one, url = serving
    async with page_of(tmp_path / "profile", *PHONE, touch=True) as page:
        await let_in(page, one, url)
        await page.evaluate(
            "globalThis.told = []; new MutationObserver(() => told.push(state.innerText))"
            ".observe(state, {subtree: true, childList: true}); shown.clear()"
        )
        await one.end_all()
        await page.until(f"told.some(words => words.includes('connection is lost')) && state.hidden && {shows('Mix')}")


async def test_a_tap_on_the_screen_is_a_click(serving: tuple[Serving, str], tmp_path: Path) -> None:
    one, url = serving
    async with page_of(tmp_path / "profile", *PHONE, touch=True) as page:
        await let_in(page, one, url)
        await page.until(shows("reading"))
        at = await page.evaluate(
            "(() => { const y = shown.rows.findIndex(row => row.map(cell => cell.text).join('').includes('r reading'));"
            " const x = shown.rows[y].map(cell => cell.text).join('').indexOf('r reading');"
            " const box = screenBox.getBoundingClientRect();"
            " return [box.x + shown.left + (x + 3) * shown.cell.width, box.y + (y + .5) * shown.cell.height]; })()"
        )
        await page.tap_at(*at)
        await page.until(shows("Reading · A"))
