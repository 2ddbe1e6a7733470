"""Habits put to use in the next weigh-out and plan, always with words that say where a number comes from."""

from __future__ import annotations

from dataclasses import replace

from proofbell.bake.fermenting.forgiven import within
from proofbell.formula.model import Formula, Stage
from proofbell.frozen import dataclass
from proofbell.journal.learning.habits import Habits, Learned
from proofbell.journal.learning.quantities import QuantityName
from proofbell.kitchen.model import Kitchen

ENOUGH = 3
"""Fewer bakes than this are shown but not used: common practice, no source."""

MOST_LOSS_PERCENT = 50.0
"""What has lost more in the oven is no loaf any more."""

_WEIGHED = frozenset({"rise by hand", "rise by machine", "make-up loss"})
_HERE: tuple[QuantityName, ...] = ("oven heat-up", "pace", "drift", "drift in the cold")
_PLANNED = frozenset({"oven heat-up", "hands"})


@dataclass(frozen=True, slots=True)
class Use:
    """What to reckon with for one formula.

    ``kitchen`` has the learned oven, pace and drift in place. ``rise_k`` is the warming by kneading (None: nothing
    learned), ``rise_range_k`` its range. ``plan_formula`` has hands times and make-up loss as this kitchen has them:
    for weighing out and planning only, never for opening a bake, whose log keeps the formula as it is.
    ``bake_loss_percent`` is for sizing by the cooled loaf (None: nothing learned). ``words``: a line for each number
    in use.
    """

    formula: Formula
    kitchen: Kitchen
    plan_formula: Formula
    rise_k: float | None
    used: tuple[Learned, ...]
    bake_loss_percent: float | None = None
    rise_range_k: tuple[float, float] | None = None

    @property
    def weigh_formula(self) -> Formula:
        """The formula with this kitchen's make-up loss, and its times as they are written: for weighing out."""
        return replace(self.formula, batch=self.plan_formula.batch)

    @property
    def weigh_words(self) -> tuple[str, ...]:
        """Where the numbers come from that a weigh-out uses."""
        return tuple(said(one) for one in self.used if one.quantity in _WEIGHED)

    @property
    def plan_words(self) -> tuple[str, ...]:
        """Where the numbers come from that a plan uses."""
        return tuple(said(one) for one in self.used if one.quantity in _PLANNED)

    @property
    def words(self) -> tuple[str, ...]:
        """Where each number comes from: ``warming by kneading by hand, from 14 bakes: 1.8 °C, 1.2 to 2.3 °C``."""
        return tuple(said(learned) for learned in self.used)


def said(learned: Learned) -> str:
    of = f" ({learned.stage})" if learned.stage else ""
    if not learned.bakes:
        span = f"{learned.said(learned.value)}, {learned.said(learned.low)} to {learned.said(learned.high)}"
        return f"{learned.title}{of}, from bakes of other formulas: {span}"
    return f"{learned.title}{of}, {learned.words}"


def use(habits: Habits, kitchen: Kitchen, formula: Formula) -> Use:
    """What to reckon with; nothing changes where too few bakes have shown it, or when ``kitchen.learn`` is off."""
    if not kitchen.learn:
        return Use(formula, kitchen, formula, None, ())
    used: list[Learned] = []

    def asked(name: QuantityName, stage: str = "") -> Learned | None:
        learned = habits.of(name, formula.name, stage)
        if learned.bakes < ENOUGH and (stage or habits.of(name).bakes < ENOUGH):
            return None
        used.append(learned)
        return learned

    rise = asked("rise by hand" if formula.dough.mixing == "hand" else "rise by machine")
    oven, pace, drift, cold = (asked(name) for name in _HERE)
    loss = asked("make-up loss")
    stages = []
    for stage in formula.stages:
        own = asked("hands", stage.name) if stage.kind == "hands" else None
        stages.append(stage if own is None else replace(stage, time_s=_learned_s(stage, own.value)))
    batch = formula.batch if loss is None else replace(formula.batch, loss_percent=max(0.0, loss.value))
    here = kitchen
    if oven is not None:
        here = replace(here, oven=replace(here.oven, heat_up_s=oven.value))
    if pace is not None:
        here = replace(here, pace=pace.value)
    # The habit is a rate; the model wants a time constant, and no kitchen makes a dough stand still.
    slower, colder = (1.0 if one is None else 1.0 / max(one.value, 0.25) for one in (drift, cold))
    if drift is not None or cold is not None:
        here = replace(here, drift=slower, drift_cold=colder)
    plan_formula = replace(formula, stages=tuple(stages), batch=batch)
    baked = habits.of("bake loss", formula.name)
    enough = max(baked.bakes, habits.of("bake loss").bakes) >= ENOUGH
    return Use(
        formula,
        here,
        plan_formula,
        None if rise is None else rise.value,
        tuple(used),
        baked.value if enough and 0 <= baked.value < MOST_LOSS_PERCENT else None,
        None if rise is None else (rise.low, rise.high),
    )


def _learned_s(stage: Stage, share: float) -> float:
    """A hands stage's time as this kitchen takes it, in whole minutes, within what the card forgives."""
    return within(stage.stretch, max(60.0, round(stage.time_s * share / 60.0) * 60.0))
