"""What a situation is looked for in: one bake, the stage in hand, one moment."""

from __future__ import annotations

from proofbell.bake.asking.prompt import OvenBefore
from proofbell.bake.checks import carried
from proofbell.bake.fermenting.cold import in_the_cold
from proofbell.bake.fermenting.forgiven import forgives
from proofbell.bake.fermenting.kneading import before_it_ferments
from proofbell.bake.fermenting.short_rise import judged_short
from proofbell.bake.fermenting.warming import before_the_bake, was_cold
from proofbell.bake.heats import first_heat_c, hot_at_s, takes_s
from proofbell.bake.state import BakeState, Reading, StageState
from proofbell.bake.tasks import OvenTask
from proofbell.formula.model import ReadingKind, Stage
from proofbell.frozen import dataclass


@dataclass(frozen=True, slots=True)
class Scene:
    """A bake at ``now_s`` of its own time; ``index`` is the stage that runs, the first before it has begun.

    ``before``: another bake has the oven hot before this one. ``oven_kept``: another wants it afterwards.
    """

    state: BakeState
    index: int
    now_s: float
    before: OvenBefore | None = None
    oven_kept: bool = False

    @property
    def lit(self) -> bool:
        """Whether another bake has the oven hot before this one."""
        return self.before is not None

    @property
    def stage(self) -> Stage:
        return self.state.stage(self.index)

    @property
    def run(self) -> StageState:
        return self.state.stages[self.index]

    @property
    def into_s(self) -> float:
        """How long it has run (s)."""
        return 0.0 if self.run.begun_s is None else self.now_s - self.run.begun_s

    @property
    def late_s(self) -> float:
        """How long it is over its time (s); less than nothing before that."""
        return self.into_s - self.run.length_s

    @property
    def cold(self) -> bool:
        """Whether the dough ferments in the cold."""
        return in_the_cold(self.state, self.index)

    @property
    def limit_s(self) -> float | None:
        """The longest that the formula forgives (s), or asks for itself by its bands; None where it says nothing.

        A dough out of the cold has all the time that it was given there.
        """
        stretch = forgives(self.state, self.index).stretch
        if stretch is None:
            return None
        by_rule = [a.body.to_s for a in self.run.adjustments if a.body.by == "bands"]
        out_of_it = [self.run.length_s] if was_cold(self.run) and not self.cold else []
        return max(stretch[1], self.stage.time_s, *by_rule[-1:], *out_of_it)

    @property
    def next(self) -> Stage | None:
        after = self.state.formula.followed_by(self.index)
        return None if after is None else self.state.stage(after)

    @property
    def before_the_bake(self) -> bool:
        """Whether the oven comes next."""
        return before_the_bake(self.state, self.index)

    @property
    def next_proof(self) -> int | None:
        """The next stage in which the dough rises; None where only the oven is to come."""
        later = range(self.index + 1, self.state.formula.strand(self.index).stop)
        return next((each for each in later if self.state.stage(each).kind == "proof"), None)

    @property
    def before_it_ferments(self) -> bool:
        """Whether hands are at work and nothing has stood yet."""
        return before_it_ferments(self.state, self.index)

    def into(self, reading: Reading) -> float:
        """How far into the stage a reading was taken (s)."""
        return reading.at_s - (self.run.begun_s or 0.0)

    def newest(self, what: ReadingKind | None = None) -> Reading | None:
        taken = self.state.readings_in(self.index, what)
        return taken[-1] if taken else None

    def dough(self) -> tuple[Reading, float] | None:
        """The newest reading of the dough's temperature that holds in the stage, and its value (°C)."""
        what: ReadingKind = "dough temperature"
        reading = self.newest(what) or carried(self.state, self.index, what)
        return None if reading is None or reading.value is None else (reading, reading.value)

    @property
    def judged_short(self) -> bool:
        """Whether its rise was judged last to be short: then nothing says that it is too far."""
        return judged_short(self.state, self.index)

    @property
    def oven_off(self) -> bool:
        """Whether the oven comes next, and nobody has said that it is on."""
        if self.lit or not self.before_the_bake or first_heat_c(self.state, self.index + 1) is None:
            return False
        return not any(self.state.done(OvenTask(what, self.index + 1)) for what in ("oven on", "oven hot"))

    def wait_for_oven_s(self) -> float:
        """How long it takes yet (s) until the oven is hot, where it comes next.

        After another bake: until that is out, and the oven has gone from its heat to this one.
        """
        if not self.before_the_bake:
            return 0.0
        heat_c = first_heat_c(self.state, self.index + 1)
        told = any(self.state.done(OvenTask(what, self.index + 1)) for what in ("oven on", "oven hot"))
        if self.before is not None and not told:
            change_s = 0.0 if heat_c is None else takes_s(self.state, heat_c, self.before.heat_c)
            return max(0.0, self.before.until_s - self.now_s) + change_s
        return max(0.0, hot_at_s(self.state, self.index + 1, self.now_s) - self.now_s)
