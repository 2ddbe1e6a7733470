"""Journals for the measurements: so many doughs on, each in its first proof, with nothing asked; and many old bakes."""

from __future__ import annotations

import asyncio
from dataclasses import replace
from pathlib import Path

from proofbell.app.session.live import Live
from proofbell.app.session.saving.keeping import JournalKeeper
from proofbell.bake import intents
from proofbell.bake.tasks import Skipped
from proofbell.clock import WallClock
from proofbell.journal.storage.store import Journal
from tests.journal.generate import fill
from tests.support.kitchen_scene import FLAT, GUESTHOUSE, KNOTS, LOAF, RYE, formula, put_on, say


def journal(folder: Path, live: int, old: int = 0) -> Path:
    """A folder with kitchen file and journal; the journal's path."""
    folder.mkdir()
    (folder / "kitchen.toml").touch()
    path = folder / "journal.sqlite"
    if old:
        fill(path, old)
    else:
        Journal.open(path).close()
    asyncio.run(_put_on(path, live))
    return path


async def _put_on(path: Path, count: int) -> None:
    keeper = JournalKeeper(path)
    try:
        live = Live(WallClock(), keeper, GUESTHOUSE)
        for number in range(count):
            named = formula((KNOTS, LOAF, FLAT, RYE)[number % 4])
            bake = await put_on(live, replace(named, name=f"{named.name} {number + 1}"))
            await say(live, bake, intents.Begin())
            while (state := live.state(bake)) and state.current is not None:
                if state.stage(state.current).kind == "proof":
                    break
                await say(live, bake, intents.Done())
            view = live.board().of(bake)
            for prompt in view.wants if view else ():
                if prompt.kind == "check":
                    await say(live, bake, intents.Task(Skipped(prompt.id)))
    finally:
        keeper.close()
