"""Reads from the journal what was baked of late: when, at which size, how it came out."""

from __future__ import annotations

from math import isclose

from proofbell.app.session.live import Live
from proofbell.app.session.saving.journal_access import ask_long
from proofbell.app.start.at_hand import Baked, LastBake
from proofbell.bake.fold import fold
from proofbell.bake.state import BakeState
from proofbell.bake.steps import ImpossibleError
from proofbell.bake.view import in_pieces
from proofbell.bake.weigh.dose import form_weighed
from proofbell.bake.weigh.in_loads import as_written
from proofbell.bake.weigh.weigh_out import weigh_out
from proofbell.errors import Failure
from proofbell.journal.index import bakes_in_steps
from proofbell.journal.reviews.score_sheet import overall
from proofbell.journal.reviews.summary import Summary
from proofbell.journal.storage.store import Journal
from proofbell.journal.storage.writer import Steps

LATELY_US = 6 * 7 * 86_400 * 1_000_000
"""Six weeks: what is baked once a month is still there. Our own choice."""

_SAME = 0.0005
"""Half a gram of a kilogram."""

MOST = 6
"""Lines of the list; what is below them is within reach without turning a page."""


async def last_bakes(live: Live) -> Baked:
    """What was baked here; nothing without a journal.

    Raises:
        Failure: the journal cannot be read.
    """
    if live.keeper.journal is None:
        return Baked({})
    since_us = live.clock.stamp().wall_us - LATELY_US
    return await ask_long(live, lambda journal: _baked_in_steps(journal, since_us))


def _baked_in_steps(journal: Journal, since_us: int) -> Steps[Baked]:
    summaries = yield from bakes_in_steps(journal)
    newest: dict[str, Summary] = {}
    for each in summaries:
        if each.outcome != "given up" and each.formula:
            newest.setdefault(each.formula, each)
    again: list[LastBake] = []
    for each in newest.values():
        if len(again) == MOST or each.began_us < since_us:
            break
        events, problems = journal.read(each.bake)
        yield
        try:
            again += [] if problems else [_last(fold(events), each)]
        except ImpossibleError:
            continue  # The journal's own page tells of it.
    return Baked({name: each.began_us for name, each in newest.items()}, tuple(again))


def _last(state: BakeState, summary: Summary) -> LastBake:
    pieces, piece_g = in_pieces(state) or (None, None)
    note = state.notes[-1].text if state.notes else ""
    batch, formula = state.batch, state.formula
    return LastBake(
        state.id,
        as_written(formula),
        summary.began_us,
        pieces,
        piece_g,
        batch.dough_g,
        batch.loaf_g,
        None if batch.tin_ml == formula.batch.tin_ml else batch.tin_ml,
        form_weighed(formula, batch),
        overall(state.scores),
        note,
        own_size=_own_size(state),
    )


def _own_size(state: BakeState) -> bool:
    """Whether the batch was as large as its formula makes it where nothing is asked for."""
    batch, formula = state.batch, state.formula
    if batch.loaf_g is not None or batch.tin_ml != formula.batch.tin_ml:
        return False
    try:
        own = weigh_out(formula, state.kitchen).batch
    except Failure:
        return False  # It never had a size of its own.
    if own.piece_g is not None and batch.piece_g is not None:
        return batch.pieces == own.pieces and isclose(batch.piece_g, own.piece_g, rel_tol=_SAME)
    # Another form of yeast changes the dough beside its flour, and the other way round.
    return isclose(batch.flour_g, own.flour_g, rel_tol=_SAME) or isclose(batch.dough_g, own.dough_g, rel_tol=_SAME)
