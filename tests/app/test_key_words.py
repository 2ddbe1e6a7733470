"""Words on the bench's key row that differ from the registry's."""

from __future__ import annotations

from proofbell.app.bench.bench_keys import words_for
from proofbell.bake.view import view
from tests.support.baking import WHOLE, Baking


def test_space_names_the_dough_that_it_acts_on_while_another_one_rings() -> None:
    baking = Baking(WHOLE)
    baking.to_stage(2)
    seen = view(baking.state, baking.now_s)
    assert words_for(seen) == {}
    assert words_for(seen, [seen.bake]) == {}
    assert words_for(seen, [seen.bake, "another"]) == {"bench.done": "A done"}
    waiting = Baking(WHOLE, start_in_s=60)
    assert words_for(view(waiting.state, 0.0), ["another"]) == {"bench.done": "A begin"}
