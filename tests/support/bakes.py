"""Bakes to put on a screen, made through the same door as real ones."""

from __future__ import annotations

from proofbell.app.session.live import Live
from proofbell.bake import intents
from proofbell.bake.intents import Intent, Refused
from proofbell.bake.weigh.weigh_out import weigh_out
from proofbell.formula.model import Formula
from proofbell.formula.read import load
from tests.support.stage import FORMULAS, HandClock


def house(name: str) -> Formula:
    """A formula that comes with the program."""
    return load((FORMULAS / f"{name}.toml").read_bytes(), name)


async def opened(live: Live, bake: str = "knots", formula: Formula | None = None) -> str:
    """Put a bake on the bench; returns its id."""
    formula = formula or house("harbour-knots")
    state = await live.open(bake, formula, weigh_out(formula, live.kitchen).batch)
    assert not isinstance(state, Refused)
    return bake


async def said(live: Live, bake: str, *intended: Intent) -> None:
    """Say things that must be taken."""
    for intent in intended:
        assert await live.say(bake, intent) is None


async def at_first_proof(live: Live, clock: HandClock, bake: str = "knots") -> str:
    """Harbour knots, mixed and kneaded in their time, at the start of the first proof."""
    await opened(live, bake)
    await said(live, bake, intents.Begin())
    clock.forward(360)
    await said(live, bake, intents.Done())
    clock.forward(600)
    await said(live, bake, intents.Done())
    return bake


async def baked(live: Live, clock: HandClock, bake: str = "knots", dough_c: float = 27.0) -> str:
    """Harbour knots from the first proof to the end."""
    await at_first_proof(live, clock, bake)
    await said(live, bake, intents.Read("dough temperature", f"{dough_c:g}", dough_c))
    clock.forward(3300)
    await said(live, bake, intents.Done())
    clock.forward(1200)
    await said(live, bake, intents.Done(), intents.Read("dough temperature", "25", 25.0))
    clock.forward(3000)
    await said(live, bake, intents.Done())
    clock.forward(960)
    await said(live, bake, intents.Read("core temperature", "91", 91.0), intents.Done())
    clock.forward(1500)
    await said(live, bake, intents.Done())
    await live.put_away(bake)
    return bake
