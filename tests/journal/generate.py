"""Bakes as they might happen in a kitchen whose true habits are known, decided as the app decides them.

    python -m tests.journal.generate JOURNAL COUNT

writes a journal of that many bakes for trying things out.
"""

from __future__ import annotations

import math
import random
import sys
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from proofbell.bake import intents
from proofbell.bake.decisions.decide import decide, decided
from proofbell.bake.events import BakeOpened, Event, Eye, ScoreGiven
from proofbell.bake.fermenting.place import place_c
from proofbell.bake.fermenting.terms import modelled_tau_s
from proofbell.bake.intents import Intent, Refused
from proofbell.bake.record import make_event, to_row
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import OvenTask
from proofbell.bake.weigh.batch import Batch, BatchLine
from proofbell.dough.fermenting.drift import Drift
from proofbell.formula.model import (
    BatchSize,
    Check,
    DoughWish,
    Formula,
    Ingredient,
    OvenWish,
    Rate,
    RiseWish,
    Stage,
)
from proofbell.journal.reviews.score_sheet import SHEET
from proofbell.journal.storage.rows import INSERT, values_of
from proofbell.journal.storage.schema import transaction
from proofbell.journal.storage.store import Journal
from proofbell.kitchen.model import Kitchen
from tests.support.fermentation import fermentation
from tests.support.making import KNOTS, MORNING_US

LOAF = Formula(
    name="Pier loaf",
    style="lean",
    about="A tin loaf for the breakfast table.",
    batch=BatchSize(dough_g=1560.0, loss_percent=2.0),
    dough=DoughWish(temperature_c=25.0, mixing="hand"),
    oven=OvenWish(temperature_c=220.0),
    ingredients=(
        Ingredient("strong white flour", 100.0, "flour", contains=("wheat",)),
        Ingredient("water", 66.0, "water", heat=True),
        Ingredient("salt", 1.9, "salt"),
        Ingredient("yeast", 0.8, "yeast", form="instant"),
    ),
    stages=(
        Stage("Knead", "hands", 600.0),
        Stage(
            "First proof",
            "proof",
            5400.0,
            stretch=(2400.0, 10800.0),
            checks=(Check("dough temperature", "start", expect=(24.0, 26.0)), Check("rise", "end")),
            adjust=Rate(25.0, 22.0),
            rise=RiseWish((80.0, 120.0), 480.0, 6),
        ),
        Stage("Shape", "hands", 900.0, checks=(Check("weight", "start"),)),
        Stage(
            "Final proof",
            "proof",
            3600.0,
            stretch=(1800.0, 7200.0),
            checks=(
                Check("dough temperature", "start"),
                Check("dough temperature", "into", at_s=1500.0),
                Check("rise", "end"),
            ),
            adjust=Rate(25.0, 22.0),
            rise=RiseWish((50.0, 70.0), 480.0, 6),
        ),
        Stage("Bake", "bake", 2400.0, core=(93.0, 98.0), checks=(Check("core temperature", "end"),)),
        Stage("Cool", "cool", 3600.0, checks=(Check("weight", "end"),)),
    ),
    text='name = "Pier loaf"\n',
)


@dataclass(frozen=True, slots=True)
class Truth:
    """What a kitchen really does, which its journal should bring to light.

    ``pace`` is the amount of fermentation it judges ready, as a share of what the model asks for; ``drift``, ``oven``
    and ``hands`` are shares of the modelled time constant, heat-up time and nominal hands time.
    """

    rise_k: float = 1.5
    drift: float = 1.0
    pace: float = 1.0
    oven: float = 1.0
    hands: float = 1.0
    make_up_loss_percent: float = 2.0
    bake_loss_percent: float = 11.0
    probe_k: float = 0.3
    outliers: float = 0.0


class Baking:
    """One bake under way: says intents to ``decide`` and lets time pass."""

    def __init__(self, start: Stamp, state: BakeState | None = None) -> None:
        self._state = state
        self.now = start

    @property
    def state(self) -> BakeState:
        assert self._state is not None
        return self._state

    def say(self, intent: Intent) -> None:
        decision = decide(self._state, intent, self.now)
        assert not isinstance(decision, Refused), decision
        self._state = decided(self._state, decision)

    def wait(self, seconds: float) -> None:
        step_us = round(max(0.0, seconds) * 1_000_000)
        self.now = replace(self.now, wall_us=self.now.wall_us + step_us, boot_us=self.now.boot_us + step_us)

    def read(self, what: str, value: float) -> None:
        self.say(intents.Read(what, f"{value:.1f}", raw=round(value, 1), sure=True))  # type: ignore[arg-type]


def loaf_batch(expected_c: float = 25.0, rise_k: float = 1.5) -> Batch:
    """The loaf, sized; the heat balance expects ``expected_c`` with ``rise_k`` of warming by kneading."""
    lines = tuple(BatchLine(i.name, round(i.percent * 9.25, 1), 21.0) for i in LOAF.ingredients)
    return Batch(lines, 1560.0, 925.0, liquid="water", liquid_c=31.0, expected_c=expected_c, rise_k=rise_k)


def simulated(
    rng: random.Random, truth: Truth, *, bake: str, start: Stamp, kitchen: Kitchen, rise_k: float
) -> BakeState:
    """One whole loaf in a kitchen with these habits; ``rise_k`` is what the weigh-out reckoned with."""
    run = Baking(start)
    run.say(intents.Open(bake, "A", LOAF, loaf_batch(rise_k=rise_k), kitchen, "0.1.0"))
    run.say(intents.Begin())
    _hands(rng, run, truth)
    slip = 6.0 if rng.random() < truth.outliers else 0.0
    dough_c = 25.0 + truth.rise_k - rise_k + rng.gauss(0.0, 0.5) + slip
    dough_c = _proof(rng, run, truth, dough_c)
    run.read("weight", 1560.0 * (1 - truth.make_up_loss_percent / 100 + rng.gauss(0.0, 0.004)))
    _hands(rng, run, truth)
    _proof(rng, run, truth, dough_c, oven=True)
    run.wait(run.state.stages[4].length_s)
    run.read("core temperature", rng.gauss(95.5, 1.0))
    run.say(intents.Done())
    run.wait(3600.0)
    out_g = 1560.0 * (1 - truth.make_up_loss_percent / 100) * (1 - truth.bake_loss_percent / 100 + rng.gauss(0, 0.006))
    run.read("weight", out_g)
    run.say(intents.Done())
    return run.state


def _hands(rng: random.Random, run: Baking, truth: Truth) -> None:
    index = run.state.current
    assert index is not None
    run.wait(run.state.stage(index).time_s * truth.hands * math.exp(rng.gauss(0.0, 0.12)))
    run.say(intents.Done())


def _proof(rng: random.Random, run: Baking, truth: Truth, start_c: float, *, oven: bool = False) -> float:
    """Let the dough proof until it is ready, looking at it when it is due; return its temperature then."""
    index = run.state.current
    assert index is not None
    begun_s = run.state.now_s(run.now)
    here_c = place_c(run.state, index)
    tau_s = modelled_tau_s(run.state, index) * truth.drift

    def true_c() -> float:
        return Drift(start_c, here_c, tau_s).temp_c(run.state.now_s(run.now) - begun_s)

    stage = run.state.stage(index)
    assert isinstance(stage.adjust, Rate)
    nominal_tau_s = modelled_tau_s(run.state, index)
    wanted = fermentation(stage.adjust.at_c, stage.adjust.place_c or 22.0, nominal_tau_s, stage.time_s)
    wanted *= truth.pace * math.exp(rng.gauss(0.0, 0.06))
    run.read("dough temperature", start_c + rng.gauss(0.0, truth.probe_k))
    if oven:
        run.wait(1500.0)
        run.read("dough temperature", true_c() + rng.gauss(0.0, truth.probe_k))
        _heat(rng, run, truth)
    while True:
        due_s = begun_s + run.state.stages[index].length_s
        run.wait(due_s - run.state.now_s(run.now))
        into_s = run.state.now_s(run.now) - begun_s
        done = fermentation(start_c, here_c, tau_s, into_s)
        eye: Eye = "not yet" if done < wanted else "ready"
        before_s = run.state.stages[index].length_s
        run.say(intents.Read("rise", eye, eye=eye))
        if eye == "ready" or run.state.stages[index].length_s == before_s:
            break
    end_c = true_c()
    run.say(intents.Done())
    return end_c


def _heat(rng: random.Random, run: Baking, truth: Truth) -> None:
    run.say(intents.Task(OvenTask("oven on", 4)))
    # 20 °C to 200 °C in 25 minutes, and in proportion: the default oven of the kitchen model.
    takes_s = 1500.0 * (220.0 - run.state.kitchen.room_c) / 180.0
    run.wait(takes_s * truth.oven * math.exp(rng.gauss(0.0, 0.05)))
    run.say(intents.Task(OvenTask("oven hot", 4)))


def simulated_bakes(seed: int, truth: Truth, count: int, *, rise_k: float = 1.5) -> list[BakeState]:
    """So many loaves, a day apart, in a room that is not always the same."""
    rng = random.Random(seed)
    return [
        simulated(
            rng,
            truth,
            bake=f"{seed:04x}{number:04x}",
            start=Stamp(MORNING_US + number * 86_400_000_000, 10**12 + number * 86_400_000_000, "boot-1", 60),
            kitchen=Kitchen(name="Guesthouse", room_c=round(rng.uniform(18.0, 24.0), 1)),
            rise_k=rise_k,
        )
        for number in range(count)
    ]


def many(count: int, seed: int = 1) -> Iterator[tuple[Event, ...]]:
    """Many bakes, quickly: some patterns are decided in full, then given other ids, days and scores."""
    rng = random.Random(seed)
    patterns = [state.events for state in simulated_bakes(seed, Truth(pace=1.1), 12)]
    names = [KNOTS.name, LOAF.name, "Rye of the long night", "Lighthouse rolls", "Boathouse brioche"]
    for number in range(count):
        yield _again(rng, patterns[number % len(patterns)], number, names[number % len(names)])


def _again(rng: random.Random, events: tuple[Event, ...], number: int, name: str) -> tuple[Event, ...]:
    shift_us = -number * 7 * 3_600_000_000
    bake = f"{number:08x}{rng.getrandbits(32):08x}"
    made: list[Event] = []
    bodies = [(event.stamp, event.body) for event in events]
    first = bodies[0][1]
    assert isinstance(first, BakeOpened)
    bodies[0] = (bodies[0][0], replace(first, formula=replace(first.formula, name=name)))
    last = bodies[-1][0]
    if rng.random() < 0.8:
        bodies += [(last, ScoreGiven(line.name, rng.randint(4, 10))) for line in SHEET[:4]]
    digest = ""
    for index, (stamp, body) in enumerate(bodies, start=1):
        moved = replace(stamp, wall_us=stamp.wall_us + shift_us, boot_us=stamp.boot_us + shift_us)
        event = make_event(bake, index, index, moved, body, digest)
        made.append(event)
        digest = event.digest
    return tuple(made)


def fill(path: Path, count: int) -> None:
    """Write a journal of ``count`` bakes, in large transactions."""
    with Journal.open(path) as journal:
        bakes = many(count)
        for _ in range(0, count, 500):
            with transaction(journal.connection):
                for _, events in zip(range(500), bakes, strict=False):
                    journal.connection.executemany(INSERT, [values_of(to_row(event)) for event in events])


if __name__ == "__main__":
    fill(Path(sys.argv[1]), int(sys.argv[2]))
