"""Which pages are kept, at which sizes, and how each is brought to stand still."""

from __future__ import annotations

from collections.abc import AsyncIterator, Iterator
from contextlib import asynccontextmanager, contextmanager
from pathlib import Path

import pytest
from textual.app import App
from textual.widgets import Input

from proofbell.app.planning.replanning import Replanning
from proofbell.app.session.live import Live
from proofbell.app.session.saving.keeping import JournalKeeper
from tests.pictures.frame import frame
from tests.screenshots import SCENES, taken
from tests.screenshots_pages import PAGES, fortnight, turned
from tests.support.kitchen_scene import GUESTHOUSE
from tests.support.stage import HandClock

STORED = Path(__file__).parent / "stored"
FROM_THE_BENCH = SCENES | {"choose": (SCENES["start"][0], (100, 30), "night", ("a",))}
SIZES = ((80, 24), (120, 36))

BENCH = ("bench", "bench-twelve", "reading", "choose", "weigh-out", "why", "far", "log")
JOURNAL = ("journal", "bake", "compare", "course", "learned", "kitchen", "recipe", "plan")


@contextmanager
def standing_still() -> Iterator[None]:
    """Nothing blinks, nothing ticks by itself, and the planner, which answers when it can, is not asked."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Input, "cursor_blink", False)
        patch.setattr(App, "set_interval", lambda *_args, **_more: None)
        patch.setattr(Replanning, "look", lambda *_: ())
        yield


@asynccontextmanager
async def baked_for_a_fortnight(folder: Path) -> AsyncIterator[Live]:
    """A journal of ten bakes."""
    clock = HandClock()
    keeper = JournalKeeper(folder / "journal.sqlite")
    live = Live(clock, keeper, GUESTHOUSE)
    await fortnight(live, clock)
    yield live
    keeper.close()


async def bench_frame(name: str, size: tuple[int, int]) -> str:
    """A page of the app, from the bench on."""
    scene, _, theme, keys = FROM_THE_BENCH[name]
    with standing_still():
        return frame(await taken(scene, size, theme, keys), *size)


async def page_frame(name: str, live: Live, size: tuple[int, int]) -> str:
    """A page beside the bench."""
    page, theme, keys = PAGES[name]
    with standing_still():
        return frame(await turned(page(live), size, theme, keys), *size)


def stored(name: str, size: tuple[int, int]) -> Path:
    """Where a picture is kept."""
    return STORED / f"{name}-{size[0]}x{size[1]}.txt"
