"""Words on the bench's key row that differ from the registry's."""

from __future__ import annotations

import pytest

from proofbell.app.bench.bench_keys import keys_for, words_for
from proofbell.bake.view import view
from tests.support.baking import WHOLE, Baking
from tests.support.walking import KNOTS, at


def test_space_names_the_dough_that_it_acts_on_while_another_one_rings() -> None:
    baking = Baking(WHOLE)
    baking.to_stage(2)
    seen = view(baking.state, baking.now_s)
    assert words_for(seen) == {}
    assert words_for(seen, [seen.bake]) == {}
    assert words_for(seen, [seen.bake, "another"]) == {"bench.done": "A done"}
    waiting = Baking(WHOLE, start_in_s=60)
    assert words_for(view(waiting.state, 0.0), ["another"]) == {"bench.done": "A begin"}


def test_the_first_keys_of_the_row_are_those_that_are_needed_most() -> None:
    baking = Baking(WHOLE)
    baking.to_stage(2)
    seen = view(baking.state, baking.now_s)
    assert keys_for(seen)[:3] == ("bench.done", "bench.reading", "bench.longer")
    busy = keys_for(seen, others=True, rings=True, oven=True)
    assert busy[:4] == ("bench.done", "bench.reading", "bench.next-dough", "bench.quiet")
    waiting = view(Baking(WHOLE, start_in_s=60).state, 0.0)
    assert keys_for(waiting, others=True)[:3] == ("bench.done", "bench.weigh-out", "bench.next-dough")


@pytest.mark.parametrize(("stage", "offered"), [("First proof", True), ("Bake", False), ("Cool", False)])
def test_another_place_is_offered_for_a_dough_and_not_in_the_oven(stage: str, offered: bool) -> None:  # noqa: FBT001
    baking = at(KNOTS, stage)
    assert ("bench.moved" in keys_for(view(baking.state, baking.now_s))) is offered
