"""Egg and milk that stand between cold and hot: foreseen while something can be done about it, and told calmly."""

from __future__ import annotations

import math
from dataclasses import replace

from proofbell.bake.advice.scene import Scene
from proofbell.bake.advice.temperature import too_cold
from proofbell.bake.checks import CARRIED_S
from proofbell.bake.coming import coming_s
from proofbell.bake.fermenting.cold import in_the_cold
from proofbell.bake.fermenting.place import own_place_c, place_c, places_before
from proofbell.bake.fermenting.terms import tau_s
from proofbell.dough.safety import LOCAL_FIRST, Stand, Standing, figures_words, standing
from proofbell.formula.danger_zone import IN_ALL_S, ZONES, Zone, stands_raw
from proofbell.formula.model import Rate, Stage
from proofbell.frozen import dataclass
from proofbell.words import temperature, temperatures

UNSAFE_MORE_S = 1800.0
"""The weigh-out warns of a formula that stands long by itself; the bench of a dough that stands so much longer than its
formula allows for the whole way to the oven."""


SLOW_SHARE = 1.15
"""A proof that is so many times its card's time is slow: common practice, no source."""

LIKE_K = 1.0
"""A place no further from another is as warm: common practice, no source."""

SOON_S = 1200.0
"""A dough that goes into the oven so soon gains nothing from another place: common practice, no source."""


@dataclass(frozen=True, slots=True)
class Warmer:
    """A proof that a warmer place makes shorter, by its index; a coming ``stage`` by name (empty: the one that runs).

    ``place_c`` is where its card has it (°C), where that is warmer than where it stands here; else None.
    """

    index: int
    stage: str = ""
    place_c: float | None = None

    @property
    def words(self) -> str:
        how = "warmer" if self.place_c is None else f"at {temperature(self.place_c, 0)}"
        return f"stand it {how}{f' in {self.stage}' if self.stage else ''}, so that it is baked sooner"


@dataclass(frozen=True, slots=True)
class Unsafe:
    """A dough with egg or milk, by name, that stands between cold and hot for longer than the official figure.

    ``ahead``: it will have by the time it is baked, if nothing changes. ``cold``: it stands in the cold now.
    ``warmer``: what makes it late is a proof that is slow where it stands, or will. ``barely``: it is hardly past the
    figure. ``baked``: it is in the oven, or out of it. ``soon``: it goes into the oven within minutes.
    """

    found: Standing
    zone: Zone
    raw: tuple[str, ...]
    ahead: bool = False
    cold: bool = False
    warmer: Warmer | None = None
    barely: bool = False
    baked: bool = False
    soon: bool = False

    @property
    def forbids(self) -> bool:
        """Whether it is for others only where the rules of the place allow it."""
        return not self.ahead and not self.barely


def stood_too_long(scene: Scene) -> Unsafe | None:
    """A dough with egg or milk past the official figure, or on its way there, and past what its formula makes of it."""
    raw = tuple(line.name for line in stands_raw(scene.state.formula.ingredients))
    if not raw or scene.state.formula.dough.temperature_c is None:
        return None
    region, baked = scene.state.kitchen.region, scene.index >= _oven_at(scene)
    allowed_s = standing(_planned(scene), region).seconds + UNSAFE_MORE_S
    stood = _stood(scene)
    real = standing(stood, region)
    if real.over and real.seconds >= allowed_s:
        barely = max(real.seconds - IN_ALL_S, real.longest_s - real.at_a_time_s) < UNSAFE_MORE_S
        return None if barely and baked else Unsafe(real, ZONES[region], raw, barely=barely, baked=baked)
    if baked:
        return None
    whole = standing(_to_the_oven(scene, stood), region)
    ahead = whole.over and whole.seconds >= allowed_s
    if not ahead:
        return None
    soon = scene.before_the_bake and scene.late_s > -SOON_S
    warmer = _warmer(scene)
    if warmer is not None and warmer.index > scene.index + 1:
        return None  # It is said where the dough is about to go there.
    return Unsafe(whole, ZONES[region], raw, ahead=True, cold=scene.cold, warmer=warmer, soon=soon)


def _warmer(scene: Scene) -> Warmer | None:
    """The proof that takes long because its place is colder than its card's, or its dough is behind; None for none.

    The longest of them: one answer, whichever stage the dough is in.
    """
    state = scene.state
    proofs = [i for i in range(scene.index, _oven_at(scene)) if state.stage(i).kind == "proof"]
    slow = [i for i in proofs if not in_the_cold(state, i) and coming_s(state, i) > SLOW_SHARE * state.stage(i).time_s]
    if slow:
        index = max(slow, key=lambda one: coming_s(state, one))
        adjust = state.stage(index).adjust
        card_c = adjust.place_c if isinstance(adjust, Rate) else None
        colder = card_c is not None and card_c - place_c(state, index) > LIKE_K
        return Warmer(index, "" if index == scene.index else state.stage(index).name, card_c if colder else None)
    behind = scene.stage.kind == "proof" and not scene.cold and (scene.judged_short or too_cold(scene) is not None)
    return Warmer(scene.index) if behind else None


def _stood(scene: Scene) -> list[Stand]:
    """The dough's time so far."""
    state, temp_c = scene.state, scene.state.formula.dough.temperature_c or 0.0
    found: list[Stand] = []
    for index in range(state.formula.dough_begins or 0, min(scene.index + 1, _oven_at(scene))):
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
    for index in range(max(scene.index + 1, state.formula.dough_begins or 0), _oven_at(scene)):
        temp_c = found[-1].end_c if found else state.formula.dough.temperature_c or 0.0
        run_s, name = state.stages[index].length_s, state.stage(index).name
        found.append(Stand(temp_c, place_c(state, index), tau_s(state, index), run_s, name))
    return found


def _planned(scene: Scene) -> list[Stand]:
    """The dough's time to the oven, at the longest that its formula allows, where that has it stand."""
    state, temp_c = scene.state, scene.state.formula.dough.temperature_c or 0.0
    found: list[Stand] = []
    for index in range(state.formula.dough_begins or 0, _oven_at(scene)):
        here_c = own_place_c(state, index)
        found.append(Stand(temp_c, here_c, tau_s(state, index, here_c), _longest_s(state.stage(index))))
        temp_c = found[-1].end_c
    return found


def _oven_at(scene: Scene) -> int:
    """The first stage of the dough that is baked; past the last where none is."""
    stages = range(scene.state.formula.dough_begins or 0, len(scene.state.stages))
    return next((index for index in stages if scene.state.stage(index).kind == "bake"), len(scene.state.stages))


def _longest_s(stage: Stage) -> float:
    return stage.time_s if stage.stretch is None else stage.stretch[1]


def unsafe_seen(found: Unsafe) -> str:
    """How long in all between what, where most of it was, and the official figures for that."""
    zone, real = found.zone, found.found
    by_then = " by the time it is baked" if found.ahead else ""
    what = " and ".join(found.raw)
    return (
        f"{what[:1].upper()}{what[1:]} in it, and about {real.seconds / 3600:.1f} h in all between "
        f"{temperatures(zone.low_c, zone.high_c, 'and')} out of the cold{by_then}, {_where(real)}, "
        f"where the official figure is {figures_words(real)}"
    )


def unsafe_brief(found: Unsafe) -> str:
    """The figures and what follows, where there is no room for more: a caution is never without its reason."""
    zone, real = found.zone, found.found
    limit = f"{IN_ALL_S / 3600:.0f} h" if real.seconds > IN_ALL_S else f"{real.at_a_time_s / 3600:.0f} h at a time"
    figures = f"{real.seconds / 3600:.1f} h in all at {temperatures(zone.low_c, zone.high_c)}, {limit} is the figure"
    return f"{' and '.join(found.raw)}, {figures}: {unsafe_do(found)}"


def _where(real: Standing) -> str:
    return f"{real.longest_s / 3600:.1f} h of it in {real.stage}"


def unsafe_do(found: Unsafe) -> str:
    """Colder or sooner while that helps. Throwing it away is for what stood too long at a time."""
    if found.ahead and found.soon:
        return "load it as soon as it is ready"
    if found.ahead and found.warmer is not None:
        return found.warmer.words
    if found.ahead and found.cold:
        return "proof it shorter after the cold, or bake it sooner"
    if found.ahead:
        return "into the fridge for part of the time, or bake it sooner"
    if found.barely:
        return "your local rules say whether others may eat it"
    act = "serve it to" if found.baked else "bake it for"
    others = f"do not {act} others unless your local rules allow it"
    return f"{others}; in doubt, throw it away" if found.found.too_long_at_a_time and found.found.warm else others


UNSAFE_WHY = f"Baking does not undo what some germs leave behind. {LOCAL_FIRST}"
