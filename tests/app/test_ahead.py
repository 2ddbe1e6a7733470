"""The screens that the bench leads to are read in before their first key."""

from __future__ import annotations

import subprocess
import sys

OPENING = """
import asyncio, sys
from tests.support.kitchen_scene import app_on, empty_bench, proofing
from proofbell.app.preload import SCREENS, read_ahead

NAMES = [f"proofbell.app.{name}" for name in SCREENS]
EARLY = [name for name in NAMES if name in sys.modules]

def ours():
    return {name for name in sys.modules if name.startswith("proofbell.app.")}

async def opened():
    live, clock = empty_bench()
    bake = await proofing(live, clock)
    app = app_on(live)
    async with app.run_test(size=(100, 30)) as pilot:
        app.bench.take(bake)
        read_ahead()
        before = ours()
        for action in ("start", "weigh_out", "why", "log", "plan", "journal", "kitchen", "far"):
            await app.bench.run_action(action)
            await pilot.pause()
            app.pop_screen()
            await pilot.pause()
        app.pages.learned(live)
    print(EARLY, all(name in before for name in NAMES), sorted(ours() - before))

asyncio.run(opened())
"""


def test_reading_ahead_leaves_nothing_for_the_first_key() -> None:
    done = subprocess.run([sys.executable, "-c", OPENING], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[] True []"
