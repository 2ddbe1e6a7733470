"""Settings as they are shown, and typed back."""

from __future__ import annotations

import pytest

from proofbell.dough.probe import check_probe
from proofbell.kitchen.file import read_kitchen, set_value
from proofbell.kitchen.model import Kitchen, Oven, Probe, Scale
from proofbell.kitchen.settings import setting_names
from proofbell.kitchen.telling import errors_told, settings_told, typed_value
from proofbell.units import Units, said_in

OWN = Kitchen(
    name="Pier", room_c=18.5, flour_c=17.0, rise_hand_k=1.5, pressure_hpa=990.0, hands=2, region="uk", learn=False,
    oven=Oven(kind="fan", heat_up_s=900.0, trays=2), probe=Probe(offset_k=-0.5, slope=1.01, checked="2026-03-01"),
    scale=Scale(fine_step_g=0.01), alarm_command=("play", "a bell.wav"), theme="day",
)  # fmt: skip


@pytest.mark.parametrize("key", [name for name in setting_names() if typed_value(OWN, name)])
def test_a_value_typed_back_as_it_is_shown_gives_the_same_kitchen(key: str) -> None:
    kitchen, faults = read_kitchen(set_value("", key, typed_value(OWN, key)), "kitchen.toml")

    assert not [fault for fault in faults if fault.is_error]
    assert typed_value(kitchen, key) == typed_value(OWN, key)


def test_what_is_as_in_an_ordinary_kitchen_says_so() -> None:
    told = {one.key: one for one in settings_told(OWN)}

    assert told["fridge"].ordinary
    assert not told["room"].ordinary
    assert all(one.about for one in told.values())


def test_what_a_setting_is_for_is_told_in_the_degrees_of_the_kitchen() -> None:
    def about(key: str) -> str:
        return next(one.about for one in settings_told(Kitchen()) if one.key == key)

    assert about("oven.heat_up") == "From 20 to 200 °C."
    with said_in(Units("°F", "oz", "12 h")):
        assert about("oven.heat_up") == "From 68 to 392 °F."
        assert about("oven.cool_down") == "To fall by 180 °F, the door ajar."


@pytest.mark.parametrize(
    ("ice_c", "boil_c", "told"),
    [
        (0.6, None, ["In ice the probe shows 0.6 °C too much."]),
        (-1.2, None, ["In ice the probe shows 1.2 °C too little."]),
        (None, 100.0, ["In boiling water the probe shows what it should."]),
    ],
)
def test_what_the_probe_showed_is_told_for_each_check(
    ice_c: float | None, boil_c: float | None, told: list[str]
) -> None:
    # Ice water is at 0 °C; water boils at 99.97 °C at 1013.25 hPa (IAPWS-IF97), which is 100.0 °C to the tenth.
    assert errors_told(check_probe(ice_c=ice_c, boil_c=boil_c, expected_c=99.97)) == told
