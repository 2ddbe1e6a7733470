"""``proofbell kitchen``: show, set, probe-check."""

import argparse
import json
import re
import sys
from pathlib import Path

import pytest

from proofbell.cli import kitchen, main
from proofbell.errors import Failure
from proofbell.kitchen.file import load_kitchen
from proofbell.units import METRIC, use


@pytest.fixture(autouse=True)
def file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    path = tmp_path / "kitchen.toml"
    monkeypatch.setenv("PROOFBELL_KITCHEN", str(path))
    return path


def run(*arguments: str) -> int:
    parser = argparse.ArgumentParser()
    kitchen.add_arguments(parser)
    return kitchen.run(parser.parse_args(arguments))


def test_without_a_file_the_ordinary_kitchen_is_shown(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run() == 0
    out = capsys.readouterr().out
    assert "21.0 °C, give or take 1.0 °C" in out
    assert "not written yet" in out
    assert not file.exists()
    assert max(map(len, out.splitlines())) <= max(80, len(str(file)) + 80)


def test_showing_is_the_same_with_and_without_the_word(capsys: pytest.CaptureFixture[str]) -> None:
    run()
    one = capsys.readouterr().out
    run("show")
    assert capsys.readouterr().out == one


def test_a_fact_is_set_and_shown(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file.write_text("# our kitchen\nroom = '20 °C'\n", encoding="utf-8")
    assert run("set", "oven.kind", "fan") == 0
    assert "oven.kind = fan" in capsys.readouterr().out
    assert file.read_text(encoding="utf-8").startswith("# our kitchen\n")
    run("--json")
    told = json.loads(capsys.readouterr().out)
    assert told["kitchen"]["oven"]["kind"] == "fan"
    assert told["kitchen"]["room_c"] == 20.0
    run("set", "room", "")
    assert "back to the default" in capsys.readouterr().out
    assert load_kitchen(file).room_c == 21.0


@pytest.mark.parametrize(
    ("key", "typed", "kept"),
    [
        ("room", "75", "75 °F"),
        ("fridge", "4 °C", "4 °C"),
        ("places.larder", "59", "59 °F"),
        ("scale.step", "0.1", "0.1 oz"),
    ],
)
def test_a_bare_number_is_in_the_units_that_the_kitchen_has_chosen(
    key: str, typed: str, kept: str, file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(Failure, match="which unit"):
        run("set", "room", "75")
    file.write_text("[units]\ntemperature = '°F'\nweight = 'oz'\n", encoding="utf-8")
    try:
        assert main(["kitchen", "set", key, typed]) == 0
    finally:
        use(METRIC)
    assert f"{key} = {kept}." in capsys.readouterr().out
    assert f'"{kept}"' in file.read_text(encoding="utf-8")


@pytest.mark.parametrize("typed", ["22:30 to 6:00", "22:30-06:00", "22:30, 06:00", '["22:30", "06:00"]'])
def test_quiet_hours_are_typed_as_one_says_them(typed: str, file: Path) -> None:
    assert main(["kitchen", "set", "quiet", typed]) == 0
    assert load_kitchen(file).quiet == ("22:30", "06:00")


def test_set_may_answer_in_json(capsys: pytest.CaptureFixture[str]) -> None:
    run("set", "altitude", "5000 ft", "--json")
    told = json.loads(capsys.readouterr().out)
    # High-altitude table of NOAA/NASA, as quoted in Wikipedia, "High-altitude cooking": 203 °F at 5,000 ft.
    assert told["kitchen"]["boiling_c"] * 1.8 + 32 == pytest.approx(203, abs=0.2)


@pytest.mark.parametrize(
    ("key", "value"), [("rom", "20 °C"), ("room", "20"), ("oven.kind", "wood"), ("room", "500 °C")]
)
def test_what_cannot_be_set_is_refused(key: str, value: str, file: Path) -> None:
    with pytest.raises(Failure):
        run("set", key, value)
    assert not file.exists()


def test_the_check_counts_with_the_kitchens_height(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file.write_text("altitude = '10000 ft'\n", encoding="utf-8")
    assert run("probe-check", "--boil", "90.2 °C", "--json") == 0
    told = json.loads(capsys.readouterr().out)
    # The same table: 193.6 °F at 10,000 ft.
    assert told["boiling_c"] * 1.8 + 32 == pytest.approx(193.6, abs=0.2)
    assert told["offset_k"] == pytest.approx(89.816 - 90.2, abs=0.01)
    assert (told["ice_error_k"], told["needed"], told["applied"]) == (None, False, False)
    assert "probe" not in file.read_text(encoding="utf-8")


def test_height_and_pressure_may_be_given_on_the_line(capsys: pytest.CaptureFixture[str]) -> None:
    run("probe-check", "--ice", "0 °C", "--altitude", "1524 m", "--json")
    assert json.loads(capsys.readouterr().out)["boiling_c"] == pytest.approx(94.904, abs=0.005)
    run("probe-check", "--ice", "0 °C", "--altitude", "1524 m", "--pressure", "1000 hPa", "--json")
    # IAPWS-IF97: 99.606 °C at 100 kPa.
    assert json.loads(capsys.readouterr().out)["boiling_c"] == pytest.approx(99.606, abs=0.001)


def test_the_correction_is_written_and_puts_the_probe_right(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file.write_text("# ours\nroom = '20 °C'\n", encoding="utf-8")
    assert run("probe-check", "--ice", "0.8 °C", "--boil", "98.5 °C", "--apply") == 0
    out = capsys.readouterr().out
    assert "In ice the probe shows 0.8 °C too much." in out
    assert "In boiling water the probe shows 1.5 °C too little." in out
    assert "Written into the kitchen file." in out
    probe = load_kitchen(file).probe
    assert probe.offset_k + probe.slope * 0.8 == pytest.approx(0, abs=0.002)
    assert probe.offset_k + probe.slope * 98.5 == pytest.approx(99.974, abs=0.002)
    assert re.fullmatch(r"\d{4}-\d{2}-\d{2}", probe.checked)
    assert "# ours" in file.read_text(encoding="utf-8")
    run("show")
    assert f"checked {probe.checked}" in capsys.readouterr().out


def test_a_good_probe_is_told_to_be_good(capsys: pytest.CaptureFixture[str]) -> None:
    run("probe-check", "--ice", "32.9 °F")
    out = capsys.readouterr().out
    assert "within 1 °C" in out
    assert "Add --apply" in out


def test_a_faulty_probe_is_not_corrected(file: Path) -> None:
    with pytest.raises(Failure, match="too much to correct") as refused:
        run("probe-check", "--ice", "5.2 °C", "--apply")
    assert refused.value.status == 1
    assert not file.exists()


def test_a_number_without_its_unit_is_shown_with_the_unit_and_its_sign() -> None:
    with pytest.raises(Failure) as found:
        run("set", "probe.offset", "-0.5")
    assert 'Write "-0.5 °C"' in found.value.remedy


def test_a_check_needs_a_reading_with_its_unit() -> None:
    with pytest.raises(Failure, match="nothing to check"):
        run("probe-check")
    with pytest.raises(Failure, match="--ice"):
        run("probe-check", "--ice", "1")


def test_hostile_names_cannot_reach_the_terminal(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file.write_text('[probe]\nchecked = "by [/b] \\"Jo\\""\n', encoding="utf-8")
    run()
    assert "\x1b" not in capsys.readouterr().out


def test_the_oven_is_told_by_its_own_dial(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file.write_text(
        '[oven]\nkind = "gas"\n[[oven.dial]]\nconventional = "220 °C"\ndial = "6"\n'
        '[[oven.dial]]\nconventional = "150 °C"\ndial = "2"\n',
        encoding="utf-8",
    )
    run()
    out = capsys.readouterr().out
    assert "220 °C → 6" in out
    assert "190 °C → between 2 and 6" in out
    assert "240 °C → gas mark 9" in out


RINGS = "import pathlib, sys; pathlib.Path(sys.argv[1]).write_text(' '.join(sys.argv[2:])); sys.exit(int(sys.argv[3]))"


@pytest.mark.parametrize(("status", "said"), [("0", "it ended well"), ("3", "status 3")])
def test_ring_runs_the_kitchens_own_command_once_and_says_what_came_of_it(
    file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], status: str, said: str
) -> None:
    rung = tmp_path / "rung"
    run("set", "alarm", json.dumps([sys.executable, "-c", RINGS, str(rung), "{letter}", status, "{words}"]))
    assert run("ring") == int(status != "0")
    told = capsys.readouterr()

    assert rung.read_text() == f"A {status} a test: this is how it rings"
    assert "No terminal here" in told.out
    assert said in told.out + told.err
    assert file.exists()


def test_ring_without_a_command_names_one_for_this_system(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("ring") == 0
    assert "proofbell kitchen set alarm" in capsys.readouterr().out


def test_units_are_told_at_the_command_line_and_json_stays_metric(
    file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file.write_text('room = "70 °F"\n[units]\ntemperature = "°F"\n', encoding="utf-8")
    assert main(["kitchen"]) == 0
    assert "70.0 °F, give or take 1.8 °F" in capsys.readouterr().out
    assert main(["kitchen", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["kitchen"]["room_c"] == pytest.approx(21.111, abs=1e-3)
