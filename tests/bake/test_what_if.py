"""Asking of a proof what would be if."""

from __future__ import annotations

import pytest

from proofbell.bake.what_if import Terms, how_long, how_warm, working

ASKED = Terms("First proof", 4200.0, 25.0, 21.0, (), 21.0, 7000.0, 1.0, 1.0)


def test_a_dough_as_the_formula_has_it_takes_the_time_of_the_formula() -> None:
    assert how_long(ASKED, 25.0).seconds == pytest.approx(4200.0, abs=0.01)


@pytest.mark.parametrize("dough_c", [20.0, 23.0, 30.0])
def test_the_place_that_makes_it_ready_in_a_time_makes_it_take_that_time(dough_c: float) -> None:
    place = how_warm(ASKED, 4200.0, dough_c)

    assert place.place_c is not None
    assert how_long(ASKED, dough_c, place.place_c).seconds == pytest.approx(4200.0, rel=1e-6)


def test_the_working_ends_in_the_time_that_is_asked_about() -> None:
    assert "1 h 10 min" in "\n".join(working(ASKED).lines)
