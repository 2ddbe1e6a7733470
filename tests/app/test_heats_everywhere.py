"""No screen tells a heat that is not on the kitchen's own oven: fan, gas, and one whose dial is in °F."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from proofbell.bake import intents
from proofbell.bake.heats import on_the_dial
from proofbell.bake.tasks import Skipped
from proofbell.journal.reviews.wording import said_words
from proofbell.kitchen.model import Oven, OvenDial
from tests.support.kitchen_scene import GUESTHOUSE, KNOTS, RYE, app_on, empty_bench, of, put_on, say
from tests.support.stage import seen

HEAT = re.compile(r"\b\d{3}(?:\.\d)? °[CF](?: fan)?|gas mark [\d¼½]+")
"""Anything that is told as an oven's heat: no dough, liquid or core is at a hundred degrees or more."""

DIAL_F = tuple(OvenDial(c, f"{f} °F") for c, f in ((190.0, 375), (215.0, 420)))
"""The loaf's first heat, 240 °C or 464 °F, is hotter than anything in this oven's own table."""

OVENS = {
    "fan": (Oven("fan"), {"170 °C fan", "195 °C fan", "220 °C fan"}),
    # Marks 5 (375 °F), 7 (425 °F) and 9 (475 °F) of the British scale.
    "gas": (Oven("gas"), {"gas mark 5", "gas mark 7", "gas mark 9"}),
    "°F": (Oven(dial=DIAL_F), {"375 °F", "420 °F", "465 °F"}),
}
"""An oven, and what it is set to for 190 °C (the knots), 215 and 240 °C (the loaf)."""


def heats(text: str) -> set[str]:
    return set(HEAT.findall(re.sub(r"\s+", " ", text)))


@pytest.mark.parametrize("kind", OVENS)
async def test_every_screen_and_the_log_tell_the_heats_of_this_oven_alone(kind: str) -> None:
    oven, own = OVENS[kind]
    live, clock = empty_bench(kitchen=replace(GUESTHOUSE, oven=oven))
    knots, loaf = await put_on(live, KNOTS), await put_on(live, RYE)
    found: dict[str, set[str]] = {}
    async with app_on(live).run_test(size=(120, 40)) as pilot:
        app = pilot.app

        async def look(moment: str) -> None:
            for one in live.board().coming:
                if one.prompt.kind == "check":  # it would put its dialog over the page
                    await say(live, one.bake, intents.Task(Skipped(one.prompt.id)))
            for page, keys in {"bench": (), "far": ("f",), "weigh-out": ("w",), "log": ("b",), "plan": ("p",)}.items():
                while app.screen is not app.bench:  # type: ignore[attr-defined]
                    app.pop_screen()
                    await pilot.pause()
                app.tick()  # type: ignore[attr-defined]
                await pilot.press(*keys)
                await pilot.pause()
                found[f"{moment}, {page}"] = heats(seen(app))
                assert app.screen is app.bench or page != "bench"  # type: ignore[attr-defined]

        for bake in (knots, loaf):
            await say(live, bake, intents.Begin())
            while live.state(bake) is not None and of(live, bake).current is not None:
                state = of(live, bake)
                index = state.current
                assert index is not None
                if state.stage(index).kind == "bake":
                    await look(f"{state.letter} bakes")
                    clock.forward(16 * 60)
                    await look(f"{state.letter} has baked a while")
                elif index + 1 < len(state.stages) and state.stage(index + 1).kind == "bake":
                    await look(f"{state.letter} is about to")
                await say(live, bake, intents.Done())
        lines = [said_words(event, state) for state in live.states for event in state.events]
        found["log in words"] = heats("\n".join(lines))

    assert {page: told - own for page, told in found.items() if told - own} == {}
    assert set().union(*found.values()) == own, "each heat of the two doughs was told somewhere"
    assert {on_the_dial(oven, heat_c) for heat_c in (190.0, 215.0, 240.0)} == own
