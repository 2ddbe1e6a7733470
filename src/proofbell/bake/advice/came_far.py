"""A dough that went too far in its proof: its final proof is judged early, as was said while it stood."""

from __future__ import annotations

from proofbell.bake.advice.proof import AT_ITS_END, Ahead, over_proofed
from proofbell.bake.advice.scene import Scene
from proofbell.bake.advice.times import forgotten, past_its_limit
from proofbell.bake.coming import judged_from_s
from proofbell.bake.fermenting.cold import share_after
from proofbell.bake.fermenting.cold_words import FAR_SHARE
from proofbell.bake.fermenting.terms import terms
from proofbell.formula.model import StageKind
from proofbell.frozen import dataclass
from proofbell.words import percent, told_length


@dataclass(frozen=True, slots=True)
class CameFar:
    """A stage that rose too far, before the proof of that name and index; ``rose``: what was seen of its rise.

    ``past_s``: it stood so much longer than its dough allows (s), however it rose; ``forgotten``: than its time, where
    its card does not say what it allows.
    ``from_s`` is when that proof is to be judged at the soonest (s into it); None where its card does not say.
    ``at_hand`` is the kind of the stage that runs. ``since``: that moment has come. ``done``: by the model it did so
    many times what its card asks for, and nobody measured that it did not.
    """

    stage: str
    rose: Ahead | None
    proof: str
    at: int
    from_s: float | None
    at_hand: StageKind
    past_s: float | None = None
    forgotten: bool = False
    since: bool = False
    done: float | None = None


def came_far(scene: Scene) -> CameFar | None:
    """A final proof, or the hands or rest before it, of a dough that went too far in the proof or the cold before.

    Whatever was advised there to be judged early is so: the limit is the one that was told then.
    """
    state, strand = scene.state, scene.state.formula.strand(scene.index)
    proof = next((i for i in range(scene.index, strand.stop) if state.stage(i).kind in ("proof", "bake")), None)
    if proof is None or state.stage(proof).kind == "bake" or scene.stage.kind == "chill" or scene.newest("rise"):
        return None
    for before in _stood_before(scene):
        ended_s = state.stages[before].ended_s
        then = Scene(state, before, scene.now_s if ended_s is None else ended_s)
        far, past, left = over_proofed(then), past_its_limit(then), forgotten(then)
        done = None if far or past or left else _by_the_model(then)
        if far is None and past is None and left is None and done is None:
            continue
        from_s = judged_from_s(state, proof)
        past_s = None if far or done else past.into_s - past.limit_s if past else then.late_s
        names = state.stage(before).name, state.stage(proof).name
        since = proof == scene.index and from_s is not None and scene.into_s >= from_s
        return CameFar(names[0], far, names[1], proof, from_s, scene.stage.kind, past_s, past is None, since, done)
    return None


def _by_the_model(then: Scene) -> float | None:
    """How many times what its card asks for a proof did by the model, where that is too far; None by a measured rise.

    A look by eye leaves room for that, a number does not.
    """
    asked, rise = terms(then.state, then.index), then.newest("rise")
    measured = rise is not None and rise.value is not None and then.into(rise) >= AT_ITS_END * then.into_s
    if then.stage.kind != "proof" or asked is None or measured or then.judged_short:
        return None
    share = share_after(asked, then.into_s).value
    return share if share >= FAR_SHARE else None


def _stood_before(scene: Scene) -> list[int]:
    """The stages in which the dough rose before, the newest first: its last proof, and the cold since."""
    found: list[int] = []
    for index in range(scene.index - 1, scene.state.formula.strand(scene.index).start - 1, -1):
        kind = scene.state.stage(index).kind
        if kind in ("proof", "chill"):
            found.append(index)
        if kind == "proof":
            break
    return found


def came_far_seen(found: CameFar) -> str:
    """How far it went, beside the most that is wanted, or how long it stood."""
    if found.done is not None:
        return f"{found.stage} came to {found.done * 100:.0f} % of what its card asks, by warmth and time"
    if found.past_s is not None:
        meant = "was meant" if found.forgotten else "this dough allows"
        return f"{found.stage} stood {told_length(found.past_s)} longer than {meant}"
    rose = found.rose
    if rose is None or rose.value is None:
        return f"{found.stage} went too far"
    return f"{found.stage} rose {percent(rose.value)}, {rose.most_words}"


def came_far_do(found: CameFar) -> str:
    if found.since:
        return "judge it now"
    first = "shape it at once and " if found.at_hand == "hands" else ""
    what = "judge it early" if found.at_hand == "proof" else f"{first}judge {found.proof} early"
    return f"{what}{'' if found.from_s is None else f', from {told_length(found.from_s)} on'}"
