"""The screens that the bench leads to are read in before their first key."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from proofbell.app.app import ProofbellApp
from proofbell.app.preload import SCREENS
from tests.support.kitchen_scene import app_on, empty_bench, proofing
from tests.support.settling import to_bench

KEYS = {
    "a": "start.start_screen",
    "J": "journal.journal_screen",
    "w": "weigh.weigh_screen",
    "y": "weigh.why_screen",
    "p": "plan.plan_screen",
    "K": "kitchen.kitchen_screen",
    "b": "bench.bake_log",
    "f": "bench.far_view",
}
"""What stands on the screen after a key of the bench."""


@pytest.mark.parametrize("key", KEYS)
async def test_a_key_of_the_bench_opens_a_screen_that_is_read_ahead(key: str, tmp_path: Path) -> None:
    live, clock = empty_bench()
    await proofing(live, clock)
    app: ProofbellApp = app_on(live, kitchen_file=tmp_path / "kitchen.toml")
    async with app.run_test(size=(100, 30)) as pilot:
        await to_bench(pilot, app)
        await pilot.press(key)
        await pilot.pause()
        opened = type(app.screen).__module__.removeprefix("proofbell.app.")

    assert opened == KEYS[key]
    assert opened in SCREENS or opened == "bench.far_view", "the far view is small"


def test_nothing_is_read_ahead_that_no_key_opens() -> None:
    assert set(SCREENS) <= set(KEYS.values())


def test_reading_ahead_leaves_nothing_for_the_first_key() -> None:
    code = (
        "import sys, proofbell.app.app\n"
        "from proofbell.app.preload import SCREENS, read_ahead\n"
        "names = [f'proofbell.app.{name}' for name in SCREENS]\n"
        "before = [name for name in names if name in sys.modules]\n"
        "read_ahead()\n"
        "print(before, all(name in sys.modules for name in names))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[] True"
