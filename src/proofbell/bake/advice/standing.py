"""Egg and milk that stand between cold and hot: foreseen while something can be done about it, and told calmly."""

from __future__ import annotations

import math
from dataclasses import replace

from proofbell.bake.advice.scene import Scene
from proofbell.bake.advice.temperature import too_cold
from proofbell.bake.checks import CARRIED_S
from proofbell.bake.fermenting.place import own_place_c, place_c, places_before
from proofbell.bake.fermenting.terms import tau_s
from proofbell.dough.safety import LOCAL_FIRST, Stand, Standing, figures_words, standing
from proofbell.formula.danger_zone import IN_ALL_S, ZONES, Zone, stands_raw
from proofbell.formula.model import Stage
from proofbell.frozen import dataclass

UNSAFE_MORE_S = 1800.0
"""The weigh-out warns of a formula that stands long by itself; the bench of a dough that stands so much longer than its
formula allows for the whole way to the oven."""


@dataclass(frozen=True, slots=True)
class Unsafe:
    """A dough with egg or milk, by name, that stands between cold and hot for longer than the official figure.

    ``ahead``: it will have by the time it is baked, if nothing changes. ``cold``: it stands in the cold now.
    ``warmer``: it is to be stood warmer now, so that it is baked sooner.
    """

    found: Standing
    zone: Zone
    raw: tuple[str, ...]
    ahead: bool = False
    cold: bool = False
    warmer: bool = False


def stood_too_long(scene: Scene) -> Unsafe | None:
    """A dough with egg or milk past the official figure, or on its way there, and past what its formula makes of it."""
    raw = tuple(line.name for line in stands_raw(scene.state.formula.ingredients))
    if not raw or scene.stage.kind in ("bake", "cool") or scene.state.formula.dough.temperature_c is None:
        return None
    region = scene.state.kitchen.region
    allowed_s = standing(_planned(scene), region).seconds + UNSAFE_MORE_S
    stood = _stood(scene)
    real = standing(stood, region)
    if real.over and real.seconds >= allowed_s:
        return Unsafe(real, ZONES[region], raw)
    whole = standing(_to_the_oven(scene, stood), region)
    ahead = whole.over and whole.seconds >= allowed_s
    if not ahead:
        return None
    return Unsafe(whole, ZONES[region], raw, ahead=True, cold=scene.cold, warmer=too_cold(scene) is not None)


def _stood(scene: Scene) -> list[Stand]:
    """The dough's time so far."""
    state, temp_c = scene.state, scene.state.formula.dough.temperature_c or 0.0
    found: list[Stand] = []
    for index in range(state.formula.dough_begins or 0, scene.index + 1):
        run = state.stages[index]
        ran_s = 0.0 if run.begun_s is None else (scene.now_s if run.ended_s is None else run.ended_s) - run.begun_s
        taken = state.readings_in(index, "dough temperature")
        read = [(r.at_s - (run.begun_s or 0.0), r.value) for r in taken if r.value is not None]
        since_s, before = 0.0, places_before(state, index)
        shown_s = None if before else _shown_tau_s(read, temp_c, place_c(state, index))
        if read and (read[0][0] <= CARRIED_S or shown_s is None):
            temp_c = read[0][1]
            shown_s = None if before else _shown_tau_s(read, temp_c, place_c(state, index))
        for until_s, here_c in (*before, (ran_s, place_c(state, index))):
            stood_s = max(0.0, min(until_s, ran_s) - since_s)
            tau, name = shown_s or tau_s(state, index, here_c), state.stage(index).name
            found.append(Stand(temp_c, here_c, tau, stood_s, name))
            temp_c, since_s = found[-1].end_c, since_s + stood_s
    return found


def _shown_tau_s(read: list[tuple[float, float]], start_c: float, here_c: float) -> float | None:
    """The time constant (s) by which a dough came to its newest reading (s into the stage, °C); None: it shows none."""
    into_s, value_c = read[-1] if read else (0.0, start_c)
    gone = (start_c - here_c) / (value_c - here_c) if value_c != here_c else 0.0
    return into_s / math.log(gone) if into_s > CARRIED_S and gone > 1 else None


def _to_the_oven(scene: Scene, stood: list[Stand]) -> list[Stand]:
    """Its time to the oven: so far, and as its stages are meant to last now, where it is to stand."""
    state, found = scene.state, list(stood)
    if found:
        found[-1] = replace(found[-1], seconds=found[-1].seconds + max(0.0, -scene.late_s))
    for index in range(max(scene.index + 1, state.formula.dough_begins or 0), len(state.stages)):
        if state.stage(index).kind == "bake":
            break
        temp_c = found[-1].end_c if found else state.formula.dough.temperature_c or 0.0
        run_s, name = state.stages[index].length_s, state.stage(index).name
        found.append(Stand(temp_c, place_c(state, index), tau_s(state, index), run_s, name))
    return found


def _planned(scene: Scene) -> list[Stand]:
    """The dough's time to the oven, at the longest that its formula allows, where that has it stand."""
    state, temp_c = scene.state, scene.state.formula.dough.temperature_c or 0.0
    found: list[Stand] = []
    for index in range(state.formula.dough_begins or 0, len(state.stages)):
        if state.stage(index).kind == "bake":
            break
        here_c = own_place_c(state, index)
        found.append(Stand(temp_c, here_c, tau_s(state, index, here_c), _longest_s(state.stage(index))))
        temp_c = found[-1].end_c
    return found


def _longest_s(stage: Stage) -> float:
    return stage.time_s if stage.stretch is None else stage.stretch[1]


def unsafe_seen(found: Unsafe) -> str:
    """How long in all between what, where most of it was, and the official figures for that."""
    zone, real = found.zone, found.found
    by_then = " by the time it is baked" if found.ahead else ""
    what = " and ".join(found.raw)
    return (
        f"{what[:1].upper()}{what[1:]} in it, and about {real.seconds / 3600:.1f} h in all between "
        f"{zone.low_c:.2g} and {zone.high_c:.0f} °C out of the cold{by_then}, {_where(real)}, "
        f"where the official figure is {figures_words(real)}"
    )


def unsafe_brief(found: Unsafe) -> str:
    """The figures and what follows, where there is no room for more: a caution is never without its reason."""
    zone, real = found.zone, found.found
    span = f"{zone.low_c:.2g} to {zone.high_c:.0f} °C"
    limit = f"{IN_ALL_S / 3600:.0f} h" if real.seconds > IN_ALL_S else f"{real.at_a_time_s / 3600:.0f} h at a time"
    figures = f"{real.seconds / 3600:.1f} h in all at {span}, {limit} is the figure"
    return f"{' and '.join(found.raw)}, {figures}: {unsafe_do(found)}"


def _where(real: Standing) -> str:
    return f"{real.longest_s / 3600:.1f} h of it in {real.stage}"


def unsafe_do(found: Unsafe) -> str:
    """Colder or sooner while that helps. Throwing it away is for what stood too long at a time."""
    others = "do not bake it for others unless your local rules allow it"
    if found.ahead and found.warmer:
        return f"stood warmer it is sooner baked; if not, {others}"
    if found.ahead and found.cold:
        return f"proof it shorter after the cold, or bake it sooner; if not, {others}"
    if found.ahead:
        return f"into the fridge for part of the time, or bake it sooner; if not, {others}"
    return f"{others}; in doubt, throw it away" if found.found.too_long_at_a_time and found.found.warm else others


UNSAFE_WHY = f"Baking does not undo what some germs leave behind. {LOCAL_FIRST}"
