"""How warm the dough is beside what is meant, and what its butter and its yeast make of it."""

from __future__ import annotations

import math
from dataclasses import replace

from proofbell.bake.advice.read_beside import beside, no_nearer, read_before, within
from proofbell.bake.advice.scene import Scene
from proofbell.bake.fermenting.before_reading import modelled_c, shown_place_c
from proofbell.bake.fermenting.cold import dough_after, moved_dough
from proofbell.bake.fermenting.forgiven import forgives
from proofbell.bake.fermenting.meant import WISH_K, meant_c
from proofbell.bake.fermenting.place import place_c, places_before
from proofbell.bake.fermenting.terms import raised_by, terms
from proofbell.bake.fermenting.warming import out_at_s, was_cold
from proofbell.bake.state import Reading
from proofbell.bake.tasks import PromptId, Skipped
from proofbell.dough.fermenting.rate import relative_rate
from proofbell.dough.liquid import WARMEST_C
from proofbell.frozen import dataclass

TRADE_RATE = 1.10
"""One degree more is about a tenth more of the yeast's work: *bake* magazine, The science of fermentation, 2015."""

AGAIN_MIN = (20, 30)
"""Minutes after which a dough in another place is read again: common practice, no source."""

NEARLY_SHARE = 1 / 6
"""In the last sixth of a proof no warmer place changes much: common practice, no source."""

APART_S = 180.0
"""What is wanted within three minutes of something else is looked at with it: common practice, no source."""

SOURDOUGH_C = 30.0
"""Past the best of a sourdough's yeast, 27 to 28 °C; at 32 °C it is at half its speed (Gänzle, FAQ of
rec.food.sourdough)."""


@dataclass(frozen=True, slots=True)
class Off:
    """A dough's temperature beside what is meant (°C), and by how much of its speed it differs (percent, range).

    ``hands``: it has not stood yet. ``over``: its time is up. ``again_s``: until it is to be read again (s), ``asks``
    whether it is. ``now_c``: it was moved since, and is about so warm. ``by_now_c``: the path that its time was
    worked out from is not as its card means; by it the dough should be so warm (°C). ``as_told``: it is so warm.
    ``cools``: its readings show that it stands cool enough. ``nearly``: its proof is nearly over, and no other place
    changes much yet.
    """

    value_c: float
    low_c: float
    high_c: float
    percent: tuple[int, int] | None
    hands: bool
    over: bool
    again_s: float
    asks: bool
    now_c: float | None = None
    by_now_c: float | None = None
    as_told: bool = False
    nearly: bool = False
    cools: bool = False


def _off(scene: Scene) -> Off | None:
    """The newest reading, where it lies beside what is meant by more than the probe is good to."""
    found = scene.dough()
    if found is None:
        return None
    reading, value_c = found
    meant = beside(scene, reading) or no_nearer(scene, reading)
    if meant is None:
        return None
    path, by_now_c = modelled_c(scene.state, scene.index, reading.at_s, reading.number), None
    as_told = no_worse = False
    timed = any(each.stage == scene.index for each in read_before(scene, reading))
    if path is not None and (timed or not meant[0] <= path.value <= meant[1]):
        # Its time was worked out for a dough read before, or beside its card: the same path says whether this one is
        # slower than that.
        cold, slack_k = value_c < meant[0], scene.state.kitchen.probe.good_to_k(value_c)
        if timed or (path.value < meant[0]) == cold:
            beyond_k = path.value - value_c if cold else value_c - path.value
            if cold and beyond_k < (-slack_k if timed else 0):
                return None
            no_worse = beyond_k <= slack_k
            as_told = timed and abs(beyond_k) <= slack_k
            by_now_c = path.value if not no_worse else None
    speed = None if no_worse else _speed(scene, value_c, sum(meant) / 2 if by_now_c is None else by_now_c)
    hands, again_at_s = scene.stage.kind == "hands", _again_at_s(scene, reading, meant)
    asks, over = _asks_again(scene, reading, again_at_s, warm=value_c > meant[1]), scene.late_s >= 0
    if over and _judged_since(scene, reading):
        return None
    again_s, nearly = again_at_s - scene.now_s, scene.late_s > -NEARLY_SHARE * scene.run.length_s
    return Off(value_c, *meant, speed, hands, over, again_s, asks, None, by_now_c, as_told, nearly)


def _judged_since(scene: Scene, reading: Reading) -> bool:
    """Whether its rise was judged after a reading, and is not short."""
    rise = scene.newest("rise")
    return rise is not None and rise.number > reading.number and not scene.judged_short


def read_too_warm(scene: Scene) -> bool:
    """Whether the dough was read warmer than meant where it stands, whatever was read after that."""
    found, moved_s = scene.dough(), scene.run.stood[-1].at_s if scene.run.stood else -math.inf
    read = [] if found is None else [found[0], *read_before(scene, found[0])]
    if too_warm(scene) is not None:
        return True
    off = ((each.value, beside(scene, each)) for each in read if each.at_s > moved_s)
    return any(value_c is not None and meant is not None and value_c > meant[1] for value_c, meant in off)


def _asks_again(scene: Scene, reading: Reading, again_at_s: float, *, warm: bool) -> bool:
    """Whether a dough is asked to be read again then: once, and once more in another place; not so near to its end."""
    read_twice = len(scene.state.readings_in(scene.index, "dough temperature")) > 1
    if scene.run.begun_s is None or (read_twice and _moved_since(scene, reading) is None):
        return False
    if any(each.at_s > reading.at_s for each in scene.state.readings_in(scene.index, "rise")):
        return False
    into_s = again_at_s - scene.run.begun_s
    stays = warm and _moved_since(scene, reading) is None
    soonest_s = judged_from_s(scene) if stays else None
    if soonest_s is not None and abs(into_s - soonest_s) < APART_S:
        return False  # its rise is judged early then
    skipped = scene.state.done(Skipped(PromptId("check", scene.index, at_s=round(into_s))))
    return not skipped and into_s < scene.run.length_s - APART_S


def judged_from_s(scene: Scene) -> float | None:
    """When a dough that was read too warm is judged at the soonest (s into its stage); None: its card does not say.

    As the least that it needs is over; where it is kept to that, when it would be ready by the rate, though not in the
    first half: a time that is kept to is the one that the rate doubts most. Common practice, no source.
    """
    stretch, run = forgives(scene.state, scene.index).stretch, scene.run
    if stretch is None or stretch[0] < run.length_s - APART_S:
        return None if stretch is None else stretch[0]
    rates = (each.body.rate_s for each in reversed(run.adjustments) if each.body.by == "rate")
    rate_s = next(rates, None)
    return stretch[0] if rate_s is None else max(rate_s, run.length_s / 2)


def _moved_since(scene: Scene, reading: Reading) -> float | None:
    """How much warmer (K) the dough stands since a reading, where it was moved; None where it was not."""
    stood = scene.run.stood
    if not stood or stood[-1].at_s <= reading.at_s:
        return None
    before = places_before(scene.state, scene.index)
    return place_c(scene.state, scene.index) - before[-1][1] if before else 0.0


def _again_at_s(scene: Scene, reading: Reading, meant: tuple[float, float]) -> float:
    """When a dough that was read beside what is meant is to be read again (the bake's own time, s).

    Half an hour later, or a little sooner where its end is near; once it was moved, when it is likely as warm as is
    meant, or half of the way to its new place, which may be no later than the half of its stage's own time.
    """
    low_s, high_s = (minutes * 60.0 for minutes in AGAIN_MIN)
    asked = terms(scene.state, scene.index)
    if _moved_since(scene, reading) is None or asked is None or scene.run.begun_s is None:
        ends_s = (scene.run.begun_s or 0.0) + scene.run.length_s
        return reading.at_s + (low_s if reading.at_s + high_s > ends_s - low_s / 2 else high_s)
    out_s, here_c = out_at_s(scene.run), asked.place_c
    moved_c = dough_after(asked, out_s).value
    edge_c = meant[0] if moved_c < meant[0] else meant[1]
    share = max(0.5, (here_c - edge_c) / (here_c - moved_c)) if here_c != moved_c else 0.5
    on_s = min(asked.tau_s * -math.log(min(share, 0.99)), scene.stage.time_s / 2)
    latest_s = scene.run.length_s - out_s - low_s / 2
    return scene.run.begun_s + out_s + max(low_s, min(on_s, latest_s))


def read_again_s(scene: Scene) -> float | None:
    """When the dough is to be read again, as it was read beside what is meant and not since it was moved."""
    off = _off(scene)
    if off is None or not off.asks:
        return None
    if off.value_c < off.low_c and read_too_cold(scene) is None:
        return None
    return scene.now_s + off.again_s


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
    if found is None or found.value_c <= found.high_c:
        return None
    shown_c = shown_place_c(scene.state, scene.index)
    found = found if shown_c is None or shown_c > found.high_c else replace(found, cools=True)
    return _as_moved(scene, found)


def too_cold(scene: Scene) -> Off | None:
    """A dough colder than meant by more than the probe is good to."""
    found = read_too_cold(scene)
    return None if found is None else _as_moved(scene, found)


def read_too_cold(scene: Scene) -> Off | None:
    """A dough that was read colder than meant, wherever it was put since."""
    if was_cold(scene.run) and scene.before_the_bake:
        return None  # out of the cold it is to be warm enough for the oven, not as warm as a proof in the room
    found = _off(scene)
    return found if found is not None and found.value_c < found.low_c else None


def _as_moved(scene: Scene, off: Off) -> Off | None:
    """The same judged anew where it was moved since, the right way and far enough; None where it is as meant by now."""
    found, here_c = scene.dough(), place_c(scene.state, scene.index)
    warmer_k = None if found is None else _moved_since(scene, found[0])
    cold = off.value_c < off.low_c
    if warmer_k is None or off.hands or (warmer_k <= 0 if cold else warmer_k >= 0):
        return off
    if here_c < off.low_c if cold else here_c > off.high_c:
        return off
    now, meant = moved_dough(scene.state, scene.index, scene.now_s), meant_c(scene.state, scene.index, None)
    if now is None or meant is None or within(scene, now.value, meant):
        return None
    return replace(off, now_c=now.value)


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
    """A batch whose liquid cannot bring the dough to its temperature, until it is mixed."""
    batch, wanted_c = scene.state.batch, scene.state.formula.dough.temperature_c
    if wanted_c is None or batch.expected_c is None or batch.liquid_c is None or not scene.before_it_ferments:
        return None
    if scene.index > (scene.state.formula.dough_begins or 0):
        return None
    if abs(batch.expected_c - wanted_c) < WISH_K or scene.dough() is not None:
        return None
    return NotReached(batch.expected_c, wanted_c, batch.liquid, batch.liquid_c)


def liquid_do(found: NotReached) -> str:
    if found.comes_c > found.wanted_c:
        return "cool the flour and the bowl as well"
    return "warm the flour and the bowl as well"
