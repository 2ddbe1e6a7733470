"""A colder dough never makes a proof shorter, all else equal: by bands and by the rate, wherever it stands."""

from __future__ import annotations

import math

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from proofbell.bake import intents
from proofbell.bake.decisions.adjust import rate_estimate
from proofbell.bake.fermenting.rule_readings import series
from proofbell.dough.fermenting.rate import COLD_C
from proofbell.kitchen.model import Kitchen, Probe
from tests.support.baking import Baking
from tests.support.walking import KNOTS, LAMPLIGHTER, at, later

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


@settings(max_examples=40, deadline=None)
@given(
    room_c=st.sampled_from(PLACES_C),
    minutes=st.sampled_from((0.0, 8.0, 11.0, 25.0, 45.0, 65.0)),
    read_c=st.floats(11.0, 29.0),
    colder_k=st.floats(0.1, 6.0),
)
def test_the_only_reading_of_a_dough_with_bands_makes_it_no_sooner_where_it_is_colder(
    room_c: float, minutes: float, read_c: float, colder_k: float
) -> None:
    lengths = []
    for value_c in (read_c, read_c - colder_k):
        baking = later(at(*BY_BANDS, kitchen=Kitchen(room_c=room_c)), minutes)
        baking.read(value_c)
        lengths.append(baking.length_min)
    assert lengths[1] >= lengths[0]


@pytest.mark.parametrize("minutes", [2.0, 45.0])
def test_below_its_lowest_band_a_colder_dough_takes_longer_still(minutes: float) -> None:
    found = []
    for value_c in (19.9, 18.0, 16.0, 14.0, 12.0):
        baking = later(at(*BY_BANDS, kitchen=Kitchen(room_c=14.0)), minutes)
        baking.read(value_c)
        found.append(baking.length_min)
    assert found == sorted(set(found))


def test_a_dough_read_late_goes_by_the_rate_and_not_by_bands_that_are_for_its_start() -> None:
    """Of 23 °C after 45 min at 14 °C: it has come down from about 25 °C, and is no dough that began at 23 °C."""
    found = {}
    for value_c in (23.0, 22.0, 21.9):
        baking = later(at(*BY_BANDS, kitchen=Kitchen(room_c=14.0)), 45)
        change = baking.read(value_c)
        assert change is not None
        assert change.rate_s is not None
        assert change.by == "rate"
        assert change.to_s == change.rate_s
        found[value_c] = baking.length_min
        assert change.reason.startswith(f"Dough {value_c} °C after 45 min: 76 → ")
    assert found[21.9] - found[22.0] <= TOLD_MIN


def test_what_was_read_late_moves_the_time_of_the_band_that_the_dough_began_in() -> None:
    baking = at(*BY_BANDS, kitchen=Kitchen(room_c=21.0))
    baking.read(23.0)
    assert baking.length_min == 85
    baking.wait(minutes=40)
    baking.read(22.7)
    assert abs(baking.length_min - 85) <= 4
    baking.read(21.0)
    assert baking.length_min > 89


@settings(max_examples=60, deadline=None)
@example(stage=BY_RATE, room_c=28.0, first_c=15.0, gap_min=20.0, second_c=28.0, colder_k=0.5)
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
        change = baking.read(second_c)
        warmer = change is not None and "warmer than was likely by now" in change.reason
        assert baking.length_min >= before_min or warmer
        before_min = baking.length_min


def test_a_dough_in_fourteen_degrees_that_cooled_by_a_degree_is_no_sooner_ready() -> None:
    """As two bakers had it: of 20 °C at first, 40 min later a degree colder."""
    baking = at(*BY_BANDS, kitchen=Kitchen(room_c=14.0))
    baking.read(20.0)
    first_min = baking.length_min
    baking.wait(minutes=40)
    baking.read(19.0)
    assert first_min <= baking.length_min < first_min + 5
    assert first_min > 100.0


def moved_min(
    stage: tuple[str, str], room_c: float, first_c: float | None, moves: list[tuple[float, float]], read_c: float | None
) -> float:
    """How long a proof is that was read at its start, moved (°C, so many minutes later), and read once more."""
    baking = at(*stage, kitchen=Kitchen(room_c=room_c))
    if first_c is not None:
        baking.read(first_c)
    for gap_min, place_c in moves:
        baking.wait(minutes=gap_min)
        baking.say(intents.Move(place_c=place_c))
    if read_c is not None:
        baking.wait(minutes=20)
        baking.read(read_c)
    return baking.length_min


@settings(max_examples=80, deadline=None)
@given(
    stage=st.sampled_from((BY_BANDS, BY_RATE)),
    room_c=st.sampled_from(PLACES_C),
    first_c=st.one_of(st.none(), st.integers(15, 28).map(float)),
    moves=st.lists(st.tuples(st.sampled_from((5.0, 30.0, 60.0)), st.sampled_from(PLACES_C)), max_size=2),
    gap_min=st.sampled_from((1.0, 10.0, 40.0, 69.0)),
    colder_k=st.sampled_from((0.5, 1.0, 4.0, 8.0)),
)
def test_a_dough_moved_to_a_colder_place_is_no_sooner_ready(
    stage: tuple[str, str],
    room_c: float,
    first_c: float | None,
    moves: list[tuple[float, float]],
    gap_min: float,
    colder_k: float,
) -> None:
    here_c = moves[-1][1] if moves else room_c
    stayed_min = moved_min(stage, room_c, first_c, moves, None)
    colder_c, coldest_c = here_c - colder_k, here_c - colder_k - 1.0
    colder_min, coldest_min = (
        moved_min(stage, room_c, first_c, [*moves, (gap_min, place_c)], None) for place_c in (colder_c, coldest_c)
    )
    assert min(colder_min, coldest_min) >= stayed_min
    if coldest_c >= COLD_C:  # from a fridge it is taken out, and ready once it has warmed
        assert coldest_min >= colder_min


@pytest.mark.parametrize("read_c", [17.0, 20.0, 23.0])
@pytest.mark.parametrize("room_c", [14.0, 21.0])
def test_a_dough_read_once_more_in_the_colder_place_is_no_sooner_ready(room_c: float, read_c: float) -> None:
    lengths = [moved_min(BY_BANDS, room_c, 21.0, [(30.0, place_c)], read_c) for place_c in (room_c, 12.0, 10.0)]
    assert lengths == sorted(lengths)


def test_two_moves_to_the_cold_room_as_a_baker_had_them() -> None:
    """At 14 °C, of 21 °C at first: moved to 10 °C after 5 min; or warm for 69 min and then back in the room."""
    assert moved_min(BY_BANDS, 14.0, 21.0, [(5.0, 10.0)], None) > moved_min(BY_BANDS, 14.0, 21.0, [], None) == 113.0
    baking = at(*BY_BANDS, kitchen=Kitchen(room_c=14.0))
    baking.wait(minutes=69)
    baking.say(intents.Move(place_c=26.0))
    baking.read(21.0)
    warm_min = baking.length_min
    baking.say(intents.Move("room"))
    assert baking.length_min >= warm_min


def test_a_lower_reading_makes_it_sooner_only_where_it_is_warmer_than_expected_and_says_so() -> None:
    within = at(LAMPLIGHTER, "First proof", kitchen=Kitchen(room_c=14.0))
    within.read(25.0)
    within.wait(minutes=30)
    assert within.read(24.5) is None, "as near to what was likely as its probe is good to"
    baking = at(LAMPLIGHTER, "First proof", kitchen=Kitchen(room_c=14.0, probe=Probe(tolerance_k=0.2)))
    baking.read(25.0)
    baking.wait(minutes=30)
    before_min = baking.length_min
    change = baking.read(24.5)  # Newton has it at less by then: it was taken to cool faster than it does
    assert change is not None
    assert change.to_s < before_min * 60
    assert change.reason.startswith("Dough 24.5 °C, warmer than was likely by now: ")
    expected = at(LAMPLIGHTER, "First proof", kitchen=Kitchen(room_c=24.0))
    expected.read(24.0)
    expected.say(intents.Move(place_c=14.0))
    expected.wait(minutes=40)
    before_min = expected.length_min
    expected.read(21.0)
    assert expected.length_min >= before_min


@pytest.mark.parametrize("wait_min", [5.0, 10.0, 20.0, 40.0])
@pytest.mark.parametrize("moved_c", [10.5, 14.0, 18.0])
def test_a_reading_as_low_as_was_expected_shortens_nothing(moved_c: float, wait_min: float) -> None:
    """Not by the minute that the fit of a time constant leaves, either."""
    for first_c in (20.0, 22.0, 24.0, 26.0):
        baking = at(LAMPLIGHTER, "First proof", kitchen=Kitchen(room_c=24.0))
        baking.read(first_c)
        baking.wait(minutes=5)
        baking.say(intents.Move(place_c=moved_c))
        baking.wait(minutes=wait_min)
        index, before_min = baking.state.current or 0, baking.length_min
        estimate = rate_estimate(baking.state, index, series(baking.state, index))
        assert estimate is not None
        expected_c = estimate.path.temp_c(baking.now_s - (baking.state.stages[index].begun_s or 0.0))
        baking.read(min(math.floor(10 * expected_c) / 10, first_c - 0.1))
        assert baking.length_min >= before_min
