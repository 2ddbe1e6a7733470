"""A bake under way for the tests of this room: a clock that is handed in, and formulas and intents at random."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from hypothesis import strategies as st

from proofbell.bake import intents
from proofbell.bake.decisions.decide import decide, decided
from proofbell.bake.events import Event, TimeAdjusted
from proofbell.bake.intents import Intent, Refused
from proofbell.bake.readings import READINGS
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import OvenTask, PromptId, Silenced, Weighed
from proofbell.bake.weigh.batch import Batch, BatchLine
from proofbell.dough.weights import SizeWish
from proofbell.formula.model import (
    Band,
    Bands,
    BatchSize,
    Check,
    DoughWish,
    Formula,
    Ingredient,
    OvenWish,
    Phase,
    Rate,
    RiseWish,
    Stage,
)
from proofbell.kitchen.model import Kitchen, Probe

MORNING_US = 1_773_471_600_000_000
"""14 March 2026, 07:00 UTC."""

FIRST_PROOF = Stage(
    "First proof",
    "proof",
    70 * 60.0,
    stretch=(50 * 60.0, 100 * 60.0),
    checks=(Check("dough temperature", "start", expect=(24.0, 26.0)),),
    adjust=Bands("dough temperature", (Band(24.0, 85 * 60.0), Band(26.0, 70 * 60.0), Band(None, 55 * 60.0))),
)
"""The demo rule of the formula format."""

FINAL_PROOF = Stage(
    "Final proof",
    "proof",
    50 * 60.0,
    stretch=(35 * 60.0, 70 * 60.0),
    adjust=Rate(25.0, 22.0),
    rise=RiseWish((50.0, 70.0), 8 * 60.0, 3),
)

BATCH = Batch((BatchLine("strong white flour", 500.0), BatchLine("water", 325.0, 24.0)), 840.0, 500.0, 12, 70.0)


def formula(*stages: Stage) -> Formula:
    """A formula of these stages, for a tray of 12 rolls."""
    return Formula(
        name="Harbour rolls",
        style="lean",
        batch=BatchSize(pieces=12, piece_g=70.0),
        dough=DoughWish(temperature_c=25.0),
        oven=OvenWish(temperature_c=220.0),
        ingredients=(Ingredient("strong white flour", 100.0, "flour"), Ingredient("water", 65.0, "water", heat=True)),
        stages=stages,
    )


WHOLE = formula(
    Stage("Mix", "hands", 6 * 60.0),
    Stage("Knead", "hands", 9 * 60.0),
    FIRST_PROOF,
    Stage("Divide and shape", "hands", 18 * 60.0),
    FINAL_PROOF,
    Stage("Bake", "bake", 16 * 60.0, turn_s=9 * 60.0, core=(88.0, 94.0)),
    Stage("Cool", "cool", 30 * 60.0),
)


class Baking:
    """One bake and its clock."""

    def __init__(
        self,
        made: Formula,
        kitchen: Kitchen | None = None,
        *,
        start_in_s: float | None = None,
        batch: Batch = BATCH,
    ) -> None:
        self.now = Stamp(MORNING_US, 1_000_000_000, "first boot", 60)
        opening = intents.Open("b1", "A", made, batch, kitchen or Kitchen(), "0", start_in_s)
        events = decide(None, opening, self.now)
        assert not isinstance(events, Refused)
        self.state: BakeState = decided(None, events)

    def say(self, intent: Intent) -> tuple[Event, ...]:
        """Say something that must be taken."""
        decision = decide(self.state, intent, self.now)
        assert not isinstance(decision, Refused), decision
        self.state = decided(self.state, decision)
        return decision

    def refused(self, intent: Intent) -> Refused:
        """Say something that must be refused."""
        decision = decide(self.state, intent, self.now)
        assert isinstance(decision, Refused), decision
        return decision

    def wait(self, *, minutes: float = 0.0, seconds: float = 0.0) -> None:
        """Let time pass, awake or asleep."""
        passed_us = round((minutes * 60 + seconds) * 1_000_000)
        self.now = replace(self.now, wall_us=self.now.wall_us + passed_us, boot_us=self.now.boot_us + passed_us)

    def set_clock(self, by_s: float) -> None:
        """Somebody sets the wall clock."""
        self.now = replace(self.now, wall_us=self.now.wall_us + round(by_s * 1_000_000))

    def reboot(self, off_s: float = 0.0, up_s: float = 0.0) -> None:
        """The power goes, is back after ``off_s`` by the wall clock, and the machine has run for ``up_s`` since."""
        wall_us = self.now.wall_us + round((off_s + up_s) * 1_000_000)
        self.now = Stamp(wall_us, round(up_s * 1_000_000), self.now.boot_id + "+", self.now.offset_min)

    def read(self, value: float, what: str = "dough temperature") -> TimeAdjusted | None:
        """Take a reading; returns what it changed."""
        return adjustment(self.say(intents.Read(what, f"{value:g}", raw=value, sure=True)))  # type: ignore[arg-type]

    def eye(self, seen: str) -> TimeAdjusted | None:
        """Judge the rise by eye."""
        return adjustment(self.say(intents.Read("rise", seen, eye=seen)))  # type: ignore[arg-type]

    def to_stage(self, index: int) -> None:
        """Go on at once to a stage."""
        if not self.state.begun:
            self.say(intents.Begin())
        while self.state.current is not None and self.state.current < index:
            self.say(intents.Done())

    @property
    def now_s(self) -> float:
        """The bake's own time."""
        return self.state.now_s(self.now)

    @property
    def left_min(self) -> float:
        """Minutes left of the running stage; less than nothing when it is over."""
        assert self.state.current is not None
        due_s = self.state.stages[self.state.current].due_s
        assert due_s is not None
        return (due_s - self.now_s) / 60

    @property
    def length_min(self) -> float:
        """The whole length of the running stage."""
        assert self.state.current is not None
        return self.state.stages[self.state.current].length_s / 60


def adjustment(events: tuple[Event, ...]) -> TimeAdjusted | None:
    """The change of time in a decision."""
    return next((event.body for event in events if isinstance(event.body, TimeAdjusted)), None)


def at_stage(stage: Stage, kitchen: Kitchen | None = None) -> Baking:
    """A bake whose stage of 1 minute of hands is over, with ``stage`` just begun."""
    baking = Baking(formula(Stage("Mix", "hands", 60.0), stage, Stage("Shape", "hands", 600.0)), kitchen)
    baking.to_stage(1)
    return baking


# -- at random ---------------------------------------------------------------------------------------------------------

MINUTES = st.integers(1, 900).map(lambda minutes: minutes * 60.0)
CHECKED = {"proof": ("dough temperature", "room temperature", "rise"), "bake": ("core temperature",)}
TEMPERATURES = st.floats(-5, 59, allow_nan=False).map(lambda value: round(value, 1))


@st.composite
def rules(draw: st.DrawFn) -> Bands | Rate | None:
    """How a reading changes a stage."""
    kind = draw(st.sampled_from(["none", "bands", "rate"]))
    if kind == "rate":
        return Rate(draw(st.integers(5, 35)), draw(st.none() | st.integers(2, 40)))
    if kind == "bands":
        what, low, high = draw(
            st.sampled_from([("dough temperature", 5, 35), ("rise", 10, 200), ("room temperature", 10, 35)])
        )
        bounds = sorted(draw(st.sets(st.integers(low, high), max_size=3)))
        bands = tuple(Band(float(bound), draw(MINUTES)) for bound in bounds)
        return Bands(what, (*bands, Band(None, draw(MINUTES))))  # type: ignore[arg-type]
    return None


@st.composite
def stages(draw: st.DrawFn, name: str) -> Stage:
    """One stage that the reader would accept."""
    kind: Any = draw(st.sampled_from(["hands", "proof", "proof", "rest", "chill", "bake", "cool"]))
    time_s = draw(MINUTES)
    stretch = (time_s * draw(st.floats(0.3, 1)), time_s * draw(st.floats(1, 3))) if draw(st.booleans()) else None
    checks = tuple(
        Check(draw(st.sampled_from(CHECKED.get(kind, READINGS))), when, time_s * 0.4 if when == "into" else None)  # type: ignore[arg-type]
        for when in draw(st.lists(st.sampled_from(["start", "into", "end"]), max_size=3))
    )
    wish = RiseWish((float(draw(st.integers(20, 90))), 120.0), draw(MINUTES), draw(st.integers(1, 4)))
    phases: tuple[Phase, ...] = ()
    if kind == "bake" and draw(st.booleans()):
        phases = (Phase(time_s / 3, 240.0, steam=True), Phase(time_s - time_s / 3, 210.0))
    return Stage(
        name,
        kind,
        time_s,
        stretch=stretch,
        checks=checks,
        adjust=draw(rules()) if kind in ("proof", "rest", "chill") else None,
        rise=wish if kind == "proof" and draw(st.booleans()) else None,
        turn_s=time_s * 0.6 if kind == "bake" and draw(st.booleans()) else None,
        phases=phases,
        place_c=draw(st.none() | st.integers(2, 38).map(float)) if kind in ("proof", "chill") else None,
    )


@st.composite
def formulas(draw: st.DrawFn) -> Formula:
    """A formula of one to five stages."""
    return formula(*[draw(stages(f"Stage {number}")) for number in range(draw(st.integers(1, 5)))])


TASKS = (
    Weighed(0),
    OvenTask("oven on", 1),
    OvenTask("oven on", 1, from_c=150.0),
    OvenTask("turn", 2),
    Silenced(PromptId("due", 1, at_s=3000)),
)


KITCHENS = st.builds(
    Kitchen,
    room_c=st.floats(12, 34),
    probe=st.builds(Probe, offset_k=st.floats(-2, 2), slope=st.floats(0.95, 1.05), tolerance_k=st.floats(0.1, 2)),
)

PLACES = st.none() | st.just(4.0)
SURE = st.just(value=True)

READS = st.one_of(
    st.builds(
        intents.Read,
        st.sampled_from(["dough temperature", "room temperature", "core temperature"]),
        st.just("typed"),
        TEMPERATURES,
        sure=st.booleans(),
    ),
    st.builds(intents.Read, st.just("rise"), st.just("typed"), st.floats(-20, 300), sure=SURE),
    st.builds(
        intents.Read, st.just("rise"), st.just("by eye"), st.none(), st.sampled_from(["not yet", "ready", "too far"])
    ),
    st.builds(intents.Read, st.just("weight"), st.just("912 g"), st.floats(1, 3000), sure=SURE),
)
DONE = st.just(intents.Done())
OTHERS = st.one_of(
    st.builds(intents.PlanStart, st.floats(-100, 2e6)),
    st.builds(intents.Longer, st.floats(-7200, 7200)),
    st.builds(
        intents.Accept, st.integers(-1, 6), st.floats(-10, 90_000), st.just("The plan."), st.none() | st.just(4.0)
    ),
    st.builds(intents.Task, st.sampled_from(TASKS), st.booleans()),
    st.builds(intents.AddNote, st.text(max_size=20)),
    st.builds(
        intents.Resize,
        st.builds(SizeWish, pieces=st.none() | st.integers(0, 30), piece_g=st.none() | st.floats(-1, 120))
        | st.builds(SizeWish, flour_g=st.floats(-1, 3000))
        | st.builds(SizeWish, have=st.tuples(st.sampled_from(["water", "plums"]), st.floats(1, 900))),
        st.booleans(),
    ),
    st.builds(intents.GiveScore, st.sampled_from(["crust", "crumb"]), st.integers(-1, 11)),
    st.builds(intents.MarkTypical, st.booleans()),
    st.builds(intents.TakeRow, st.sampled_from([-1.0, 0.5, 3.0, float("nan")])),
    st.builds(intents.Correct, st.integers(1, 25), st.just("again"), st.none() | TEMPERATURES, sure=SURE),
    st.builds(intents.GiveUp, st.text(max_size=5)),
    st.just(intents.PutAway()),
    st.builds(intents.Decline, st.integers(-1, 8)),
    st.builds(intents.Back, st.floats(0, 1e6), ran_s=st.floats(0, 5_000)),
    st.builds(intents.Rebase, st.integers(0, 12), st.floats(-100, 40_000)),
    st.just(intents.Look()),
)
INTENTS = st.one_of(DONE, READS, st.just(intents.Undo()), st.just(intents.Begin()), DONE, READS, OTHERS)


def passed(baking: Baking, step: tuple[str, float]) -> None:
    """Let the world go on: time, sleep, a clock that is set, a new boot with the clock behind or ahead."""
    kind, amount = step
    if kind == "wait":
        baking.wait(seconds=abs(amount))
    elif kind == "set clock":
        baking.set_clock(amount)
    else:
        baking.reboot(amount)


WORLD = st.one_of(
    st.tuples(st.just("wait"), st.floats(0, 20_000)),
    st.tuples(st.just("wait"), st.floats(0, 300)),
    st.tuples(st.just("set clock"), st.floats(-180_000, 180_000)),
    st.tuples(st.just("reboot"), st.floats(-10_000, 100_000)),
)
STEPS = st.lists(st.tuples(WORLD, INTENTS), min_size=1, max_size=25)
