"""Random keys and sizes of the terminal on every page: nothing fails, and the bench is always come back to.

``python -m tests.faults.key_mashing 10000`` presses so many keys by hand; the tests press fewer.
"""

from __future__ import annotations

import asyncio
import random
import sys
import tempfile
from collections import Counter
from pathlib import Path

import pytest
from textual.pilot import Pilot

from proofbell.app.app import ProofbellApp
from proofbell.app.widgets.actions import ACTIONS
from tests.faults.session import back_on_the_bench, bench
from tests.support import quick_pilot
from tests.support.stage import HandClock

LEAVES = frozenset({"ctrl+q", "ctrl+z", "ctrl+c"})
"""Keys that end the program or put it aside; they have tests of their own."""

TYPED = tuple("0123456789.:-% °cfgk")
MOVES = ("up", "down", "left", "right", "tab", "shift+tab", "home", "end", "pageup", "pagedown", "backspace", "delete")
ANSWERS = ("enter", "escape", "space")
PAGES = ("a", "p", "J", "K", "w", "f", "y", "b", "r", "n", "question_mark", "exclamation_mark", "ctrl+p")
SIZES = ((80, 24), (120, 36), (60, 18), (40, 12), (200, 60), (20, 6), (1, 1))


def keys(rng: random.Random) -> list[str]:
    """Some keys: a page, and then whatever comes under a hand."""
    registered = [key for action in ACTIONS for key in action.keys if key not in LEAVES]
    pools = (registered, MOVES, ANSWERS, TYPED, PAGES)
    weights = (5, 3, 3, 2, 2)
    chosen = [rng.choice(rng.choices(pools, weights)[0]) for _ in range(rng.randint(3, 12))]
    return [rng.choice(PAGES), *(_name(key) for key in chosen)]


def _name(key: str) -> str:
    return {" ": "space", ".": "full_stop", ":": "colon", "-": "minus", "%": "percent_sign", "°": "degree_sign"}.get(
        key, key
    )


async def mash(folder: Path, count: int, seed: int) -> Counter[str]:
    """Press ``count`` keys; how many went to which page. Every fault of the program's own comes out of this."""
    rng, pressed = random.Random(seed), Counter[str]()
    async with bench(folder, loud=True) as (app, _live, clock), app.run_test(size=(80, 24)) as pilot:
        while pressed.total() < count:
            await _burst(pilot, app, clock, rng, pressed)
        await back_on_the_bench(pilot, app, clock)
    return pressed


async def _burst(
    pilot: Pilot[int], app: ProofbellApp, clock: HandClock, rng: random.Random, pressed: Counter[str]
) -> None:
    if rng.random() < 0.3:
        await pilot.resize_terminal(*rng.choice(SIZES))
    for key in keys(rng):
        pressed[type(app.screen).__name__] += 1
        await pilot.press(key)
    clock.forward(rng.choice((1, 30, 600)))
    app.tick()
    if rng.random() < 0.3:
        await back_on_the_bench(pilot, app, clock)


def main(count: int, seed: int) -> int:
    """Press so many keys and tell on which pages they fell."""
    with tempfile.TemporaryDirectory() as folder:
        pressed = asyncio.run(mash(Path(folder), count, seed))
    print(f"{pressed.total()} keys with seed {seed}, and the bench is there.")
    for page, times in pressed.most_common():
        print(f"{times:6}  {page}")
    return 0


if __name__ == "__main__":
    with pytest.MonkeyPatch.context() as patch:
        quick_pilot.use(patch)
        sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 10_000, int(sys.argv[2]) if len(sys.argv) > 2 else 1))
