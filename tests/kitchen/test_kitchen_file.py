"""The kitchen file: read with the same care as a formula, changed without touching what else is in it."""

import stat
import sys
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from proofbell import places
from proofbell.errors import Failure
from proofbell.kitchen.file import load_kitchen, read_kitchen, save_value, set_value
from proofbell.kitchen.model import Kitchen, OvenDial
from proofbell.kitchen.settings import setting_names

FILE = """# The kitchen behind the harbour wall.
room = "20 °C"      # by the back door, in winter
hands = 2

[oven]
kind = "fan"  # the new one
heat_up = "22 min"
[[oven.dial]]
conventional = "190 °C"
dial = "5 ½"

[probe]
offset = "-0.4 °C"
slope = 1.01

[keys]
bench.done = "d"
"bench.note" = "m"
"""


def test_a_kitchen_is_read_in_the_units_of_the_program() -> None:
    kitchen, faults = read_kitchen(FILE, "kitchen.toml")
    assert faults == ()
    assert (kitchen.room_c, kitchen.hands) == (20.0, 2)
    assert (kitchen.oven.kind, kitchen.oven.heat_up_s) == ("fan", 1320.0)
    assert kitchen.oven.dial == (OvenDial(190.0, "5 ½"),)
    assert (kitchen.probe.offset_k, kitchen.probe.slope) == (-0.4, 1.01)
    assert kitchen.keys == (("bench.done", "d"), ("bench.note", "m"))
    assert kitchen.fridge_c == Kitchen().fridge_c


def test_heights_and_pressures_are_read_by_their_definitions() -> None:
    """1 ft = 0.3048 m (NIST Handbook 44, Appendix C); 1 inHg = 3.386 389 kPa (NIST SP 811, B.8)."""
    assert read_kitchen('altitude = "5000 ft"', "k")[0].altitude_m == 1524.0
    assert read_kitchen('pressure = "29 inHg"', "k")[0].pressure_hpa == pytest.approx(982.05281)


def test_an_empty_file_is_an_ordinary_kitchen() -> None:
    assert read_kitchen("", "k") == (Kitchen(), ())


@pytest.mark.parametrize(
    ("text", "place", "said", "remedy"),
    [
        ('rom = "20 °C"', (1, 1), '"rom" is not a field', 'Did you mean "room"?'),
        ('\nroom = "20"', (2, 8), "which unit", '"20 °C"'),
        ("room = 20", (1, 8), "which unit", '"20 °C"'),
        ('[oven]\nkind = "steam"', (2, 8), "not a kind of oven", "fan"),
        ("[oven]\nlights = 2", (2, 1), '"lights" is not a field', "heat_up"),
        ("oven = { trays = 0 }", (1, 18), "0 is not", "1 to 100"),
        ('[[oven.dial]]\ndial = "5"', (1, 1), '"conventional" is missing', "conventional"),
        ("[probe]\nslope = 2.0", (2, 9), "2.0 is not", "0.8 to 1.2"),
        ('[scale]\nstep = "0 g"', (2, 8), "not more than 0", "more than"),
        ("learn = 1", (1, 9), "true or false", "bare"),
        ('tap = "60 °C"', (1, 7), "no warmer", "Measure"),
        ('[keys]\n"Bench Done" = "d"', (2, 1), "not the name of an action", "help"),
        ("[keys]\nbench.done = 3", (2, 14), "A text is wanted", "quotation marks"),
        ('alarm = "beep"', (1, 9), "A list is wanted", "brackets"),
        ('name = "a\\u202eb"', (1, 8), "\\u202e", "Take it out"),
        ("room = ", (1, 8), "not a value", "quotes"),
    ],
)
def test_a_fault_is_told_where_it_stands(text: str, place: tuple[int, int], said: str, remedy: str) -> None:
    _, faults = read_kitchen(text, "kitchen.toml")
    (fault,) = faults
    assert fault.is_error
    assert (fault.line, fault.column) == place
    assert said in fault.message
    assert remedy in fault.remedy


@pytest.mark.parametrize("text", ['room = "40 °C"', 'fridge = "9 °C"', 'altitude = "1 m"\npressure = "1000 hPa"'])
def test_what_is_odd_is_only_warned_of(text: str) -> None:
    _, faults = read_kitchen(text, "k")
    assert [fault.level for fault in faults] == ["warning"]


def test_one_line_changes_and_every_other_stays_as_its_owner_wrote_it() -> None:
    changed = set_value(FILE, "room", "18.5 °C")
    assert changed == FILE.replace('"20 °C"', '"18.5 °C"')
    assert set_value(FILE, "oven.kind", "gas") == FILE.replace('"fan"', '"gas"')
    assert set_value(FILE, "hands", "1") == FILE.replace("hands = 2", "hands = 1")
    assert set_value(FILE, "keys.bench.done", "x") == FILE.replace('"d"', '"x"')
    assert set_value(FILE, "keys.bench.note", "x") == FILE.replace('"m"', '"x"')


def test_what_was_not_there_is_added_where_it_belongs() -> None:
    changed = set_value(FILE, "scale.step", "0.1 g")
    changed = set_value(changed, "oven.trays", "2")
    changed = set_value(changed, "learn", "no")
    changed = set_value(changed, "alarm", "chime --loud 'the dough'")
    kitchen, faults = read_kitchen(changed, "k")
    assert faults == ()
    assert (kitchen.scale.step_g, kitchen.oven.trays, kitchen.learn) == (0.1, 2, False)
    assert kitchen.alarm_command == ("chime", "--loud", "the dough")
    for line in FILE.splitlines():
        assert line in changed


def test_an_empty_value_takes_the_line_out() -> None:
    assert read_kitchen(set_value(FILE, "room", ""), "k")[0].room_c == Kitchen().room_c
    assert set_value(FILE, "scale.step", "") == FILE


@pytest.mark.parametrize(
    ("key", "value", "said"),
    [
        ("room", "20", "which unit"),
        ("rooom", "20 °C", "not a kitchen setting"),
        ("oven", "fan", "not a kitchen setting"),
        ("oven.dial", "5", "not a kitchen setting"),
        ("keys", "x", "not a kitchen setting"),
        ("keys.No Such", "x", "not the name"),
        ("hands", "two", "not a number"),
        ("hands", "0", "0 is not"),
        ("hands", "9" * 5000, "not a number"),
        ("probe.slope", "nan", "not a number to bake with"),
        ("learn", "perhaps", "true or false"),
        ("tap", "70 °C", "no warmer"),
        ("name", "a\x1bb", "\\x1b"),
        ("name", 'a"\nroom = "99 °C', "a line break"),
    ],
)
def test_what_does_not_fit_is_refused_and_nothing_changes(key: str, value: str, said: str) -> None:
    with pytest.raises(Failure) as refused:
        set_value(FILE, key, value)
    assert said in refused.value.message
    assert "\x1b" not in refused.value.message


def test_a_file_that_is_no_toml_is_not_changed() -> None:
    with pytest.raises(Failure, match="one fault"):
        set_value("room = ", "hands", "2")
    with pytest.raises(Failure, match="one fault"):
        set_value("a = " + "[" * 1000, "hands", "2")


def test_a_change_may_put_a_faulty_file_right() -> None:
    assert read_kitchen(set_value('room = "20"', "room", "20 °C"), "k")[1] == ()


SETTINGS = st.sampled_from(sorted({*setting_names(), "keys.bench.done", "keys.x", "oven", "", "keys.", "a.b"}))
VALUES = st.one_of(
    st.text(max_size=12), st.sampled_from(["20 °C", "5 min", "2", "1 g", "fan", "yes", '"', "[a]", "0.5 °C"])
)


@given(SETTINGS, VALUES)
@settings(max_examples=150)
def test_any_change_gives_a_sound_file_or_a_refusal(key: str, value: str) -> None:
    try:
        changed = set_value(FILE, key, value)
    except Failure:
        return
    assert not any(fault.is_error for fault in read_kitchen(changed, "k")[1])
    assert "# The kitchen behind the harbour wall." in changed


def test_a_saved_value_is_read_back_and_the_file_is_its_owners_only(tmp_path: Path) -> None:
    path = tmp_path / "new" / "kitchen.toml"
    save_value(path, "room", "19 °C")
    save_value(path, "oven.kind", "fan")
    kitchen = load_kitchen(path)
    assert (kitchen.room_c, kitchen.oven.kind) == (19.0, "fan")
    assert [each.name for each in path.parent.iterdir()] == ["kitchen.toml"]
    if sys.platform != "win32":
        assert stat.S_IMODE(path.stat().st_mode) == 0o600


def test_a_refused_value_leaves_the_file_alone(tmp_path: Path) -> None:
    path = tmp_path / "kitchen.toml"
    path.write_text(FILE, encoding="utf-8")
    with pytest.raises(Failure):
        save_value(path, "room", "19")
    assert path.read_text(encoding="utf-8") == FILE


def test_without_a_file_the_kitchen_is_an_ordinary_one_and_a_bad_file_is_refused(tmp_path: Path) -> None:
    assert load_kitchen(tmp_path / "none.toml") == Kitchen()
    bad = tmp_path / "kitchen.toml"
    bad.write_text('room = "20"', encoding="utf-8")
    with pytest.raises(Failure) as refused:
        load_kitchen(bad)
    assert refused.value.faults[0].line == 1
    with pytest.raises(Failure, match="is a folder, not a file"):
        load_kitchen(tmp_path)


def test_the_places_can_be_named_by_the_environment(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PROOFBELL_KITCHEN", str(tmp_path / "k.toml"))
    monkeypatch.setenv("PROOFBELL_JOURNAL", str(tmp_path / "j.sqlite"))
    assert places.kitchen_file() == tmp_path / "k.toml"
    assert places.journal_file() == tmp_path / "j.sqlite"
    monkeypatch.delenv("PROOFBELL_KITCHEN")
    monkeypatch.delenv("PROOFBELL_JOURNAL")
    assert places.kitchen_file().name == "kitchen.toml"
    assert places.journal_file().name == "journal.sqlite"
    assert places.kitchen_file().is_absolute()


def test_the_class_of_a_pt100_stands_in_place_of_a_tolerance() -> None:
    # IEC 60751: class B is good to 0.3 °C and 0.5 % of the reading, 0.43 °C at 26 °C.
    kitchen, faults = read_kitchen('[probe]\npt100 = "B"\n', "kitchen.toml")
    assert faults == ()
    assert kitchen.probe.good_to_k(26.0) == pytest.approx(0.43)
    both, warned = read_kitchen('[probe]\npt100 = "B"\ntolerance = "2 °C"\n', "kitchen.toml")
    assert both.probe.good_to_k(26.0) == 2.0
    assert [fault.is_error for fault in warned] == [False]
    _, faults = read_kitchen('[probe]\npt100 = "C"\n', "kitchen.toml")
    assert faults[0].is_error


@pytest.mark.parametrize(("key", "typed", "written"), [("region", "UK", "uk"), ("probe.pt100", "aa", "AA")])
def test_a_word_may_be_typed_in_large_or_small_letters(tmp_path: Path, key: str, typed: str, written: str) -> None:
    path = tmp_path / "kitchen.toml"

    save_value(path, key, typed)

    assert f'"{written}"' in path.read_text(encoding="utf-8")
