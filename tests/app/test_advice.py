"""What is advised on a small terminal: under the dough in hand, before a reading is taken, from afar, in the log."""

from __future__ import annotations

from tests.support.bakes import at_first_proof
from tests.support.kitchen_scene import app_on, empty_bench
from tests.support.settling import settle, to_bench


async def test_a_warm_butter_dough_is_advised_on_wherever_the_baker_looks() -> None:
    live, clock = empty_bench()
    await at_first_proof(live, clock)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await to_bench(pilot, app)
        await pilot.press("r", "3", "1")
        asked = " ".join((await settle(pilot, app)).replace("│", " ").split())
        assert "First proof 70 → 55 min" in asked
        assert "of butter or its like: chill it 20 to" in asked
        await pilot.press("enter")
        bench = await to_bench(pilot, app)
        assert "chill it 20 to 30 min before shaping." in bench
        assert bench.count("31.0 °C with 15 %") == 1
        await pilot.press("f")
        assert "Chill it 20 to 30 min before shaping." in await settle(pilot, app)
        await pilot.press("escape", "b")
        assert "Advised: Dough 31.0 °C with 15 % of butter" in await settle(pilot, app)
