"""Pictures of every screen, from a rehearsal on a clock that is set by hand: ``python -m tests.screenshots``.

The same code gives the same pictures, byte for byte, so that a change of a screen shows in the next commit.
"""

from __future__ import annotations

import asyncio
import sys
from collections.abc import Awaitable, Callable, Sequence

from textual.widgets import Input

from proofbell.app.app import ProofbellApp
from proofbell.app.session.live import Live, Nobody
from proofbell.bake import intents
from proofbell.bake.fermenting.short_rise import rise_wanted
from proofbell.bake.tasks import Skipped
from proofbell.clock import FastClock
from tests.screenshots_pages import PAGES, draw
from tests.support.kitchen_scene import GUESTHOUSE, KNOTS, app_on, crowd, proofing, put_on, say
from tests.support.plain_frame import FOLDER, plain_frame
from tests.support.stage import FORMULAS, HandClock

Scene = Callable[[Live, FastClock], Awaitable[object]]


async def _nothing(_live: Live, _clock: FastClock) -> None:
    """An empty bench."""


async def _waiting(live: Live, _clock: FastClock) -> None:
    await put_on(live, KNOTS)


async def _proof(live: Live, clock: FastClock) -> None:
    await proofing(live, clock)


async def _shorter(live: Live, clock: FastClock) -> str:
    bake = await proofing(live, clock)
    await say(live, bake, intents.Read("dough temperature", "27", 27.0))
    clock.skip(760)
    return bake


async def _over(live: Live, clock: FastClock) -> None:
    bake = await _shorter(live, clock)
    clock.skip(2400)
    await say(live, bake, intents.Read("rise", "95", 95.0))
    clock.skip(300)


async def _five(live: Live, clock: FastClock) -> None:
    await crowd(live, clock, 5)
    await _skip_checks(live)


async def _twelve(live: Live, clock: FastClock) -> None:
    await crowd(live, clock, 12)
    await _skip_checks(live)


async def _skip_checks(live: Live) -> None:
    for state in live.states:
        view = live.board().of(state.id)
        for prompt in view.wants if view else ():
            if prompt.kind == "check":
                await say(live, state.id, intents.Task(Skipped(prompt.id)))


async def _finished(live: Live, clock: FastClock) -> None:
    bake = await proofing(live, clock)
    await say(live, bake, intents.Read("dough temperature", "27", 27.0), intents.AddNote("The yard door was open."))
    state = live.state(bake)
    await say(live, bake, intents.Correct(state.readings[0].number, "26.5", 26.5) if state else intents.Undo())
    while (state := live.state(bake)) is not None and state.closed is None:
        run = state.stages[state.current or 0]
        clock.skip(max(0.0, (run.due_s or 0.0) - state.now_s(clock.stamp()) + 40))
        wanted = rise_wanted(state.stage(state.current or 0))
        if wanted is not None:
            await say(live, bake, intents.Read("rise", f"{sum(wanted) / 2:.0f}", sum(wanted) / 2))
        await say(live, bake, intents.Done())


SCENES: dict[str, tuple[Scene, tuple[int, int], str, tuple[str, ...]]] = {
    "start": (_nothing, (100, 30), "night", ()),
    "weigh-out": (_waiting, (100, 30), "night", ("w",)),
    "bench": (_shorter, (100, 30), "night", ()),
    "bench-day": (_over, (100, 30), "day", ()),
    "bench-five": (_five, (120, 36), "night", ()),
    "bench-twelve": (_twelve, (80, 24), "night", ()),
    "reading": (_proof, (100, 30), "night", ("2", "7")),
    "far": (_over, (80, 24), "night", ("f",)),
    "log": (_finished, (100, 30), "night", ("b",)),
    "why": (_shorter, (100, 30), "night", ("y",)),
    "keys": (_shorter, (100, 36), "night", ("question_mark",)),
}
"""Name to what is on the bench, the size in cells, the theme, and the keys pressed."""


async def taken(scene: Scene, size: tuple[int, int], theme: str, keys: Sequence[str]) -> str:
    """The app on such a bench after these keys, as SVG."""
    hand = HandClock()
    clock = FastClock(hand.stamp(), 60, hand)
    live = Live(clock, Nobody(), GUESTHOUSE, rehearsal=True, pace=clock)
    await scene(live, clock)
    app: ProofbellApp = app_on(live, real=hand, files=sorted(FORMULAS.glob("*.toml")))
    async with app.run_test(size=size) as pilot:
        app.theme = theme
        await app.workers.wait_for_complete()
        await pilot.pause()
        await pilot.press(*keys)
        await pilot.pause()
        return app.export_screenshot(title="Proofbell")


async def picture(name: str) -> str:
    """One screen as it is kept."""
    return plain_frame(await taken(*SCENES[name]))


def main(names: list[str]) -> None:
    """Draw all of them, or those named."""
    Input.cursor_blink = False  # type: ignore[assignment]
    FOLDER.mkdir(exist_ok=True)
    for name in [name for name in names if name in SCENES] if names else list(SCENES):
        (FOLDER / f"{name}.svg").write_text(asyncio.run(picture(name)), encoding="utf-8")
    pages = [name for name in PAGES if not names or name in names]
    if pages:
        asyncio.run(draw(pages))


if __name__ == "__main__":
    main(sys.argv[1:])
