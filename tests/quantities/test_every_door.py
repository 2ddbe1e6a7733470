"""The same text is the same quantity at every door: formula, kitchen file, command line, reading, tin, field.

The sizes of the units are the published ones, written down here once more: NIST Handbook 44 (2023), Appendix C (1 lb =
453.592 37 g and 1 oz = lb/16, 1 in = 2.54 cm, 1 ft = 0.3048 m, all exact), NIST Special Publication 811 (2008), B.8
(t/°C = (t/°F − 32)/1.8, 1 inHg = 3.386 389 kPa), and the International System for the rest.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from datetime import datetime, timedelta
from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from proofbell.app.fields.typed import quantity
from proofbell.bake.readings import ReadingError, parse_reading
from proofbell.cli.arguments import values
from proofbell.dough.tins import read_tin_ml, round_ml
from proofbell.formula.findings import Findings
from proofbell.formula.measures import Measure
from proofbell.kitchen.file import model_value, read_kitchen, set_value
from proofbell.kitchen.telling import typed_value, with_unit
from proofbell.moment_text import read_when
from proofbell.quantities import (
    Dimension,
    QuantityError,
    in_full,
    read_named_weight,
    read_quantity,
    read_typed,
    spellings,
    units_typed,
    usual_unit,
)
from proofbell.units import c_from_f, f_from_c

MOST = 1e12
PUBLISHED: dict[Dimension, dict[str, Callable[[Fraction], Fraction]]] = {
    Dimension.TEMPERATURE: {"°C": lambda n: n, "°F": lambda n: (n - 32) * 5 / 9},
    Dimension.DIFFERENCE: {"°C": lambda n: n, "K": lambda n: n, "°F": lambda n: n * 5 / 9},
    Dimension.MASS: {
        "kg": lambda n: n * 1000,
        "g": lambda n: n,
        "lb": lambda n: n * Fraction("453.59237"),
        "oz": lambda n: n * Fraction("28.349523125"),
    },
    Dimension.TIME: {"d": lambda n: n * 86400, "h": lambda n: n * 3600, "min": lambda n: n * 60, "s": lambda n: n},
    Dimension.VOLUME: {
        "l": lambda n: n * 1000,
        "fl oz": lambda n: n * 231 * Fraction("2.54") ** 3 / 128,
        "ml": lambda n: n,
    },
    Dimension.JAR: {"l": lambda n: n * 1000, "dl": lambda n: n * 100, "ml": lambda n: n},
    Dimension.LENGTH: {"m": lambda n: n, "ft": lambda n: n * Fraction("0.3048")},
    Dimension.SIZE: {"cm": lambda n: n, "mm": lambda n: n / 10, "in": lambda n: n * Fraction("2.54")},
    Dimension.PERCENT: {"%": lambda n: n},
    Dimension.PRESSURE: {
        "hPa": lambda n: n,
        "kPa": lambda n: n * 10,
        "mbar": lambda n: n,
        "inHg": lambda n: n * Fraction("33.86389"),
    },
}

SETTING = {
    Dimension.TEMPERATURE: "room",
    Dimension.DIFFERENCE: "uncertainty",
    Dimension.MASS: "scale.step",
    Dimension.TIME: "oven.heat_up",
    Dimension.LENGTH: "altitude",
    Dimension.PRESSURE: "pressure",
}
"""A setting of the kitchen for each dimension that it has."""


@st.composite
def written(draw: st.DrawFn, least: str = "0.01", most: str = "400") -> tuple[Dimension, str, float]:
    """A dimension, a quantity of it as a file has it, and what it is by the published sizes."""
    dimension = draw(st.sampled_from(Dimension))
    unit = draw(st.sampled_from(sorted(PUBLISHED[dimension])))
    number = draw(st.decimals(least, most, places=2))
    return dimension, f"{number} {unit}", float(PUBLISHED[dimension][unit](Fraction(str(number))))


def outcome(read: Callable[[], float | None]) -> float | str | None:
    """The number, or that it was refused; a bound of the door's own is no matter of units."""
    try:
        return read()
    except (QuantityError, ReadingError):
        return "refused"


def by_kitchen_file(text: str, dimension: Dimension) -> float | None:
    """What the kitchen file makes of it; None when it lies outside the bounds of the setting."""
    key = SETTING[dimension]
    table, _, name = key.rpartition(".")
    lines = f'[{table}]\n{name} = "{text}"\n' if table else f'{name} = "{text}"\n'
    kitchen, faults = read_kitchen(lines, "kitchen")
    if faults:
        return None
    value = model_value(kitchen, key)
    assert isinstance(value, float)
    return value


def test_the_table_here_has_every_unit_of_the_program() -> None:
    for dimension in Dimension:
        sizes = {read_quantity(f"1 {unit}", dimension) for unit in spellings(dimension)}
        assert sizes == {float(size(Fraction(1))) for size in PUBLISHED[dimension].values()}


@given(written())
def test_files_commands_and_fields_read_the_same_as_the_published_sizes_say(case: tuple[Dimension, str, float]) -> None:
    dimension, text, value = case
    assert read_quantity(text, dimension) == value
    assert read_typed(text, dimension) == value
    assert Measure(dimension, -MOST, MOST).read(text, (), Findings({}, {})) == value
    assert values.quantity(text, dimension, "--flag") == value
    assert quantity(text, dimension, -MOST, MOST) == value
    if dimension in SETTING:
        assert by_kitchen_file(text, dimension) in (value, None)


@given(written("1", "90"))
def test_a_reading_a_tin_a_rest_and_a_moment_read_the_same(case: tuple[Dimension, str, float]) -> None:
    dimension, text, value = case
    if dimension is Dimension.TEMPERATURE:
        assert parse_reading("dough temperature", text) == parse_reading("core temperature", text) == value
    elif dimension is Dimension.MASS:
        assert parse_reading("weight", text) == value
        assert read_named_weight(f"butter {text}") == read_named_weight(f"butter={text}") == ("butter", value)
        assert values.named_weight(f"butter={text}", "--have") == ("butter", value)
    elif dimension is Dimension.PERCENT:
        assert parse_reading("rise", text) == value
    elif dimension is Dimension.VOLUME:
        assume(10 <= value <= 100_000)
        assert read_tin_ml(text) == value
    elif dimension is Dimension.SIZE:
        number, unit = text.split()
        assume(10 <= round_ml(value, value) <= 100_000)
        assert read_tin_ml(f"round {number} x {number} {unit}") == pytest.approx(round_ml(value, value))
        assert parse_reading("rise", f"{text} to {text}") == 0
        assert parse_reading("rise", f"{text} to {2 * value:.2f} cm") == pytest.approx(100, abs=1)
    elif dimension is Dimension.JAR:
        assume(value < 50_000)
        assert parse_reading("rise", f"{text} to {2 * value:.2f} ml") == pytest.approx(100, abs=1)
    elif dimension is Dimension.TIME:
        assume(value < 60 * 86400)
        now = datetime(2026, 3, 14, 9, 30)  # noqa: DTZ001 - clock time on the kitchen's wall
        assert abs(read_when(f"in {text}", now) - now - timedelta(seconds=value)) <= timedelta(minutes=1)


@given(st.sampled_from(Dimension), st.decimals("0.01", "90", places=2))
def test_at_the_bench_a_bare_number_and_a_comma_mean_what_the_whole_text_means(
    dimension: Dimension, number: object
) -> None:
    comma, full = str(number).replace(".", ","), f"{number} {usual_unit(dimension)}"
    value = read_quantity(full, dimension)
    for typed in (str(number), comma, f"{comma}{usual_unit(dimension)}", f" {comma} {usual_unit(dimension)} "):
        assert in_full(typed, dimension) == full
        assert quantity(typed, dimension, -MOST, MOST) == value
        if dimension in SETTING:
            assert with_unit(SETTING[dimension], typed) == full
        if dimension is Dimension.TEMPERATURE:
            assert parse_reading("dough temperature", typed) == value
        if dimension is Dimension.MASS:
            assert parse_reading("weight", typed) == value
        if dimension is Dimension.PERCENT:
            assert parse_reading("rise", typed) == value


@given(st.sampled_from(Dimension), st.decimals("1", "90", places=1), st.data())
def test_every_unit_that_can_be_typed_is_the_files_own(
    dimension: Dimension, number: object, data: st.DataObject
) -> None:
    unit = data.draw(st.sampled_from(units_typed(dimension)))
    full = in_full(f"{number}{unit}", dimension)
    assert full.split(maxsplit=1)[1] in spellings(dimension)
    assert read_quantity(full, dimension) == read_typed(f"{number} {unit}", dimension)


@given(written("1", "40"))
def test_what_the_kitchen_tells_is_read_back_as_the_same(case: tuple[Dimension, str, float]) -> None:
    dimension, text, _ = case
    assume(dimension in SETTING)
    key = SETTING[dimension]
    assume(by_kitchen_file(text, dimension) is not None)
    first, _ = read_kitchen(set_value("", key, text), "kitchen")
    told = typed_value(first, key)
    again, faults = read_kitchen(set_value("", key, with_unit(key, told)), "kitchen")
    assert faults == ()
    before, after = model_value(first, key), model_value(again, key)
    assert isinstance(before, float)
    # Six figures, and a length of time in whole minutes or seconds.
    rounded = 60.0 if dimension is Dimension.TIME else 0.0
    assert after == pytest.approx(before, rel=1e-5, abs=rounded)


@given(st.text(max_size=40), st.sampled_from(["dough temperature", "weight", "rise"]))
def test_no_text_is_a_reading_that_is_no_finite_number(text: str, what: str) -> None:
    value = outcome(lambda: parse_reading(what, text))  # type: ignore[arg-type, return-value]
    assert not isinstance(value, float) or math.isfinite(value)


def test_a_quantity_of_another_kind_is_told_by_its_unit() -> None:
    with pytest.raises(ReadingError, match="read in °C, not in kg"):
        parse_reading("dough temperature", "25 kg")
    with pytest.raises(ReadingError, match="read in g, not in °C"):
        parse_reading("weight", "25 °C")


def test_a_name_and_a_weight_are_asked_for_together() -> None:
    for text in ("butter", "=200 g", "200 g", "butter="):
        with pytest.raises(QuantityError, match="does not say what there is"):
            read_named_weight(text)
    assert read_named_weight("flour 00 = 1 kg") == ("flour 00", 1000.0)


@given(st.floats(-60, 300))
def test_the_cores_own_fahrenheit_agrees_with_the_door(temp_c: float) -> None:
    text = f"{f_from_c(temp_c):.6f} °F"
    assert read_quantity(text, Dimension.TEMPERATURE) == pytest.approx(temp_c, abs=1e-6)
    assert c_from_f(f_from_c(temp_c)) == pytest.approx(temp_c, abs=1e-9)


def test_a_length_out_of_bounds_is_told_as_a_length() -> None:
    with pytest.raises(QuantityError, match="between 1 min and 3 d"):
        quantity("100 h", Dimension.TIME, 60.0, 72 * 3600.0)
