"""The figures of one bake that are looked at over many, kept as text beside its line of the list."""

from __future__ import annotations

import hashlib
import json
import math
from collections.abc import Sequence
from functools import cache
from operator import itemgetter
from typing import NamedTuple, get_type_hints

from proofbell.bake.state import BakeState, StageState
from proofbell.bake.tasks import OvenTask
from proofbell.journal.reviews.losses import bake_loss_percent
from proofbell.journal.reviews.moments import Moments
from proofbell.plain import to_plain

SOON_S = 15 * 60.0
"""A dough temperature read later than this after kneading tells of the bench, not of the kneading."""

MOST_WORDS = 120
"""Characters that are kept of a note, and of why a bake was given up."""


class Figures(NamedTuple):
    """What one bake measured, and what it was made with. What nobody read, or did not happen, is None.

    ``formula_mark`` and ``oven_mark`` stay the same as long as the formula's text, the kitchen's oven do; ``probe`` is
    the probe's correction (offset in K, slope). ``kneaded_c`` is the dough's first temperature after kneading,
    ``room_c`` the first of the room that was read. ``over_s`` is how long all proofs together went on after they were
    due, ``oven_late_s`` how long the proof was due before the oven was hot. ``ovens_us`` is from when to when the oven
    was on for it (UTC). ``why`` it was given up, and the last ``note``, are the baker's words.
    """

    kitchen: str
    formula_mark: str
    oven_mark: str
    probe: tuple[float, float]
    kneaded_c: float | None
    room_c: float | None
    core_c: float | None
    bake_s: float | None
    bake_loss_percent: float | None
    over_s: float
    oven_late_s: float
    flour_g: float
    hands_s: float
    ovens_us: tuple[tuple[int, int], ...]
    why: str
    note: str


def figures(state: BakeState) -> Figures:
    """Look one bake over."""
    kitchen = state.kitchen
    return Figures(
        kitchen=kitchen.name,
        formula_mark=state.formula.digest[:12],
        oven_mark=_mark(to_plain(kitchen.oven)),
        probe=(kitchen.probe.offset_k, kitchen.probe.slope),
        kneaded_c=_kneaded_c(state),
        room_c=next((r.value for r in state.readings if r.what == "room temperature" and r.value is not None), None),
        core_c=next(reversed(cores_c(state)), None),
        bake_s=_took_s(state, "bake"),
        bake_loss_percent=bake_loss_percent(state),
        over_s=sum(max(0.0, run.ended_s - run.due_s) for run in _proofs(state) if run.ended_s and run.due_s),
        oven_late_s=_oven_late_s(state),
        flour_g=state.batch.flour_g,
        hands_s=_took_s(state, "hands", all_of=False) or 0.0,
        ovens_us=_ovens_us(state),
        why="" if state.closed is None else state.closed.why[:MOST_WORDS],
        note=state.notes[-1].text[:MOST_WORDS] if state.notes else "",
    )


def cores_c(state: BakeState) -> list[float]:
    """The core readings (°C) in the oven, in order of time: on the rack a core only falls."""
    bakes = {index for index, stage in enumerate(state.formula.stages) if stage.kind == "bake"}
    return [r.value for r in state.readings if r.what == "core temperature" and r.value and r.stage in bakes]


def _mark(value: object) -> str:
    return hashlib.sha256(json.dumps(value, sort_keys=True).encode()).hexdigest()[:12]


def _proofs(state: BakeState) -> list[StageState]:
    return [run for i, run in enumerate(state.stages) if state.stage(i).kind == "proof"]


def _took_s(state: BakeState, kind: str, *, all_of: bool = True) -> float | None:
    """How long the stages of a kind took together (s); None when one of them did not end, unless it need not."""
    spans = [(run.begun_s, run.ended_s) for i, run in enumerate(state.stages) if state.stage(i).kind == kind]
    took = [ended_s - begun_s for begun_s, ended_s in spans if begun_s is not None and ended_s is not None]
    return sum(took) if took and (len(took) == len(spans) or not all_of) else None


def _kneaded_c(state: BakeState) -> float | None:
    """The first temperature of the dough itself, not of a preferment, soon after hands last left it."""
    for reading in state.readings:
        if reading.what != "dough temperature" or reading.value is None or reading.stage is None:
            continue
        if not 0 <= reading.stage < len(state.stages) or state.stage(reading.stage).made_for is not None:
            continue
        strand = state.formula.strand(reading.stage)
        before = [state.stages[i].ended_s for i in strand if i < reading.stage and state.stage(i).kind == "hands"]
        ended = [ended_s for ended_s in before if ended_s is not None]
        kneading = state.stage(reading.stage).kind == "hands"
        return reading.value if kneading or (ended and reading.at_s - max(ended) <= SOON_S) else None
    return None


def _oven_late_s(state: BakeState) -> float:
    """How long after the stage before the first bake was due the oven was seen hot (s)."""
    bake = next((i for i in range(len(state.stages)) if state.stage(i).kind == "bake"), None)
    hot = None if bake is None else state.mark(OvenTask("oven hot", bake))
    if bake is None or hot is None:
        return 0.0
    due = [state.stages[i].due_s for i in state.formula.follows(bake)]
    return max(0.0, hot.at_s - max((due_s for due_s in due if due_s is not None), default=hot.at_s))


def _ovens_us(state: BakeState) -> tuple[tuple[int, int], ...]:
    """From "oven on", or a bake's beginning, to "oven off", or its end."""
    moments, spans = Moments(state), []
    for index, run in enumerate(state.stages):
        if state.stage(index).kind != "bake" or run.begun_s is None or run.ended_s is None:
            continue
        on = next((m for m in state.marks if m.task == OvenTask("oven on", index) and m.at_s <= run.begun_s), None)
        off = next((m for m in state.marks if m.task == OvenTask("oven off", index) and m.at_s >= run.ended_s), None)
        begin_s, end_s = on.at_s if on else run.begun_s, off.at_s if off else run.ended_s
        spans.append((moments.wall_us(begin_s), moments.wall_us(end_s)))
    return tuple(spans)


def kept_figures(found: Figures) -> str:
    """As JSON text."""
    return json.dumps(found)


def figures_from(texts: Sequence[str]) -> list[Figures | None]:
    """Read back what :func:`kept_figures` wrote, of many at once, which is quicker; None for what it never wrote."""
    try:
        rows = json.loads("[" + ",".join(text or "null" for text in texts) + "]")
        if len(rows) == len(texts):
            return [_figures(row) for row in rows]
    except (ValueError, RecursionError):
        pass
    return [_one(text) for text in texts]


def _one(text: str) -> Figures | None:
    try:
        return _figures(json.loads(text))
    except (ValueError, RecursionError):
        return None


_SORTS: dict[object, tuple[type, ...]] = {str: (str,), float: (float, int), float | None: (float, int, type(None))}
_KINDS = tuple(_SORTS.get(hint, (list,)) for hint in get_type_hints(Figures).values())
_PROBE, _OVENS = map(Figures._fields.index, ("probe", "ovens_us"))
_NUMBERS = itemgetter(*(at for at, kinds in enumerate(_KINDS) if float in kinds))


@cache
def _fit(kinds: tuple[type, ...]) -> bool:
    return len(kinds) == len(_KINDS) and all(kind in wanted for kind, wanted in zip(kinds, _KINDS, strict=True))


def _figures(row: object) -> Figures | None:
    if not isinstance(row, list) or not _fit(tuple(map(type, row))):
        return None
    probe, ovens = row[_PROBE], row[_OVENS]
    if len(probe) != 2 or type(probe[0]) not in (int, float) or type(probe[1]) not in (int, float):
        return None
    if not all(type(one) is list and len(one) == 2 and type(one[0]) is type(one[1]) is int for one in ovens):
        return None
    # A sum is finite where all of it is: one look at each of ten thousand bakes in place of a dozen.
    if not math.isfinite(sum(filter(None, _NUMBERS(row))) + probe[0] + probe[1]):
        return None
    row[_PROBE], row[_OVENS] = tuple(probe), tuple(map(tuple, ovens))
    return Figures._make(row)
