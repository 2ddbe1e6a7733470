"""``status``, ``start``, ``done`` and ``longer``: the bench from another terminal, a switch or a script."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from proofbell.bake import intents
from proofbell.bake.decisions.decide import Decision, decide, decided
from proofbell.bake.fold import fold
from proofbell.bake.intents import Intent, Refused
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import OvenTask
from proofbell.cli import main
from proofbell.cli.printed.allergens_text import allergens_plain
from proofbell.clock import WallClock
from proofbell.formula.model import Check, Formula
from proofbell.journal.storage import deciding
from proofbell.journal.storage.store import Journal
from proofbell.kitchen.model import Kitchen
from tests.support.baking import BATCH, WHOLE
from tests.support.command_line import document

Captured = pytest.CaptureFixture[str]


@pytest.fixture(autouse=True)
def path(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    path = tmp_path / "journal.sqlite"
    monkeypatch.setenv("PROOFBELL_JOURNAL", str(path))
    monkeypatch.setenv("PROOFBELL_KITCHEN", str(tmp_path / "kitchen.toml"))
    return path


def earlier(seconds: float) -> Stamp:
    now = WallClock().stamp()
    return Stamp(now.wall_us - int(seconds * 1e6), now.boot_us - int(seconds * 1e6), now.boot_id, now.offset_min)


def bake(path: Path, letter: str, *said: Intent, ago_s: float = 60.0, formula: Formula = WHOLE) -> None:
    """Put a live bake into the journal, to which all was said a while ago."""
    state: BakeState | None = None
    with Journal.open(path) as journal:
        for intent in (intents.Open(f"bake-{letter}", letter, formula, BATCH, Kitchen(), "0"), *said):
            decision = decide(state, intent, earlier(ago_s))
            assert not isinstance(decision, Refused)
            journal.append(decision, 0 if state is None else state.last.number)
            state = decided(state, decision)


KNEADING = (intents.Begin(), intents.Done())
PROVING = (*KNEADING, intents.Done())


def state_of(path: Path, letter: str) -> BakeState:
    with Journal.open(path) as journal:
        return fold(journal.events_of(f"bake-{letter}"))


# -- status ------------------------------------------------------------------------------------------------------


def test_nothing_live_is_said_and_no_journal_is_made(path: Path, capsys: Captured) -> None:
    assert main(["status"]) == 0
    assert capsys.readouterr().out == "Nothing is live.\n"
    assert main(["status", "--json"]) == 0
    assert document(capsys, "status")["bakes"] == []
    assert not path.exists()


def test_a_line_a_dough_then_what_comes_next_then_the_oven(path: Path, capsys: Captured) -> None:
    bake(path, "A", *PROVING, ago_s=71 * 60)
    bake(path, "B", *KNEADING)
    before = path.read_bytes()
    assert main(["status"]) == 0
    said = capsys.readouterr()
    lines = said.out.splitlines()
    assert lines[0] == "A  Harbour rolls  First proof  1 min over  read the dough's temperature"
    assert lines[1].startswith("B  Harbour rolls  Knead        8 min left  ")
    assert lines[2] == "Next  now  A  read the dough's temperature"
    assert lines[-1].startswith("Oven  ")
    assert all(len(line) <= 80 for line in lines)
    assert said.err == ""
    assert path.read_bytes() == before


def test_the_json_is_as_the_contract_says(path: Path, capsys: Captured) -> None:
    bake(path, "A", *PROVING, ago_s=71 * 60)
    bake(path, "C")
    assert main(["status", "--json"]) == 0
    told = document(capsys, "status")
    first, second = told["bakes"]
    assert (first["letter"], first["stage"], first["kind"]) == ("A", "First proof", "proof")
    assert first["allergens"] == allergens_plain(WHOLE)
    assert first["left_s"] in (-60, -61)
    assert first["wants"] == ["read the dough's temperature", "divide and shape: 12 × 70 g"]
    assert (second["kind"], second["left_s"], second["due"]) == ("waiting", None, None)
    assert told["oven"]["temperature_c"] == 220.0
    assert told["next"][0]["letter"] == "A"
    assert [one["at"] for one in told["next"]] == sorted(one["at"] for one in told["next"])


# -- done --------------------------------------------------------------------------------------------------------


def test_done_ends_the_stage_and_says_what_comes(path: Path, capsys: Captured) -> None:
    bake(path, "A", *KNEADING)
    assert main(["done"]) == 0
    first, then = capsys.readouterr().out.splitlines()
    assert first == "A  Harbour rolls: Knead ended. First proof began."
    assert then.startswith("Next  ")
    assert state_of(path, "A").current == 2


def test_an_oven_that_is_said_to_be_off_from_outside_is_off_for_every_bake_that_is_out(path: Path) -> None:
    out = (intents.Begin(), *(intents.Done() for _ in range(6)))
    bake(path, "A", *out)
    bake(path, "B", *out)
    assert main(["done", "--bake", "B"]) == 0
    assert [state_of(path, letter).done(OvenTask("oven off", 5)) for letter in "AB"] == [True, True]


def test_where_the_bench_would_ask_done_is_refused_until_somebody_is_sure(path: Path, capsys: Captured) -> None:
    bake(path, "A", *PROVING)
    assert main(["done"]) == 1
    said = capsys.readouterr().err
    assert said == "A  Harbour rolls: First proof has 1 h 09 min left.\nAdd --sure if it is done all the same.\n"
    assert state_of(path, "A").current == 2
    assert main(["done", "--sure", "--json"]) == 0
    told = document(capsys, "told")
    assert (told["changed"], told["stage"], told["kind"]) == (True, "Divide and shape", "hands")


@pytest.mark.parametrize(("minutes", "status"), [(16.5, 1), (30.0, 0)])
def test_a_core_that_its_bread_is_asked_for_is_asked_for_from_outside_unless_the_bread_is_late(
    path: Path, capsys: Captured, minutes: float, status: int
) -> None:
    """On the bench the reading opens then; bread that is late is only to be taken out."""
    core = Check("core temperature", "end", expect=(88.0, 94.0))
    checked = replace(WHOLE, stages=tuple(replace(s, checks=(core,)) if s.kind == "bake" else s for s in WHOLE.stages))
    bake(path, "A", *PROVING, *[intents.Done()] * 3, ago_s=minutes * 60, formula=checked)
    assert main(["done"]) == status
    if status:
        told = capsys.readouterr().err
        assert told.startswith("A  Harbour rolls: The core was not read; it should be 88 °C or more.\nAdd --sure")
        assert main(["done", "--sure"]) == 0
    state = state_of(path, "A")
    assert state.current is not None
    assert state.stage(state.current).kind == "cool"


def test_a_switch_that_bounces_ends_one_stage(path: Path, capsys: Captured) -> None:
    bake(path, "A", intents.Begin())
    assert main(["done"]) == 0
    assert main(["done"]) == 0
    assert main(["done", "--json"]) == 0
    out = capsys.readouterr().out
    assert "A second press within 2 s changes nothing." in out
    assert '"changed": false' in out
    assert state_of(path, "A").current == 1


def test_the_last_done_finishes_the_bake(path: Path, capsys: Captured) -> None:
    bake(path, "A", *PROVING, *[intents.Done()] * 4, intents.Task(OvenTask("oven off", 5)))
    assert main(["done", "--sure", "--json"]) == 0
    told = document(capsys, "told")
    assert (told["stage"], told["kind"], told["left_s"]) == ("Finished", "closed", None)
    closed = state_of(path, "A").closed
    assert closed is not None
    assert main(["done"]) == 1
    assert capsys.readouterr().err.startswith("No bake is live.")


def test_of_several_bakes_one_is_named(path: Path, capsys: Captured) -> None:
    bake(path, "A", *KNEADING)
    bake(path, "B", *KNEADING)
    assert main(["done"]) == 2
    assert "Say which with --bake: A Harbour rolls, B Harbour rolls." in capsys.readouterr().err
    assert main(["done", "--bake", "b"]) == 0
    assert (state_of(path, "A").current, state_of(path, "B").current) == (1, 2)


@pytest.mark.parametrize(
    ("between", "status", "stage"),
    [
        (intents.Read("room temperature", "22", raw=22.0, source="command"), 0, 2),
        (intents.AddNote("soft"), 0, 2),
        # Somebody else ended the stage this moment: it is the same stage that was meant.
        (intents.Done(), 0, 2),
        (intents.GiveUp(), 1, 1),
    ],
)
def test_what_came_between_fails_no_word_that_means_the_same(
    path: Path, monkeypatch: pytest.MonkeyPatch, between: Intent, status: int, stage: int
) -> None:
    bake(path, "A", *KNEADING)
    others = [between]

    def after_another(state: BakeState, intent: Intent, now: Stamp) -> Decision:
        if others:
            with Journal.open(path) as other:
                came = decide(state, others.pop(), earlier(0.001))
                assert not isinstance(came, Refused)
                other.append(came, state.last.number)
        return decide(state, intent, now)

    monkeypatch.setattr(deciding, "decide", after_another)
    assert main(["done"]) == status
    assert state_of(path, "A").current == stage


# -- longer and start --------------------------------------------------------------------------------------------


def test_longer_and_less(path: Path, capsys: Captured) -> None:
    bake(path, "A", *PROVING)
    assert main(["longer", "12", "--json"]) == 0
    assert document(capsys, "told")["did"] == ["First proof: 70 → 82 min, by hand. 12 min longer by hand."]
    assert main(["longer", "1:20", "--less"]) == 0
    assert state_of(path, "A").stages[2].length_s == 120
    assert main(["longer", "soon"]) == 2
    assert main(["longer", "0"]) == 2


def test_another_length_said_at_once_is_another_word(path: Path, capsys: Captured) -> None:
    bake(path, "A", *PROVING)
    assert main(["longer", "5"]) == 0
    capsys.readouterr()
    assert main(["longer", "20", "--json"]) == 0
    assert document(capsys, "told")["changed"] is True
    assert main(["longer", "20", "--json"]) == 0
    assert document(capsys, "told")["changed"] is False


def test_shorter_than_what_is_left_is_asked_first(path: Path, capsys: Captured) -> None:
    bake(path, "A", *PROVING)
    assert main(["longer", "--less", "500"]) == 1
    said = capsys.readouterr().err
    assert said.startswith("A  Harbour rolls: First proof has 1 h 09 min left; so much shorter it is over now.\n")
    assert state_of(path, "A").stages[2].length_s == 4200
    assert main(["longer", "--less", "500", "--sure"]) == 0
    assert state_of(path, "A").stages[2].length_s < 100


def test_start_begins_what_waits_once(path: Path, capsys: Captured) -> None:
    bake(path, "A")
    assert main(["start"]) == 0
    assert main(["start"]) == 0
    assert "Mix began." in capsys.readouterr().out
    assert state_of(path, "A").current == 0
    bake(path, "B", *KNEADING)
    assert main(["start", "--bake", "B"]) == 1
    assert capsys.readouterr().err == "This bake has begun already.\n"


def test_start_with_a_formula_puts_it_on_the_bench_and_begins_it(path: Path, capsys: Captured) -> None:
    bake(path, "A", *KNEADING)
    assert main(["start", "harbour-knots", "--pieces", "24", "--json"]) == 0
    told = document(capsys, "told")
    assert (told["letter"], told["stage"], told["did"][0]) == ("B", "Mix", "On the bench, 24 × 75 g.")
    assert main(["start", "harbour-knots", "--pieces", "24", "--json"]) == 0
    again = document(capsys, "told")
    assert (again["bake"], again["changed"]) == (told["bake"], False)
    assert main(["start", "quay-pan-loaf", "--wait", "--json"]) == 0
    waiting = document(capsys, "told")
    assert (waiting["letter"], waiting["kind"]) == ("C", "waiting")


@pytest.mark.parametrize("arguments", [["--pieces", "3"], ["--wait"], ["harbour-knots", "--bake", "A"], ["no-such"]])
def test_start_refuses_what_makes_no_sense(arguments: list[str], capsys: Captured) -> None:
    assert main(["start", *arguments]) == 2
    assert capsys.readouterr().err
