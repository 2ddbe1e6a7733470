"""What the time of a stage that ferments is worked out from: the dough's place, its size, what raises it."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import lru_cache

from proofbell.bake.checks import carried
from proofbell.bake.fermenting.place import card_place_c, in_the_room, place_c, places_before
from proofbell.bake.state import BakeState
from proofbell.dough.fermenting.fermentation import Ahead, Card, Estimate, equal_time
from proofbell.dough.fermenting.leaven import Leaven
from proofbell.dough.fermenting.rate import COLD_C
from proofbell.dough.fermenting.time_constant import Surroundings, time_constant_s
from proofbell.formula.dough_stages import STANDS, is_divided
from proofbell.formula.model import Formula, Rate, Stage
from proofbell.frozen import dataclass

PROVER_C = 30.0
"""A place this warm is a prover, in which air moves. Common practice, no source."""

USUAL_RISE_PERCENT = 100.0
"""A proof or a night in the cold whose file names no rise is taken to double the dough: common practice, no source."""


BROUGHT_S = 30 * 60.0
"""A dough that was read so shortly before it came into the cold came there by that reading: common practice, no
source."""

EARLY_READ_S = 20 * 60.0
"""What is read in the cold sooner than this tells by itself how warm the dough came: common practice, no source."""


@dataclass(frozen=True, slots=True)
class Terms:
    """What the time of a stage that ferments is worked out from; names as in :func:`equal_time`.

    ``cold_c`` is where it could be retarded (°C), with ``cold_tau_s`` there; None when it stands in the cold anyway.
    ``mixed``: yeast and a sourdough both raise it, and the rate is that of ``leaven``.
    """

    stage: str
    nominal_s: float
    at_c: float
    nominal_place_c: float
    readings: tuple[tuple[float, float], ...]
    place_c: float
    tau_s: float
    tolerance_k: float
    uncertainty_k: float
    cold_c: float | None = None
    cold_tau_s: float | None = None
    nominal_tau_s: float | None = None
    leaven: Leaven = "yeast"
    mixed: bool = False
    rise_percent: float = 0.0
    ahead: Ahead | None = None
    stood: tuple[tuple[float, float, float], ...] = ()

    @property
    def dough_c(self) -> float:
        """The dough at the start of the stage: as it was read, or as the formula has it (°C)."""
        return self.readings[0][1] if self.readings else self.at_c

    @property
    def ahead_s(self) -> float:
        """How much it is ahead of its cards from before (s at the best rate)."""
        return 0.0 if self.ahead is None else self.ahead.amount_s

    @property
    def card(self) -> Card:
        """The dough that the formula's time is right for."""
        tau_s = self.tau_s if self.nominal_tau_s is None else self.nominal_tau_s
        return Card(self.nominal_s, self.at_c, self.nominal_place_c, tau_s, self.leaven, self.rise_percent)

    def estimate(self, card_share: float = 1.0) -> Estimate:
        """How long it takes as things are; ``card_share`` as in :func:`equal_time`."""
        return _estimate(self, card_share)


@lru_cache(maxsize=256)
def _estimate(asked: Terms, card_share: float) -> Estimate:
    """Kept, as a screen asks anew each second."""
    return equal_time(
        asked.card,
        readings=asked.readings,
        place_c=asked.place_c,
        tau_s=asked.tau_s,
        tolerance_k=asked.tolerance_k,
        uncertainty_k=asked.uncertainty_k,
        ahead=asked.ahead,
        stood=asked.stood,
        card_share=card_share,
    )


def terms(state: BakeState, index: int) -> Terms | None:
    """What a stage's time is worked out from; None when the formula does not say how warm the dough should be."""
    stage, begun_s = state.stage(index), state.stages[index].begun_s
    at_c = start_c(state, index)
    if at_c is None or stage.kind not in STANDS:
        return None
    here_c = place_c(state, index)
    meant_c = card_place_c(stage, state.kitchen)
    pace = state.kitchen.pace
    readings = () if begun_s is None else dough_readings(state, index)
    if not readings or readings[0][0] >= EARLY_READ_S:
        came_c = brought_c(state, index)
        readings = readings if came_c is None else ((0.0, came_c), *readings)
    cold_c = _cold_c(state, index, here_c)
    leaven, mixed = raised_by(state.formula, index)
    return Terms(
        stage=stage.name if pace == 1 else f"{stage.name}, by this kitchen's pace ({pace:.2f} times the formula's)",
        nominal_s=nominal_s(state, index),
        at_c=at_c,
        nominal_place_c=meant_c,
        readings=readings,
        place_c=here_c,
        tau_s=tau_s(state, index),
        tolerance_k=state.kitchen.probe.good_to_k(readings[-1][1] if readings else at_c),
        uncertainty_k=state.kitchen.uncertainty_k,
        cold_c=cold_c,
        cold_tau_s=None if cold_c is None else tau_s(state, index, cold_c),
        nominal_tau_s=tau_s(state, index, meant_c),
        leaven=leaven,
        mixed=mixed,
        rise_percent=rise_percent(stage),
        stood=tuple((until_s, c, tau_s(state, index, c)) for until_s, c in places_before(state, index)),
    )


def start_c(state: BakeState, index: int) -> float | None:
    """How warm the dough is at a stage's start by its card (°C); None where the formula does not say."""
    rule = state.stage(index).adjust
    return rule.at_c if isinstance(rule, Rate) else state.formula.dough.temperature_c


def with_readings(asked: Terms, state: BakeState, readings: tuple[tuple[float, float], ...]) -> Terms:
    """The same stage, for other readings of (seconds into the stage, dough °C)."""
    return replace(asked, readings=readings, tolerance_k=state.kitchen.probe.good_to_k(readings[-1][1]))


def _cold_c(state: BakeState, index: int, here_c: float) -> float | None:
    """The formula's own cold place for a retard, or else the fridge."""
    instead = state.stage(index).chill_instead
    cold_c = state.kitchen.fridge_c if instead is None else instead.place_c
    return cold_c if cold_c < here_c and state.stage(index).kind != "chill" else None


def dough_readings(state: BakeState, index: int) -> tuple[tuple[float, float], ...]:
    """The dough's temperatures in a stage that has begun, one carried over included: (seconds into it, °C)."""
    begun_s = state.stages[index].begun_s or 0.0
    before = carried(state, index, "dough temperature")
    first = [] if before is None or before.value is None else [(0.0, before.value)]
    inside = [(r.at_s - begun_s, r.value) for r in state.readings_in(index, "dough temperature") if r.value is not None]
    return (*first, *inside)


def brought_c(state: BakeState, index: int) -> float | None:
    """How warm a dough came to its stage in the cold (°C), where it was read there at once or within minutes before.

    By Newton's law from that reading on, through the places that it had since and the hands that were at it. None where
    nobody read it.
    """
    begun_s = state.stages[index].begun_s
    if begun_s is None or state.stage(index).kind != "chill":
        return None
    before = carried(state, index, "dough temperature")
    if before is not None:
        return before.value
    hands = index - 1
    strand = state.formula.strand(index)
    first = hands - 1 if hands - 1 in strand and state.stage(hands).kind == "hands" else hands
    stages = range(max(first, strand.start), index)
    read = [
        (number, each.at_s, each.value)
        for number in stages
        for each in state.readings_in(number, "dough temperature")
        if each.value is not None
    ]
    if not read or begun_s - read[-1][1] > BROUGHT_S:
        return None
    stage, at_s, value_c = read[-1]
    for each in range(stage, index):
        run = state.stages[each]
        ended_s = begun_s if run.ended_s is None else run.ended_s
        places = [((run.begun_s or 0.0) + until_s, here_c) for until_s, here_c in places_before(state, each)]
        for until_s, here_c in (*places, (ended_s, place_c(state, each))):
            if min(until_s, ended_s) > at_s:
                left = math.exp((at_s - min(until_s, ended_s)) / tau_s(state, each, here_c))
                value_c, at_s = here_c + (value_c - here_c) * left, min(until_s, ended_s)
    return value_c


def dough_mass_g(state: BakeState, index: int) -> float:
    """The mass that warms or cools as one body in a stage (g): its preferment, the dough, a piece once it is divided.

    Where the file does not tell what a stage is for, the dough's.
    """
    name = state.stage(index).made_for
    if name is not None:
        own_g = next((line.grams for line in state.batch.lines if line.name == name), None)
        if own_g is not None:
            return own_g
    return (
        state.batch.piece_g
        if state.batch.piece_g is not None and is_divided(state.formula, index)
        else state.batch.dough_g
    )


def surroundings(state: BakeState, index: int, in_c: float | None = None) -> Surroundings:
    """What stands between the dough and its place's air, at ``in_c`` (°C; None: where it stands).

    In the cold it is covered, in its basket, tub or bag; so is a dough in its bowl. Pieces on a tray or in tins stand
    in still air, in a prover in moving air. Common practice, no source.
    """
    where_c = place_c(state, index) if in_c is None else in_c
    if where_c >= PROVER_C and not (in_c is None and in_the_room(state, index)):
        return "moving air"
    return "covered" if where_c < COLD_C or not is_divided(state.formula, index) else "still air"


def modelled_tau_s(state: BakeState, index: int, in_c: float | None = None) -> float:
    """The time constant (s) by mass and surroundings alone."""
    return time_constant_s(max(dough_mass_g(state, index), 1.0), surroundings(state, index, in_c))


def tau_s(state: BakeState, index: int, in_c: float | None = None) -> float:
    """The dough's time constant in a stage (s): by mass and surroundings, and by what past bakes have shown here."""
    where_c = place_c(state, index) if in_c is None else in_c
    return modelled_tau_s(state, index, in_c) * state.kitchen.drift_at(where_c)


def nominal_s(state: BakeState, index: int) -> float:
    """The formula's time (s), by this kitchen's own pace where past bakes have shown one."""
    return state.stage(index).time_s * state.kitchen.pace


def rise_percent(stage: Stage) -> float:
    """What a stage is to rise (percent); a rest is too short to warm itself."""
    if stage.kind == "rest":
        return 0.0
    return USUAL_RISE_PERCENT if stage.rise is None else sum(stage.rise.wanted) / 2


def raised_by(formula: Formula, index: int) -> tuple[Leaven, bool]:
    """What a stage's rate is that of, and whether yeast and a sourdough both raise it.

    A preferment goes by what is in it; with both in it, by what the dough goes by.
    """
    preferment = formula.maker(index)
    leavens = formula.leavens if preferment is None else preferment.leavens
    return formula.raised_by if preferment is None or len(leavens) != 1 else next(iter(leavens)), len(leavens) > 1
