"""``proofbell timer``: the open bench has it at its next look."""

from __future__ import annotations

from pathlib import Path

import pytest

from proofbell.app.session.live import Live
from proofbell.app.session.saving.keeping import JournalKeeper
from proofbell.bake.events import TimerLogged
from proofbell.cli import main
from tests.support.command_line import document
from tests.support.kitchen_scene import GUESTHOUSE, KNOTS, of, put_on
from tests.support.stage import HandClock


async def test_a_timer_from_outside_reaches_the_bench_and_the_log_of_the_dough_it_is_for(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "journal.sqlite"
    live = Live(HandClock(), JournalKeeper(path), GUESTHOUSE)
    await live.take_up()
    monkeypatch.setenv("PROOFBELL_JOURNAL", str(path))
    monkeypatch.setenv("PROOFBELL_KITCHEN", str(path.with_name("kitchen.toml")))
    bake = await put_on(live, KNOTS)
    assert main(["timer"]) == 0
    assert capsys.readouterr().out == "No timer runs.\n"
    assert main(["timer", "rinse  rice", "12", "--bake", "A"]) == 0
    said = capsys.readouterr()
    assert said.out.startswith("rinse rice: 12 min left, rings at ")
    assert said.err == "proofbell: no bench is open; it rings once one is.\n"
    await live.look_again()
    assert [(one.name, one.bake) for one in live.timers.running] == [("rinse rice", bake)]
    assert main(["timer", "--json"]) == 0
    assert [one["name"] for one in document(capsys, "timers")["timers"]] == ["rinse rice"]
    assert main(["timer", "--stop", "Rinse rice"]) == 0
    await live.look_again()
    assert not live.timers.running
    logged = [event.body.what for event in of(live, bake).events if isinstance(event.body, TimerLogged)]
    assert logged == ["set", "stopped"]
    for wrong, status in (
        (["--stop"], 2),
        (["soup"], 2),
        (["soup", "soon"], 2),
        (["x" * 31, "5"], 1),
        (["soup", "30 h"], 1),
        (["--stop", "soup"], 1),
    ):
        assert main(["timer", *wrong]) == status
    live.keeper.close()
