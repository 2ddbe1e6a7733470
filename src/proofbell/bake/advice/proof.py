"""How the dough has risen: short, not at all, too far, sunk."""

from __future__ import annotations

from proofbell.bake.advice.butter import CHILL_FIRST, to_chill_s
from proofbell.bake.advice.scene import Scene
from proofbell.bake.coming import coming_s, judged_from_s
from proofbell.bake.fermenting.short_rise import judged_short, sank_from, whole_minutes
from proofbell.bake.fermenting.short_rise import rise_wanted as wanted_of
from proofbell.bake.fermenting.short_rise import short_rise as short_by_the_dough
from proofbell.bake.fermenting.terms import USUAL_RISE_PERCENT
from proofbell.bake.fermenting.warming import warming
from proofbell.formula.dough_stages import STANDS
from proofbell.frozen import dataclass
from proofbell.words import percent, told_length

AT_ITS_END = 0.9
"""A rise judged in the last tenth of a stage speaks for its end: common practice, no source."""

NO_RISE_PERCENT = 10.0
"""What a dough gains without working yeast is within what is read by eye: common practice, no source."""

OVEN_S = 300.0
"""A dough that is ready waits so long for the oven where it stands: common practice, no source."""

FAR = 1.5
"""So many times the most that is wanted is far over it: common practice, no source."""


@dataclass(frozen=True, slots=True)
class ShortRise:
    """The rise (percent; None by eye), the lowest wanted (None: nobody says), and how much longer (s; 0: not told)."""

    value: float | None
    wanted: float | None
    more_s: float


NIGHT_S = 2 * 3600.0
"""A dough with more hours than this in the cold is not shaped for them: common practice, no source."""


@dataclass(frozen=True, slots=True)
class Ahead:
    """What follows for a dough that is too far: ``then`` is the next proof and its least length (s); None: the oven.

    ``oven_s``: until the oven is hot. ``far``: well past what is wanted. ``value`` is the rise (percent, None by eye),
    ``most`` the most wanted. ``cold``: it stands in the cold already. ``warm`` says how it is first to warm. ``cut``:
    it is a loaf that is cut as it is loaded. ``tin``: it stands in one. ``off``: nobody has said that its oven is on.
    ``judged``: somebody has judged its rise in this stage. ``night``: it has hours in the cold yet. ``usual``: its card
    says no most, and ``most`` is what such a dough usually rises. ``chilled``: its butter is to be firm before it is
    shaped.
    """

    then: tuple[str, float] | None
    oven_s: float = 0.0
    far: bool = False
    value: float | None = None
    most: float = 0.0
    cold: bool = False
    warm: str = ""
    cut: bool = False
    tin: bool = False
    off: bool = False
    judged: bool = False
    night: bool = False
    usual: bool = False
    chilled: bool = False

    @property
    def most_words(self) -> str:
        """``60 % is the most``; where its card says none, what is usual."""
        return f"about {percent(self.most)} is usual" if self.usual else f"{percent(self.most)} is the most"


def rise_wanted(scene: Scene) -> tuple[float, float] | None:
    """The rise that is wanted of the stage (percent): its own, or what its check expects."""
    return wanted_of(scene.stage)


def short_rise(scene: Scene) -> ShortRise | None:
    """A rise at the stage's end, or one that made it longer, that is lower than wanted."""
    wanted, reading = rise_wanted(scene), scene.newest("rise")
    if reading is None or not judged_short(scene.state, scene.index):
        return None
    given = next((a.body for a in scene.run.adjustments if a.body.cause == reading.number), None)
    into_s = scene.into(reading)
    lengthened = given is not None and given.to_s > given.from_s
    if not lengthened and into_s < AT_ITS_END * scene.run.length_s:
        return None
    told = short_by_the_dough(scene.state, scene.index)
    more_s = max(0.0, scene.run.length_s - into_s) if told is None else told.more_s
    return ShortRise(reading.value, None if wanted is None else wanted[0], more_s)


def short_seen(found: ShortRise) -> str:
    if found.value is None or found.wanted is None:
        return "Not ready by eye"
    return f"Rise {percent(found.value)}, {percent(found.wanted)} wanted"


def short_do(found: ShortRise) -> str:
    if found.more_s >= 60:
        more = told_length(whole_minutes(found.more_s) * 60)
        return f"give it {more} more where it is or a little warmer, then judge it again"
    return "stand it a little warmer and judge it by a finger's mark, not by the clock"


def no_rise(scene: Scene) -> float | None:
    """A dough that has hardly risen (percent) after the whole of its formula's time."""
    reading = scene.newest("rise")
    if rise_wanted(scene) is None or reading is None or reading.value is None or reading.value > NO_RISE_PERCENT:
        return None
    return reading.value if scene.into(reading) >= AT_ITS_END * scene.stage.time_s else None


def ahead(
    scene: Scene, *, far: bool = False, value: float | None = None, most: float = 0.0, usual: bool = False
) -> Ahead:
    """What comes after the stage for a dough that is too far."""
    nxt = scene.next_proof
    then = None
    if nxt is not None:
        from_s = judged_from_s(scene.state, nxt)
        then = (scene.state.stage(nxt).name, coming_s(scene.state, nxt) if from_s is None else from_s)
    warm = warming(scene.state, scene.index, scene.now_s)
    words = "" if warm is None else f"{warm.words}, then "
    cut, tin, judged = _is_cut(scene), _in_a_tin(scene), scene.newest("rise") is not None
    night = scene.stage.kind == "chill" and scene.late_s < -NIGHT_S
    oven_s, off = scene.wait_for_oven_s(), scene.oven_off
    chilled = to_chill_s(scene.state, scene.index, scene.now_s) > 0
    return Ahead(then, oven_s, far, value, most, scene.cold, words, cut, tin, off, judged, night, usual, chilled)


def _is_cut(scene: Scene) -> bool:
    """Whether a dough is cut as it is loaded: a lean one, into steam, in no tin. Common practice, no source."""
    formula = scene.state.formula
    steam = any(phase.steam for stage in formula.stages[scene.index :] for phase in stage.phases)
    return formula.style == "lean" and steam and not _in_a_tin(scene)


def _in_a_tin(scene: Scene) -> bool:
    batch = scene.state.formula.batch
    return batch.tin_ml is not None or batch.in_tin is not None


def into_the_oven(found: Ahead) -> str:
    """What to do with a dough that only the oven is to come for: bake it, or hold it until the oven is hot."""
    if found.warm:
        return f"{found.warm}bake it, {_gently(found)}"
    if found.oven_s < OVEN_S:
        return f"bake it now, {_gently(found)}"
    hold = "leave it in the cold" if found.cold else "into the fridge"
    return f"{_oven_on(found)}{hold} until the oven is hot, in {told_length(found.oven_s)}"


def _gently(found: Ahead) -> str:
    return "with shallow cuts or none" if found.cut else "and shake it as little as you can"


def _oven_on(found: Ahead) -> str:
    return "oven on now; " if found.off else ""


def press_it(found: Ahead, *, slight: bool = False) -> str:
    """A dough long over its time whose rise nobody has judged: it may be too far, and may be not.

    ``slight``: it is hardly over, and likely is not.
    """
    if found.oven_s < OVEN_S:
        return f"look at it and press it; if it is not too far, bake it now, {_gently(found)}"
    oven = "Oven on now if it is to be baked" if found.off else f"The oven is hot in {told_length(found.oven_s)}"
    return "look at it and press it, is it too far?" + ("" if slight else f" {oven}")


def flat(found: Ahead) -> str:
    """Baking it as a flat loaf where there is an oven for it; else the cold holds it, or it is shaped again."""
    if found.warm:
        return f"{found.warm}bake it{_as_it_is(found)}"
    if found.oven_s < OVEN_S:
        return f"bake it now{_as_it_is(found)}"
    hold = "leave it in the cold" if found.cold else "into the fridge, or the coldest place,"
    hot = f"until the oven is hot, in {told_length(found.oven_s)}"
    return f"{_oven_on(found)}{hold} {hot}; or knock it back and shape it again"


def _as_it_is(found: Ahead) -> str:
    """What is in a tin has its shape from that."""
    return ", and shake it as little as you can" if found.tin else " as a flat loaf"


def over_proofed(scene: Scene) -> Ahead | None:
    """A rise above the most that is wanted, far above what is usual where its card wants none, or too far by eye."""
    wanted, reading = rise_wanted(scene), scene.newest("rise")
    if reading is None or scene.stage.kind not in STANDS:
        return None
    if reading.eye == "too far":
        return ahead(scene, far=True)
    most = USUAL_RISE_PERCENT if wanted is None else wanted[1]
    far = reading.value is not None and reading.value > FAR * most
    if reading.value is None or not (far if wanted is None else reading.value > most):
        return None
    return ahead(scene, far=far, value=reading.value, most=most, usual=wanted is None)


def over_seen(found: Ahead) -> str:
    return "Gone too far" if found.value is None else f"Rise {percent(found.value)}, {found.most_words}"


def over_do(found: Ahead) -> str:
    """Back to the bench while a proof is to come; else into the oven, or shaped again."""
    if found.then is not None:
        name, least_s = found.then
        act = f"{CHILL_FIRST}, then shape it" if found.chilled else "shape it at once"
        act = "spread it flat on the coldest shelf again" if found.night else act
        return f"knock it back and {act}; judge {name} early, from {told_length(least_s)} on"
    return flat(found) if found.far else into_the_oven(found)


@dataclass(frozen=True, slots=True)
class Sunk:
    """A rise (percent), what it was before, and what follows for that dough."""

    before: float
    now: float
    then: Ahead


def sinking(scene: Scene) -> Sunk | None:
    """A rise that was enough before, and is clearly less now."""
    newest, before = scene.newest("rise"), sank_from(scene.state, scene.index)
    if newest is None or newest.value is None or before is None or scene.stage.kind not in STANDS:
        return None
    return Sunk(before, newest.value, ahead(scene))


def sunk_do(found: Sunk) -> str:
    """Back to the bench while a proof is to come, else into the oven."""
    return flat(found.then) if found.then.then is None else "knock it back and shape it again at once"
