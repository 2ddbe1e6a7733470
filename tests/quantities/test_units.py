"""Numbers in °F, oz and a clock of 12 hours: told, and typed.

425 °F is the oven of the US Army's bread (recipe D01000);
t/°C = (t/°F − 32)/1.8 is NIST SP 811, B.8. One ounce is 28.349523125 g (NIST Handbook 44, Appendix C).
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime

import pytest

from proofbell import words
from proofbell.bake.readings import meant_in_f, parse_reading, with_its_unit
from proofbell.dough.oven import setting
from proofbell.formula.readings import LIMITS
from proofbell.kitchen.file import read_kitchen, set_value
from proofbell.kitchen.model import Kitchen
from proofbell.kitchen.telling import settings_told, typed_quantity, with_unit
from proofbell.moment_text import read_when
from proofbell.quantities import Dimension, read_typed
from proofbell.units import METRIC, Units, said_in, use

AMERICAN = Units("°F", "oz", "12 h")


@pytest.fixture
def american() -> Iterator[None]:
    use(AMERICAN)
    yield
    use(METRIC)


@pytest.mark.usefixtures("american")
def test_numbers_are_told_as_the_kitchen_counts() -> None:
    assert words.temperature(25.0) == "77.0 °F"
    assert words.temperature(None) == "–"
    assert words.difference(1.0) == "1.8 °F"
    assert words.temperatures(24.0, 26.0) == "75 to 79 °F"
    assert (
        words.as_counted("killed between ‹54 and 60 °C›, weak at ‹43 °C›; the Night at 5 °C")
        == "killed between 129 and 140 °F, weak at 109 °F; the Night at 5 °C"
    )
    assert (words.grams(28.349523125), words.grams(1200.0)) == ("1.00 oz", "42.3 oz")
    assert words.other_degrees(25.0) == "25 °C"
    assert (words.volume(1600.0), words.volume(15.0), words.height(350.0)) == ("54 fl oz", "0.5 fl oz", "1148 ft")
    assert typed_quantity(1600.0, Dimension.VOLUME) == "54.1024 fl oz"
    assert LIMITS["core temperature"].said(93.0) == "199.4 °F"
    assert LIMITS["rise"].span(60.0, 80.0) == "60 to 80 %"
    assert [words.hour_minute(datetime(2026, 3, 14, hour, 5, tzinfo=UTC)) for hour in (0, 9, 12, 23)] == [
        "12:05 am",
        "9:05 am",
        "12:05 pm",
        "11:05 pm",
    ]


@pytest.mark.usefixtures("american")
def test_an_oven_is_set_to_the_next_five_degrees_of_fahrenheit() -> None:
    assert setting((425 - 32) / 1.8) == "425 °F"
    assert setting(200.0, kind="fan") == "355 °F fan"
    assert setting(200.0, kind="gas") == "gas mark 6"


@pytest.mark.usefixtures("american")
def test_a_bare_number_is_in_the_kitchens_units_and_kept_with_them() -> None:
    assert parse_reading("dough temperature", "78") == pytest.approx(25.5556, abs=1e-3)
    assert parse_reading("dough temperature", "25.5 C") == 25.5
    assert parse_reading("weight", "32") == pytest.approx(907.185, abs=1e-3)
    assert with_its_unit("dough temperature", "78") == "78 °F"
    assert with_its_unit("rise", "60") == "60"
    assert read_typed("1", Dimension.DIFFERENCE) == pytest.approx(5 / 9)
    assert with_unit("room", "70") == "70 °F"


@pytest.mark.parametrize(
    ("what", "typed", "asked"),
    [
        ("dough temperature", "78", "78 °F"),
        ("core temperature", "200", "200 °F"),
        ("room temperature", "72", "72 °F"),
        ("dough temperature", "27", ""),
        ("dough temperature", "78 °C", ""),
        ("dough temperature", "300", ""),
        ("weight", "780000", ""),
    ],
)
def test_a_bare_number_that_only_fahrenheit_can_mean_is_asked_about(what: str, typed: str, asked: str) -> None:
    assert meant_in_f(what, typed) == asked  # type: ignore[arg-type]


@pytest.mark.usefixtures("american")
def test_what_is_told_of_each_setting_is_what_would_set_it_again() -> None:
    kitchen = Kitchen(room_c=22.5, rise_hand_k=1.5, places=(("larder", 15.0),))
    for told in settings_told(kitchen):
        if told.value:
            again, faults = read_kitchen(set_value("", told.key, with_unit(told.key, told.value)), "k")
            assert not [fault for fault in faults if fault.is_error]
            shown = {each.key: each.value for each in settings_told(again)}
            assert shown[told.key] == told.value


@pytest.mark.usefixtures("american")
def test_a_working_or_a_document_can_be_told_in_celsius_meanwhile() -> None:
    with said_in(METRIC):
        assert words.temperature(25.0) == "25.0 °C"
        assert parse_reading("dough temperature", "77") == 25.0
    assert words.temperature(25.0) == "77.0 °F"


@pytest.mark.parametrize(
    ("typed", "hour", "minute"),
    [("6:30 pm", 18, 30), ("6:30pm", 18, 30), ("12 am", 0, 0), ("tomorrow 12:15 p.m.", 12, 15), ("7 am", 7, 0)],
)
def test_a_moment_may_be_typed_by_a_clock_of_twelve_hours(typed: str, hour: int, minute: int) -> None:
    moment = read_when(typed, datetime(2026, 3, 14, 5, 0))  # noqa: DTZ001 - clock time, as the reader wants it
    assert (moment.hour, moment.minute) == (hour, minute)
