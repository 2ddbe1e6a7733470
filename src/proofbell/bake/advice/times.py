"""Stages that went on too long, hours in which nobody looked, a power cut."""

from __future__ import annotations

from dataclasses import replace

from proofbell.bake import events as kinds
from proofbell.bake.advice.proof import Ahead, ahead, flat, into_the_oven, over_proofed, press_it
from proofbell.bake.advice.scene import Scene
from proofbell.bake.coming import coming_s
from proofbell.bake.doubt import outages
from proofbell.bake.fermenting.at_the_bench import too_long_at_the_bench
from proofbell.bake.fermenting.cold import share_after
from proofbell.bake.fermenting.cold_words import FAR_SHARE
from proofbell.bake.fermenting.kneading import KNEADING_S, machine_late_s
from proofbell.bake.fermenting.short_rise import short_rise
from proofbell.bake.fermenting.terms import terms
from proofbell.bake.fermenting.warming import warming, was_cold
from proofbell.formula.dough_stages import STANDS, division
from proofbell.formula.model import StageKind
from proofbell.frozen import dataclass
from proofbell.words import length, told_length

GRACE_S, COLD_GRACE_S = 60.0, 1800.0
"""A minute past a limit is none, in the cold or out of it half an hour: common practice, no source."""

SLIGHT_S, SLIGHT_SHARE = 600.0, 0.1
"""So little past its limit, and by so little of it, a dough only has to go on: common practice, no source."""

FORGOTTEN_S, FORGOTTEN_COLD_S = 2 * 3600.0, 12 * 3600.0
"""So long over its time a dough was forgotten, in the warm and in the cold: common practice, no source."""

AWAY_S = 1800.0
"""A dough changes in half an hour: common practice, no source."""

CUT_S = 600.0
"""So long an oven or a fridge keeps its temperature: common practice, no source."""

FRIDGE_SHUT_S = 4 * 3600.0
"""An unopened fridge keeps food cold for about 4 h without power: USDA FSIS, food safety in a power outage (from
memory)."""

MIXER_K_A_MIN = 0.55
"""A stand mixer warms a dough by about 1 °F a minute: a maker's figure, as told on The Fresh Loaf, node 7145."""


@dataclass(frozen=True, slots=True)
class Past:
    """A stage of a kind that has run for ``into_s``, past ``limit_s``; ``then`` is what follows from that.

    ``own``: the limit stands in the formula; else it is that of a dough of another warmth.
    """

    kind: StageKind
    into_s: float
    limit_s: float
    then: Ahead
    own: bool

    @property
    def slight(self) -> bool:
        """Whether it is so little past its limit that nothing has to be mended."""
        return self.into_s - self.limit_s < min(SLIGHT_S, SLIGHT_SHARE * self.limit_s)


def grace(scene: Scene) -> float:
    """How long past a limit (s) nothing is said."""
    return COLD_GRACE_S if scene.cold or was_cold(scene.run) else GRACE_S


def past_its_limit(scene: Scene) -> Past | None:
    """A stage longer than its formula forgives; not while a dough out of the cold is yet to be warm enough.

    Nor where its rise was judged short last: it is judged again then, whatever the clock says.
    """
    grace_s = grace(scene)
    # No limit is shorter than the card's time, and to work it out takes longer than all else that is said of a dough.
    if scene.stage.kind not in STANDS or scene.into_s < scene.stage.time_s + grace_s:
        return None
    if scene.judged_short:
        return None
    if not scene.cold and was_cold(scene.run) and warming(scene.state, scene.index, scene.now_s) is not None:
        return None
    limit_s = scene.limit_s
    if limit_s is None or scene.into_s < limit_s + grace_s or _slowed_by_the_cold(scene):
        return None
    card = scene.stage.stretch
    return Past(scene.stage.kind, scene.into_s, limit_s, ahead(scene), card is not None and limit_s == card[1])


def _slowed_by_the_cold(scene: Scene) -> bool:
    """Whether a proof that its baker put into the cold is likely not too far yet, whatever its hours."""
    asked, run = terms(scene.state, scene.index), scene.run
    if asked is None or not scene.cold or not run.stood or run.agreed_place or scene.stage.kind != "proof":
        return False
    return share_after(asked, scene.into_s).value < FAR_SHARE


def past_seen(found: Past) -> str:
    whose = "the formula" if found.own else "this dough"
    return f"{told_length(found.into_s - found.limit_s)} past the {length(found.limit_s)} that {whose} allows"


def past_do(found: Past) -> str:
    if found.kind == "chill":
        return "take it out and go on; look at the next stage early"
    return "go on at once" if found.kind == "rest" else _end_it(found.then, slight=found.slight)


def _end_it(then: Ahead, *, slight: bool) -> str:
    if then.then is not None:
        name, least_s = then.then
        first = "go on at once" if slight else "knock it back and shape it at once"
        return f"{first}; judge {name} early, from {told_length(least_s)} on"
    return press_it(then, slight=slight) if only_looks(then) else into_the_oven(then)


def only_looks(then: Ahead) -> bool:
    """Whether a dough before its oven is to be looked at first, as nobody has judged it."""
    return then.then is None and not then.judged and not then.warm


@dataclass(frozen=True, slots=True)
class Forgotten:
    """A dough that nobody answered for: how long over its time (s)."""

    late_s: float
    then: Ahead


def forgotten(scene: Scene) -> Forgotten | None:
    """A dough long over its time, or long over the time at which its short rise was to be judged again.

    Not one that was judged since, and is not too far.
    """
    if scene.stage.kind not in STANDS:
        return None
    least_s = FORGOTTEN_COLD_S if scene.cold else FORGOTTEN_S
    meant_s, judged = _meant_s(scene, least_s), scene.newest("rise")
    late_s = scene.into_s - meant_s
    if late_s < least_s or scene.into_s < (scene.limit_s or 0.0):
        return None
    if judged is not None and scene.into(judged) - meant_s >= least_s and over_proofed(scene) is None:
        return None
    then = ahead(scene)
    return Forgotten(late_s, replace(then, judged=then.judged and not scene.judged_short))


def _meant_s(scene: Scene, least_s: float) -> float:
    """How long a stage was meant to be (s): what a forgotten one was given by hand since makes it no younger."""
    begun_s, short = scene.run.begun_s or 0.0, short_rise(scene.state, scene.index)
    by_hand = (each for each in scene.run.adjustments if each.body.by == "hand")
    since = (each.body.from_s for each in by_hand if each.at_s - begun_s - each.body.from_s >= least_s)
    length_s = next(since, scene.run.length_s)
    return length_s if short is None else max(length_s, short.again_s)


def forgotten_do(found: Forgotten) -> str:
    """Shaped again, baked as it is, or not at all: nose and hands decide."""
    if found.then.then is not None:
        name, least_s = found.then.then
        first = f"knock it back and shape it at once, {name} from {told_length(least_s)} on"
    else:
        first = press_it(found.then) if only_looks(found.then) else flat(found.then)
    return f"{first}; if it is slack and smells sharp, give it up"


def unwatched(scene: Scene) -> float | None:
    """How long (s) the program was away in a stage in which nothing was read since."""
    begun_s = scene.run.begun_s
    if begun_s is None or scene.stage.kind not in (*STANDS, "bake"):
        return None
    since = [
        event.body.away_s if isinstance(event.body, kinds.ProgramBack) else 0.0
        for event, at_us in zip(scene.state.events, scene.state.times_us, strict=True)
        if at_us / 1_000_000 >= begun_s and isinstance(event.body, kinds.ProgramBack | kinds.ReadingTaken)
    ]
    return since[-1] if since and since[-1] >= AWAY_S else None


@dataclass(frozen=True, slots=True)
class PowerCut:
    """How long the power was off (s) in a stage of a kind. ``since``: the first event after it."""

    off_s: float
    kind: StageKind
    since: int


def power_cut(scene: Scene) -> PowerCut | None:
    """A power cut in the stage that runs, after which nothing was read yet."""
    begun_s = scene.run.begun_s
    if begun_s is None or scene.stage.kind not in (*STANDS, "bake"):
        return None
    state = scene.state
    cuts = [one for one in outages(state, state.last.stamp) if one.since <= state.last.number]
    last = cuts[-1] if cuts else None
    if last is None or last.counted_s < CUT_S or state.times_us[last.since - 1] / 1_000_000 < begun_s:
        return None
    read = any(reading.number > last.since for reading in state.readings_in(scene.index))
    return None if read else PowerCut(last.counted_s, scene.stage.kind, last.since)


def cut_do(found: PowerCut) -> str:
    if found.kind == "bake":
        return "an electric oven was off too; heat it again, add the time, and go by the core"
    if found.kind == "chill" and found.off_s < FRIDGE_SHUT_S:
        return "keep the fridge shut until it is cold again, then read the dough"
    if found.kind == "chill":
        return f"the fridge is likely warm, a shut one lasts about {told_length(FRIDGE_SHUT_S)}; read the dough now"
    return "read the dough, judge its rise, and see whether the oven is on"


@dataclass(frozen=True, slots=True)
class Kneaded:
    """Minutes of kneading past what is meant, and what they warm a dough by (K)."""

    late_min: float
    warmed_k: float


def kneading_too_long(scene: Scene) -> Kneaded | None:
    """A machine that has run on past its time, as far as is known."""
    late_s = machine_late_s(scene.state, scene.index, scene.now_s)
    return None if late_s < KNEADING_S else Kneaded(late_s / 60, late_s / 60 * MIXER_K_A_MIN)


@dataclass(frozen=True, slots=True)
class Shaped:
    """Hands at work for so long past what was meant (s), before the proof of that name and length (s).

    ``whole``: the dough is no pieces yet.
    """

    late_s: float
    proof: str
    proof_s: float
    whole: bool = False


def shaping_too_long(scene: Scene) -> Shaped | None:
    """Hands that take long over a dough that rises meanwhile."""
    nxt = scene.next
    if scene.stage.kind != "hands" or scene.before_it_ferments or nxt is None or nxt.kind != "proof":
        return None
    if not too_long_at_the_bench(scene.stage, scene.late_s):
        return None
    at, proof_s = division(scene.state.formula), coming_s(scene.state, scene.index + 1)
    return Shaped(scene.late_s, nxt.name, proof_s, at is not None and scene.index < at)


def shaped_do(found: Shaped) -> str:
    """The whole dough, or its first pieces, have risen meanwhile, perhaps as far as they are to."""
    if found.whole and found.late_s >= found.proof_s:
        return f"go on at once, and judge its rise before {found.proof} begins"
    if found.whole:
        return f"go on at once; {found.proof} may be up to {told_length(found.late_s)} shorter"
    if found.late_s >= found.proof_s:
        return f"cover what is shaped, and judge its rise before {found.proof} begins"
    return f"cover what is shaped; {found.proof} may be up to {told_length(found.late_s)} shorter for the first pieces"
