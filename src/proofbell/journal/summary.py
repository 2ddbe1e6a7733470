"""One bake in one line of the list, made from its events; and that list, kept beside them so that it opens at once."""

from __future__ import annotations

from dataclasses import dataclass

from proofbell.bake import events as kinds
from proofbell.bake.state import BakeState
from proofbell.bake.view import size_words
from proofbell.journal.moments import Moments
from proofbell.journal.score_sheet import overall, wants_score

MADE_BY = 1
"""Goes up when a Summary gets other fields: those kept in the journal are then made again."""


@dataclass(frozen=True, slots=True)
class Summary:
    """What the list shows of a bake.

    ``began_us`` is when its first stage began (or it was opened), ``ended_us`` when it was closed, both UTC;
    ``offset_min`` is the local offset then. ``dough_c`` is the first dough temperature. Proof lengths add up the
    proofs; the actual one is None until all have ended. ``outcome`` is "" while it is live. ``fault`` says what is
    wrong with its log.
    """

    bake: str
    letter: str
    formula: str
    began_us: int
    ended_us: int | None
    offset_min: int
    size: str
    dough_g: float
    dough_c: float | None
    proof_planned_s: float
    proof_actual_s: float | None
    outcome: str
    score: float | None
    wants_score: bool
    corrected: bool
    typical: bool
    words: str
    fault: str = ""


def summarise(state: BakeState, fault: str = "") -> Summary:
    """The list's line for a bake."""
    moments = Moments(state)
    first_s = state.stages[0].begun_s
    doughs = [r.value for r in state.readings if r.what == "dough temperature" and r.value is not None]
    proofs = [i for i, stage in enumerate(state.formula.stages) if stage.kind == "proof"]
    words = [state.formula.name, state.formula.about, *(note.text for note in state.notes)]
    if state.closed is not None:
        words.append(state.closed.why)
    return Summary(
        bake=state.id,
        letter=state.letter,
        formula=state.formula.name,
        began_us=state.opened.wall_us if first_s is None else moments.wall_us(first_s),
        ended_us=None if state.closed is None else moments.wall_us(state.closed.at_s),
        offset_min=state.opened.offset_min,
        size=size_words(state),
        dough_g=state.batch.dough_g,
        dough_c=doughs[0] if doughs else None,
        proof_planned_s=sum(state.stage(i).time_s for i in proofs),
        proof_actual_s=_proof_actual_s(state, proofs),
        outcome="" if state.closed is None else state.closed.outcome,
        score=overall(state.scores),
        wants_score=wants_score(state),
        corrected=any(isinstance(event.body, kinds.Corrected) for event in state.events),
        typical=state.typical,
        words=" ".join(word for word in words if word).casefold(),
        fault=fault,
    )


def damaged(bake: str, began_us: int, fault: str) -> Summary:
    """The list's line for a bake of which not even the first event can be read."""
    return Summary(
        bake=bake,
        letter="",
        formula="(not readable)",
        began_us=began_us,
        ended_us=None,
        offset_min=0,
        size="",
        dough_g=0.0,
        dough_c=None,
        proof_planned_s=0.0,
        proof_actual_s=None,
        outcome="",
        score=None,
        wants_score=False,
        corrected=False,
        typical=False,
        words="",
        fault=fault,
    )


def _proof_actual_s(state: BakeState, proofs: list[int]) -> float | None:
    lengths = [
        run.ended_s - run.begun_s
        for run in (state.stages[i] for i in proofs)
        if run.begun_s is not None and run.ended_s is not None
    ]
    return sum(lengths) if proofs and len(lengths) == len(proofs) else None
