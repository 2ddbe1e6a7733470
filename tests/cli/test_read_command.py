"""``proofbell read``: a reading from another terminal or a script, handed to a live bake."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from proofbell.bake import intents
from proofbell.bake.decisions.decide import Decision, decide
from proofbell.bake.events import ReadingTaken
from proofbell.bake.intents import Intent, Refused
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.cli import main
from proofbell.cli import read as command
from proofbell.journal.faults import StaleDecision
from proofbell.journal.storage.store import Journal
from tests.support.command_line import PROVING, Captured, bake, state_of
from tests.support.damaging import INDEXES, ROWS, page_of
from tests.support.version_1 import MORNING, WINDOW, events_in, write_version_1


@pytest.fixture(autouse=True)
def journal(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    path = tmp_path / "journal.sqlite"
    monkeypatch.setenv("PROOFBELL_JOURNAL", str(path))
    monkeypatch.setenv("PROOFBELL_KITCHEN", str(tmp_path / "kitchen.toml"))
    return path


def test_a_reading_changes_the_proof_and_says_so(journal: Path, capsys: Captured) -> None:
    bake(journal, "A", *PROVING)
    assert main(["read", "27"]) == 0
    said = capsys.readouterr()
    assert said.err == ""
    first, reason, left = said.out.splitlines()
    assert first == "A  Harbour rolls, First proof: dough temperature 27 °C taken."
    assert reason.startswith("Dough 27.0 °C, 26 °C or warmer: 70 → 55 min by the formula")
    assert left == "55 min left."
    state = state_of(journal, "A")
    assert state.stages[2].length_s == 3300
    assert state.readings[-1].source == "command"


def test_the_json_has_the_reading_and_the_change(journal: Path, capsys: Captured) -> None:
    bake(journal, "A", *PROVING)
    assert main(["read", "80.6 °F", "--json"]) == 0
    told: dict[str, Any] = json.loads(capsys.readouterr().out)
    assert told["letter"] == "A"
    assert told["stage"] == "First proof"
    assert told["value"] == pytest.approx(27.0)
    assert told["adjustment"]["from_s"] == 4200
    assert told["adjustment"]["to_s"] == 3300
    assert 0 < told["left_s"] <= 3300


def test_a_reading_that_changes_nothing_is_taken_all_the_same(journal: Path, capsys: Captured) -> None:
    bake(journal, "A", *PROVING)
    assert main(["read", "21 C", "--what", "Room Temperature"]) == 0
    assert "No time changes." in capsys.readouterr().out
    assert state_of(journal, "A").readings[-1].what == "room temperature"


def test_a_rise_may_be_told_by_a_jars_two_heights(journal: Path, capsys: Captured) -> None:
    bake(journal, "A", *PROVING, intents.Done(), intents.Done())
    assert main(["read", "6 cm to 7.5 cm", "--what", "rise"]) == 0
    assert "Final proof: rise 25 % (6 cm to 7.5 cm) taken." in capsys.readouterr().out
    reading = state_of(journal, "A").readings[-1]
    assert reading.typed == "6 cm to 7.5 cm"
    assert reading.value == pytest.approx(25)
    assert main(["read", "6 to 7.5", "--what", "rise"]) == 2
    assert "with their unit" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("arguments", "what"),
    [
        (("25 %",), "rise"),
        (("6 cm to 7.5 cm",), "rise"),
        (("not yet",), "rise"),
        (("912 g",), "weight"),
        (("26",), "dough temperature"),
        (("dough 26.5",), "dough temperature"),
        (("Room: 21 °C",), "room temperature"),
        (("26.5", "--what", "dough"), "dough temperature"),
        (("21", "--what", "Room"), "room temperature"),
    ],
)
def test_what_was_read_is_told_by_its_unit_or_its_name(journal: Path, arguments: tuple[str, ...], what: str) -> None:
    bake(journal, "A", *PROVING, intents.Done(), intents.Done())
    assert main(["read", *arguments]) == 0
    assert state_of(journal, "A").readings[-1].what == what


def test_a_core_reading_says_whether_the_bake_is_done(journal: Path, capsys: Captured) -> None:
    bake(journal, "A", *PROVING, *[intents.Done()] * 3)
    assert main(["read", "85", "--what", "core temperature"]) == 0
    assert "Core 85.0 °C: not done yet; 88 to 94 °C." in capsys.readouterr().out
    assert main(["read", "90", "--what", "core temperature", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["says"] == ["Core 90.0 °C: done, if the crust is too; 88 to 94 °C."]


def test_the_bake_is_named_when_several_are_live(journal: Path, capsys: Captured) -> None:
    bake(journal, "A", *PROVING)
    bake(journal, "B", *PROVING)
    assert main(["read", "27"]) == 2
    said = capsys.readouterr().err
    assert said == "Several bakes are live.\nSay which with --bake: A Harbour rolls, B Harbour rolls.\n"
    assert main(["read", "27", "--bake", "b"]) == 0
    assert state_of(journal, "A").readings == ()
    assert state_of(journal, "B").stages[2].length_s == 3300


def test_a_letter_that_is_not_live_is_refused(journal: Path, capsys: Captured) -> None:
    bake(journal, "A", *PROVING)
    bake(journal, "B", intents.Begin(), intents.GiveUp())
    assert main(["read", "27", "--bake", "B"]) == 2
    assert "Live are: A Harbour rolls." in capsys.readouterr().err


@pytest.mark.parametrize("there", [True, False])
def test_without_a_live_bake_there_is_nobody_to_tell(journal: Path, there: bool, capsys: Captured) -> None:  # noqa: FBT001
    if there:
        bake(journal, "A", intents.GiveUp())
    assert main(["read", "27"]) == 1
    assert capsys.readouterr().err.startswith("No bake is live.")
    assert journal.exists() == there


def test_an_odd_value_needs_saying_that_it_is_right(journal: Path, capsys: Captured) -> None:
    bake(journal, "A", *PROVING)
    assert main(["read", "44"]) == 2
    assert (
        capsys.readouterr().err
        == "A dough temperature of 44.0 °C is unusual; 24 to 26 °C is expected.\nAdd --sure if it is right.\n"
    )
    assert state_of(journal, "A").readings == ()
    assert main(["read", "44", "--sure"]) == 0


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("250",), "cannot be"),
        (("-40",), "cannot be"),
        (("warm",), "warm is not a dough temperature."),
        (("12 g", "--what", "dough temperature"), "not in g"),
        (("warm",), "Say with --what if it is something else."),
        (("",), "There is no value to read."),
        ((" ",), "There is no value to read."),
        (("27", "--what", "dough temprature"), "Did you mean dough temperature?"),
        (("\x1b[2J",), "\\x1b"),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_is_written(
    journal: Path, arguments: tuple[str, ...], words: str, capsys: Captured
) -> None:
    bake(journal, "A", *PROVING)
    before = state_of(journal, "A").last.number
    assert main(["read", *arguments]) == 2
    said = capsys.readouterr().err
    assert words in said
    assert "\x1b" not in said
    assert state_of(journal, "A").last.number == before


def test_a_rise_may_be_judged_by_eye(journal: Path, capsys: Captured) -> None:
    bake(journal, "A", *PROVING, intents.Done(), intents.Done())
    assert main(["read", "ready", "--what", "rise", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert (told["eye"], told["value"]) == ("ready", None)
    assert told["adjustment"]["by"] == "rise"


def test_when_another_window_says_something_first_the_reading_is_decided_anew(
    journal: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    bake(journal, "A", *PROVING)
    calls: list[int] = []

    def slow(state: BakeState, intent: Intent, now: Stamp) -> Decision:
        decision = decide(state, intent, now)
        if not calls:
            with Journal.open(journal) as other:
                longer = decide(state, intents.Longer(600.0), now)
                assert not isinstance(longer, Refused)
                other.append(longer, state.last.number)
        calls.append(state.last.number)
        return decision

    monkeypatch.setattr("proofbell.journal.storage.deciding.decide", slow)
    assert main(["read", "27"]) == 0
    assert len(calls) == 2
    state = state_of(journal, "A")
    # The ten minutes by hand stay on top of the formula's 55.
    assert state.stages[2].length_s == 65 * 60
    assert sum(isinstance(event.body, ReadingTaken) for event in state.events) == 1


class Never:
    """No time at all."""

    def again(self) -> bool:
        return False


def test_it_gives_up_when_somebody_is_always_first(
    journal: Path, monkeypatch: pytest.MonkeyPatch, capsys: Captured
) -> None:
    bake(journal, "A", *PROVING)

    def stale(_journal: Journal, _events: object, expected_last: int) -> None:
        raise StaleDecision("bake-A", expected_last, expected_last + 1)

    monkeypatch.setattr(command, "Patience", Never)
    monkeypatch.setattr(Journal, "append", stale)
    assert main(["read", "27"]) == 1
    assert "moved on" in capsys.readouterr().err


def test_two_bakes_of_one_letter_are_both_named_and_neither_is_taken(journal: Path, capsys: Captured) -> None:
    write_version_1(journal)
    before = events_in(journal)
    assert main(["read", "26", "--bake", "a"]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err == (
        f"a matches 2 live bakes: A Harbour knots ({MORNING}), A Harbour knots ({WINDOW}).\n"
        "Say which with --bake and enough of the name in brackets.\n"
    )
    assert events_in(journal) == before
    assert main(["read", "26"]) == 2
    assert f"A Harbour knots ({MORNING}), A Harbour knots ({WINDOW})" in capsys.readouterr().err


@pytest.mark.parametrize("named", [WINDOW, WINDOW[:-3]])
def test_a_bake_may_be_named_by_the_beginning_of_its_name(journal: Path, named: str, capsys: Captured) -> None:
    write_version_1(journal)
    assert main(["read", "26", "--bake", named, "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["bake"] == WINDOW


def test_a_beginning_that_several_have_is_not_enough(journal: Path, capsys: Captured) -> None:
    write_version_1(journal)
    assert main(["read", "26", "--bake", "20260314-1100"]) == 2
    assert "matches 2 live bakes" in capsys.readouterr().err
    assert main(["read", "26", "--bake", " "]) == 2
    assert "no live bake" in capsys.readouterr().err


DAMAGED = {**ROWS, "the page of its middle": page_of("middle"), **INDEXES}


@pytest.mark.parametrize("how", DAMAGED)
def test_a_damaged_bake_keeps_no_reading_from_another(journal: Path, how: str, capsys: Captured) -> None:
    for letter in "AB":
        lines = [
            intents.AddNote(f"{word} of bake-{letter} {'cold flour ' * 180}") for word in ("begun", "middle", "end")
        ]
        bake(journal, letter, *PROVING, *lines)
    DAMAGED[how](journal, "bake-A")
    hurt = how not in INDEXES
    # New lines cannot go where the index of all lines is gone.
    status = 1 if how == "sqlite_autoindex_events_2" else 0
    assert main(["read", "27", "--bake", "B"]) == status
    told = capsys.readouterr()
    assert ("taken" in told.out) == (status == 0)
    if hurt:
        assert state_of(journal, "B").readings
        assert main(["read", "27", "--bake", "A"]) == 2
        assert "Unreadable: bake-A" in capsys.readouterr().err
        assert main(["read", "27", "--bake", "bake-A"]) == 1
        assert "damaged" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("name", "words"), [("x" * 300, "too long"), ("shopping.txt/journal.sqlite", "Not a directory")]
)
def test_where_no_journal_can_be_that_is_said_and_not_that_no_bake_is_live(
    tmp_path: Path, name: str, words: str, monkeypatch: pytest.MonkeyPatch, capsys: Captured
) -> None:
    (tmp_path / "shopping.txt").write_text("flour")
    monkeypatch.setenv("PROOFBELL_JOURNAL", str(tmp_path / name))
    assert main(["read", "27"]) in {1, 2}
    said = capsys.readouterr().err
    assert words in said
    assert "No bake is live" not in said


def test_a_bare_number_is_a_core_for_bread_in_the_oven(journal: Path, capsys: Captured) -> None:
    bake(journal, "A", *PROVING, *[intents.Done()] * 3)
    assert main(["read", "84"]) == 0
    assert "core temperature 84 °C taken" in capsys.readouterr().out
