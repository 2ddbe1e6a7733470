"""A rise as it is typed: in percent, by eye, or as two sizes in a straight-sided jar."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofbell.bake import intents
from proofbell.bake.readings import ReadingError, is_pair, may_become, parse_reading
from tests.support.baking import FINAL_PROOF, at_stage


# IREKS Compendium of Baking Technology, 11.5: a laminated piece is proofed to between half and three quarters more.
@pytest.mark.parametrize(
    ("typed", "percent"),
    [
        ("6 cm to 9 cm", 50),
        ("60 mm to 10.5 cm", 75),
        ("4 in to 7 in", 75),
        ("4 to 7 in", 75),
        ("400 ml to 700 ml", 75),
        ("0.4 l to 600 ml", 50),
        ("4 dl → 6 dl", 50),
        ("6,4 cm  to  9,6 cm", 50),
        ("10 cm to 9 cm", -10),
    ],
)
def test_two_sizes_make_a_rise(typed: str, percent: float) -> None:
    assert parse_reading("rise", typed) == pytest.approx(percent)
    assert all(may_become("rise", typed[:end]) for end in range(len(typed) + 1) if "  " not in typed)


@given(st.integers(1, 400), st.integers(0, 900), st.sampled_from(["mm", "cm", "in", "ml", "l"]))
def test_the_unit_of_the_jar_does_not_matter(start: int, now: int, unit: str) -> None:
    assert parse_reading("rise", f"{start} {unit} to {now} {unit}") == pytest.approx((now / start - 1) * 100)


@pytest.mark.parametrize(
    ("typed", "why"),
    [
        ("6 to 10", "with their unit"),
        ("6 cm to 640 ml", "two heights in a straight jar or two volumes"),
        ("0 cm to 6 cm", "had a size when it was put in"),
        ("6 cm to", "6 cm to 10 cm"),
    ],
)
def test_two_sizes_that_tell_no_rise_are_refused_with_an_example(typed: str, why: str) -> None:
    with pytest.raises(ReadingError, match=why):
        parse_reading("rise", typed)


def test_only_a_rise_is_told_by_two_sizes() -> None:
    with pytest.raises(ReadingError):
        parse_reading("weight", "6 cm to 10 cm")
    assert not may_become("dough temperature", "6 cm")
    assert not is_pair("60 %")


@pytest.mark.parametrize("typed", ["60t", "t", "n", "6 cm x", "6 cm to t", "60 n"])
def test_the_keys_by_eye_are_no_part_of_a_size(typed: str) -> None:
    assert not may_become("rise", typed)


def test_the_log_keeps_what_was_typed_and_the_proof_goes_by_the_percent() -> None:
    baking = at_stage(FINAL_PROOF)
    baking.wait(minutes=40)
    value = parse_reading("rise", "6 cm to 9.6 cm")
    assert isinstance(value, float)
    baking.say(intents.Read("rise", "6 cm to 9.6 cm", raw=value))
    (reading,) = baking.state.readings
    assert reading.typed == "6 cm to 9.6 cm"
    assert reading.value == pytest.approx(60)
    # 50 % is wanted: due now.
    assert baking.left_min == pytest.approx(0)
