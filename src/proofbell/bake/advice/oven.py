"""The oven and the core: not done, done too far, too early, too late; an oven that waits, is waited for, or is left."""

from __future__ import annotations

from proofbell.bake.advice.core_words import CUT_C, READ_AGAIN, late_by, longer_words, read_low_again
from proofbell.bake.advice.oven_waits import LONG_S, oven_waits
from proofbell.bake.advice.proof import rise_wanted
from proofbell.bake.advice.scene import Scene
from proofbell.bake.core import (
    GIVEN_S,
    again_s,
    beyond_boiling,
    boils_in,
    core_in,
    core_over,
    core_short,
    goes_past,
    meant_end_s,
    read_for_the_end,
)
from proofbell.bake.core import told as core_told
from proofbell.bake.fermenting.cold import at_take_out
from proofbell.bake.fermenting.place import room_c
from proofbell.bake.fermenting.warming import warming, was_cold
from proofbell.bake.heats import heat_now_c, heat_said_c, let_go, on_the_dial
from proofbell.bake.tasks import OvenTask
from proofbell.dough.safety import Caution, egg_core_caution, egg_core_reached
from proofbell.frozen import dataclass
from proofbell.words import temperature

CRUST_SHARE = 0.75
"""Done inside before so much of the bake is early for a crust: common practice, no source."""

WAITS_S = 300.0
FRIDGE_S = 900.0
"""A dough waits so long in a cool place, and longer in the fridge: common practice, no source."""

HOT_ROOM_C = 27.0
"""In a room as warm as this nothing but the fridge is cool: common practice, no source."""

LOOKED_AT_S = 600.0
AT_ONCE_S = 180.0
"""So long a crust is looked at after a bake, and a heat that was set later than this was missed: common practice, no
source."""

LEFT_ON_S = 600.0
"""An oven that nobody wants is left on after so long: common practice, no source."""


@dataclass(frozen=True, slots=True)
class CoreLow:
    """A core (°C) below the least wanted, in words; ``longer``: by how much, where it can be told."""

    value_c: float
    wanted: str
    longer: str


def core_low(scene: Scene) -> CoreLow | None:
    """A core read for the end of the bake, or one that cannot get there by then, lower than wanted."""
    wanted, short = core_in(scene.state, scene.index), core_short(scene.state, scene.index)
    if scene.stage.kind != "bake" or wanted is None or short is None:
        return None
    late = short.outlook is not None and short.outlook.low_s > scene.run.length_s
    if not late and not read_for_the_end(scene.state, scene.index, short):
        return None
    end_s = max(scene.run.length_s, short.at_s)
    told = short.outlook is not None and goes_past(short.outlook, end_s)
    if not told and scene.run.length_s - short.at_s >= GIVEN_S:
        return None  # so much longer it was given already, and is read again then
    longer = longer_words(short.outlook, end_s) if told and short.outlook is not None else ""
    return CoreLow(short.value_c, core_told(wanted.low_c), longer)


def core_low_do(found: CoreLow) -> str:
    return f"about {found.longer}; {READ_AGAIN}" if found.longer else "bake it longer, then read it again"


@dataclass(frozen=True, slots=True)
class CoreAt:
    """A core (°C) beside another temperature (°C)."""

    value_c: float
    beside_c: float


def core_high(scene: Scene) -> CoreAt | None:
    wanted, over = core_in(scene.state, scene.index), core_over(scene.state, scene.index)
    if scene.stage.kind != "bake" or wanted is None or over is None:
        return None
    return CoreAt(over.value_c, wanted.high_c)


def _core(scene: Scene) -> tuple[float, float] | None:
    """The newest core reading: (s into the stage, °C)."""
    reading = scene.newest("core temperature")
    return None if reading is None or reading.value is None else (scene.into(reading), reading.value)


def tip_in_the_crust(scene: Scene) -> CoreAt | None:
    """A core that no crumb can have."""
    core = _core(scene)
    if scene.stage.kind != "bake" or core is None or not beyond_boiling(scene.state, core[1]):
        return None
    return CoreAt(core[1], boils_in(scene.state.kitchen))


def done_before_its_crust(scene: Scene) -> tuple[float, float] | None:
    """A core (°C) that is done long before the bake's own time is over: (°C, s left)."""
    wanted, core = core_in(scene.state, scene.index), _core(scene)
    if scene.stage.kind != "bake" or wanted is None or core is None or not wanted.low_c <= core[1] <= wanted.high_c:
        return None
    at_s, time_s = core[0], scene.stage.time_s
    return (core[1], time_s - at_s) if at_s < CRUST_SHARE * time_s else None


def far_over(scene: Scene) -> tuple[float, str] | None:
    """A bake well over its time: by how much (s), and how it is to be taken out."""
    if scene.stage.kind != "bake" or scene.run.begun_s is None:
        return None
    late_s, short = scene.into_s - meant_end_s(scene.state, scene.index), core_short(scene.state, scene.index)
    late = late_by(scene.run.length_s, late_s)
    if late is None or (short is not None and scene.into_s < again_s(short)):
        return None
    if short is not None:
        return late_s, read_low_again(late) if late.then else "read the core again now"
    return late_s, f"take it out {late.how}{late.then}"


def egg_core_low(scene: Scene) -> tuple[float, Caution] | None:
    """A core (°C) below the official figure at the end of the bake of a dough with egg, and the caution."""
    core = _core(scene)
    egg = any(line.kind == "egg" for line in scene.state.formula.ingredients)
    if scene.stage.kind != "bake" or core is None or not egg or core[0] < 0.9 * scene.run.length_s:
        return None
    region = scene.state.kitchen.region
    caution = None if egg_core_reached(core[1], region) else egg_core_caution(core[1], region)
    return None if caution is None else (core[1], caution)


def still_hot(scene: Scene) -> float | None:
    """The inside of a loaf (°C) late in its cooling that is too warm to cut."""
    core = _core(scene)
    if scene.stage.kind != "cool" or core is None or core[0] < scene.run.length_s / 2 or core[1] <= CUT_C:
        return None
    return core[1]


@dataclass(frozen=True, slots=True)
class Waits:
    """A dough that is ready waits so long (s) for its oven; ``cold``: it stands in the cold already.

    ``off``: nobody has said that the oven is on. ``hot``: there is no cool place to wait in.
    """

    wait_s: float
    cold: bool
    off: bool = False
    hot: bool = False


def oven_not_hot(scene: Scene) -> Waits | None:
    """How long a dough that is ready waits for an oven that is its own to heat.

    It is ready once it was judged so; by the clock alone only where its card has no rise judged.
    """
    wait_s = scene.wait_for_oven_s()
    if scene.stage.kind not in ("proof", "rest") or wait_s < WAITS_S:
        return None
    if was_cold(scene.run) and not scene.cold:
        return None  # it comes from there, and goes on slowly
    if warming(scene.state, scene.index, scene.now_s) is not None:
        return None  # it has to be warm before it is ready, and the prompt says so
    rise, wanted = scene.newest("rise"), rise_wanted(scene)
    risen = rise is not None and rise.value is not None and wanted is not None and rise.value >= wanted[0]
    by_eye = rise is not None and rise.eye in ("ready", "too far")
    by_time = rise is None and wanted is None and scene.late_s >= 0 and not _far_from_ready(scene)
    hot = room_c(scene.state) >= HOT_ROOM_C
    return Waits(wait_s, scene.cold, scene.oven_off, hot) if risen or by_eye or by_time else None


def _far_from_ready(scene: Scene) -> bool:
    """Whether a dough in the cold has not done what its card asks for, though its time there is over."""
    out = at_take_out(scene.state, scene.index, scene.now_s)
    return out is not None and out.share.value < 1


def not_hot_do(found: Waits) -> str:
    on = "oven on now; " if found.off else ""
    if found.cold:
        return f"{on}leave it in the cold until then"
    where = "into the fridge" if found.hot or found.wait_s >= FRIDGE_S else "somewhere cool, covered,"
    return f"{on}{where} until then"


def oven_waits_long(scene: Scene) -> tuple[float, float] | None:
    """A hot oven that is turned off until its bread: how long it waits, and what it takes from cold (s)."""
    waits = None if scene.lit or scene.oven_kept else oven_waits(scene.state, scene.now_s)
    return (waits.gap_s, waits.heat_s) if waits is not None and waits.hot and waits.off else None


def oven_stays_on(scene: Scene) -> float | None:
    """How long (s) a hot oven waits for its bread, too short a time to turn it off and heat it again."""
    waits = None if scene.lit or scene.oven_kept else oven_waits(scene.state, scene.now_s)
    return waits.gap_s if waits is not None and waits.hot and not waits.off and waits.gap_s >= LONG_S else None


@dataclass(frozen=True, slots=True)
class HeatUntold:
    """The bake ``stage`` was at ``heat_c`` to its end as far as told, where ``meant_c`` was meant (conventional °C).

    ``heat``, ``meant``: the same as they are set on this kitchen's oven.
    """

    stage: int
    heat_c: float
    meant_c: float
    heat: str
    meant: str


def heat_untold(scene: Scene) -> HeatUntold | None:
    """A later heat of a bake that nobody has said to be set, at the bake's end and for some minutes after it."""
    index = scene.index if scene.stage.kind == "bake" else scene.index - 1
    if index < 0 or scene.state.stage(index).kind != "bake":
        return None
    run = scene.state.stages[index]
    out_s = scene.now_s if run.ended_s is None else run.ended_s
    over = run.ended_s is not None or core_over(scene.state, index) is not None or scene.late_s >= 0
    if run.begun_s is None or not over or scene.now_s - out_s > LOOKED_AT_S:
        return None
    heat_c, meant_c = heat_said_c(scene.state, index), heat_now_c(scene.state, index, out_s - AT_ONCE_S)
    if heat_c is None or meant_c is None or heat_c == meant_c:
        return None
    oven = scene.state.kitchen.oven
    return HeatUntold(index, heat_c, meant_c, on_the_dial(oven, heat_c), on_the_dial(oven, meant_c))


def oven_left_on(scene: Scene) -> float | None:
    """How long (s) a hot oven has stood since the bake let go of it."""
    left = let_go(scene.state)
    if scene.oven_kept or left is None or left.heat_c is None or scene.state.done(OvenTask("oven off", left.stage)):
        return None
    last = max(i for i, stage in enumerate(scene.state.formula.stages) if stage.kind == "bake")
    on_s = scene.now_s - left.at_s
    return on_s if on_s >= LEFT_ON_S and (left.stage == last or scene.state.closed is not None) else None


def core_seen(found: CoreAt) -> str:
    return f"Core {temperature(found.value_c)}, {core_told(found.beside_c)} is the most"
