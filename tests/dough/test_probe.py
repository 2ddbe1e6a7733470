"""The probe's checks, against reference libraries for water and air, and a published altitude table."""

import ambiance
import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st
from iapws import IAPWS97

from proofbell.dough.probe import (
    Pt100Class,
    boiling_c,
    check_probe,
    corrected_c,
    expected_boiling_c,
    pressure_hpa,
    pt100_tolerance_k,
)
from proofbell.errors import Failure

# High-altitude table of NOAA/NASA, as quoted in Wikipedia, "High-altitude cooking": feet, °F.
ALTITUDES = [
    (0, 212.0),
    (500, 211.1),
    (1000, 210.2),
    (2000, 208.4),
    (5000, 203.0),
    (6000, 201.1),
    (8000, 197.4),
    (10000, 193.6),
    (12000, 189.8),
]


@pytest.mark.parametrize(("feet", "published_f"), ALTITUDES)
def test_water_boils_at_an_altitude_as_published(feet: float, published_f: float) -> None:
    boiling_f = expected_boiling_c(altitude_m=feet * 0.3048) * 1.8 + 32
    assert boiling_f == pytest.approx(published_f, abs=0.25)


@pytest.mark.parametrize("pressure", [300, 650, 843.11, 950, 1000, 1013.25, 1030, 1100])
def test_the_boiling_point_is_that_of_the_iapws_library(pressure: float) -> None:
    assert boiling_c(pressure) == pytest.approx(IAPWS97(P=pressure / 10_000, x=0).T - 273.15, abs=1e-6)


@pytest.mark.parametrize("pressure", [300, 700, 950, 1013.25, 1050])
def test_the_boiling_point_is_that_of_an_independent_equation_of_state(pressure: float) -> None:
    # CoolProp uses the full IAPWS-95 formulation, not the industrial one.
    reference_c = PropsSI("T", "P", pressure * 100, "Q", 0, "Water") - 273.15
    assert boiling_c(pressure) == pytest.approx(reference_c, abs=0.01)


@pytest.mark.parametrize("altitude_m", [-400, 0, 152.4, 500, 1524, 3048, 8000])
def test_the_pressure_is_that_of_the_standard_atmosphere(altitude_m: float) -> None:
    reference_hpa = float(ambiance.Atmosphere(altitude_m).pressure[0]) / 100
    assert pressure_hpa(altitude_m) == pytest.approx(reference_hpa, rel=1e-6)


def test_a_measured_pressure_goes_before_the_altitude() -> None:
    assert expected_boiling_c(altitude_m=3048, pressure=1013.25) == pytest.approx(99.974, abs=0.001)


@pytest.mark.parametrize("altitude_m", [-600, 9100, float("nan")])
def test_an_altitude_without_kitchens_is_refused(altitude_m: float) -> None:
    with pytest.raises(Failure, match="altitude"):
        pressure_hpa(altitude_m)


@pytest.mark.parametrize("pressure", [29.92, 299, 1101, float("nan")])
def test_a_pressure_that_is_not_of_open_air_is_refused(pressure: float) -> None:
    with pytest.raises(Failure, match="pressure of open air"):
        boiling_c(pressure)


def test_the_ends_of_the_ranges_are_still_allowed() -> None:
    assert pressure_hpa(-500) > pressure_hpa(9000) > 300
    assert boiling_c(300) < boiling_c(1100)


def test_ice_alone_gives_an_offset() -> None:
    found = check_probe(ice_c=0.8, expected_c=99.974)
    assert found.offset_k == pytest.approx(-0.8)
    assert found.slope == 1.0
    assert found.ice_error_k == pytest.approx(0.8)
    assert found.boil_error_k is None
    assert corrected_c(26.8, found.offset_k, found.slope) == pytest.approx(26.0)


def test_boiling_water_alone_gives_an_offset_too() -> None:
    found = check_probe(boil_c=96.0, expected_c=94.90)
    assert corrected_c(96.0, found.offset_k, found.slope) == pytest.approx(94.90)
    assert found.slope == 1.0
    assert found.needed


@given(st.floats(-5, 5), st.floats(-4.9, 4.9), st.floats(88, 101))
def test_two_points_put_both_right(ice_c: float, boil_error_k: float, expected_c: float) -> None:
    found = check_probe(ice_c=ice_c, boil_c=expected_c + boil_error_k, expected_c=expected_c)
    assert corrected_c(ice_c, found.offset_k, found.slope) == pytest.approx(0, abs=1e-9)
    assert corrected_c(expected_c + boil_error_k, found.offset_k, found.slope) == pytest.approx(expected_c)
    assert found.boiling_c == expected_c


def test_a_probe_within_a_degree_is_good_enough() -> None:
    # Champaign-Urbana Public Health District, "How to calibrate a food thermometer": 0 ± 1 °C and 100 ± 1 °C.
    assert not check_probe(ice_c=1.0, boil_c=99.0, expected_c=99.974).needed
    assert check_probe(ice_c=1.1, expected_c=99.974).needed
    assert check_probe(ice_c=0, boil_c=98.9, expected_c=99.974).needed


@pytest.mark.parametrize(
    ("ice_c", "boil_c"), [(5.1, None), (-5.1, None), (None, 94.8), (0.0, 106.0), (float("nan"), None)]
)
def test_a_probe_that_is_off_by_more_than_five_degrees_is_faulty(ice_c: float | None, boil_c: float | None) -> None:
    with pytest.raises(Failure, match="too much to correct") as refused:
        check_probe(ice_c=ice_c, boil_c=boil_c, expected_c=99.974)
    assert "faulty" in refused.value.remedy
    assert refused.value.status == 1


def test_five_degrees_are_still_corrected() -> None:
    assert check_probe(ice_c=5.0, expected_c=99.974).offset_k == -5.0


def test_nothing_read_is_nothing_checked() -> None:
    with pytest.raises(Failure, match="nothing to check"):
        check_probe(expected_c=100)


def test_both_errors_are_told_when_both_were_read() -> None:
    found = check_probe(ice_c=0.5, boil_c=99.0, expected_c=98.0)
    assert (found.ice_error_k, found.boil_error_k, found.boiling_c) == (0.5, 1.0, 98.0)


def test_a_probe_without_error_needs_no_offset() -> None:
    found = check_probe(ice_c=0.0, expected_c=98.0)
    assert (found.offset_k, found.slope, found.boiling_c, found.needed) == (0.0, 1.0, 98.0, False)
    assert corrected_c(20.0, 0.5) == 20.5


def test_at_the_sea_water_boils_at_just_under_100() -> None:
    assert expected_boiling_c() == pytest.approx(99.974, abs=0.0005)


def test_a_refusal_says_where_it_was_measured_and_what_to_do() -> None:
    with pytest.raises(Failure, match=r"in the ice bath, which is at 0\.0 °C: it is off by 6\.0 °C"):
        check_probe(ice_c=6, expected_c=100)
    with pytest.raises(Failure, match=r"in boiling water, which is at 95\.0 °C: it is off by 7\.0 °C"):
        check_probe(boil_c=88, expected_c=95)
    for wrong in (lambda: check_probe(expected_c=100), lambda: pressure_hpa(1e6), lambda: boiling_c(10)):
        with pytest.raises(Failure) as refused:
            wrong()
        assert len(refused.value.remedy) > 20


# IEC 60751, class tolerances of Pt100 elements, as tabulated in makers' data sheets.
@pytest.mark.parametrize(
    ("grade", "temp_c", "off_k"),
    [("A", 0, 0.15), ("A", 26, 0.20), ("A", 95, 0.34), ("B", 0, 0.30), ("B", 26, 0.43), ("B", 95, 0.775)],
)
def test_a_pt100_may_be_off_by_as_much_as_its_class_allows(grade: Pt100Class, temp_c: float, off_k: float) -> None:
    assert pt100_tolerance_k(grade, temp_c) == pytest.approx(off_k, abs=0.005)
    assert pt100_tolerance_k(grade, -temp_c) == pt100_tolerance_k(grade, temp_c)
    assert pt100_tolerance_k("AA", temp_c) < pt100_tolerance_k(grade, temp_c)
