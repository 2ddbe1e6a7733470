"""Logs that an older program wrote are read as before, and keep their digests."""

from __future__ import annotations

from dataclasses import replace

import pytest

from proofbell.bake import events as kinds
from proofbell.bake.fold import fold
from proofbell.bake.record import chained_digest, from_row, to_row
from proofbell.bake.weigh.batch import Batch, BatchLine
from proofbell.bake.weigh.weigh_out import weigh_again, weigh_out
from proofbell.dough.weights import SizeWish
from proofbell.formula.model import BatchSize
from proofbell.kitchen.model import Kitchen
from tests.support.making import KNOTS, chain, old_row, opened


def test_a_bake_of_before_loaf_and_tin_were_kept_is_read_and_written_as_it_was() -> None:
    row = old_row()
    event = from_row(row)
    assert isinstance(event.body, kinds.BakeOpened)
    assert (event.body.batch.loaf_g, event.body.batch.tin_ml, event.body.batch.made_for) == (None, None, "")
    assert fold([event]).batch.dough_g == opened().batch.dough_g
    assert to_row(event) == row
    assert chained_digest("", to_row(event)) == row.digest


def test_what_is_written_today_is_read_again_with_its_loaf_and_tin() -> None:
    made = replace(opened().batch, loaf_g=800.0, tin_ml=2475.0)
    row = to_row(chain("b1", [(0.0, replace(opened(), batch=made))])[0])
    again = from_row(row).body
    assert isinstance(again, kinds.BakeOpened)
    assert again.batch == made
    assert again.batch.made_for == "loaves of 800 g once cool in tins of 2475 ml"


@pytest.mark.parametrize("learned", [None, 12.0])
def test_a_batch_on_the_bench_is_weighed_out_again_as_it_was(learned: float | None) -> None:
    wish, uk = SizeWish(pieces=4, loaf_g=800), Kitchen(region="uk")
    first = weigh_out(KNOTS, uk, wish, tin_ml=2475, yeast="fresh", learned_loss_percent=learned, learned_rise_k=2.5)
    again = weigh_again(KNOTS, uk, first.batch)
    assert again is not None
    assert first.loaf is not None
    assert first.loaf.learned == (learned is not None)
    assert again.loaf == first.loaf
    assert again.tin == first.tin
    assert again.lines == first.lines
    assert again.notes == first.notes
    assert again.liquid == first.liquid
    assert again.batch == first.batch


def test_without_a_tin_of_its_own_a_batch_has_the_formulas_and_nothing_weighed_is_none() -> None:
    tinned = replace(KNOTS, batch=BatchSize(pieces=2, piece_g=400, tin_ml=1600))
    batch = weigh_out(tinned, Kitchen()).batch
    assert batch.tin_ml == 1600
    old = weigh_again(tinned, Kitchen(), replace(batch, tin_ml=None))
    assert old is not None
    assert old.tin is not None
    assert old.tin.tin_ml == 1600
    assert weigh_again(KNOTS, Kitchen(), Batch((BatchLine("water", 0.0),), 0.0, 0.0)) is None
