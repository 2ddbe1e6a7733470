"""Where more is wanted of the oven or the hands than there is, for longer than a dough can wait."""

from __future__ import annotations

from proofbell.bench.busy import Busy
from proofbell.bench.overload import hands_clashes, hands_in, oven_clashes

MINUTE = 60_000_000


def baking(letter: str, begin: int, end: int, heat_c: float = 200.0, places: int = 1) -> Busy:
    """A bake in the oven, from minute to minute."""
    return Busy("baking", letter, begin * MINUTE, end * MINUTE, heat_c, places)


def in_hand(letter: str, begin: int, end: int) -> Busy:
    """Hands on a dough, from minute to minute."""
    return Busy("hands", letter, begin * MINUTE, end * MINUTE)


def minutes(stretches: tuple[tuple[int, int], ...]) -> list[tuple[int, int]]:
    """The stretches in minutes."""
    return [(begin_us // MINUTE, end_us // MINUTE) for begin_us, end_us in stretches]


def test_more_trays_than_the_oven_has_are_a_clash_for_as_long_as_they_are_in_it() -> None:
    row = [baking("A", 0, 30), baking("B", 10, 40), baking("C", 20, 50)]

    assert minutes(oven_clashes(row, 3)) == []
    assert minutes(oven_clashes(row, 2)) == [(20, 30)]
    assert minutes(oven_clashes(row, 1)) == [(10, 40)]


def test_two_heats_at_once_are_a_clash_however_many_places_there_are() -> None:
    row = [baking("A", 0, 30), baking("B", 20, 40, heat_c=230.0)]

    assert minutes(oven_clashes(row, 4)) == [(20, 30)]


def test_a_batch_that_fills_the_oven_clashes_only_with_another() -> None:
    full = baking("A", 0, 30, places=3)

    assert minutes(oven_clashes([full], 2)) == []
    assert minutes(oven_clashes([full, baking("B", 30, 60)], 2)) == []
    assert minutes(oven_clashes([full, baking("B", 20, 60)], 2)) == [(20, 30)]


def test_what_a_dough_can_wait_for_is_no_clash() -> None:
    assert minutes(oven_clashes([baking("A", 0, 30), baking("B", 25, 50)], 1)) == []
    assert minutes(oven_clashes([baking("A", 0, 30), baking("B", 24, 50)], 1)) == [(24, 30)]
    assert minutes(hands_clashes([in_hand("A", 0, 10), in_hand("B", 6, 12)], 1)) == []


def test_more_hands_wanted_than_there_are_is_a_clash_for_as_long_as_it_lasts() -> None:
    row = [in_hand("A", 0, 10), in_hand("B", 4, 12), in_hand("C", 10, 20)]

    assert minutes(hands_clashes(row, 1)) == [(4, 12)]
    assert minutes(hands_clashes(row, 2)) == []


def test_short_waits_that_follow_on_each_other_add_up() -> None:
    row = [in_hand("A", 0, 10), in_hand("B", 7, 13), in_hand("C", 10, 20)]

    assert minutes(hands_clashes(row, 1)) == [(7, 13)]


def test_hands_in_a_quiet_span_are_told_of_but_not_those_at_its_edges_by_a_minute() -> None:
    """A plan's lengths are to the second, the bench's to the minute: taken out at 21:59 is at 22:00 there."""
    night = [(100 * MINUTE, 500 * MINUTE)]
    row = [in_hand("A", 99, 101), in_hand("B", 200, 201), in_hand("C", 499, 510), in_hand("D", 95, 104)]

    assert hands_in(row, night, 0) == ("B", "D")
    assert hands_in(row, night, 250 * MINUTE) == ()
