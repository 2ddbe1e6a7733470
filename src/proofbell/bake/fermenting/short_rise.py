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
from proofbell.formula.model import Formula, RiseWish, Stage
from proofbell.formula.stages import AT_MOST, EXTEND_S
from proofbell.frozen import dataclass
from proofbell.words import percent

SLACK_S = 60.0
"""A rise that is this near in time is as good as there."""


@dataclass(frozen=True, slots=True)
class ShortRise:
    """The newest judgement of a rise, where it is short: ``at_s`` into the stage, ``percent`` (None: by eye).

    ``wanted_percent`` is the least wanted; None where nobody says. ``more_s`` is how much longer from then, with its
    range; ``told_by`` says what that goes by: the rise so far, two readings of it, the rate, or the card's extension.
    """

    at_s: float
    percent: float | None
    wanted_percent: float | None
    more_s: float
    low_s: float
    high_s: float
    told_by: Literal["rise", "two readings", "rate", "card"]

    @property
    def again_s(self) -> float:
        """When to judge it again (s into the stage)."""
        return self.at_s + self.more_s


SUNK_PERCENT = 10.0
"""So much lower than before is more than two readings differ by: common practice, no source."""


def rise_wish(stage: Stage) -> RiseWish | None:
    """The rise that is wanted of a proof: its own, or what its end has it judged by; None where its card says neither.

    A card that has the rise judged before its dough goes on means what it expects there.
    """
    if stage.rise is not None or stage.kind != "proof":
        return stage.rise
    ends = (each.expect for each in stage.checks if each.read == "rise" and each.when == "end")
    return next((RiseWish(each, EXTEND_S, AT_MOST) for each in ends if each is not None), None)


def rise_wanted(stage: Stage) -> tuple[float, float] | None:
    """The same as a range (percent), of whatever stands: else what any check of it expects."""
    wish = rise_wish(stage)
    if wish is not None:
        return wish.wanted
    return next((each.expect for each in stage.checks if each.read == "rise" and each.expect is not None), None)


def judged_short(state: BakeState, index: int) -> bool:
    """Whether the newest judgement of a stage's rise found it short: it is not too far, however late."""
    taken = state.readings_in(index, "rise")
    return bool(taken) and _is_short(state, index, taken[-1])


def _is_short(state: BakeState, index: int, newest: Reading) -> bool:
    if newest.value is None:
        return newest.eye == "not yet"
    wanted = rise_wanted(state.stage(index))
    return wanted is not None and newest.value < wanted[0] and sank_from(state, index) is None


def sank_from(state: BakeState, index: int) -> float | None:
    """The rise (percent) that a dough had before it sank; None where it did not, or had never been far enough."""
    values = [each.value for each in state.readings_in(index, "rise") if each.value is not None]
    wanted, most = rise_wanted(state.stage(index)), max(values[:-1], default=None)
    if most is None or values[-1] > most - SUNK_PERCENT or (wanted is not None and most < wanted[0]):
        return None
    return most


def judges_the_rise(stage: Stage, reading: Reading) -> bool:
    """Whether a reading speaks to the stage's ``rise`` and not to bands over the rise."""
    return reading.what == "rise" and (adjusting(stage) != "rise" or reading.value is None)


STRETCHES = 2.0
"""No dough is given more than so many times the longest that it allows: common practice, no source."""


def short_rise(state: BakeState, index: int) -> ShortRise | None:
    """How short the rise was as it was judged last; None where it was not, or was not judged.

    What it takes longer goes no further than `STRETCHES` times what its dough allows.
    """
    found = _short_rise(state, index)
    stretch = None if found is None else forgives(state, index).stretch
    if found is None or stretch is None:
        return found
    most_s = max(STRETCHES * stretch[1] - found.at_s, extend_s(state.stage(index)))
    if found.more_s <= most_s:
        return found
    return replace(found, more_s=most_s, low_s=min(found.low_s, most_s), high_s=most_s)


def _short_rise(state: BakeState, index: int) -> ShortRise | None:
    stage, begun_s = state.stage(index), state.stages[index].begun_s
    judged = [each for each in state.readings_in(index, "rise") if judges_the_rise(stage, each)]
    if stage.kind != "proof" or begun_s is None or not judged or not _is_short(state, index, judged[-1]):
        return None
    last, wish = judged[-1], rise_wish(stage)
    wanted = None if wish is None else wish.wanted[0]
    at_s = last.at_s - begun_s
    if last.value is not None and wanted is not None:
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
    more_s = extend_s(stage)
    return ShortRise(at_s, last.value, wanted, more_s, more_s, more_s, "card")


def extend_s(stage: Stage) -> float:
    """How much longer (s) a stage is given by its card where its rise is short."""
    wish = rise_wish(stage)
    return EXTEND_S if wish is None else wish.extend_s


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
    lead += "" if short.wanted_percent is None else f", {percent(short.wanted_percent)} wanted"
    if short.told_by == "card":
        return f"{lead}: {likely} min more"
    by = " by the rate" if short.told_by == "rate" else ""
    if math.isinf(high):
        return f"{lead}: {likely} min more{by}, at least {max(low, 1)}"
    return f"{lead}: {likely} min more{by} ({f'{low} to {high}' if low > 0 else f'up to {high}'})"


def whole_minutes(seconds: float) -> int:
    """How many minutes a dough is given: a part of one is a whole one."""
    return max(1, math.ceil(seconds / 60 - 1e-9))
