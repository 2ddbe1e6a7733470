"""What stands out of the fridge: the law of cooling by its own definition, and what is never asked of the room.

Newton's law, as in any text of physics: after one time constant 1 − 1/e = 63.2 % of the way is done. No published
figure for butter, eggs or milk was found to hold the length itself against.
"""

from __future__ import annotations

import math

import pytest

from proofbell.bake.weigh.taking_out import TakenOut
from proofbell.bench.out_of_fridge import Out, out_rows
from proofbell.dough.fermenting.time_constant import time_constant_s
from proofbell.dough.heat import HEAT_KJ
from proofbell.dough.tempering import DOUGH_KJ, Span, tempering


def test_after_one_time_constant_it_has_come_63_percent_of_the_way() -> None:
    reached_c = 5 + (1 - 1 / math.e) * (20 - 5)
    span = tempering(500, DOUGH_KJ, from_c=5, to_c=reached_c, room_c=20)
    assert span is not None
    assert span.seconds == pytest.approx(time_constant_s(500, "still air"))
    assert span.low_s < span.seconds / 1.5 < span.seconds * 1.5 < span.high_s


def test_butter_is_sooner_warm_than_as_much_milk_and_a_small_piece_than_a_block() -> None:
    butter, milk = (tempering(250, HEAT_KJ[kind], from_c=4, to_c=16, room_c=21) for kind in ("fat", "milk"))
    small = tempering(60, HEAT_KJ["fat"], from_c=4, to_c=16, room_c=21)
    assert butter is not None
    assert milk is not None
    assert small is not None
    assert small.seconds < butter.seconds < milk.seconds
    assert milk.seconds / butter.seconds == pytest.approx(3.85 / 2.30)


def test_nothing_gets_warmer_than_the_room_and_nothing_cold_has_to_wait() -> None:
    assert tempering(250, 2.3, from_c=4, to_c=24, room_c=21) is None
    cold = tempering(250, 2.3, from_c=4, to_c=4, room_c=21)
    assert cold is not None
    assert cold.seconds == 0


def test_what_should_be_out_already_comes_out_at_once_and_too_late_is_said() -> None:
    taken = TakenOut("butter", "fat", 250, "Buns", 0, "tempered", 16.0, Span(3600, 1800, 7200))
    out = Out(taken, "A", "Mix", 10_000_000_000, 6_400_000_000, 2_800_000_000, 8_200_000_000)

    def told(now_s: int) -> tuple[int, str, str]:
        (row,) = out_rows([out], lambda at_us: f"{at_us // 1_000_000} s", now_s * 1_000_000)
        return row

    assert told(0) == (6_400_000_000, "A", "butter, 250 g: 2800 s to 8200 s, to be about 16 °C at 10000 s")
    assert told(7000) == (
        7_000_000_000,
        "A",
        "butter, 250 g: at once, 8200 s at the latest, to be about 16 °C at 10000 s",
    )
    assert "colder than 16 °C at 10000 s" in told(9000)[2]
