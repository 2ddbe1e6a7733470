"""What a proof shows: how fast the dough took on its place's temperature, and how much fermentation "ready" was."""

from __future__ import annotations

import math
from collections.abc import Iterator

from proofbell.bake.decisions.adjust import dough_mass_g, place_c
from proofbell.bake.state import BakeState, Reading
from proofbell.dough.fermentation import time_constant_s
from proofbell.dough.path import APART_S, follow
from proofbell.dough.rate import Drift
from proofbell.formula.model import Rate, Stage
from proofbell.journal.learning.estimate import Shown

PROBE_K = 0.3
"""How far two readings of one probe in one dough scatter: common practice, no source."""

CLEAR_K = 3.0
"""A dough closer to its place's temperature than this tells little about how fast it takes it on."""


def drift_shown(state: BakeState) -> Iterator[Shown]:
    """For each stage with two readings: how fast the gap to the place closed, as a share of what the model says.

    By Newton's law the gap shrinks by the factor e in a time constant; the logarithm of the gaps' ratio over the
    time between the readings is the rate. Readings' scatter and the place's uncertainty make its doubt.
    """
    for index in range(len(state.stages)):
        if state.stage(index).kind not in ("proof", "rest", "chill"):
            continue
        readings = _doughs(state, index)
        if len(readings) < 2:
            continue
        (at_1, temp_1), (at_2, temp_2) = readings[0], readings[-1]
        here_c = place_c(state, index)
        gap_1, gap_2 = temp_1 - here_c, temp_2 - here_c
        if at_2 - at_1 < APART_S or abs(gap_1) < CLEAR_K or gap_2 * gap_1 <= 0 or abs(gap_2) < PROBE_K:
            continue
        lengths = (at_2 - at_1) / time_constant_s(max(dough_mass_g(state, index), 1.0))
        probe = math.hypot(PROBE_K / gap_1, PROBE_K / gap_2)
        place = state.kitchen.uncertainty_k * abs(1 / gap_2 - 1 / gap_1)
        rate = math.log(gap_1 / gap_2) / lengths
        yield Shown(rate, rate, math.hypot(probe, place) / lengths)


def pace_shown(state: BakeState) -> Iterator[Shown]:
    """For each proof judged by its rise: the modelled fermentation when it was ready, as a share of the nominal.

    It became ready after the last look that found it short, and not after the first that found it ready.
    """
    for index, run in enumerate(state.stages):
        stage = state.stage(index)
        if stage.kind != "proof" or run.begun_s is None:
            continue
        wanted = _nominal(state, index)
        looks = [(r.at_s - run.begun_s, _ready(stage, r)) for r in state.readings_in(index, "rise")]
        found_s = next((at_s for at_s, ready in looks if ready), None)
        if wanted is None or found_s is None or found_s <= 0:
            continue
        short_s = max((at_s for at_s, ready in looks if ready is False and at_s < found_s), default=0.0)
        readings = _doughs(state, index)
        start_c = _meant(state, index)[0]
        if start_c is None:
            continue
        tau_s = time_constant_s(max(dough_mass_g(state, index), 1.0))
        path = follow(readings, start_c=start_c, place_c=place_c(state, index), tau_s=tau_s)
        high, low = path.amount_s(found_s) / wanted, path.amount_s(short_s) / wanted
        if high > 0:
            # The temperature's own doubt: about 9 percent of the rate for each degree of the probe.
            doubt = 0.09 * math.hypot(PROBE_K, 0.3 * state.kitchen.uncertainty_k)
            yield Shown(math.log(low) if low > 0 else -math.inf, math.log(high), doubt)


def _ready(stage: Stage, reading: Reading) -> bool | None:
    """Whether a look found the rise reached; None when it tells neither."""
    if reading.eye is not None:
        return {"not yet": False, "ready": True, "too far": True}[reading.eye]
    if reading.value is None or stage.rise is None:
        return None
    return reading.value >= stage.rise.wanted[0]


def _doughs(state: BakeState, index: int) -> list[tuple[float, float]]:
    begun_s = state.stages[index].begun_s or 0.0
    return [
        (reading.at_s - begun_s, reading.value)
        for reading in state.readings_in(index, "dough temperature")
        if reading.value is not None and reading.at_s >= begun_s
    ]


def _meant(state: BakeState, index: int) -> tuple[float | None, float]:
    """The dough temperature and the place (°C) that the formula's time is right for."""
    stage = state.stage(index)
    here_c = stage.place_c if stage.place_c is not None else place_c(state, index)
    if isinstance(stage.adjust, Rate):
        return stage.adjust.at_c, stage.adjust.place_c if stage.adjust.place_c is not None else here_c
    return state.formula.dough.temperature_c, here_c


def _nominal(state: BakeState, index: int) -> float | None:
    """The fermentation that the formula's time comes to."""
    at_c, meant_c = _meant(state, index)
    if at_c is None:
        return None
    tau_s = time_constant_s(max(dough_mass_g(state, index), 1.0))
    amount = Drift(at_c, meant_c, tau_s).amount_s(state.stage(index).time_s)
    return amount if amount > 0 else None
