"""Waiting until a screen shows all that was said."""

from __future__ import annotations

import contextlib
from typing import Any

from textual.pilot import Pilot
from textual.worker import WorkerCancelled

from proofbell.app.app import ProofbellApp
from proofbell.app.reading.reading_dialog import ReadingDialog
from tests.support.stage import HandClock, seen


async def settled(pilot: Pilot[Any]) -> None:
    """All that was asked of threads is there and drawn."""
    for _ in range(3):
        with contextlib.suppress(WorkerCancelled):
            await pilot.app.workers.wait_for_complete()
        await pilot.pause()


async def shown(pilot: Pilot[int], app: ProofbellApp) -> str:
    """Let everything that was said be stored and shown; the text of the screen."""
    for _ in range(2):
        await app.workers.wait_for_complete()
        app.tick()
        await pilot.pause()
        await pilot.pause()
    return seen(app)


async def settle(pilot: Pilot[int], app: ProofbellApp) -> str:
    """Let everything that was said be stored and shown, and whatever has opened take keys; the text of the screen."""
    await shown(pilot, app)
    if isinstance(app.screen, ReadingDialog) and isinstance(app.live.clock, HandClock):
        app.live.clock.forward(1.0)  # A reading that has opened by itself takes no key for a moment.
    return seen(app)


async def to_bench(pilot: Pilot[int], app: ProofbellApp) -> str:
    """Put off whatever asks; the text of the bench."""
    await settle(pilot, app)
    while app.screen is not app.bench:
        await pilot.press("escape")
        await settle(pilot, app)
    return await settle(pilot, app)
