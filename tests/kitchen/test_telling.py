"""Settings as they are shown, and typed back."""

from __future__ import annotations

import pytest

from proofbell.kitchen.file import read_kitchen, set_value
from proofbell.kitchen.model import Kitchen, Oven, Probe, Scale
from proofbell.kitchen.settings import setting_names
from proofbell.kitchen.telling import settings_told, typed_value

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
