"""Bakes from an older version are read as they were meant; of those from a newer one as much as can be understood."""

from __future__ import annotations

import json
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from proofbell.bake import events as kinds
from proofbell.bake import intents, record
from proofbell.bake.events import Event
from proofbell.bake.fold import fold
from proofbell.bake.record import to_row
from proofbell.bake.state import BakeState
from proofbell.cli import main
from proofbell.journal.export.exports import FORMS, reviews
from proofbell.journal.faults import NewerLog
from proofbell.journal.index import bakes
from proofbell.journal.learning.recall import habits
from proofbell.journal.recovery.backup import back_up
from proofbell.journal.recovery.verify import verify
from proofbell.journal.reviews.compare import compare
from proofbell.journal.reviews.review import review
from proofbell.journal.storage.store import Journal
from tests.journal.generate import Baking, Truth, simulated_bakes
from tests.support.making import chain, first_events, opened, stamp
from tests.support.versions import as_older, chain_again, moved_on, newer, put, rechained, stored

Out = pytest.CaptureFixture[str]


def eventful() -> BakeState:
    """A loaf that was corrected, scored, closed, and of which the closing was taken back and said again."""
    (state,) = simulated_bakes(0xA1, Truth(), 1)
    run = Baking(state.last.stamp, state)
    run.wait(60)
    first = state.readings[0]
    run.say(intents.Correct(first.number, "24.5", 24.5))
    run.say(intents.GiveScore("crust", 8))
    run.say(intents.AddNote("The crust sings."))
    return run.state


# -- older -------------------------------------------------------------------------------------------------------


@pytest.fixture
def old(path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[tuple[Journal, list[BakeState]]]:
    """A journal that the older program wrote, in today's program; and its bakes as they really were."""
    states = [eventful(), *simulated_bakes(0xB2, Truth(rise_k=2.5), 6)]
    live = fold(first_events("live"))
    moved_on(monkeypatch)
    with Journal.open(path) as journal:
        for state in [*states, live]:
            put(journal, as_older(state.events))
        yield journal, [*states, live]


Old = tuple[Journal, list[BakeState]]


def bodies(events: tuple[Event, ...]) -> list[object]:
    return [event.body for event in events]


def test_older_events_mean_what_they_meant_and_the_file_stays_as_it_is(old: Old) -> None:
    journal, states = old
    before = stored(journal)
    for state in states:
        events = journal.events_of(state.id)
        assert bodies(events) == bodies(state.events)
        assert fold(events).readings == state.readings
        assert [to_row(event) for event in events] == journal.rows_of(state.id)
    assert journal.live_bakes() == ["live"]
    assert stored(journal) == before


def test_what_is_added_to_an_older_bake_is_written_the_new_way_and_the_chain_goes_on(old: Old) -> None:
    journal, states = old
    first = states[0].id
    run = Baking(journal.events_of(first)[-1].stamp, fold(journal.events_of(first)))
    run.wait(60)
    run.say(intents.Correct(run.state.readings[1].number, "25.5", 25.5))
    journal.append(run.state.events[len(states[0].events) :], states[0].last.number)

    assert [row.schema for row in journal.rows_of(first) if row.name == "corrected"] == [1, 2]
    assert verify(journal).problems == ()
    again = fold(journal.events_of(first))
    assert [reading.value for reading in again.readings[:2]] == [24.5, 25.5]


def test_every_view_of_an_older_bake_is_that_of_the_bake_it_was(old: Old) -> None:
    journal, states = old
    before = stored(journal)
    meant = {state.id: review(state.events) for state in states}
    for state in states:
        (looked_at,) = reviews(journal, [state.id])
        for name in ("markdown", "csv", "svg"):
            form = FORMS[name]
            ours, theirs = ("".join(form.write([one], "0")) for one in (looked_at, meant[state.id]))
            # The digest is that of the line as the older program wrote it.
            assert ours.replace(state_digest(journal, state), state.last.digest).splitlines() == theirs.splitlines()
    assert {line.bake: (line.score, line.corrected, line.dough_c, line.fault) for line in bakes(journal)} == {
        state.id: (meant[state.id].score, meant[state.id].corrected, _first_dough(state), "") for state in states
    }
    one, two = (next(reviews(journal, [state.id])) for state in states[:2])
    assert compare(one, two).lines == compare(meant[one.state.id], meant[two.state.id]).lines
    assert stored(journal) == before


def state_digest(journal: Journal, state: BakeState) -> str:
    return journal.rows_of(state.id)[-1].digest


def _first_dough(state: BakeState) -> float | None:
    return next((r.value for r in state.readings if r.what == "dough temperature"), None)


def test_the_kitchen_learns_from_older_bakes_what_they_showed(old: Old, tmp_path: Path) -> None:
    journal, states = old
    with Journal.open(tmp_path / "new.db") as fresh:
        for state in states:
            fresh.append(chain_again(state), 0)
        assert habits(fresh, states[0].kitchen).all() == habits(journal, states[0].kitchen).all()


def test_the_digests_in_the_json_of_an_older_bake_can_be_checked_by_somebody_else(old: Old) -> None:
    journal, states = old
    (written,) = json.loads("".join(FORMS["json"].write(reviews(journal, [states[0].id]), "0")))["bakes"]
    rows = journal.rows_of(states[0].id)
    assert [(event["schema"], event["body_text"], event["digest"]) for event in written["events"]] == [
        (row.schema, row.body, row.digest) for row in rows
    ]
    assert written["readings"][0]["value"] == 24.5


def test_an_older_journal_is_verified_and_backed_up(old: Old, tmp_path: Path) -> None:
    journal, states = old
    verdict = verify(journal)
    assert (verdict.bakes, verdict.problems, verdict.newer) == (len(states), (), ())
    assert back_up(journal, tmp_path / "copy.db").problems == ()
    with Journal.open(tmp_path / "copy.db") as copy:
        assert stored(copy) == stored(journal)


def test_an_older_body_that_does_not_lift_is_told_as_a_fault_of_that_bake_alone(old: Old) -> None:
    journal, states = old
    (odd,) = simulated_bakes(0xC3, Truth(), 1)
    rows = as_older(odd.events)
    closed = next(index for index, row in enumerate(rows) if row.name == "bake closed")
    rows[closed] = replace(rows[closed], body='{"outcome":"eaten","why":""}')
    put(journal, rechained(rows))

    problems = verify(journal).problems
    assert len(problems) == 1
    assert f'{odd.id}: event {closed + 1} cannot be read: "bake closed" as version 1 wrote it' in problems[0]
    assert len(bakes(journal)) == len(states) + 1


def test_commands_show_older_bakes(old: Old, capsys: Out) -> None:
    first = old[1][0].id
    for arguments in (["show", first], ["compare", first, old[1][1].id], ["export", first], ["verify"], ["learned"]):
        assert main(["journal", *arguments]) == 0
    told = capsys.readouterr().out
    assert "24.5 °C" in told
    assert "The crust sings." in told
    assert "All is well: 8 bakes" in told


# -- newer -------------------------------------------------------------------------------------------------------


@pytest.fixture
def mixed(path: Path) -> Iterator[Journal]:
    """A sound bake, and three to which a newer program has written: one live, one closed, one from its beginning."""
    with Journal.open(path) as journal:
        sound, reopened = simulated_bakes(0xA1, Truth(), 2)
        journal.append(sound.events, 0)
        closed = [to_row(event) for event in reopened.events]
        lifted = newer(closed[-1], "corrected", {"stages": [2], "by": "hand"}, schema=7)
        put(journal, rechained([*closed, lifted]))
        live = [to_row(event) for event in first_events("live", notes=1)]
        folded = newer(live[-1], "dough folded")
        put(journal, rechained([*live, folded, newer(folded, "note added", {"text": "after that", "stage": None})]))
        (begun,) = [to_row(event) for event in chain("begun", [(200.0, opened())])]
        begun = replace(begun, schema=4, body='{"card":{"name":"Rye"}}')
        put(journal, rechained([begun, newer(begun, "dough folded")]))
        yield journal


SOUND, REOPENED = "00a10000", "00a10001"


def test_a_newer_event_is_no_damage_and_what_came_before_it_is_read(mixed: Journal) -> None:
    events, problems = mixed.read("live")
    assert [event.number for event in events] == [1, 2]
    assert [problem.newer for problem in problems] == [True]
    assert problems[0].words == 'event 3 "dough folded" was written by a newer Proofbell'
    with pytest.raises(NewerLog, match="bake live: a newer Proofbell wrote to it") as refused:
        mixed.events_of("live")
    assert "install that one to go on" in refused.value.remedy


def test_damage_behind_a_newer_event_is_noticed(mixed: Journal) -> None:
    mixed.connection.execute("DROP TRIGGER events_are_never_changed")
    mixed.connection.execute("UPDATE events SET body = replace(body, 'after', 'before') WHERE bake = 'live'")
    problems = verify(mixed).problems
    assert [problem for problem in problems if "bake live" in problem] == [
        "bake live: event 4 was changed after it was written, or one before it was"
    ]


def test_a_newer_journal_verifies_and_can_be_backed_up(mixed: Journal, tmp_path: Path) -> None:
    verdict = verify(mixed)
    assert verdict.problems == ()
    assert [line.split(":")[0] for line in verdict.newer] == [f"bake {REOPENED}", "bake live", "bake begun"]
    assert back_up(mixed, tmp_path / "copy.db").newer == verdict.newer
    with Journal.open(tmp_path / "copy.db") as copy:
        assert stored(copy) == stored(mixed)


def test_a_closing_that_a_newer_correction_may_have_taken_back_is_asked_about(mixed: Journal) -> None:
    assert set(mixed.live_bakes()) == {REOPENED, "live", "begun"}


def test_the_list_marks_newer_bakes_and_reads_them_again_once_the_program_knows_more(
    mixed: Journal, monkeypatch: pytest.MonkeyPatch
) -> None:
    listed = {line.bake: line for line in bakes(mixed)}
    assert {bake: (line.newer, bool(line.fault)) for bake, line in listed.items()} == {
        SOUND: (False, False), REOPENED: (True, True), "live": (True, True), "begun": (True, True),
    }  # fmt: skip
    assert listed["begun"].formula == "(not readable)"
    assert listed["begun"].began_us == stamp(200.0).wall_us
    assert not any(line.wants_score for line in listed.values() if line.fault)
    monkeypatch.setitem(record.NAMES, "dough folded", (kinds.NoteAdded, 1))
    again = {line.bake: line for line in bakes(mixed)}
    assert not again["live"].newer
    assert "lacks text" in again["live"].fault


def test_exports_say_where_they_end_and_leave_out_only_what_has_no_beginning(mixed: Journal) -> None:
    ids = mixed.bake_ids()
    written = {name: list(form.write(reviews(mixed, ids), "0")) for name, form in FORMS.items()}
    page = next(page for page in written["markdown"] if "dough folded" in page)
    assert "**Not all of this log can be read here: event 3" in page
    assert '"not readable"' in "".join(written["csv"])
    assert 'event 3 ""dough folded"" was written by a newer Proofbell' in "".join(written["csv"])
    told = {bake["bake"]: bake["problems"] for bake in json.loads("".join(written["json"]))["bakes"]}
    assert told[SOUND] == []
    assert "newer Proofbell" in told["live"][0]
    assert "begun" not in told
    for drawing in written["svg"]:
        assert ET.fromstring(drawing).tag.endswith("svg")  # noqa: S314 - our own
    assert sum("not all of its log readable" in drawing for drawing in written["svg"]) == 2


def test_nothing_is_learned_from_a_bake_that_is_not_all_read(mixed: Journal) -> None:
    bakes(mixed)
    shown = mixed.connection.execute("SELECT bake FROM summaries WHERE evidence <> ''").fetchall()
    assert shown == [(SOUND,)]


def test_commands_say_it_in_words_and_go_on_with_the_other_bakes(mixed: Journal, capsys: Out) -> None:
    assert main(["journal"]) == 0
    listed = capsys.readouterr().out
    assert listed.count("from a newer Proofbell") == 3
    assert "damaged" not in listed

    assert main(["journal", "show", "live"]) == 1
    shown = capsys.readouterr().out
    assert "Not all of this log can be read here: event 3" in shown
    assert "note 1" in shown

    assert main(["journal", "show", "begun"]) == 1
    told = capsys.readouterr().err
    assert "install that one to go on" in told
    assert "Traceback" not in told

    assert main(["journal", "compare", SOUND, "live"]) == 0
    assert "live: Not all of this log can be read here" in capsys.readouterr().out

    assert main(["journal", "verify"]) == 0
    checked = capsys.readouterr().out
    assert "All is well" in checked
    assert checked.count("was written by a newer Proofbell") == 3

    assert main(["journal", "learned"]) == 0


def test_an_export_says_which_bakes_it_had_to_leave_out(mixed: Journal, tmp_path: Path, capsys: Out) -> None:
    assert main(["journal", "export", "--format", "csv", "--to", str(tmp_path / "all.csv")]) == 1
    assert "Left out, since its beginning cannot be read: begun" in capsys.readouterr().err
    assert main(["journal", "export", "--folder", str(tmp_path / "all")]) == 1
    assert "3 written" in capsys.readouterr().err


def test_a_reading_is_handed_to_the_one_bake_that_can_be_read(path: Path, mixed: Journal, capsys: Out) -> None:
    assert main(["read", "25"]) == 1
    assert "install that one to go on" in capsys.readouterr().err
    mixed.append(chain("here", [(300.0, opened()), (301.0, kinds.StageBegun(0))]), 0)
    assert main(["read", "25"]) == 0
    assert "25" in capsys.readouterr().out


def test_an_export_of_nothing_but_what_cannot_be_read_writes_no_file(
    mixed: Journal, tmp_path: Path, capsys: Out
) -> None:
    assert main(["journal", "export", "begun", "--format", "svg", "--to", str(tmp_path / "begun.svg")]) == 1
    assert "install that one to go on" in capsys.readouterr().err
    assert not (tmp_path / "begun.svg").exists()
