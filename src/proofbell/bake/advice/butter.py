"""A dough with much butter that is too warm for it, and what follows once it was put into the cold for that."""

from __future__ import annotations

import math
from bisect import bisect_left
from dataclasses import replace

from proofbell.bake.advice.off_words import warm_do
from proofbell.bake.advice.scene import Scene
from proofbell.bake.advice.temperature import Off, too_warm
from proofbell.bake.fermenting.as_it_warms import judged_ready_s
from proofbell.bake.fermenting.before_reading import modelled_c, shown_place_c
from proofbell.bake.fermenting.cold import moved_dough, share_after
from proofbell.bake.fermenting.kneading import BUTTER_C, GOES_IN_C, butter_share, butter_stands_c
from proofbell.bake.fermenting.place import place_c
from proofbell.bake.fermenting.terms import terms
from proofbell.bake.state import BakeState, Reading
from proofbell.dough.fermenting.rate import COLD_C
from proofbell.frozen import dataclass
from proofbell.words import percent, temperature, told_length

CHILL_MIN, MORE_MIN = (20, 30), 10
"""Minutes in the fridge that firm up a soft butter dough, and more where it is soft yet: common practice, no source."""

COOL_MIN = (10, 15)
"""Minutes in the cold that firm up a dough in its bowl between two turns at it: common practice, no source."""

MOST_MIN = 60
"""No dough is left soft for an hour: common practice, no source."""

CHILL_FIRST = f"chill it {CHILL_MIN[0]} to {CHILL_MIN[1]} min"


@dataclass(frozen=True, slots=True)
class Butter:
    """A dough (°C) with so much butter-like fat on flour (percent); ``to_shape``: hands are to work it yet.

    ``chills``: its card has it in the cold before that. ``place``: that is where it stands, nobody has read the dough.
    ``cold``: it stands in the cold already. ``cooling_s``: it was put somewhere cooler since it was read, and is firm
    there in about so long (s). ``in_the_making``: hands are at it before it has stood, so that it cools in its bowl.
    ``again``: it was read so there before. ``off``: how much warmer it is than meant, where it stands for long enough
    yet to do something about that as well.
    """

    value_c: float
    share: float
    to_shape: bool
    chills: bool = False
    place: bool = False
    cold: bool = False
    cooling_s: float | None = None
    in_the_making: bool = False
    off: Off | None = None
    again: bool = False

    @property
    def goes_on_now(self) -> bool:
        """Whether its card has it in the cold next, and it is to go there before its time is over."""
        return self.chills and not (self.place or self.cold or self.in_the_making)

    @property
    def to_be_chilled(self) -> bool:
        """Whether it was read so warm in the room, and is to be shaped without a cold stage before that."""
        return self.to_shape and not (self.place or self.cold or self.chills or self.in_the_making)


def butter_melts(scene: Scene) -> Butter | None:
    """A dough with fat that holds water, as butter does, warmer than butter stays firm in; not one that chills.

    Or a proof that stands so warm, however firm it is yet: its outside goes before its middle, where it is read.
    """
    if _is_no_matter(scene) or _too_late_to_chill(scene):
        return None
    found = _since_the_cold(scene, scene.dough() or _read_before(scene))
    place, here_c = found is None and scene.stage.kind == "proof", _stands_at_c(scene)
    value_c = here_c if place else 0.0 if found is None else found[1]
    if chilled(scene) is not None:
        return None
    soft = _too_warm(scene, value_c, place=place)
    if soft is None and found is not None and scene.stage.kind == "proof":
        soft = _too_warm(scene, here_c, place=True)
    soft = soft if soft is None or found is None else _as_it_cools(scene, found[0], soft)
    stays = soft is not None and not soft.goes_on_now and scene.stage.kind != "hands" and scene.late_s < 0
    return replace(soft, off=too_warm(scene)) if soft is not None and stays else soft


def _is_no_matter(scene: Scene) -> bool:
    """Whether no butter can be soft: no dough stands, none is in it, or nothing is warm. It is asked of every dough."""
    state = scene.state
    if scene.stage.kind in ("bake", "cool", "chill"):
        return True
    read = (each.value for each in state.readings if each.what == "dough temperature" and each.value is not None)
    return max(place_c(state, scene.index), *read, 0.0) <= GOES_IN_C or not butter_share(state.formula)


def _as_it_cools(scene: Scene, read: Reading, soft: Butter) -> Butter | None:
    """The same where it was put somewhere cool enough since it was read; None once it is likely firm there."""
    moved = bool(scene.run.stood) and scene.run.stood[-1].at_s >= read.at_s and not scene.cold
    shown = shown_place_c(scene.state, scene.index) is not None
    if not (moved or shown) or _stands_at_c(scene) > BUTTER_C or soft.place:
        return soft
    minutes = bisect_left(range(MOST_MIN), x=True, key=lambda each: _is_firm(scene, scene.now_s + 60.0 * each))
    if not minutes:
        return None
    return soft if minutes == MOST_MIN else replace(soft, cooling_s=60.0 * minutes)


def _stands_at_c(scene: Scene) -> float:
    """Where it stands (°C): as the baker said, or as its readings show where that is cooler."""
    shown_c = shown_place_c(scene.state, scene.index) if scene.stage.kind == "proof" else None
    return place_c(scene.state, scene.index) if shown_c is None else shown_c


def _is_firm(scene: Scene, at_s: float) -> bool:
    """Whether a dough that was moved is likely cool enough by then."""
    then = moved_dough(scene.state, scene.index, at_s) or modelled_c(scene.state, scene.index, at_s)
    return then is None or then.value <= BUTTER_C


def _too_warm(scene: Scene, value_c: float, *, place: bool = False) -> Butter | None:
    share, stands_c = butter_share(scene.state.formula), butter_stands_c(scene.state, scene.index)
    if not share or value_c <= stands_c or scene.stage.kind in ("bake", "cool", "chill"):
        return None
    ahead = scene.state.formula.stages[scene.index :]
    kinds = [each.kind for each in ahead[: next((n for n, e in enumerate(ahead) if e.kind == "bake"), len(ahead))]]
    making = scene.before_it_ferments
    earlier = scene.state.readings_in(scene.index, "dough temperature")[:-1] if making else ()
    again = bool(earlier) and (earlier[-1].value or 0.0) > stands_c
    hands, chills = "hands" in kinds, "chill" in kinds
    return Butter(value_c, share, hands, chills, place, scene.cold, in_the_making=making, again=again)


def _too_late_to_chill(scene: Scene) -> bool:
    """Whether hands are at a dough since its proof, that nobody has read again there, or for their whole time."""
    worked = scene.stage.kind == "hands" and not scene.before_it_ferments
    return worked and (scene.newest("dough temperature") is None or scene.late_s >= 0)


def _since_the_cold(scene: Scene, found: tuple[Reading, float] | None) -> tuple[Reading, float] | None:
    """A reading of the dough, unless it has been in the cold since."""
    moved = (each.at_s for each in scene.run.stood if each.place_c < COLD_C)
    return None if found is None or any(at_s >= found[0].at_s for at_s in moved) else found


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
    return f"{what} {temperature(found.value_c)} with {percent(found.share)} of butter or other fat"


def butter_do(found: Butter) -> str:
    """Into the fridge before hands work it, in its bowl while it is made; a cooler place where it is shaped already."""
    low, high = CHILL_MIN
    if found.in_the_making and found.again:
        return f"chill it {MORE_MIN} min more before more butter goes in, and read it again"
    if found.in_the_making:
        return f"stop, bowl into the cold for {COOL_MIN[0]} to {COOL_MIN[1]} min, read it again, then go on"
    if found.cold:
        return f"leave it in the cold for {low} to {high} min"
    if found.chills and found.place:
        return (
            f"keep it at {temperature(BUTTER_C, 0)} or less and read it; into the cold as soon as it has begun to rise"
        )
    if found.chills:
        return "flatten it and put it into the cold now"
    if found.cooling_s is not None and not found.to_shape:
        return (
            f"leave it where it is; it is at {temperature(BUTTER_C, 0)} or less in about {told_length(found.cooling_s)}"
        )
    if found.to_shape and not found.place:
        first = "" if found.off is None else f"{warm_do(found.off)}; "
        return f"{first}{CHILL_FIRST} before shaping"
    cooler = f"stand it cooler, at {temperature(BUTTER_C, 0)} or less"
    return f"{cooler}, until it is baked" if found.off is None else warm_do(found.off, cooler)


def butter_brief(found: Butter) -> str:
    """The same in few words: what is done now, and what comes later."""
    first = "stand it cooler; " if found.to_be_chilled and found.off is not None and found.off.now_c is None else ""
    return f"{first}{CHILL_FIRST} before shaping" if first else butter_do(found)


@dataclass(frozen=True, slots=True)
class Chilled:
    """A dough that was put into the cold for its butter, before hands work it.

    ``read_by_s``: when it is to be read again (the bake's own time, s). ``read_c``: what was read there since (°C);
    None for nothing. ``then`` is the stage that comes next; ``chills`` as in :class:`Butter`. ``left_s``: how
    long until then. ``risen``: it has risen enough, as it was judged, or, not ``judged``, by the model.
    """

    read_by_s: float
    read_c: float | None
    then: str
    chills: bool
    left_s: float = 0.0
    risen: bool = False
    judged: bool = False

    @property
    def soft(self) -> bool:
        """Whether it was read in the cold and is too warm yet."""
        return self.read_c is not None and self.read_c > BUTTER_C


def chilled(scene: Scene) -> Chilled | None:
    """The same dough once the baker has put it into the cold, where it was read too warm before."""
    run, state = scene.run, scene.state
    if not run.stood or run.agreed_place or not scene.cold or scene.stage.kind not in ("proof", "rest"):
        return None
    moved_s = run.stood[-1].at_s
    read = [r for r in state.readings_in(scene.index, "dough temperature") if r.value is not None]
    before = [r.value for r in read if r.at_s <= moved_s]
    since = [r.value for r in read if r.at_s > moved_s]
    carried = scene.dough() if not read else None
    value_c = before[-1] if before else None if carried is None else carried[1]
    soft = None if value_c is None else _too_warm(scene, value_c)
    if soft is None or not soft.to_shape or scene.next is None:
        return None
    by_s, read_c = moved_s + CHILL_MIN[0] * 60, since[-1] if since else None
    by_s = by_s if read_c is None else read[-1].at_s + MORE_MIN * 60
    return Chilled(by_s, read_c, scene.next.name, soft.chills, by_s - scene.now_s)


def too_warm_where_it_stays(scene: Scene) -> Off | None:
    """A dough warmer than meant, but for one that goes into the cold at once for its butter: it is told that alone."""
    soft = butter_melts(scene)
    return None if soft is not None and soft.goes_on_now else too_warm(scene)


def goes_on_now_s(state: BakeState, index: int, now_s: float | None) -> float | None:
    """When a butter dough was read that is to go into the cold at once, as its card has it next (s into its stage)."""
    if now_s is None or state.stage(index).kind != "proof":
        return None
    read, soft = state.readings_in(index, "dough temperature"), butter_melts(Scene(state, index, now_s))
    if not read or soft is None or not soft.goes_on_now:
        return None
    return read[-1].at_s - (state.stages[index].begun_s or 0.0)


def to_chill_s(state: BakeState, index: int, now_s: float) -> float:
    """How long (s) a dough is to stand in the cold for its butter after its stage, where that is advised; else 0."""
    soft = butter_melts(Scene(state, index, now_s)) if state.stage(index).kind in ("proof", "rest") else None
    return CHILL_MIN[0] * 60.0 if soft is not None and soft.to_be_chilled else 0.0


def chill_now(state: BakeState, index: int, now_s: float) -> bool:
    """Whether a dough whose time is over is to go into the cold for its butter before hands have it."""
    due_s = state.stages[index].due_s
    return due_s is not None and now_s >= due_s and to_chill_s(state, index, now_s) > 0


def read_cooled_s(state: BakeState, index: int, now_s: float) -> float | None:
    """When a dough whose bowl is to be cooled while it is made is to be read again (the bake's own time, s)."""
    scene = Scene(state, index, now_s)
    soft, found = butter_melts(scene), scene.dough()
    return None if soft is None or not soft.in_the_making or found is None else found[0].at_s + COOL_MIN[0] * 60


def soft_yet(state: BakeState, index: int, reading: Reading) -> float | None:
    """How long (s) a stage becomes by a reading of a dough that is in the cold for its butter and soft yet; or None."""
    found = chilled(Scene(state, index, reading.at_s))
    if found is None or not found.soft or reading.what != "dough temperature":
        return None
    into_s = reading.at_s - (state.stages[index].begun_s or 0.0)
    return max(state.stages[index].length_s, into_s + MORE_MIN * 60)


def chilling(scene: Scene) -> Chilled | None:
    """It is in the cold, and nobody has read it there yet."""
    found = chilled(scene)
    return found if found is not None and found.read_c is None and scene.late_s < 0 else None


def firm_again(scene: Scene) -> Chilled | None:
    """It was read in the cold. One that is soft yet is read again as its minutes are over, which its prompt says."""
    found = chilled(scene)
    if found is None or found.read_c is None or (found.soft and found.left_s <= 0):
        return None
    judged_s, asked = judged_ready_s(scene.state, scene.index), terms(scene.state, scene.index)
    if judged_s is not None:
        return replace(found, risen=judged_s < math.inf, judged=True)
    return replace(found, risen=asked is not None and share_after(asked, scene.into_s).value >= 1)


def chilling_do(found: Chilled) -> str:
    what = f"go on to {found.then}" if found.chills else "take it out"
    return f"read it once after {CHILL_MIN[0]} min, and {what} at {temperature(BUTTER_C, 0)} or less"


def firm_seen(found: Chilled) -> str:
    return f"Dough {temperature(found.read_c)} in the cold"


def firm_do(found: Chilled) -> str:
    """On where its card has it colder yet, or it has risen enough; else it rises on in the room."""
    what, then = "take it out and let it rise on", f"{found.then[:1].lower()}{found.then[1:]}"
    if found.chills:
        what = f"go on to {found.then}"
    elif found.risen:
        judge = "" if found.judged else "judge its rise, then "
        what = f"{judge}{then}" if found.soft else f"{judge}take it out and go on: {then}"
    if not found.soft:
        return what
    more = told_length(math.ceil(found.left_s / 60 - 1e-6) * 60)
    return f"leave it there {more} more, read it again, and {what} at {temperature(BUTTER_C, 0)} or less"
