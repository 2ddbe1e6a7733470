"""One oven for several doughs: who has it first decides whether it is turned on, up, down or left alone."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.bench.test_what_moved import TO_FINAL_PROOF, at, bake

from proofbell.bench.board import board
from proofbell.formula.model import OvenWish

MINUTE_US = 60_000_000


@pytest.mark.parametrize(
    ("heat_c", "words"), [(230.0, "oven up to 230 °C"), (170.0, "oven down to 170 °C"), (190.0, None)]
)
def test_the_oven_is_changed_after_another_bake_not_turned_on(heat_c: float, words: str | None) -> None:
    first = bake("A", "harbour-knots", *TO_FINAL_PROOF)
    later = bake("B", "harbour-knots", *((seconds + 600, said) for seconds, said in TO_FINAL_PROOF))
    second = replace(later, formula=replace(later.formula, oven=OvenWish(heat_c)))

    seen = board([first, second], at(7000))

    asked = [one for one in seen.coming if one.letter == "B" and one.prompt.kind == "oven on"]
    assert [one.prompt.words for one in asked] == ([] if words is None else [words])
    # A's knots are in from 9360 s to 10 320 s; nobody changes the heat under them.
    assert all(one.at_us >= 10_320 * 1_000_000 for one in asked)


def test_the_first_dough_turns_the_oven_on() -> None:
    first = bake("A", "harbour-knots", *TO_FINAL_PROOF)

    (asked,) = [one for one in board([first], at(7000)).coming if one.prompt.kind == "oven on"]

    # 21 to 190 °C at 25 min for 180 K: 23 min 28 s before the final proof ends at 9360 s.
    assert asked.prompt.words == "oven on, 190 °C"
    assert asked.at_us == pytest.approx((9360 - 169 / 180 * 1500) * 1_000_000, abs=1)
