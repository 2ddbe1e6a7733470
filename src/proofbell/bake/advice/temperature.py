"""How warm the dough is beside what is meant, and what its butter, its yeast and the cold make of it."""

from __future__ import annotations

from proofbell.bake.advice.scene import Scene
from proofbell.bake.fermenting.cold import at_take_out
from proofbell.bake.fermenting.place import place_c
from proofbell.bake.fermenting.terms import raised_by
from proofbell.bake.fermenting.warming import READY_C, sent_cold, warming, was_cold
from proofbell.bake.state import Reading
from proofbell.dough.fermenting.rate import relative_rate
from proofbell.dough.liquid import WARMEST_C
from proofbell.formula.foods.water import water_percent
from proofbell.formula.model import Rate
from proofbell.frozen import dataclass
from proofbell.words import percent, temperature

DRIFT_K = 2.0
"""A dough warms itself by 1 to 2 K an hour (Plötzblog, Bäckerlatein; homebaking.at), and drifts to its place: a
reading on the way may lie so far beside what is expected at the start."""

ON_THE_WAY_K = 8.0
"""A dough that comes so much colder than its place is warming there: later it is meant to be nothing in particular.
Common practice, no source."""

WISH_K = 1.0
"""A formula's one dough temperature is meant to within a degree: common practice, no source."""

TRADE_RATE = 1.10
"""One degree more is about a tenth more of the yeast's work: *bake* magazine, The science of fermentation, 2015."""

BUTTER_C = 28.0
"""Doughs with butter in layers are proofed at 28 °C at most: IREKS Compendium, final proof."""

BUTTER_PERCENT = 10.0
"""From so much on flour on the butter is felt in the dough: common practice, no source."""

CHILL_MIN = (20, 30)
"""Minutes in the fridge that firm up a soft butter dough: common practice, no source."""

AGAIN_MIN = (20, 30)
"""Minutes after which a dough in another place is read again: common practice, no source."""

SOURDOUGH_C = 30.0
"""Past the best of a sourdough's yeast, 27 to 28 °C; at 32 °C it is at half its speed (Gänzle, FAQ of
rec.food.sourdough)."""

TAKE_OUT_S = 600.0
"""What a dough is like as it comes out of the cold is said so long before: common practice, no source."""

COOLED_S, COOLED_C = 5 * 3600.0, 10.0
"""A home fridge had 750 g at 10 °C after 4 h (breadbakingathome.com); an hour more is given."""


@dataclass(frozen=True, slots=True)
class Off:
    """A dough's temperature beside what is meant (°C), and by how much of its speed it differs (percent, range).

    ``hands``: it has not stood yet. ``over``: its time is up. ``again``: what was read is too old to go by.
    """

    value_c: float
    low_c: float
    high_c: float
    percent: tuple[int, int] | None
    hands: bool
    over: bool
    again: bool


def meant_c(scene: Scene, reading: Reading) -> tuple[float, float] | None:
    """How warm the dough is meant to be where it was read (°C, from, to); None where nobody says, or in the cold."""
    stage, wish_c = scene.stage, scene.state.formula.dough.temperature_c
    if scene.cold or stage.kind not in ("hands", "proof", "rest"):
        return None
    if stage.kind == "hands":
        return None if wish_c is None or not scene.before_it_ferments else (wish_c - WISH_K, wish_c + WISH_K)
    carried = reading.stage != scene.index
    for number, check in enumerate(stage.checks):
        if check.read == "dough temperature" and check.expect is not None:
            answers = reading.check == number or (carried and check.when == "start")
            if not answers and place_c(scene.state, scene.index) - sum(check.expect) / 2 > ON_THE_WAY_K:
                return None
            slack_k = 0.0 if answers else DRIFT_K
            return check.expect[0] - slack_k, check.expect[1] + slack_k
    middle_c = stage.adjust.at_c if isinstance(stage.adjust, Rate) else wish_c
    return None if middle_c is None else (middle_c - WISH_K - DRIFT_K, middle_c + WISH_K + DRIFT_K)


def _off(scene: Scene) -> Off | None:
    found = scene.dough()
    meant = None if found is None else meant_c(scene, found[0])
    if found is None or meant is None:
        return None
    value_c, good_k = found[1], scene.state.kitchen.probe.good_to_k(found[1])
    if meant[0] - good_k <= value_c <= meant[1] + good_k:
        return None
    speed, hands = _speed(scene, value_c, sum(meant) / 2), scene.stage.kind == "hands"
    return Off(value_c, *meant, speed, hands, scene.late_s >= 0, scene.now_s - found[0].at_s >= AGAIN_MIN[1] * 60)


def _speed(scene: Scene, value_c: float, middle_c: float) -> tuple[int, int] | None:
    """By how much of the meant speed it differs (percent), by the model and by the trade's tenth a degree."""
    if raised_by(scene.state.formula, scene.index)[0] == "sourdough" or not 5 < value_c <= 32 or middle_c <= 5:
        return None
    both = (relative_rate(value_c) / relative_rate(middle_c), TRADE_RATE ** (value_c - middle_c))
    shares = sorted(5 * round(abs(each - 1) * 20) for each in both)
    return (max(5, shares[0]), max(5, shares[1]))


def too_warm(scene: Scene) -> Off | None:
    """A dough warmer than meant by more than the probe is good to."""
    found = _off(scene)
    return found if found is not None and found.value_c > found.high_c else None


def too_cold(scene: Scene) -> Off | None:
    """A dough colder than meant by more than the probe is good to."""
    if was_cold(scene.run) and scene.before_the_bake:
        return None  # out of the cold it is to be warm enough for the oven, not as warm as a proof in the room
    found = _off(scene)
    return found if found is not None and found.value_c < found.low_c else None


def off_seen(found: Off) -> str:
    """The dough beside what is meant, and what that makes of its speed."""
    said = f"Dough {temperature(found.value_c)}, {found.low_c:g} to {found.high_c:g} meant"
    if found.percent is None:
        return said
    low, high = found.percent
    share = f"{low}" if low == high else f"{low} to {high}"
    return f"{said}, about {share} % {'faster' if found.value_c > found.high_c else 'slower'}"


def warm_do(found: Off) -> str:
    if found.hands:
        return "give it a cooler place, a shorter proof, and colder liquid next time"
    return "judge it now, by its rise" if found.over else f"stand it cooler, {_read_again(found)}, and judge it early"


def cold_do(found: Off) -> str:
    if found.hands:
        return "give it a warmer place, a longer proof, and warmer liquid next time"
    if found.over:
        return "go by its rise, not by the clock"
    return f"stand it warmer, {_read_again(found)}, and go by the rise"


def _read_again(found: Off) -> str:
    return "read it again now" if found.again else f"read it again in {AGAIN_MIN[0]} to {AGAIN_MIN[1]} min"


@dataclass(frozen=True, slots=True)
class Butter:
    """A dough (°C) with so much butter-like fat on flour (percent); ``to_shape``: hands are to work it yet.

    ``chills``: its card has it in the cold before that. ``place``: that is where it stands, nobody has read the dough.
    """

    value_c: float
    share: float
    to_shape: bool
    chills: bool = False
    place: bool = False


def butter_melts(scene: Scene) -> Butter | None:
    """A dough with fat that holds water, as butter does, warmer than butter stays firm in."""
    found = scene.dough() or _read_before(scene)
    fats = [each for each in scene.state.formula.ingredients if each.kind == "fat" and water_percent(each) >= 1]
    share = sum(each.percent for each in fats)
    place = found is None and scene.stage.kind == "proof"
    value_c = place_c(scene.state, scene.index) if place else 0.0 if found is None else found[1]
    if value_c <= BUTTER_C or share < BUTTER_PERCENT or scene.stage.kind in ("bake", "cool", "chill"):
        return None
    ahead = scene.state.formula.stages[scene.index :]
    kinds = [each.kind for each in ahead[: next((n for n, e in enumerate(ahead) if e.kind == "bake"), len(ahead))]]
    return Butter(value_c, share, "hands" in kinds, "chill" in kinds, place)


def _read_before(scene: Scene) -> tuple[Reading, float] | None:
    """The newest reading of the dough's temperature (°C) in an earlier stage, until it is in the cold or worked."""
    strand = scene.state.formula.strand(scene.index)
    if scene.cold or scene.stage.kind == "hands":
        return None
    for index in range(scene.index - 1, strand.start - 1, -1):
        read = scene.state.readings_in(index, "dough temperature")
        if read and read[-1].value is not None:
            return read[-1], read[-1].value
        if scene.state.stage(index).kind == "hands":
            return None
    return None


def butter_seen(found: Butter) -> str:
    what = "It stands at" if found.place else "Dough"
    return f"{what} {temperature(found.value_c)} with {percent(found.share)} of butter or its like"


def butter_do(found: Butter) -> str:
    """Into the fridge before hands work it; a cooler place where it is shaped already."""
    low, high = CHILL_MIN
    if found.chills:
        return "flatten it and put it into the cold now"
    if found.to_shape and not found.place:
        return f"chill it {low} to {high} min before shaping"
    return f"stand it cooler, at {BUTTER_C:g} °C or less, until it is baked"


def sourdough_warm(scene: Scene) -> float | None:
    """A dough (°C) raised by sourdough alone that is past what its yeast likes."""
    found = scene.dough()
    if found is None or found[1] <= SOURDOUGH_C or scene.stage.kind not in ("hands", "proof", "rest"):
        return None
    return found[1] if raised_by(scene.state.formula, scene.index)[0] == "sourdough" else None


def too_hot_for_yeast(scene: Scene) -> float | None:
    """What is mixed (°C) hotter than any liquid that yeast goes into."""
    found = scene.dough()
    return None if found is None or found[1] < WARMEST_C or not scene.before_it_ferments else found[1]


@dataclass(frozen=True, slots=True)
class NotReached:
    """The dough that the liquid can give, the one wanted (°C), and what the liquid is poured at."""

    comes_c: float
    wanted_c: float
    liquid: str
    liquid_c: float


def liquid_cannot(scene: Scene) -> NotReached | None:
    """A batch whose liquid cannot bring the dough to its temperature; known until the dough stands."""
    batch, wanted_c = scene.state.batch, scene.state.formula.dough.temperature_c
    if wanted_c is None or batch.expected_c is None or batch.liquid_c is None or not scene.before_it_ferments:
        return None
    if abs(batch.expected_c - wanted_c) < WISH_K or scene.dough() is not None:
        return None
    return NotReached(batch.expected_c, wanted_c, batch.liquid, batch.liquid_c)


def liquid_do(found: NotReached) -> str:
    if found.comes_c > found.wanted_c:
        return "cool the flour and the bowl as well, and plan a shorter proof"
    return "warm the flour and the bowl as well, and plan a longer proof"


def warm_into_the_cold(scene: Scene) -> tuple[float, float] | None:
    """A dough (°C) put into the cold warmer than its formula meant, which goes on for long: (dough, meant)."""
    found, wish_c = scene.dough(), scene.state.formula.dough.temperature_c
    if not scene.cold or found is None or wish_c is None or scene.into(found[0]) > 3600:
        return None
    return (found[1], wish_c) if found[1] > wish_c + WISH_K + scene.state.kitchen.probe.good_to_k(found[1]) else None


def slow_to_cool(scene: Scene) -> tuple[float, float] | None:
    """A dough (°C) that is still warm after hours (s) in the cold."""
    found = scene.dough()
    if not scene.cold or found is None or scene.into(found[0]) < COOLED_S or found[1] <= COOLED_C:
        return None
    return found[1], scene.into(found[0])


def cold_for_the_oven(scene: Scene) -> tuple[float, str] | None:
    """A dough (°C) that is to go into the oven soon and is still cold inside, and what to do.

    One in the cold has it from the prompt once its time is up.
    """
    found = scene.dough()
    if scene.stage.kind != "proof" or not scene.before_the_bake or found is None or found[1] >= READY_C:
        return None
    if not scene.cold and sent_cold(scene.state, scene.index):
        return None  # its card has it baked from the cold
    if scene.cold:
        warm = warming(scene.state, scene.index, scene.now_s)
        return None if warm is None or not -TAKE_OUT_S <= scene.late_s < 0 else (found[1], warm.words)
    late = scene.into(found[0]) >= scene.stage.time_s / 2
    return (found[1], "leave it in the warm longer, and read it again in 30 min") if late else None


def not_ready_at_take_out(scene: Scene) -> tuple[float, float] | None:
    """How far (share, range) a dough moved into the cold is as its time there ends, where that is not far enough."""
    if not scene.run.stood or not scene.cold or scene.late_s < -TAKE_OUT_S:
        return None
    out = at_take_out(scene.state, scene.index)
    return None if out is None or out.share.high >= 1 else (out.share.low, out.share.high)
