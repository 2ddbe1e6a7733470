"""What a new kitchen is asked, and what is guessed of it. Countries by the Unicode CLDR, from memory."""

from __future__ import annotations

import pytest

from proofbell.kitchen.file import read_kitchen, set_value
from proofbell.kitchen.first_start import (
    Answers,
    Guess,
    first_answers,
    guess,
    settings_of,
    settings_skipped,
    with_degrees,
)
from proofbell.kitchen.model import Kitchen
from proofbell.units import Units


@pytest.mark.parametrize(
    ("environment", "units", "region"),
    [
        ({"LANG": "en_US.UTF-8"}, Units("°F", "oz", "12 h"), "us"),
        ({"LANG": "en_US.UTF-8", "LC_MEASUREMENT": "de_DE.UTF-8"}, Units("°C", "g", "24 h"), "eu"),
        ({"LANG": "en_GB.UTF-8"}, Units("°C", "g", "24 h"), "uk"),
        ({"LANG": "en_CA.UTF-8"}, Units("°C", "g", "12 h"), "eu"),
        ({"LANG": "fr_CA.UTF-8"}, Units("°C", "g", "24 h"), "eu"),
        ({"LANG": "C.UTF-8"}, Units("°C", "g", "24 h"), "eu"),
        ({}, Units("°C", "g", "24 h"), "eu"),
    ],
)
def test_units_and_region_are_guessed_from_the_country(environment: dict[str, str], units: Units, region: str) -> None:
    found = guess(environment)

    assert (found.units, found.region) == (units, region)


def test_who_says_fahrenheit_where_no_country_is_known_weighs_and_reads_the_clock_so_too() -> None:
    assert guess({}, "°F") == Guess(Units("°F", "oz", "12 h"), "us")
    assert guess({"LANG": "en_US.UTF-8"}, "°C").units == Units("°C", "g", "12 h")


def written(settings: tuple[tuple[str, str], ...]) -> Kitchen:
    text = ""
    for key, value in settings:
        text = set_value(text, key, value)
    kitchen, faults = read_kitchen(text, "k")
    assert faults == ()
    return kitchen


def test_the_answers_are_what_the_kitchen_file_says_then() -> None:
    kitchen = written(settings_of(Answers("fan", "°F", "72", heard=False), {"LANG": "en_US.UTF-8"}))

    assert kitchen.oven.kind == "fan"
    assert kitchen.room_c == pytest.approx((72 - 32) / 1.8)
    assert (kitchen.units.temperature, kitchen.units.clock, kitchen.region) == ("°F", "12 h", "us")
    assert kitchen.bell.heard is False


def test_skipped_it_is_written_what_was_guessed_and_of_oven_and_bell_nothing() -> None:
    american = {"LANG": "en_US.UTF-8"}
    kitchen = written(settings_skipped(first_answers(american), american))

    assert kitchen.units == Units("°F", "oz", "12 h")
    assert kitchen.oven == Kitchen().oven
    assert kitchen.bell.heard is None


def test_what_was_answered_before_the_rest_was_skipped_is_kept() -> None:
    kitchen = written(settings_skipped(Answers("fan", "°F", "72", heard=True), {}))
    assert (kitchen.oven.kind, kitchen.units.temperature, kitchen.bell.heard) == ("fan", "°F", True)
    assert kitchen.room_c == pytest.approx((72 - 32) / 1.8)

    assert written(settings_skipped(Answers(room="78"), {})).room_c == 21


def test_a_room_that_only_the_other_degrees_can_mean_is_asked_about() -> None:
    assert Answers(room="78").room_wrong == "78 °F? Then choose °F above."
    assert Answers(room="400").room_wrong == "A room is −5 to 50 °C, 23 to 122 °F."
    assert Answers(room="19,5").room_told == "19.5 °C"
    assert with_degrees(Answers(room="21"), "°F").room_told == "70 °F"
    assert with_degrees(Answers(room="78"), "°F").room_told == "78 °F"
    assert first_answers({"LANG": "en_US.UTF-8"}).temperature == "°F"
