"""A rise that was judged short: by how much, how much longer it takes, and when to judge it again."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Literal

from proofbell.bake.checks import EARLY_S, EARLY_SHARE, answered
from proofbell.bake.fermenting.cold import warm_terms
from proofbell.bake.fermenting.forgiven import forgives
from proofbell.bake.fermenting.rule_readings import adjusting
from proofbell.bake.state import BakeState, Reading
from proofbell.dough.rise import rise_outlook
from proofbell.formula.dough_stages import FERMENTS
from proofbell.formula.model import Formula, Stage
from proofbell.frozen import dataclass
from proofbell.words import percent

SLACK_S = 60.0
"""A rise that is this near in time is as good as there."""


@dataclass(frozen=True, slots=True)
class ShortRise:
    """The newest judgement of a rise, where it is short: ``at_s`` into the stage, ``percent`` (None: by eye).

    ``more_s`` is how much longer from then, with its range; ``told_by`` says what that goes by: the rise so far, two
    readings of it, the rate, or the card's own extension.
    """

    at_s: float
    percent: float | None
    wanted_percent: float
    more_s: float
    low_s: float
    high_s: float
    told_by: Literal["rise", "two readings", "rate", "card"]

    @property
    def again_s(self) -> float:
        """When to judge it again (s into the stage)."""
        return self.at_s + self.more_s


def judges_the_rise(stage: Stage, reading: Reading) -> bool:
    """Whether a reading speaks to the stage's ``rise`` and not to bands over the rise."""
    return reading.what == "rise" and (adjusting(stage) != "rise" or reading.value is None)


STRETCHES = 2.0
"""No dough is given more than so many times the longest that it allows: common practice, no source."""


def short_rise(state: BakeState, index: int) -> ShortRise | None:
    """How short the rise was as it was judged last; None where it was not, or was not judged.

    What it takes longer goes no further than `STRETCHES` times what its dough allows.
    """
    found, wish = _short_rise(state, index), state.stage(index).rise
    stretch = None if found is None else forgives(state, index).stretch
    if found is None or wish is None or stretch is None:
        return found
    most_s = max(STRETCHES * stretch[1] - found.at_s, wish.extend_s)
    if found.more_s <= most_s:
        return found
    return replace(found, more_s=most_s, low_s=min(found.low_s, most_s), high_s=most_s)


def _short_rise(state: BakeState, index: int) -> ShortRise | None:
    stage, begun_s = state.stage(index), state.stages[index].begun_s
    judged = [each for each in state.readings_in(index, "rise") if judges_the_rise(stage, each)]
    if stage.rise is None or begun_s is None or not judged:
        return None
    last, wanted = judged[-1], stage.rise.wanted[0]
    if last.eye in ("ready", "too far") or (last.value is not None and last.value >= wanted):
        return None
    at_s = last.at_s - begun_s
    if last.value is not None:
        series = [(each.at_s - begun_s, each.value) for each in judged if each.value is not None]
        told = rise_outlook(series, wanted, first=first_rise(state.formula, index))
        if told is not None:
            by: Literal["rise", "two readings"] = "two readings" if told.readings == 2 else "rise"
            return ShortRise(at_s, last.value, wanted, told.more_s, told.low_s, told.high_s, by)
    asked = warm_terms(state, index)
    rate = None if asked is None or not asked.readings else asked.estimate()
    if rate is not None and at_s + SLACK_S < rate.seconds < math.inf:
        low_s, high_s = max(0.0, rate.low_s - at_s), rate.high_s - at_s
        return ShortRise(at_s, last.value, wanted, rate.seconds - at_s, low_s, high_s, "rate")
    more_s = stage.rise.extend_s
    return ShortRise(at_s, last.value, wanted, more_s, more_s, more_s, "card")


def first_rise(formula: Formula, index: int) -> bool:
    """Whether a stage is the first in which its dough, or its preferment, fills with gas."""
    made_for = formula.stages[index].made_for
    return not any(stage.kind in FERMENTS and stage.made_for == made_for for stage in formula.stages[:index])


def short_at_the_end(state: BakeState, index: int) -> ShortRise | None:
    """The same, where it was judged for the stage's end and the stage is not long enough for it: then it is asked.

    That is so where the card grants no more time.
    """
    short, length_s = short_rise(state, index), state.stages[index].length_s
    if short is None or short.at_s < length_s - min(EARLY_S, EARLY_SHARE * length_s):
        return None
    return short if short.again_s > length_s + SLACK_S else None


def judged_for_good(state: BakeState, index: int, number: int) -> bool:
    """Whether a check has its reading, and one of the rise is not a "not yet" that is over as the stage is.

    Such a dough is judged once more at the stage's end, which nobody else asks for.
    """
    check, short = state.stage(index).checks[number], short_rise(state, index)
    of_the_end = check.read == "rise" and check.when == "end"
    if of_the_end and short is not None and short.at_s < state.stages[index].length_s:
        return answered(state, index, number) and short_at_the_end(state, index) is not None
    return answered(state, index, number)


def rise_longer_s(state: BakeState, now_s: float) -> float | None:
    """By how much (s, whole minutes) a short rise asks to make the stage that runs longer; None for nothing."""
    index = state.current
    short = None if index is None else short_at_the_end(state, index)
    if index is None or short is None:
        return None
    run = state.stages[index]
    left_s = short.again_s - max(run.length_s, now_s - (run.begun_s or 0.0))
    return whole_minutes(left_s) * 60.0 if left_s > 0 else None


def short_words(short: ShortRise, from_s: float | None = None) -> str:
    """``rise 40 %, 50 % wanted: 13 min more (8 to 22)``, from a moment of the stage (s; None: as it was judged)."""
    passed_s = 0.0 if from_s is None else max(0.0, from_s - short.at_s)
    likely = whole_minutes(short.more_s - passed_s)
    low, high = math.floor((short.low_s - passed_s) / 60), math.inf
    if math.isfinite(short.high_s):
        high = max(likely, math.ceil((short.high_s - passed_s) / 60))
    lead = "not ready by eye" if short.percent is None else f"rise {percent(short.percent)}"
    lead += f", {percent(short.wanted_percent)} wanted"
    if short.told_by == "card":
        return f"{lead}: {likely} min more"
    by = " by the rate" if short.told_by == "rate" else ""
    if math.isinf(high):
        return f"{lead}: {likely} min more{by}, at least {max(low, 1)}"
    return f"{lead}: {likely} min more{by} ({f'{low} to {high}' if low > 0 else f'up to {high}'})"


def whole_minutes(seconds: float) -> int:
    """How many minutes a dough is given: a part of one is a whole one."""
    return max(1, math.ceil(seconds / 60 - 1e-9))
