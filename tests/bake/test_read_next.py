"""Which reading is taken first: the one that the screen asks for."""

from __future__ import annotations

import pytest

from proofbell.bake.asking.judging import judged_soon
from proofbell.bake.asking.looking_again import judged_early_s
from proofbell.bake.asking.offered import read_next
from proofbell.bake.view import view
from proofbell.formula.model import ReadingKind
from tests.support.baking import Baking
from tests.support.walking import KNOTS, LAMPLIGHTER, PAN, at, chilled, later, read


def first(baking: Baking) -> tuple[str, ReadingKind | None]:
    """What the screen says is to be done, and what is read then."""
    seen = view(baking.state, baking.now_s)
    return seen.do, read_next(baking.state, seen.wants, baking.now_s)


def test_a_dough_to_be_read_again_is_read_though_its_rise_is_judged_soon() -> None:
    baking = read(at(LAMPLIGHTER, "First proof", minutes=5), 30.0)
    baking.wait(seconds=(judged_early_s(baking.state, baking.now_s) or 0.0) - baking.now_s - 240)
    assert judged_soon(baking.state, baking.now_s)
    assert first(baking) == ("Read the dough's temperature again", "dough temperature")
    baking.read(25.0)
    assert first(baking)[1] == ("rise" if judged_soon(baking.state, baking.now_s) else None)


def test_a_butter_dough_in_the_cold_is_read_as_its_minutes_are_over() -> None:
    baking = later(chilled(read(at(KNOTS, "First proof", minutes=3), 29.0)), 21)
    do, what = first(baking)
    assert do.startswith("Read the dough")
    assert what == "dough temperature"


@pytest.mark.parametrize("late_min", [0, 35])
def test_what_a_proofs_beginning_asked_for_does_not_stand_before_the_judging_for_its_end(late_min: float) -> None:
    baking = at(PAN, "First proof")
    baking.wait(minutes=baking.left_min + late_min)
    do, what = first(baking)
    assert do.startswith("Judge the rise")
    assert what == "rise"
