"""A journal with a dough in it that rings from the first moment, and a kitchen whose alarm runs a command."""

from __future__ import annotations

import asyncio
import json
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from proofbell.app.session.live import Live
from proofbell.app.session.saving.keeping import JournalKeeper
from proofbell.clock import WallClock
from proofbell.kitchen.model import Kitchen
from tests.support.kitchen_scene import proofing, unjudged
from tests.support.stage import HandClock


def ringing(folder: Path) -> None:
    """Harbour knots, two hours into the day, of which nobody has said how warm they are."""
    now = WallClock().stamp()
    early_us = 2 * 3600 * 1_000_000
    clock = HandClock(replace(now, wall_us=now.wall_us - early_us, boot_us=now.boot_us - early_us))
    keeper = JournalKeeper(folder / "journal.sqlite")
    try:
        asyncio.run(_begun(Live(clock, keeper, Kitchen(name="Guesthouse")), clock))
    finally:
        keeper.close()


async def _begun(live: Live, clock: HandClock) -> None:
    bake = await proofing(live, clock)
    await unjudged(live, bake)


def alarm_that_hangs(folder: Path) -> Callable[[], list[int]]:
    """Sets the kitchen's alarm to one that hangs, and has a child; tells the numbers of those that were started."""
    marks = folder / "marks"
    marks.mkdir()
    script = (
        "import os, pathlib, signal, sys; os.fork(); "
        "(pathlib.Path(sys.argv[1]) / str(os.getpid())).touch(); signal.pause()"
    )
    command = json.dumps([sys.executable, "-c", script, str(marks)])
    (folder / "kitchen.toml").write_text(f"alarm = {command}\n", encoding="utf-8")
    return lambda: [int(path.name) for path in marks.iterdir()]
