"""An oven that was said to be off is off for every bake that was out before, whichever is put away, in every window."""

from __future__ import annotations

from pathlib import Path

from proofbell.app.session.live import Live
from proofbell.app.session.saving.keeping import JournalKeeper
from proofbell.bake import intents
from proofbell.bake.tasks import OvenTask
from proofbell.bench.oven.now import oven_now
from tests.support.kitchen_scene import GUESTHOUSE, KNOTS, put_on, say
from tests.support.stage import HandClock

OFF = intents.Task(OvenTask("oven off", 5))


def oven(live: Live) -> str:
    board = live.board()
    return oven_now(live.states, board.now, board.before, board.oven, board.coming).doing


def asks_for_it(live: Live) -> list[str]:
    return [one.letter for one in live.board().coming if one.prompt.kind == "oven off"]


async def test_an_oven_said_to_be_off_stays_so_when_the_bake_it_was_said_of_is_put_away(tmp_path: Path) -> None:
    path, clock = tmp_path / "journal.sqlite", HandClock()
    keepers = [JournalKeeper(path), JournalKeeper(path)]
    live, window = (Live(clock, keeper, GUESTHOUSE) for keeper in keepers)
    await live.take_up()
    first, second = await put_on(live, KNOTS), await put_on(live, KNOTS)
    for bake in (first, second):
        await say(live, bake, intents.Begin(), *(intents.Done() for _ in range(6)))
        clock.forward(60)
    await window.take_up()
    await say(live, first, intents.Done())  # cooled: it is over, and still on the bench
    await window.look_again()
    clock.forward(3600)
    asked = asks_for_it(live)
    await say(live, second, OFF, intents.Done())
    put_away = await live.put_away(second)
    await window.look_again()
    for keeper in keepers:
        keeper.close()

    assert asked == ["B"]
    for each in (live, window):
        assert oven(each) == "unused"
        assert asks_for_it(each) == []
        assert [state.id for state in each.states] == [first]
    assert put_away is None
