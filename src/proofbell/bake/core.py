"""When a bake is done inside: the core temperatures that are wanted, whose word they are, when they are reached."""

from __future__ import annotations

import math
from dataclasses import replace

from proofbell.bake.checks import EARLY_S, EARLY_SHARE
from proofbell.bake.fermenting.cold import in_the_cold
from proofbell.bake.fermenting.place import place_c
from proofbell.bake.state import BakeState
from proofbell.dough.core_outlook import DOUGH_IN_C, LEAST_S, CoreOutlook, core_outlook
from proofbell.dough.done import below_boiling, core_band
from proofbell.dough.probe import expected_boiling_c
from proofbell.formula.model import Formula, Style
from proofbell.formula.readings import LIMITS
from proofbell.frozen import dataclass
from proofbell.kitchen.model import Kitchen
from proofbell.words import degrees, temperatures

HALF_MINUTE_S = 30.0
"""Minutes are told whole: less than half of one is none."""


@dataclass(frozen=True, slots=True)
class CoreWanted:
    """Core temperatures (°C) from which and up to which a bake is done.

    ``style`` is set when nobody but the dough's style says so: the formula itself gives none. ``boils_c`` is set where
    water boils so low (°C) that less is asked for than elsewhere.
    """

    low_c: float
    high_c: float
    style: Style | None = None
    boils_c: float | None = None

    @property
    def words(self) -> str:
        """``88 to 94 °C``; ``93 to 98 °C, usual for lean dough`` when it is the style's."""
        return self.band + self.whose

    @property
    def band(self) -> str:
        """``88 to 94 °C``."""
        return temperatures(self.low_c, self.high_c)

    @property
    def least(self) -> str:
        """``88``."""
        return degrees(self.low_c)

    @property
    def most(self) -> str:
        """``94``."""
        return degrees(self.high_c)

    @property
    def whose(self) -> str:
        """Nothing for the formula's own; ``, usual for lean dough`` for the style's; where water boils low, that."""
        usual = "" if self.style is None else f", usual for {self.style} dough"
        return usual if self.boils_c is None else f"{usual}, as water boils at {told(self.boils_c)} here"

    @property
    def at_least(self) -> str:
        """The lowest that will do, in words."""
        if self.style is None:
            return f"it should be {told(self.low_c)} or more"
        return f"{told(self.low_c)} or more is usual for {self.style} dough"


@dataclass(frozen=True, slots=True)
class CoreRead:
    """A core reading (°C), how far into the bake (s), and what it says of the time to the lowest that is wanted."""

    at_s: float
    value_c: float
    outlook: CoreOutlook | None


LOWERED_K = 0.5
"""A band that boiling water moves by less than this is not worth a word."""


def core_wanted(formula: Formula, kitchen: Kitchen, index: int) -> CoreWanted | None:
    """The core temperatures that a stage is baked to: its own, or else its style's; None when neither says any.

    Nor does a bake have any that says it has no core to read.
    The style speaks for the last bake only: a loaf that is baked twice need not be done the first time. Either stays
    below the boiling point of water in this kitchen.
    """
    if formula.stages[index].no_core:
        return None
    style, band = None, formula.stages[index].core
    if band is None:
        last = max((i for i, each in enumerate(formula.stages) if each.kind == "bake"), default=None)
        last_bake = index == last or (last is not None and index <= last and formula.stages[index].load is not None)
        usual = core_band(formula.style) if last_bake else None
        if usual is None:
            return None
        style, band = formula.style, (usual.low_c, usual.high_c)
    boils_c = boils_in(kitchen)
    low_c, high_c = below_boiling(*band, boils_c)
    lowered = band[1] - high_c >= LOWERED_K or band[0] - low_c >= LOWERED_K
    return CoreWanted(low_c, high_c, style, boils_c if lowered else None)


def has_core(state: BakeState, index: int) -> bool:
    """Whether there is a core to read in a stage, or after it; the last bake so far says so."""
    bakes = [stage for stage in state.formula.stages[: index + 1] if stage.kind == "bake"]
    return not (bakes and bakes[-1].no_core)


def boils_in(kitchen: Kitchen) -> float:
    """Where water boils in a kitchen (°C)."""
    return expected_boiling_c(altitude_m=kitchen.altitude_m, pressure=kitchen.pressure_hpa)


def core_in(state: BakeState, index: int) -> CoreWanted | None:
    """The same for a stage of a bake."""
    return core_wanted(state.formula, state.kitchen, index)


def core_readings(state: BakeState, index: int) -> tuple[CoreRead, ...]:
    """Every core reading of a bake stage, each with what could be said of the time as it was taken."""
    series = _series(state, index)
    return tuple(_told(state, index, series[: n + 1]) for n in range(len(series)))


def core_short(state: BakeState, index: int) -> CoreRead | None:
    """The newest core reading of a stage, where it is lower than wanted."""
    series = _series(state, index)
    return _short(state, index, _told(state, index, series)) if series else None


def _short(state: BakeState, index: int, read: CoreRead) -> CoreRead | None:
    wanted = core_in(state, index)
    if wanted is None or read.value_c >= wanted.low_c:
        return None
    return replace(read, outlook=_worth_a_look(state, index, read.at_s, read.outlook))


def core_over(state: BakeState, index: int) -> CoreRead | None:
    """The newest core reading of a stage, where it is hotter than wanted and yet one that a crumb can have."""
    wanted, series = core_in(state, index), _series(state, index)
    if wanted is None or not series or series[-1][1] <= wanted.high_c or beyond_boiling(state, series[-1][1]):
        return None
    return _told(state, index, series)


def _series(state: BakeState, index: int) -> tuple[tuple[float, float], ...]:
    """The core readings of a stage as (seconds into it, °C)."""
    begun_s = state.stages[index].begun_s or 0.0
    taken = state.readings_in(index, "core temperature")
    return tuple((r.at_s - begun_s, r.value) for r in taken if r.value is not None)


def _told(state: BakeState, index: int, series: tuple[tuple[float, float], ...]) -> CoreRead:
    return CoreRead(*series[-1], _outlook(state, index, series))


BOILS_WITHIN_K = 0.5
"""A kitchen's boiling point is told from its height and pressure to within so much: common practice, no source. What a
probe is good to is no leave: crumb is some degrees below boiling as a loaf is done."""


def beyond_boiling(state: BakeState, value_c: float) -> bool:
    """Whether a core reading (°C) is hotter than moist crumb gets; the tip is then in the crust, or touches the tin.

    Crumb tends to the boiling point of water and stays there (Zanoni, Peri and Pierucci 1993, J. Food Eng. 19:389).
    """
    boils_c = boils_in(state.kitchen)
    return value_c > boils_c + BOILS_WITHIN_K


def beyond_crumb(state: BakeState, index: int) -> bool:
    """Whether the newest core reading of a stage is one that no crumb can have: it tells nothing of the loaf."""
    series = _series(state, index)
    return core_in(state, index) is not None and bool(series) and beyond_boiling(state, series[-1][1])


def meant_end_s(state: BakeState, index: int) -> float:
    """When a bake was to end (s into it): its length, or what a core that was low then asked for, and is no more."""
    end_s = state.stages[index].length_s
    if core_short(state, index) is not None:
        return end_s
    for read in core_readings(state, index):
        short = _short(state, index, read)
        if short is not None and read_for_the_end(state, index, short) and short.at_s <= end_s + GIVEN_S:
            end_s = max(end_s, again_s(short))
    return end_s


def given_s(state: BakeState, index: int) -> float:
    """Until when a core that was read low for a bake's end has the minutes it asked for (the bake's own time, s).

    Minus infinity of any other.
    """
    short = core_short(state, index) if state.stage(index).kind == "bake" else None
    if short is None or not read_for_the_end(state, index, short):
        return -math.inf
    return (state.stages[index].begun_s or 0.0) + again_s(short)


def read_for_the_end(state: BakeState, index: int, read: CoreRead) -> bool:
    """Whether a reading was taken so near a stage's end, or after it, that it speaks for that end."""
    length_s = state.stages[index].length_s
    return read.at_s >= length_s - min(EARLY_S, EARLY_SHARE * length_s)


def longer_s(state: BakeState, now_s: float) -> float | None:
    """By how much (s, whole minutes) the newest core reading asks to make the bake longer; None for nothing."""
    index = state.current
    short = None if index is None else core_short(state, index)
    if index is None or short is None or short.outlook is None:
        return None
    run = state.stages[index]
    end_s = max(run.length_s, now_s - (run.begun_s or 0.0))
    if goes_past(short.outlook, end_s):
        return more_minutes(short.outlook, end_s) * 60.0
    unanswered = end_s > run.length_s and run.length_s - short.at_s < GIVEN_S
    return LEAST_S if unanswered and long_unread_s(state, index, now_s) is None else None


def again_s(short: CoreRead) -> float:
    """When a low core is to be read again (s into the bake): as it should be done, or in a while where none can say."""
    return short.at_s + AGAIN_S if short.outlook is None else short.outlook.done_s


def to_be_read_again(state: BakeState, index: int, now_s: float) -> bool:
    """Whether a core was read low, and the minutes that it asked for are over."""
    short = core_short(state, index)
    return short is not None and now_s - (state.stages[index].begun_s or 0.0) >= again_s(short)


def long_unread_s(state: BakeState, index: int, now_s: float) -> float | None:
    """How long ago (s) a core was read low, where it should have been read again well before now; else None."""
    short, run = core_short(state, index), state.stages[index]
    if short is None:
        return None
    into_s = now_s - (run.begun_s or 0.0)
    latest_s = again_s(short) if short.outlook is None else short.outlook.high_s
    return into_s - short.at_s if into_s - max(run.length_s, latest_s) >= AGAIN_S else None


def goes_past(outlook: CoreOutlook, end_s: float) -> bool:
    """Whether the core wanted comes after an end (s into the bake), by more than minutes can tell."""
    return outlook.done_s - end_s > HALF_MINUTE_S


def more_minutes(outlook: CoreOutlook, from_s: float) -> int:
    """Whole minutes from a moment of the bake (s) to the core wanted; no fewer than are worth opening the oven for."""
    return max(round(LEAST_S / 60), math.floor((outlook.done_s - from_s) / 60 + 0.5))


def _outlook(state: BakeState, index: int, series: tuple[tuple[float, float], ...]) -> CoreOutlook | None:
    wanted = core_in(state, index)
    if wanted is None:
        return None
    boils_c, dough_c = boils_in(state.kitchen), dough_in_c(state, index)
    bake_s = state.stage(index).time_s
    # A core only gets hotter: what read more than the newest was another loaf, or nearer the crust.
    of_one = tuple(each for each in series if each[1] <= series[-1][1] + state.kitchen.probe.good_to_k(series[-1][1]))
    return core_outlook(of_one, wanted.low_c, boiling_c=boils_c, dough_c=dough_c, bake_s=bake_s)


def outlook_with(state: BakeState, index: int, value_c: float, at_s: float) -> CoreOutlook | None:
    """What a core reading (°C) so far into a stage (s) says beside those before it, whether it was taken or not."""
    before = (each for each in _series(state, index) if each[0] < at_s)
    return _worth_a_look(state, index, at_s, _outlook(state, index, (*before, (at_s, value_c))))


AGAIN_S = 300.0
"""So long after a core that was low at the end of a bake it is worth reading again: common practice, no source."""

GIVEN_S = 60.0
"""A bake that goes on for so long after its core was read was given those minutes: common practice, no source."""


def _worth_a_look(state: BakeState, index: int, at_s: float, found: CoreOutlook | None) -> CoreOutlook | None:
    """What a low core says at a bake's end, as minutes to give: of several readings too it is no sooner than that.

    What was read low just now is not done just now, wherever the line through the readings runs.
    """
    if found is None or state.stages[index].length_s - at_s >= GIVEN_S:
        return found
    done_s = max(found.done_s, at_s + LEAST_S)
    return CoreOutlook(done_s, found.low_s, found.high_s + done_s - found.done_s)


def core_before_c(state: BakeState, index: int, value_c: float, at_s: float) -> float | None:
    """What the core read before a reading (°C) so far into a stage (s), where it was clearly more; else None."""
    before = [each for each in _series(state, index) if each[0] < at_s]
    fell = before and before[-1][1] > value_c + state.kitchen.probe.good_to_k(value_c)
    return before[-1][1] if fell else None


def dough_in_c(state: BakeState, index: int) -> float:
    """How warm the dough went into the oven (°C): as read in the stage before, else as that stage leaves it."""
    read = [r.value for r in state.readings_in(index - 1, "dough temperature") if r.value is not None] if index else []
    if read:
        return read[-1]
    if index and in_the_cold(state, index - 1):
        return place_c(state, index - 1)
    return state.formula.dough.temperature_c or DOUGH_IN_C


def told(value_c: float) -> str:
    """``93 °C``, ``93.5 °C``: without needless noughts."""
    return LIMITS["core temperature"].said(value_c)
