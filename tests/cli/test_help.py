"""The help of each command: it fits a screen of 80 columns, and its examples are as the kitchen counts."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from proofbell.cli import COMMANDS, main
from proofbell.units import Units, said_in
from proofbell.words import as_counted

AMERICAN = 'units.temperature = "°F"\nunits.weight = "oz"\nunits.clock = "12 h"\n'
WITHIN = (
    *(
        ("journal", one)
        for one in ("show", "compare", "export", "formula", "verify", "backup", "restore", "rescue", "learned")
    ),
    *(("kitchen", one) for one in ("show", "set", "ring", "probe-check")),
)


def help_of(command: tuple[str, ...], capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> str:
    """What ``--help`` prints on a terminal of 80 columns."""
    monkeypatch.setenv("COLUMNS", "80")
    assert main([*command, "--help"]) == 0
    return capsys.readouterr().out


@pytest.mark.parametrize("command", [(), *((one,) for one in COMMANDS), *WITHIN], ids=" ".join)
def test_help_fits_a_screen_and_counts_as_the_kitchen_does(
    command: tuple[str, ...], tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    here = help_of(command, capsys, monkeypatch)
    assert max(map(len, here.splitlines())) <= 80

    (tmp_path / "kitchen.toml").write_text(AMERICAN, encoding="utf-8")
    monkeypatch.setenv("PROOFBELL_KITCHEN", str(tmp_path / "kitchen.toml"))
    there = " ".join(help_of(command, capsys, monkeypatch).split())
    # JSON is in °C, g and s everywhere; a scale's step is too small for ounces; the reading's own example is in °F.
    told = there.replace("numbers in °C, g and s", "").replace('"1 g"', "")
    assert not re.search(r"‹|°C|\d k?g\b|(?<!T)\b(?:0\d|1[3-9]|2\d):\d\d\b", told), told


def test_an_example_is_counted_anew() -> None:
    """73.4 °F by definition, 7.05 oz of 28.3495 g (NIST Handbook 44, Appendix C)."""
    example = '"‹23 °C›", "butter=‹200 g›", "‹18:30›", 2026-03-14T10:00, "1 g", box ‹25 x 11 x 8 cm›, by ‹100 K›'
    assert (
        as_counted(example)
        == '"23 °C", "butter=200 g", "18:30", 2026-03-14T10:00, "1 g", box 25 x 11 x 8 cm, by 100 °C'
    )
    with said_in(Units("°F", "oz", "12 h")):
        assert as_counted(example) == (
            '"73 °F", "butter=7 oz", "6:30 pm", 2026-03-14T10:00, "1 g", box 10 x 4.5 x 3 in, by 180 °F'
        )


def test_a_mark_of_no_kind_is_refused() -> None:
    with pytest.raises(ValueError, match="so warm"):
        as_counted("‹so warm›")
