"""The oven's row: letters of bakes that go in together, and where too much is wanted of the oven."""

from __future__ import annotations

from proofbell.bench.board import Busy
from proofbell.bench.oven_row import Load, loads, oven_clashes


def baking(letter: str, begin: int, end: int, heat_c: float = 200.0, places: int = 1) -> Busy:
    """A bake in the oven."""
    return Busy("baking", letter, begin, end, heat_c, places)


def test_bakes_that_go_in_together_stand_in_the_row_together() -> None:
    row = [baking("C", 50, 80), baking("B", 0, 30), baking("A", 0, 30), Busy("heating", "A", -20, 0, 200.0)]

    assert loads(row) == (Load(0, 30, "AB"), Load(50, 80, "C"))


def test_more_trays_than_the_oven_has_are_a_clash_for_as_long_as_they_are_in_it() -> None:
    row = [baking("A", 0, 30), baking("B", 10, 40), baking("C", 20, 50)]

    assert oven_clashes(row, 3) == ()
    assert oven_clashes(row, 2) == ((20, 30),)
    assert oven_clashes(row, 1) == ((10, 40),)


def test_two_heats_at_once_are_a_clash_however_many_places_there_are() -> None:
    row = [baking("A", 0, 30), baking("B", 20, 40, heat_c=230.0)]

    assert oven_clashes(row, 4) == ((20, 30),)


def test_a_batch_that_fills_the_oven_clashes_only_with_another() -> None:
    full = baking("A", 0, 30, places=3)

    assert oven_clashes([full], 2) == ()
    assert oven_clashes([full, baking("B", 30, 60)], 2) == ()
    assert oven_clashes([full, baking("B", 20, 60)], 2) == ((20, 30),)
