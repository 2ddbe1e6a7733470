"""A dough in the cold and out of it: how it cools, how far it came there, whether it is warm enough for the oven."""

from __future__ import annotations

import math

from proofbell.bake.advice.butter import chilled
from proofbell.bake.advice.scene import Scene
from proofbell.bake.fermenting.as_it_warms import judged_ready_s
from proofbell.bake.fermenting.cold import at_take_out
from proofbell.bake.fermenting.meant import WISH_K
from proofbell.bake.fermenting.place import place_c, room_c
from proofbell.bake.fermenting.warming import (
    LONGEST_S,
    baked_from_c,
    out_at_s,
    sent_cold,
    share_once_warm,
    warming,
    was_cold,
)
from proofbell.formula.dough_stages import division
from proofbell.frozen import dataclass

TAKE_OUT_S = 600.0
"""What a dough is like as it comes out of the cold is said so long before: common practice, no source."""

COOLED_S, COOLED_C = 5 * 3600.0, 10.0
"""A home fridge had 750 g at 10 °C after 4 h (breadbakingathome.com); an hour more is given."""


@dataclass(frozen=True, slots=True)
class WarmIntoTheCold:
    """A dough (°C) put into the cold warmer than its formula meant (°C). ``shaped``: it is in pieces."""

    value_c: float
    meant_c: float
    shaped: bool


def warm_into_the_cold(scene: Scene) -> WarmIntoTheCold | None:
    """A dough put into the cold warmer than its formula meant, which goes on for long."""
    found, wish_c = scene.dough(), scene.state.formula.dough.temperature_c
    if not scene.cold or found is None or wish_c is None or scene.into(found[0]) > 3600 or chilled(scene) is not None:
        return None
    if found[1] <= wish_c + WISH_K + scene.state.kitchen.probe.good_to_k(found[1]):
        return None
    at = division(scene.state.formula)
    return WarmIntoTheCold(found[1], wish_c, at is not None and scene.index > at)


def warm_into_do(found: WarmIntoTheCold) -> str:
    """Only what is no pieces yet can be spread flat."""
    if found.shaped:
        return "covered, on the coldest shelf, with air around them, and look at them early"
    return "spread it flat on the coldest shelf, and look at it early"


def slow_to_cool(scene: Scene) -> tuple[float, float] | None:
    """A dough (°C) that is still warm after hours (s) in the cold."""
    found = scene.dough()
    if not scene.cold or found is None or scene.into(found[0]) < COOLED_S or found[1] <= COOLED_C:
        return None
    return found[1], scene.into(found[0])


@dataclass(frozen=True, slots=True)
class ColdForTheOven:
    """A dough (°C) colder than it is baked from (°C), and what to do."""

    value_c: float
    from_c: float
    do: str


def cold_for_the_oven(scene: Scene) -> ColdForTheOven | None:
    """A dough that is to go into the oven soon and is still cold inside.

    One in the cold has it from the prompt once its time is up; of one that came out, only what was read since counts.
    """
    found, state, index = scene.dough(), scene.state, scene.index
    if scene.stage.kind != "proof" or not scene.before_the_bake or found is None:
        return None
    if not scene.cold and sent_cold(state, index):
        return None  # its card has it baked from the cold
    from_c, out = baked_from_c(room_c(state) if scene.cold else place_c(state, index)), was_cold(scene.run)
    if found[1] >= from_c:
        return None
    warm = warming(state, index, scene.now_s)
    if scene.cold:
        soon = warm is not None and -TAKE_OUT_S <= scene.late_s < 0
        return ColdForTheOven(found[1], from_c, warm.words) if warm is not None and soon else None
    if not out:
        late = scene.into(found[0]) >= scene.stage.time_s / 2
        do = "leave it in the warm longer, and read it again in 30 min"
        return ColdForTheOven(found[1], from_c, do) if late else None
    if scene.late_s < 0 or scene.into(found[0]) <= out_at_s(scene.run):
        return None
    if warm is not None:
        return ColdForTheOven(found[1], from_c, f"leave it in the warm, {warm.span} more")
    waited = scene.into_s >= out_at_s(scene.run) + LONGEST_S
    return ColdForTheOven(found[1], from_c, "load it all the same, and go by its core") if waited else None


@dataclass(frozen=True, slots=True)
class NotReady:
    """How far (share, range) a dough is as its time in the cold ends; ``baked``: the oven comes next."""

    low: float
    high: float
    baked: bool


def not_ready_at_take_out(scene: Scene) -> NotReady | None:
    """A dough moved into the cold that is not far enough as its time there ends."""
    if not scene.run.stood or not scene.cold or scene.late_s < -TAKE_OUT_S or chilled(scene) is not None:
        return None
    if (judged_ready_s(scene.state, scene.index) or math.inf) < math.inf:
        return None
    out, warm = at_take_out(scene.state, scene.index, scene.now_s), warming(scene.state, scene.index, scene.now_s)
    if out is None or out.share.high >= 1:
        return None
    later = None if warm is None else share_once_warm(scene.state, scene.index, warm)
    if later is not None and later.high >= 1:
        return None  # it is taken out so, and does the rest as it warms
    return NotReady(out.share.low, out.share.high, scene.before_the_bake)


def not_ready_do(found: NotReady) -> str:
    if found.baked:
        return "let it rise on as it warms, and judge it before it is baked"
    return "let it rise on in the room, and judge it before it is worked"
