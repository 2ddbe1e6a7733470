"""A baker who goes through every page of the app, with a journal on the disk and three doughs on the bench."""

from __future__ import annotations

import contextlib
from collections.abc import AsyncIterator, Callable, Sequence
from pathlib import Path

from textual.pilot import Pilot

from proofbell.app.app import ProofbellApp
from proofbell.app.session.live import Live
from proofbell.app.session.saving.keeping import JournalKeeper
from proofbell.app.widgets.confirm_dialog import ConfirmDialog
from proofbell.bake import intents
from proofbell.bake.intents import Refused
from proofbell.bake.weigh.weigh_out import weigh_out
from tests.support.kitchen_scene import FLAT, GUESTHOUSE, KNOTS, LOAF, app_on, formula, say
from tests.support.stage import HandClock, seen

KITCHEN_FILE = 'name = "Guesthouse"\n[room]\ntemperature = "21.5 °C"\n'

ESC = "escape"

WALK: Sequence[Sequence[str]] = (
    # The bench: another dough, a reading, notes, longer, shorter, rows, the oven, the far view, the bell.
    ("tab", "j", "k", "z", "z", "question_mark", ESC, "exclamation_mark", ESC),
    ("r", "2", "6", "enter", "enter", ESC),
    ("n", "s", "o", "f", "t", "enter"),
    ("l", "s", "u", "less_than_sign", "greater_than_sign", "o", "q", "Q", "Y", "N", "full_stop"),
    ("f", "space", ESC, ESC),
    ("t", "t", "e", "a", "enter", "4", "enter", "t", "1", "enter", "T", ESC),
    # One page after the other.
    ("w", "space", "space", "u", "y", ESC, "f", "question_mark", ESC, ESC),
    ("y", "question_mark", ESC, ESC),
    ("b", "down", "enter", ESC, ESC),
    ("a", "down", "down", "enter", "1", "0", "enter", "y", ESC, "o", "x", "enter", ESC, ESC, ESC),
    ("a", "b"),
    ("p", "a", "b", "a", "down", "b", "r", "2", "3", ":", "3", "0", "enter", "left", "right", "d", ESC, ESC),
    ("J", "slash", "k", "n", "o", ESC, "s", "S", "f", "t", "x", "space", "down", "space", "c", "d", "1", ESC, ESC),
    ("v", "e", ESC, "B", ESC, "enter"),
    ("right", "right", "right", "right", "right", "s", "5", "n", "x", "enter", "m", "e", ESC, "l", ESC, ESC, ESC),
    ("K", "down", "enter", ESC, "l", ESC, "c", "0", ".", "3", ESC, ESC, ESC, ESC),
    ("space", "enter", "X", "y", "c", ESC),
)


@contextlib.asynccontextmanager
async def bench(folder: Path, *, loud: bool = False) -> AsyncIterator[tuple[ProofbellApp, Live, HandClock]]:
    """The app on a journal in ``folder``: one dough that proofs, one that is mixed, one not begun, two bakes over."""
    kitchen_file = folder / "kitchen.toml"
    kitchen_file.write_text(KITCHEN_FILE, encoding="utf-8")
    keeper, clock = JournalKeeper(folder / "journal.sqlite"), HandClock()
    live = Live(clock, keeper, GUESTHOUSE)
    try:
        await live.take_up()
        for name, stem in (("over-1", KNOTS), ("over-2", LOAF)):
            await put_on_as(live, name, stem)
            await say(live, name, intents.Begin(), intents.GiveUp("oven broken"))
            await live.put_away(name)
        for name, stem in (("first", KNOTS), ("second", LOAF), ("third", FLAT)):
            await put_on_as(live, name, stem)
        await say(live, "first", intents.Begin(), intents.Done(), intents.Done())
        await say(live, "second", intents.Begin())
        yield app_on(live, loud=loud, kitchen_file=kitchen_file, fault_file=folder / "faults.txt"), live, clock
    finally:
        keeper.close()


async def put_on_as(live: Live, bake: str, stem: str) -> None:
    """Put a house formula on the bench under this id."""
    chosen = formula(stem)
    opened = await live.open(bake, chosen, weigh_out(chosen, live.kitchen).batch)
    assert not isinstance(opened, Refused), opened


async def walk(
    pilot: Pilot[int], app: ProofbellApp, clock: HandClock, before_each: Callable[[], None] = lambda: None
) -> None:
    """Go the whole way. ``before_each`` is called before each key."""
    for keys in WALK:
        for key in keys:
            before_each()
            clock.forward(1.0)
            await pilot.press(key)
        app.tick()
        await pilot.pause()


async def back_on_the_bench(pilot: Pilot[int], app: ProofbellApp, clock: HandClock) -> str:
    """Leave every page that is open; the text of the bench."""
    for _ in range(16):
        if app.screen is app.bench:
            break
        # What has only just opened by itself does not take a key that was meant for something else.
        clock.forward(1.0)
        asked = isinstance(app.screen, ConfirmDialog)
        await pilot.press(ESC)
        await pilot.pause()
        if not asked and isinstance(app.screen, ConfirmDialog):
            await pilot.press("enter")  # "Leave it?": what was typed there is no reason to stay.
            await pilot.pause()
    assert app.screen is app.bench, f"stuck on {app.screen}, {app.focused} has the focus"
    await app.workers.wait_for_complete()
    app.tick()
    await pilot.pause()
    return seen(app)
