"""The oven's row: letters of bakes that go in together."""

from __future__ import annotations

from proofbell.bench.busy import Busy
from proofbell.bench.oven.loads import Load, loads


def baking(letter: str, begin: int, end: int, heat_c: float = 200.0, places: int = 1) -> Busy:
    """A bake in the oven."""
    return Busy("baking", letter, begin, end, heat_c, places)


def test_bakes_that_go_in_together_stand_in_the_row_together() -> None:
    row = [baking("C", 50, 80), baking("B", 0, 30), baking("A", 0, 30), Busy("heating", "A", -20, 0, 200.0)]

    assert loads(row) == (Load(0, 30, "AB"), Load(50, 80, "C"))
