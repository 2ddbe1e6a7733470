"""A guesthouse kitchen with some doughs on, at a moment that the test chooses."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Protocol

from proofbell.app.app import ProofbellApp
from proofbell.app.session.live import Keeper, Live, Nobody
from proofbell.bake import intents
from proofbell.bake.intents import Intent, Refused
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import Skipped
from proofbell.bake.weigh.batch import Batch
from proofbell.bake.weigh.weigh_out import weigh_out
from proofbell.formula.model import Check, Formula
from proofbell.formula.read import load
from proofbell.kitchen.model import Kitchen
from tests.support.stage import FORMULAS, FOUR, HandClock


class Hand(Protocol):
    """A clock that a test can move."""

    def stamp(self) -> Stamp: ...

    def skip(self, seconds: float) -> None: ...


GUESTHOUSE = Kitchen(name="Guesthouse", room_c=21.5)


@cache
def formula(stem: str) -> Formula:
    """One of the house formulas."""
    path = FORMULAS / f"{stem}.toml"
    return load(path.read_bytes(), path.name)


KNOTS, LOAF, FLAT, RYE = "harbour-knots", "quay-pan-loaf", "breakwater-flatbread", "lamplighter-loaf"


def sized(*stems: str) -> list[tuple[Formula, Batch]]:
    """House formulas in their own size."""
    return [(formula(stem), weigh_out(formula(stem), GUESTHOUSE).batch) for stem in stems]


def empty_bench(keeper: Keeper | None = None, kitchen: Kitchen = GUESTHOUSE) -> tuple[Live, HandClock]:
    """Nothing on yet."""
    clock = HandClock()
    return Live(clock, keeper or Nobody(), kitchen), clock


async def put_on(live: Live, what: str | Formula, *, start_in_s: float | None = None) -> str:
    """Put a bake on the bench; returns its id."""
    chosen = formula(what) if isinstance(what, str) else what
    bake = f"bake-{len(live.states) + 1}"
    opened = await live.open(bake, chosen, weigh_out(chosen, live.kitchen).batch, start_in_s=start_in_s)
    assert not isinstance(opened, Refused), opened
    return bake


def of(live: Live, bake: str) -> BakeState:
    """A bake that must be on the bench."""
    state = live.state(bake)
    assert state is not None, bake
    return state


async def say(live: Live, bake: str, *said: Intent) -> None:
    """Say something that must not be refused."""
    for intent in said:
        refused = await live.say(bake, intent)
        assert refused is None, refused


async def proofing(live: Live, clock: Hand, what: str = KNOTS) -> str:
    """A dough that has just begun its first proof, its check not yet answered."""
    bake = await put_on(live, what)
    await say(live, bake, intents.Begin())
    while (state := live.state(bake)) is not None and state.current is not None:
        if state.stage(state.current).kind == "proof":
            break
        clock.skip(state.stages[state.current].length_s)
        await say(live, bake, intents.Done())
    return bake


async def unjudged(live: Live, bake: str) -> None:
    """What a dough is to be read or judged for yet is skipped."""
    found = live.board().of(bake)
    for prompt in () if found is None else found.coming:
        if prompt.kind == "check":
            await say(live, bake, intents.Task(Skipped(prompt.id)))


async def crowd(live: Live, clock: Hand, count: int) -> list[str]:
    """So many doughs at different stages: each begun eleven minutes after the one before."""
    stems = (KNOTS, LOAF, FLAT, RYE)
    bakes: list[str] = []
    for number in range(count):
        named = formula(stems[number % 4])
        name = named.name if number < 4 else f"{named.name} {number + 1}"
        bake = await put_on(live, replace(named, name=name))
        bakes.append(bake)
        await say(live, bake, intents.Begin())
        clock.skip(660)
        for earlier in bakes[:-1]:
            state = live.state(earlier)
            index = None if state is None else state.current
            if state is None or index is None:
                continue
            if state.now_s(clock.stamp()) >= (state.stages[index].due_s or 0.0):
                await say(live, earlier, intents.Done())
    return bakes


def app_on(live: Live, **more: object) -> ProofbellApp:
    """The app on that bench."""
    more.setdefault("loud", True)
    more.setdefault("files", FOUR)
    return ProofbellApp(live, **more)  # type: ignore[arg-type]


async def in_the_oven(live: Live, clock: HandClock, *, minutes: float, check: bool = False) -> str:
    """Harbour knots: 16 min at 190 °C to a core of 88 to 94 °C, the tray turned after 9."""
    knots = formula("harbour-knots")
    number = next(i for i, stage in enumerate(knots.stages) if stage.kind == "bake")
    checks = (Check("core temperature", "end"),) if check else ()
    bake = await put_on(live, replace(knots, stages=(replace(knots.stages[number], checks=checks), knots.stages[-1])))
    await say(live, bake, intents.Begin())
    clock.forward(minutes * 60)
    return bake
