"""A probe that talks, on the bench: the newest value, when the core is there, and once that it has fallen silent."""

from __future__ import annotations

from proofbell.app.bench.far.far_view import FarView
from proofbell.bake import intents
from proofbell.bake.intents import Intent
from proofbell.bake.probe.live import PROBE, SILENT
from proofbell.bake.probe.thinning import LATEST_S
from tests.support.kitchen_scene import app_on, empty_bench, in_the_oven, of, say
from tests.support.settling import settle, shown
from tests.support.stage import HandClock


def probe(value_c: float) -> Intent:
    return intents.Read("core temperature", f"{value_c:g}", raw=value_c, sure=True, source=PROBE)


async def test_the_value_its_age_and_the_minutes_stand_there_and_a_lost_probe_is_told_once() -> None:
    live, clock = empty_bench()
    bake = await in_the_oven(live, clock, minutes=9)
    await say(live, bake, probe(78.0))
    app = app_on(live, real=HandClock())
    async with app.run_test(size=(80, 24)) as pilot:
        clock.forward(20)
        app.tick()
        # From 78 to 88 °C: 0.18 to 0.34 of the 9 min so far, by the published table; 20 s are over.
        assert "Core 78.0 °C, 20 s ago; 88 in 1 min (up to 4)" in (first := await settle(pilot, app)), first
        await pilot.press("f")
        assert isinstance(app.screen, FarView)
        assert "Core 78.0 °C, 20 s ago" in await shown(pilot, app)
        await pilot.press("escape")
        clock.forward(SILENT * LATEST_S)
        app.tick()
        assert "A: nothing from the probe since 09:39." in await settle(pilot, app)
        app.troubles.seen()
        clock.forward(60)
        app.tick()
        assert "nothing from the probe" not in await settle(pilot, app)
        await say(live, bake, probe(84.0))
        app.tick()
        assert "Core 84.0 °C, 0 s ago" in await settle(pilot, app)
        assert not app.troubles.all
        await say(live, bake, intents.Done())
        clock.forward(9999)
        app.tick()
        assert "nothing from the probe" not in await settle(pilot, app)
        assert of(live, bake).current == 1
