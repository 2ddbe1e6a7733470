"""The command of one's own that rings, checked as it is written."""

from __future__ import annotations

import shlex
import sys
import tomllib
from pathlib import Path

import pytest

from proofbell.errors import Failure
from proofbell.kitchen.alarm_command import EXAMPLES, read_list
from proofbell.kitchen.file import load_kitchen, save_value, set_value


@pytest.mark.parametrize(
    "typed",
    [
        f'["{sys.executable}", "bell.wav", "-v", "-v"]',
        f"['{sys.executable}', 'bell.wav', '-v', '-v']",
        f"{shlex.quote(sys.executable)} bell.wav -v -v",
    ],
)
def test_a_list_in_brackets_and_words_are_the_same_command(tmp_path: Path, typed: str) -> None:
    save_value(tmp_path / "k.toml", "alarm", typed)

    assert load_kitchen(tmp_path / "k.toml").alarm_command == (sys.executable, "bell.wav", "-v", "-v")


@pytest.mark.parametrize(
    ("typed", "said", "remedy"),
    [
        ('["paplay", "bell.wav"', "is not a list", "each part in quotation marks"),
        ("[paplay, bell.wav]", "is not a list", "each part in quotation marks"),
        ("['ring', 5]", "A text is wanted", ""),
        ("ring 'the bell", "quotation mark too many", ""),
        ("no-such-bell-here --loud", '"no-such-bell-here" is not found', "or write its whole path"),
        ('["no-such-bell-here bell.wav"]', "is not found", "The program alone comes first: no-such-bell-here."),
    ],
)
def test_what_cannot_ring_is_refused_in_words_and_nothing_is_written(
    tmp_path: Path, typed: str, said: str, remedy: str
) -> None:
    with pytest.raises(Failure) as refused:
        save_value(tmp_path / "k.toml", "alarm", typed)

    assert said in refused.value.message
    assert remedy in refused.value.remedy
    assert not (tmp_path / "k.toml").exists()


def test_a_file_that_is_no_program_is_told_as_such(tmp_path: Path) -> None:
    sound = tmp_path / "bell.wav"
    sound.touch()
    with pytest.raises(Failure, match="cannot be run"):
        save_value(tmp_path / "k.toml", "alarm", f"['{sound}']")


@pytest.mark.parametrize("typed", [typed for listed in EXAMPLES.values() for typed in listed])
def test_each_example_is_a_list_that_a_kitchen_file_takes(typed: str) -> None:
    text = set_value("", "alarm", typed)

    assert tomllib.loads(text)["alarm"] == read_list(typed)
