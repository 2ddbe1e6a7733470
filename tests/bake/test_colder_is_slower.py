"""A colder dough never makes a proof shorter, all else equal: by bands and by the rate, wherever it stands."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from proofbell.kitchen.model import Kitchen
from tests.support.baking import Baking
from tests.support.walking import KNOTS, at

PLACES_C = (10.5, 12.0, 14.0, 16.0, 18.0, 21.0, 24.0, 28.0)
BY_BANDS, BY_RATE = (KNOTS, "First proof"), (KNOTS, "Final proof")
TOLD_MIN = 2.0
"""What the fit of a time constant leaves between two readings that tell the same (minutes)."""


def length_min(stage: tuple[str, str], room_c: float, first_c: float | None, gap_min: float, second_c: float) -> float:
    """How long a proof is by a reading at its start, if any, and one so much later."""
    return read_twice(stage, room_c, first_c, gap_min, second_c).length_min


def read_twice(stage: tuple[str, str], room_c: float, first_c: float | None, gap_min: float, second_c: float) -> Baking:
    baking = at(*stage, kitchen=Kitchen(room_c=room_c))
    if first_c is not None:
        baking.read(first_c)
    baking.wait(minutes=gap_min)
    baking.read(second_c)
    return baking


@settings(max_examples=60, deadline=None)
@given(
    stage=st.sampled_from((BY_BANDS, BY_RATE)),
    room_c=st.sampled_from(PLACES_C),
    first_c=st.one_of(st.none(), st.integers(15, 28).map(float)),
    gap_min=st.sampled_from((10.0, 20.0, 40.0)),
    second_c=st.integers(14, 29).map(float),
    colder_k=st.sampled_from((0.5, 1.0, 3.0)),
)
def test_the_same_dough_read_colder_is_no_sooner_ready(
    stage: tuple[str, str], room_c: float, first_c: float | None, gap_min: float, second_c: float, colder_k: float
) -> None:
    as_read = length_min(stage, room_c, first_c, gap_min, second_c)
    assert length_min(stage, room_c, first_c, gap_min, second_c - colder_k) >= as_read - TOLD_MIN


@pytest.mark.parametrize("room_c", PLACES_C)
@pytest.mark.parametrize("first_c", [16.0, 20.0, 23.0, 25.0, 27.0])
def test_a_second_and_colder_reading_of_a_dough_timed_by_bands_never_shortens_it(room_c: float, first_c: float) -> None:
    baking = at(*BY_BANDS, kitchen=Kitchen(room_c=room_c))
    baking.read(first_c)
    before_min = baking.length_min
    for second_c in (first_c, first_c - 1, first_c - 3):
        baking.wait(minutes=12)
        baking.read(second_c)
        assert baking.length_min >= before_min
        before_min = baking.length_min


def test_a_dough_in_fourteen_degrees_that_cooled_by_a_degree_keeps_its_time() -> None:
    """As two bakers had it: of 20 °C at first, 40 min later a degree colder."""
    baking = at(*BY_BANDS, kitchen=Kitchen(room_c=14.0))
    baking.read(20.0)
    first_min = baking.length_min
    baking.wait(minutes=40)
    baking.read(19.0)
    assert baking.length_min == first_min > 100.0
