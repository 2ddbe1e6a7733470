"""A dough whose rise runs ahead of its clock: it is judged again sooner, and its oven is wanted sooner."""

from __future__ import annotations

import math

from proofbell.bake.advice.scene import Scene
from proofbell.bake.advice.temperature import too_warm
from proofbell.bake.fermenting.short_rise import short_rise
from proofbell.bake.heats import first_heat_c, takes_s
from proofbell.dough.rise import APART_S
from proofbell.frozen import dataclass
from proofbell.words import percent, told_length

FAST_S, FAST_SHARE = 180.0, 0.1
"""A rise that is there so long before its stage is over, and by so much of it, is fast: common practice, no source."""


@dataclass(frozen=True, slots=True)
class Fast:
    """A rise (percent) after ``into_s`` of a stage of ``length_s`` that is likely to be enough ``again_s`` into it.

    ``left_s``: until then. ``warm``: it is too warm where it stands. ``oven``: its oven is to be turned on now, so as
    to be hot by then, or as soon as can be.
    """

    value: float
    into_s: float
    length_s: float
    again_s: float
    left_s: float
    oven: bool
    warm: bool = False


def rises_fast(scene: Scene) -> Fast | None:
    """A rise that was read and is short yet, but by its own pace there well before its time is over.

    Not in its first minutes, of which no eye can tell a pace.
    """
    if scene.late_s >= 0 or scene.cold:
        return None
    short, length_s = short_rise(scene.state, scene.index), scene.run.length_s
    if short is None or short.percent is None or short.told_by not in ("rise", "two readings"):
        return None
    if short.at_s < APART_S or length_s - short.again_s < max(FAST_S, FAST_SHARE * length_s):
        return None
    left_s = short.again_s - scene.into_s
    off = too_warm(scene)
    warm = off is not None and off.now_c is None and left_s > 0
    return Fast(short.percent, short.at_s, length_s, short.again_s, left_s, _oven_now(scene, left_s), warm)


def _oven_now(scene: Scene, left_s: float) -> bool:
    heat_c = first_heat_c(scene.state, scene.index + 1) if scene.oven_off else None
    return heat_c is not None and takes_s(scene.state, heat_c, None) >= left_s


def fast_seen(found: Fast) -> str:
    into, whole = told_length(found.into_s), told_length(found.length_s)
    return f"It rises fast, {percent(found.value)} after {into} of {whole}"


def fast_do(found: Fast) -> str:
    left = math.ceil(found.left_s / 60 - 1e-6)
    judge = "judge it again now" if left <= 0 else f"judge it again in {told_length(left * 60)}"
    first = ["oven on now"] if found.oven else []
    first += ["stand it cooler"] if found.warm else []
    return f"{', '.join(first)}, and {judge}" if first else judge
