"""When a bake is done inside: the core temperatures that are wanted, whose word they are, what readings say of them."""

from __future__ import annotations

import math
from dataclasses import dataclass

from proofbell.bake.checks import EARLY_S, EARLY_SHARE
from proofbell.bake.fermenting.cold import in_the_cold
from proofbell.bake.fermenting.place import place_c
from proofbell.bake.state import BakeState
from proofbell.dough.core_outlook import DOUGH_IN_C, LEAST_S, CoreOutlook, core_outlook
from proofbell.dough.done import below_boiling, core_band
from proofbell.dough.probe import expected_boiling_c
from proofbell.dough.safety import egg_core_caution
from proofbell.formula.model import Formula, Style
from proofbell.kitchen.model import Kitchen
from proofbell.words import length, temperature


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
        return f"{self.least} to {self.most} °C"

    @property
    def least(self) -> str:
        """``88``."""
        return _bare(self.low_c)

    @property
    def most(self) -> str:
        """``94``."""
        return _bare(self.high_c)

    @property
    def whose(self) -> str:
        """Nothing for the formula's own; ``, usual for lean dough`` for the style's; where water boils low, that."""
        usual = "" if self.style is None else f", usual for {self.style} dough"
        return usual if self.boils_c is None else f"{usual}, as water boils at {_bare(self.boils_c)} °C here"

    @property
    def at_least(self) -> str:
        """The lowest that will do, in words."""
        if self.style is None:
            return f"it should be {self.least} °C or more"
        return f"{self.least} °C or more is usual for {self.style} dough"


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

    The style speaks for the last bake only: a loaf that is baked twice need not be done the first time. Either stays
    below the boiling point of water in this kitchen.
    """
    style, band = None, formula.stages[index].core
    if band is None:
        last = max((i for i, each in enumerate(formula.stages) if each.kind == "bake"), default=None)
        usual = core_band(formula.style) if index == last else None
        if usual is None:
            return None
        style, band = formula.style, (usual.low_c, usual.high_c)
    boils_c = boils_in(kitchen)
    low_c, high_c = below_boiling(*band, boils_c)
    lowered = band[1] - high_c >= LOWERED_K or band[0] - low_c >= LOWERED_K
    return CoreWanted(low_c, high_c, style, boils_c if lowered else None)


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
    wanted, series = core_in(state, index), _series(state, index)
    return _told(state, index, series) if wanted is not None and series and series[-1][1] < wanted.low_c else None


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


def beyond_boiling(state: BakeState, value_c: float) -> bool:
    """Whether a core reading (°C) is hotter than moist crumb gets; the tip is then in the crust, or touches the tin.

    Crumb tends to the boiling point of water and stays there (Zanoni, Peri and Pierucci 1993, J. Food Eng. 19:389).
    """
    boils_c = boils_in(state.kitchen)
    return value_c > boils_c + state.kitchen.probe.good_to_k(boils_c)


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
    return more_minutes(short.outlook, end_s) * 60.0 if short.outlook.done_s > end_s else None


def more_minutes(outlook: CoreOutlook, from_s: float) -> int:
    """Whole minutes from a moment of the bake (s) to the core wanted; no fewer than are worth opening the oven for."""
    return max(round(LEAST_S / 60), math.floor((outlook.done_s - from_s) / 60 + 0.5))


def more_words(outlook: CoreOutlook, from_s: float) -> str:
    """``4 min more (2 to 7)``: minutes from a moment of the bake (s) to the core wanted, with the 90 % range."""
    low, high = math.floor((outlook.low_s - from_s) / 60), math.ceil((outlook.high_s - from_s) / 60)
    likely = more_minutes(outlook, from_s)
    between = f"{low} to {max(high, likely)}" if low > 0 else f"up to {max(high, likely)}"
    return f"{likely} min more ({between})"


def _outlook(state: BakeState, index: int, series: tuple[tuple[float, float], ...]) -> CoreOutlook | None:
    wanted = core_in(state, index)
    if wanted is None:
        return None
    boils_c, dough_c = boils_in(state.kitchen), dough_in_c(state, index)
    bake_s = state.stage(index).time_s
    return core_outlook(series, wanted.low_c, boiling_c=boils_c, dough_c=dough_c, bake_s=bake_s)


def dough_in_c(state: BakeState, index: int) -> float:
    """How warm the dough went into the oven (°C): as read in the stage before, else as that stage leaves it."""
    read = [r.value for r in state.readings_in(index - 1, "dough temperature") if r.value is not None] if index else []
    if read:
        return read[-1]
    if index and in_the_cold(state, index - 1):
        return place_c(state, index - 1)
    return state.formula.dough.temperature_c or DOUGH_IN_C


def core_says(state: BakeState, index: int | None, value_c: float, at_s: float | None = None) -> tuple[str, ...]:
    """What a core reading (°C) says of the bake: done, how much longer, too hot; and the caution for a dough with egg.

    ``at_s``: when it was or would be taken (the bake's own time); without it no minutes are told.
    """
    said: list[str] = []
    wanted = None if index is None else core_in(state, index)
    if wanted is not None and index is not None:
        said.append(f"Core {temperature(value_c)}: {_verdict(state, wanted, value_c)}; {wanted.words}.")
        if at_s is not None and value_c < wanted.low_c:
            said.append(_how_much_longer(state, index, value_c, at_s))
    if any(line.kind == "egg" for line in state.formula.ingredients):
        caution = egg_core_caution(value_c, state.kitchen.region)
        said += [] if caution is None else [caution.text]
    return tuple(said)


def _verdict(state: BakeState, wanted: CoreWanted, value_c: float) -> str:
    """What a reading is beside the band. What to do above it: common practice, no source."""
    if value_c < wanted.low_c:
        return "not done yet"
    if value_c <= wanted.high_c:
        return "done, if the crust is too"
    if beyond_boiling(state, value_c):
        boils = temperature(boils_in(state.kitchen), 0)
        return f"no crumb is so hot, water boils at {boils}: keep the tip off crust and tin, read the middle again"
    return "hotter than wanted, take it out now: it only dries"


def _how_much_longer(state: BakeState, index: int, value_c: float, at_s: float) -> str:
    begun_s = state.stages[index].begun_s or 0.0
    before = (each for each in _series(state, index) if each[0] < at_s - begun_s)
    series = (*before, (at_s - begun_s, value_c))
    outlook = _outlook(state, index, series)
    if outlook is None:
        return "Too cool yet to say how long; read it again in a while."
    return f"About {more_words(outlook, at_s - begun_s)}; read it again then."


@dataclass(frozen=True, slots=True)
class _Late:
    """From ``share`` of its length over, and at least ``least_s``, a bake is to be taken out ``how``, and ``then``."""

    share: float
    least_s: float
    how: str
    then: str


_LATE = (
    _Late(0.5, 600.0, "at once", ": it may burn. Smoke? Oven off, door shut"),
    _Late(0.25, 300.0, "at once", ": look at the crust"),
    _Late(0.1, 120.0, "now", ""),
)
"""When is late: common practice, no source. Fire in an oven: heat off, door kept closed (National Fire Protection
Association, cooking safety tips)."""


def bake_over_words(state: BakeState, index: int, now_s: float | None) -> str:
    """What to do at the end of a bake stage: as it becomes due, or as it is at ``now_s`` (the bake's own time).

    A core that was read low there and may still be reached says how much longer; else it is to be taken out.
    """
    run, core = state.stages[index], core_in(state, index)
    into_s = run.length_s if now_s is None else now_s - (run.begun_s or 0.0)
    short, over = core_short(state, index), core_over(state, index)
    if core is not None and short is not None and read_for_the_end(state, index, short):
        end_s = max(run.length_s, short.at_s, into_s)
        lead = f"core {temperature(short.value_c, 0)}, {core.least} wanted"
        if short.outlook is None:
            return f"{lead}: bake longer, then read it again"
        if short.outlook.done_s > end_s:
            return f"{lead}: {more_words(short.outlook, end_s)}"
    late_s = into_s - run.length_s
    late = next((each for each in _LATE if late_s >= max(each.least_s, each.share * run.length_s)), None)
    if late is not None:
        return f"take it out {late.how}, {length(late_s)} over{late.then}"
    if core is not None and over is not None:
        return f"take it out now: core {temperature(over.value_c, 0)}, {core.most} is the most"
    out = _take_out(state, index)
    if core is None or (short is None and state.readings_in(index, "core temperature")):
        return out
    return f"{out}, at {core.band} inside" + (core.whose if short is None else f"; it was {round(short.value_c):g}")


def _take_out(state: BakeState, index: int) -> str:
    """``take it out, then cool``; of two bakes in a row the first is not taken out to cool."""
    nxt = state.stage(index + 1).kind if index + 1 < len(state.stages) else None
    return "take it out" + {"cool": ", then cool", "bake": ", then load again"}.get(nxt or "", "")


def _bare(value_c: float) -> str:
    return f"{round(value_c, 1):g}"
