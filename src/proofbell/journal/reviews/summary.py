"""One bake in one line of the list, made from its events; and that list, kept beside them so that it opens at once."""

from __future__ import annotations

import math
from dataclasses import fields

from proofbell.bake import events as kinds
from proofbell.bake.record import NAMES
from proofbell.bake.state import BakeState
from proofbell.bake.view import in_pieces
from proofbell.frozen import dataclass
from proofbell.journal.faults import Problem
from proofbell.journal.reviews.figures import figures, kept_figures
from proofbell.journal.reviews.moments import Moments
from proofbell.journal.reviews.score_sheet import overall, wants_score
from proofbell.words import grams, pieces

_FIELDS = 5
"""Goes up when a Summary gets other fields, or means something else by them; or a bake shows other things."""


def made_by() -> int:
    """The number of this way to make a Summary: one kept in the journal under another number is made again.

    It follows the events that are known too: what a newer program wrote is read again once this one knows it.
    """
    return _FIELDS * 1_000 + sum(schema for _, schema in NAMES.values())


@dataclass(frozen=True, slots=True)
class Summary:
    """What the list shows of a bake.

    ``began_us`` is when its first stage began (or it was opened), ``ended_us`` when it was closed, both UTC;
    ``offset_min`` is the local offset then. ``dough_c`` is the first dough temperature. Proof lengths add up the
    proofs; the actual one is None until all have ended. ``outcome`` is "" while it is live. ``fault`` says why its log
    cannot be read to its end; ``newer``: because a newer Proofbell wrote to it, and not because it is damaged.
    ``figures`` is what is looked at over many bakes, as text; most who read the list do not need it.
    """

    bake: str
    letter: str
    formula: str
    began_us: int
    ended_us: int | None
    offset_min: int
    pieces: int | None
    piece_g: float | None
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
    newer: bool = False
    figures: str = ""

    @property
    def size(self) -> str:
        """What it makes, in words; empty where that cannot be read. Kept as numbers: a kitchen may change its units."""
        return pieces(self.pieces, self.piece_g) or (f"{grams(self.dough_g)} dough" if self.dough_g else "")


def summarise(state: BakeState, fault: Problem | None = None) -> Summary:
    """Sum up a bake for the list. ``fault``: why its log cannot be read to the end."""
    moments = Moments(state)
    first_s = state.begun_s
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
        pieces=None if in_pieces(state) is None else state.batch.pieces,
        piece_g=None if in_pieces(state) is None else state.batch.piece_g,
        dough_g=state.batch.dough_g,
        dough_c=doughs[0] if doughs else None,
        proof_planned_s=sum(state.stage(i).time_s for i in proofs),
        proof_actual_s=_proof_actual_s(state, proofs),
        outcome="" if state.closed is None else state.closed.outcome,
        score=overall(state.scores),
        wants_score=fault is None and wants_score(state),
        corrected=any(isinstance(event.body, kinds.Corrected) for event in state.events),
        typical=state.typical,
        words=" ".join(word for word in words if word).casefold(),
        fault=fault.words if fault else "",
        newer=fault is not None and fault.newer,
        figures="" if fault else kept_figures(figures(state)),
    )


_FITS: tuple[tuple[type, ...], ...] = tuple(
    {
        "str": (str,), "int": (int,), "int | None": (int, type(None)), "float": (float, int),
        "float | None": (float, int, type(None)), "bool": (bool,),
    }[str(field.type)]
    for field in fields(Summary)
)  # fmt: skip
_FLAGS = frozenset(number for number, kinds_ in enumerate(_FITS) if kinds_ == (bool,))


def fits(bake: str, line: object) -> Summary | None:
    """The summary of a bake that was kept as this list of values; None when they cannot be one."""
    if not isinstance(line, list) or len(line) != len(_FITS) or line[0] != bake:
        return None
    for number, (value, kinds_) in enumerate(zip(line, _FITS, strict=True)):
        if not isinstance(value, kinds_) or (isinstance(value, bool) and number not in _FLAGS):
            return None
        if isinstance(value, float) and not math.isfinite(value):
            return None
    found = Summary(*line)
    known = found.began_us == known_moment(found.began_us) and abs(found.offset_min) < MOST_OFFSET_MIN
    ended = found.ended_us is None or found.ended_us == known_moment(found.ended_us)
    return found if known and ended else None


LATEST_US = 4_102_444_800_000_000
"""The year 2100: a later moment was never read from a clock."""

MOST_OFFSET_MIN = 24 * 60
"""No place is a whole day from UTC."""


def known_moment(wall_us: int) -> int:
    """A moment that can be shown; 0 for what cannot be one."""
    return wall_us if 0 <= wall_us <= LATEST_US else 0


def not_readable(bake: str, began_us: int, offset_min: int, fault: Problem) -> Summary:
    """The list's line for a bake of which not even the first event can be read."""
    return Summary(
        bake=bake,
        letter="",
        formula="(not readable)",
        began_us=known_moment(began_us),
        ended_us=None,
        offset_min=offset_min if abs(offset_min) < MOST_OFFSET_MIN else 0,
        pieces=None,
        piece_g=None,
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
        fault=fault.words,
        newer=fault.newer,
    )


def _proof_actual_s(state: BakeState, proofs: list[int]) -> float | None:
    lengths = [
        run.ended_s - run.begun_s
        for run in (state.stages[i] for i in proofs)
        if run.begun_s is not None and run.ended_s is not None
    ]
    return sum(lengths) if proofs and len(lengths) == len(proofs) else None
