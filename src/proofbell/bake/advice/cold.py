"""A dough in the cold and out of it: how it cools, how far it came there, whether it is warm enough for the oven."""

from __future__ import annotations

import math
from dataclasses import replace

from proofbell.bake.advice.butter import chilled
from proofbell.bake.advice.scene import Scene
from proofbell.bake.fermenting.as_it_warms import judged_ready_s
from proofbell.bake.fermenting.before_reading import modelled_c
from proofbell.bake.fermenting.cold import at_take_out, in_the_cold
from proofbell.bake.fermenting.forgiven import forgives
from proofbell.bake.fermenting.meant import WISH_K
from proofbell.bake.fermenting.place import place_c, room_c
from proofbell.bake.fermenting.terms import brought_c, terms
from proofbell.bake.fermenting.warming import (
    LONGEST_S,
    baked_from_c,
    out_at_s,
    sent_cold,
    share_once_warm,
    warming,
    was_cold,
)
from proofbell.bake.state import BakeState, Reading, StageState
from proofbell.bake.tasks import PromptId, Skipped
from proofbell.formula.dough_stages import is_divided
from proofbell.formula.model import ReadingKind
from proofbell.frozen import dataclass
from proofbell.words import temperature, told_length

TAKE_OUT_S = 600.0
"""What a dough is like as it comes out of the cold is said so long before: common practice, no source."""

SOON_READ_S = 3600.0
"""What is read in the first hour in the cold is how warm the dough came there: common practice, no source."""

SOON_HOT_S = 3600.0
"""A dough hardly rises on for as long as it waits in the cold for an oven that is hot within the hour: common practice,
no source."""

COLD_READ_MIN = (60, 120)
"""Minutes after which a dough that came warm into the cold is read there: common practice, no source."""

COOLED_S, COOLED_C = 5 * 3600.0, 10.0
"""A home fridge had 750 g at 10 °C after 4 h (breadbakingathome.com); an hour more is given."""


BEHIND_AFTER_S, BEHIND_C = 40 * 60.0, 15.0
"""A dough that is above so much after so long in the cold, and warmer than was likely, does not cool as it should:
common practice, no source."""

STILL_WARM_S, STILL_WARM_C = 75 * 60.0, 20.0
"""A dough that is above so much after so long in the cold is told of, however warm it came: common practice, no source.
In a home fridge 750 g were at 20 °C after 1 h (breadbakingathome.com)."""

APART_S = 5 * 60.0
"""Of two readings nearer together none says which way the dough goes: common practice, no source."""

AGAIN_MIN, WARMER_AGAIN_MIN = 45, 20
"""Minutes after which a dough that is slow to cool is read again, and one that became warmer in the cold: common
practice, no source."""

OF_EVERY_DOUGH = 0.4
"""How much of what a reading shows of a dough's cooling holds for its card's dough too; the rest is its cover and its
shelf. So none is looked at sooner because it cools faster. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class WarmIntoTheCold:
    """A dough (°C) put into the cold warmer than its formula meant (°C). ``shaped``: it is in pieces.

    ``look_in_s``: until it is to be looked at there (s); None once it was. ``about``: it was read before it came there.
    """

    value_c: float
    meant_c: float
    shaped: bool
    look_in_s: float | None = None
    about: bool = False


def warm_into_the_cold(scene: Scene) -> WarmIntoTheCold | None:
    """A dough put into the cold warmer than its formula meant, which goes on for long.

    Not one that only waits there for an oven that is nearly hot.
    """
    found, wish_c = scene.dough(), scene.state.formula.dough.temperature_c
    came_c = brought_c(scene.state, scene.index) if found is None else found[1]
    if not scene.cold or came_c is None or wish_c is None or chilled(scene) is not None:
        return None
    if (found is not None and scene.into(found[0]) > SOON_READ_S) or _nearly_in_the_oven(scene):
        return None
    if not _warmer_than_meant(scene.state, came_c, wish_c):
        return None
    shaped = is_divided(scene.state.formula, scene.index)
    look_s = next((into_s - scene.into_s for into_s, _ in cold_looks(scene.state, scene.index)), None)
    return WarmIntoTheCold(came_c, wish_c, shaped, look_s, found is None)


def _nearly_in_the_oven(scene: Scene) -> bool:
    """Whether a dough is ready, and its oven hot within the hour."""
    judged = scene.newest("rise") is not None and not scene.judged_short
    return judged and scene.before_the_bake and scene.wait_for_oven_s() < SOON_HOT_S


def _warmer_than_meant(state: BakeState, value_c: float, wish_c: float) -> bool:
    return value_c > wish_c + WISH_K + state.kitchen.probe.good_to_k(value_c)


def cold_looks(state: BakeState, index: int) -> tuple[tuple[float, ReadingKind], ...]:
    """When a dough that came warm into its hours in the cold is looked at there (s into its stage), and for what.

    It is read once as it cools, and judged when by the model it is as far as its card wants it, or at the least of its
    card's hours; neither where that was done, or is not wanted.
    """
    run, wish_c = state.stages[index], state.formula.dough.temperature_c
    came_c = brought_c(state, index)
    read = state.readings_in(index, "dough temperature")
    if came_c is None and read and _into(run, read[0]) <= SOON_READ_S:
        came_c = read[0].value
    if run.begun_s is None or state.stage(index).kind != "chill" or run.stood or wish_c is None or came_c is None:
        return ()
    asked = terms(state, index)
    if asked is None or not in_the_cold(state, index) or not _warmer_than_meant(state, came_c, wish_c):
        return ()
    # A reading may bring the look forward, and never puts it off into the night.
    first = [replace(asked, readings=asked.readings[:count]) for count in range(1, len(asked.readings) + 1)]
    ready_s = min(each.estimate(card_share=OF_EVERY_DOUGH).seconds for each in first)
    low_s, high_s = (minutes * 60.0 for minutes in COLD_READ_MIN)
    stretch = forgives(state, index).stretch
    judged_s = max(low_s / 2, min([ready_s, *([] if stretch is None else [stretch[0]])]))
    found: list[tuple[float, ReadingKind]] = []
    if not low_s <= judged_s <= high_s and not any(_into(run, each) >= low_s / 2 for each in read):
        found.append(((low_s + high_s) / 2, "dough temperature"))
    if math.isfinite(judged_s) and not state.readings_in(index, "rise"):
        found.append((judged_s // 60 * 60, "rise"))
    found += _read_again(Scene(state, index, run.begun_s))
    open_ = (each for each in found if not state.done(Skipped(PromptId("check", index, at_s=round(each[0])))))
    return tuple(sorted(open_))


def _read_again(scene: Scene) -> list[tuple[float, ReadingKind]]:
    """When a dough that does not cool as it should is read again (s into its stage)."""
    slow = slow_to_cool(scene)
    if slow is None or slow.again_min is None:
        return []
    again_s = slow.into_s + 60.0 * slow.again_min
    return [(again_s // 60 * 60, "dough temperature")]


def _into(run: StageState, reading: Reading) -> float:
    return reading.at_s - (run.begun_s or 0.0)


def warm_into_seen(found: WarmIntoTheCold) -> str:
    about = f"about {temperature(found.value_c, 0)}" if found.about else temperature(found.value_c)
    return f"Dough {about} into the cold, {temperature(found.meant_c, 0)} meant"


def warm_into_do(found: WarmIntoTheCold) -> str:
    """Only what is no pieces yet can be spread flat."""
    shelf = (
        "covered, on the coldest shelf, with air around them" if found.shaped else "spread it flat on the coldest shelf"
    )
    it = "them" if found.shaped else "it"
    if found.look_in_s is None:
        return f"{shelf}, and look at {it} early"
    if found.look_in_s <= 0:
        return f"{shelf}, and look at {it} now"
    return f"{shelf}, and look at {it} in {told_length(max(60.0, round(found.look_in_s / 60) * 60.0))}"


@dataclass(frozen=True, slots=True)
class SlowToCool:
    """A dough (°C) that is still warm so long (s) after it came into the cold.

    ``was_c``: it was colder when it was read before (°C). ``early``: it has hours yet to cool, and is behind.
    """

    value_c: float
    into_s: float
    was_c: float | None = None
    early: bool = False
    shaped: bool = False

    @property
    def again_min(self) -> int | None:
        """In how many minutes it is read again; None where that would tell nothing new."""
        if self.was_c is not None:
            return WARMER_AGAIN_MIN
        return AGAIN_MIN if self.early else None


def slow_to_cool(scene: Scene) -> SlowToCool | None:
    """A dough in the cold that is warmer than when it was read before, behind the model, or warm after hours."""
    found = scene.dough()
    if not scene.cold or found is None or found[0] not in scene.state.readings_in(scene.index):
        return None
    (reading, value_c), into_s = found, scene.into(found[0])
    read = scene.state.readings_in(scene.index, "dough temperature")
    within_k = scene.state.kitchen.probe.good_to_k(value_c)
    was_c = next((each.value for each in reversed(read[:-1]) if reading.at_s - each.at_s >= APART_S), None)
    warming = was_c is not None and value_c > was_c + within_k
    late = into_s >= COOLED_S and value_c > COOLED_C
    behind = into_s >= BEHIND_AFTER_S and value_c > BEHIND_C and _is_behind(scene, reading, value_c - within_k)
    early = behind or (into_s >= STILL_WARM_S and value_c > STILL_WARM_C)
    if not (warming or late or early) or chilled(scene) is not None:
        return None
    shaped = is_divided(scene.state.formula, scene.index)
    return SlowToCool(value_c, into_s, was_c if warming else None, early and not late, shaped)


def _is_behind(scene: Scene, reading: Reading, at_least_c: float) -> bool:
    """Whether a dough is warmer than it was likely to be by then, by all that was read before."""
    likely = modelled_c(scene.state, scene.index, reading.at_s, reading.number)
    return likely is not None and at_least_c > likely.value


def slow_seen(found: SlowToCool) -> str:
    if found.was_c is not None:
        return f"Dough {temperature(found.value_c)} in the cold, it was {temperature(found.was_c)}"
    return f"Dough {temperature(found.value_c)} after {told_length(found.into_s)} in the cold"


def slow_do(found: SlowToCool) -> str:
    if found.was_c is not None:
        return f"is the door shut, and the fridge cold? Read it again in {found.again_min} min"
    if found.early:
        flat = "give them air on the coldest shelf" if found.shaped else "press it flatter on the coldest shelf"
        return f"{flat}, and read it again in {found.again_min} min"
    return "onto a colder shelf, not stacked, and take it out sooner"


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
