"""What a proof shows: how fast the dough took on its place's temperature, and how much fermentation "ready" was."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from proofbell.bake.fermenting.cold import warm_terms
from proofbell.bake.fermenting.place import place_c
from proofbell.bake.fermenting.terms import modelled_tau_s, terms
from proofbell.bake.state import BakeState, Reading
from proofbell.dough.fermenting.leaven import CURVES
from proofbell.dough.fermenting.path import APART_S, follow
from proofbell.formula.dough_stages import STANDS
from proofbell.formula.model import Stage
from proofbell.journal.learning.estimate import Shown

PROBE_K = 0.3
"""How far two readings of one probe in one dough scatter: common practice, no source."""

CLEAR_K = 3.0
"""A dough closer to its place's temperature than this tells little about how fast it takes it on."""


def drift_shown(state: BakeState) -> Iterator[tuple[float, Shown]]:
    """For each stage with two readings: its place (°C), and how fast the gap to it closed, as a share of the model's.

    By Newton's law the gap shrinks by the factor e in a time constant; the logarithm of the gaps' ratio over the
    time between the readings is the rate. Readings' scatter and the place's uncertainty make its doubt.
    """
    for index in range(len(state.stages)):
        if state.stage(index).kind not in STANDS:
            continue
        readings = _doughs(state, index)
        if len(readings) < 2 or state.stages[index].stood:
            continue
        (at_1, temp_1), (at_2, temp_2) = readings[0], readings[-1]
        here_c = place_c(state, index)
        gap_1, gap_2 = temp_1 - here_c, temp_2 - here_c
        if at_2 - at_1 < APART_S or abs(gap_1) < CLEAR_K or gap_2 * gap_1 <= 0 or abs(gap_2) < PROBE_K:
            continue
        lengths = (at_2 - at_1) / modelled_tau_s(state, index)
        probe = math.hypot(PROBE_K / gap_1, PROBE_K / gap_2)
        place = state.kitchen.uncertainty_k * abs(1 / gap_2 - 1 / gap_1)
        rate = math.log(gap_1 / gap_2) / lengths
        yield here_c, Shown(rate, rate, math.hypot(probe, place) / lengths)


def pace_shown(state: BakeState) -> Iterator[Shown]:
    """For each proof judged by its rise: the modelled fermentation when it was ready, as a share of the nominal.

    It became ready after the last look that found it short, and not after the first that found it ready.
    """
    for index, run in enumerate(state.stages):
        stage = state.stage(index)
        if stage.kind != "proof" or run.begun_s is None:
            continue
        asked = terms(state, index)
        looks = [(r.at_s - run.begun_s, _ready(stage, r)) for r in state.readings_in(index, "rise")]
        found_s = next((at_s for at_s, ready in looks if ready), None)
        if asked is None or found_s is None or found_s <= 0 or _came_ahead(state, index):
            continue
        short_s = max((at_s for at_s, ready in looks if ready is False and at_s < found_s), default=0.0)
        card, curve = replace(asked.card, time_s=stage.time_s), CURVES[asked.leaven]
        path = follow(
            _doughs(state, index),
            start_c=asked.at_c,
            place_c=asked.place_c,
            tau_s=asked.tau_s,
            warming_k=card.warming_k,
            curve=curve,
            stood=asked.stood,
        )
        wanted_s = card.amount_s(slower=path.tau_s / asked.tau_s)
        if wanted_s <= 0:
            continue
        high, low = path.amount_s(found_s, curve=curve) / wanted_s, path.amount_s(short_s, curve=curve) / wanted_s
        if high > 0:
            # The temperature's own doubt: about 9 percent of the rate for each degree of the probe.
            doubt = 0.09 * math.hypot(PROBE_K, 0.3 * state.kitchen.uncertainty_k)
            yield Shown(math.log(low) if low > 0 else -math.inf, math.log(high), doubt)


def _came_ahead(state: BakeState, index: int) -> bool:
    """Whether a night in the cold has done some of a proof's work, or left some: by how much is too poorly known."""
    asked = warm_terms(state, index)
    return asked is not None and asked.ahead is not None and asked.ahead.amount_s != 0


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
