"""A bake that is given up in the oven: the line says what to do, and its key does it."""

from __future__ import annotations

from proofbell.bake import intents
from proofbell.bake.tasks import OvenTask
from tests.support.kitchen_scene import app_on, empty_bench, of, proofing, say
from tests.support.settling import settle, to_bench


async def test_the_line_says_to_take_it_out_and_its_key_does_what_it_says() -> None:
    live, clock = empty_bench()
    bake = await proofing(live, clock)
    while of(live, bake).stage(of(live, bake).current or 0).kind != "bake":
        await say(live, bake, intents.Done())
    await say(live, bake, intents.GiveUp())
    app = app_on(live, real=clock)
    async with app.run_test(size=(80, 24)) as pilot:
        await to_bench(pilot, app)
        shown = await settle(pilot, app)
        await pilot.press("space")
        after = await settle(pilot, app)
        state = of(app.live, bake)

    assert "Take it out with dry cloths, then oven off" in shown
    assert "space  done" in shown
    assert state.done(OvenTask("oven off", state.current or 0))
    assert "then oven off: done." in after
    assert "space  done" not in after
