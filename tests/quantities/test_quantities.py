"""Quantities against the values that define the units, and against what people mistype."""

import math
import subprocess
import sys

import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from proofbell.quantities import Dimension, QuantityError, example, kept_unit, read_quantity, spellings
from proofbell.visible import harmful_places

TEMPERATURE, DIFFERENCE, MASS, TIME = Dimension.TEMPERATURE, Dimension.DIFFERENCE, Dimension.MASS, Dimension.TIME


@pytest.mark.parametrize(
    ("text", "dimension", "value"),
    [
        # NIST Special Publication 811 (2008), B.8: t/°C = (t/°F − 32)/1.8.
        ("32 °F", TEMPERATURE, 0.0),
        ("212 degF", TEMPERATURE, 100.0),
        ("-40 °F", TEMPERATURE, -40.0),
        ("77 °F", TEMPERATURE, 25.0),
        ("25 degC", TEMPERATURE, 25.0),
        # The same: a temperature interval of 1 °F is 1/1.8 K. No 32 in a difference.
        ("2.7 °F", DIFFERENCE, 1.5),
        ("1.5 °C", DIFFERENCE, 1.5),
        ("1.5 K", DIFFERENCE, 1.5),
        # NIST Handbook 44 (2023), Appendix C: 1 lb = 453.592 37 g, 1 oz = 28.349 523 125 g, both exactly.
        ("1 lb", MASS, 453.59237),
        ("1 oz", MASS, 28.349523125),
        # The same: a US gallon, 128 fluid ounces, is 231 in³, 3785.411 784 mL.
        ("128 fl oz", Dimension.VOLUME, 3785.411784),
        ("0.5 kg", MASS, 500.0),
        ("1 lb 8 oz", MASS, 680.388555),
        # The same: 1 ft = 0.3048 m exactly.
        ("5000 ft", Dimension.LENGTH, 1524.0),
        # NIST SP 811, B.8: 1 inHg (conventional) = 3.386 389 kPa.
        ("1 inHg", Dimension.PRESSURE, 33.86389),
        ("1 mbar", Dimension.PRESSURE, 1.0),
        ("101.325 kPa", Dimension.PRESSURE, 1013.25),
        ("1 h 30 min", TIME, 5400.0),
        ("1.5h", TIME, 5400.0),
        ("900 s", TIME, 900.0),
        ("2 d", TIME, 172800.0),
        ("2 %", Dimension.PERCENT, 2.0),
        ("1.6 l", Dimension.VOLUME, 1600.0),
    ],
)
def test_a_quantity_is_exactly_what_its_unit_defines(text: str, dimension: Dimension, value: float) -> None:
    assert read_quantity(text, dimension) == value


@pytest.mark.parametrize(
    ("text", "dimension", "said", "remedy"),
    [
        ("25", TEMPERATURE, "which unit", '"25 °C"'),
        ("25 C", TEMPERATURE, '"C"', '"25 °C"'),
        ("77 F", TEMPERATURE, '"F"', '"77 °F"'),
        ("180 degrees", TEMPERATURE, "degrees", '"180 °C"'),
        ("25,5 °C", TEMPERATURE, "comma", '"25.5 °C"'),
        ("1,5 h", TIME, "comma", '"1.5 h"'),
        ("50 minutes", TIME, "minutes", '"50 min"'),
        ("75 grams", MASS, "grams", '"75 g"'),
        ("2 lbs", MASS, "lbs", '"2 lb"'),
        ("50 min", TEMPERATURE, "a length of time", "°C"),
        ("75 g", TIME, "a weight", "min"),
        ("30 min 1 h", TIME, "added up", '"1 h 30 min"'),
        ("1 h -30 min", TIME, "added up", "without signs"),
        ("1 h 1 h", TIME, "added up", "each unit once"),
        ("20 °C 5 °C", TEMPERATURE, "added up", "one number"),
        ("nan °C", TEMPERATURE, "not a temperature", "°C"),
        ("inf g", MASS, "not a weight", "g"),
        ("1e9999 g", MASS, '"e"', "kg, g, lb, oz"),
        ("", MASS, "nothing", "75 g"),
        ("five cups", Dimension.VOLUME, "not a volume", "ml"),
        ("5 cups", Dimension.VOLUME, "cups", "l, L, fl oz, ml, mL"),
        ("-274 °C", TEMPERATURE, "colder", "−273.15"),
        ("-459.7 °F", TEMPERATURE, "colder", "−273.15"),
        ("20 K", TEMPERATURE, "a difference", "°C"),
        ("\u0662\u0665 °C", TEMPERATURE, "not a temperature", "°C"),
    ],
)
def test_what_is_no_quantity_is_refused_with_the_right_spelling(
    text: str, dimension: Dimension, said: str, remedy: str
) -> None:
    with pytest.raises(QuantityError) as refused:
        read_quantity(text, dimension)
    assert said in refused.value.message
    assert remedy in refused.value.remedy


@pytest.mark.parametrize("text", ["9" * 1000 + " g", "0." + "3" * 1000 + " °C", "1 h " * 500, "-" * 1000])
def test_very_long_numbers_are_refused_without_being_worked_out(text: str) -> None:
    with pytest.raises(QuantityError) as refused:
        read_quantity(text, MASS)
    assert len(refused.value.message) < 200


def test_a_number_has_at_most_twenty_digits() -> None:
    assert read_quantity("0.000000000000000001 g", MASS) == 1e-18
    with pytest.raises(QuantityError, match="too many digits"):
        read_quantity("0.0000000000000000001 g", MASS)


@given(st.text(max_size=80), st.sampled_from(Dimension))
@settings(max_examples=150)
def test_any_text_is_a_finite_number_or_an_honest_refusal(text: str, dimension: Dimension) -> None:
    value, said = outcome(text, dimension)
    assert math.isfinite(value) != bool(said)
    assert not list(harmful_places(said))


def outcome(text: str, dimension: Dimension) -> tuple[float, str]:
    """The number read, or not a number and what was said."""
    try:
        return read_quantity(text, dimension), ""
    except QuantityError as refused:
        return math.nan, refused.message + refused.remedy


@given(st.decimals(-200, 400, places=3, allow_nan=False))
@settings(max_examples=60)
def test_fahrenheit_follows_the_definition_for_every_number(value: object) -> None:
    """NIST SP 811, B.8: t/°C = (t/°F − 32)/1.8."""
    assert read_quantity(f"{value} °F", TEMPERATURE) == pytest.approx((float(str(value)) - 32) / 1.8, abs=1e-9)


@given(st.sampled_from(Dimension), st.data())
@settings(max_examples=60)
def test_a_unit_fits_only_what_it_measures(dimension: Dimension, data: st.DataObject) -> None:
    other = data.draw(st.sampled_from([each for each in Dimension if each is not dimension]))
    unit = data.draw(st.sampled_from(spellings(other)))
    if unit in spellings(dimension):
        return
    with pytest.raises(QuantityError):
        read_quantity(f"1 {unit}", dimension)


def test_every_example_reads_as_its_own_dimension() -> None:
    for dimension in Dimension:
        assert read_quantity(example(dimension), dimension) > 0


def test_every_unit_has_the_size_that_pint_gives_it() -> None:
    """Pint's own registry: definitions that are not ours."""
    named = {
        "°C": "degC", "°F": "degF", "l": "liter", "L": "liter", "mL": "milliliter", "%": "percent", "in": "inch",
        "fl oz": "fluid_ounce", "mbar": "millibar", "inHg": "inch_Hg_32F", "d": "day", "h": "hour",
    }  # fmt: skip
    registry: pint.UnitRegistry[float] = pint.UnitRegistry()
    for dimension in Dimension:
        for spelling in spellings(dimension):
            name, base = (named.get(text, text) for text in (spelling, kept_unit(dimension)))
            if dimension is DIFFERENCE:
                name, base = (text.replace("deg", "delta_deg").replace("K", "kelvin") for text in (name, base))
            expected = registry.Quantity(7.25, name).to(base).magnitude
            assert read_quantity(f"7.25 {spelling}", dimension) == pytest.approx(expected, rel=1e-6), spelling


def test_pint_is_imported_only_for_another_scale_of_temperature() -> None:
    code = (
        "import sys; import proofbell.quantities as q;"
        "[q.read_quantity(f'1 {u}', d) for d in q.Dimension for u in q.spellings(d) if u not in ('°F', 'degF')];"
        "assert 'pint' not in sys.modules;"
        "q.read_quantity('1 °F', q.Dimension.TEMPERATURE); assert 'pint' in sys.modules"
    )
    subprocess.run([sys.executable, "-c", code], check=True, timeout=60)
