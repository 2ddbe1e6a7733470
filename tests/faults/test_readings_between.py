"""A baker's keys beside a probe's program that is quicker with a reading before each is stored: none is refused."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

from proofbell.app.session.live import Live
from proofbell.app.session.saving.keeping import JournalKeeper
from proofbell.bake import intents
from proofbell.bake.events import Event
from proofbell.bake.intents import Intent
from tests.support.kitchen_scene import GUESTHOUSE, KNOTS, of, put_on
from tests.support.stage import HandClock

PROBE = """
import sys
from pathlib import Path
from proofbell.bake import intents
from proofbell.bake.stamp import Stamp
from proofbell.clock import Patience
from proofbell.journal.storage.deciding import Said, opened, say
with opened(Path(sys.argv[1]), Patience()) as journal:
    print("ready", flush=True)
    for line in sys.stdin:
        wall_us, boot_us, value = line.split()
        read = intents.Read("dough temperature", value, raw=float(value), sure=True, source="command")
        said = say(journal, sys.argv[2], read, lambda: Stamp(int(wall_us), int(boot_us), "boot-1", 60), Patience())
        print("taken" if isinstance(said, Said) else said, flush=True)
"""


class Interrupted(JournalKeeper):
    """The probe is always a little quicker than the key."""

    def __init__(self, path: Path, probe: subprocess.Popen[str], clock: HandClock) -> None:
        super().__init__(path)
        self._probe, self._clock = probe, clock
        self.between = 0
        self.next = False

    async def append(self, events: Sequence[Event], expected_last: int) -> None:
        if self.next:
            self.next = False
            self.between += 1
            assert self._probe.stdin is not None
            assert self._probe.stdout is not None
            now = self._clock.stamp()
            self._probe.stdin.write(f"{now.wall_us} {now.boot_us} {24 + self.between % 7 * 0.5}\n")
            self._probe.stdin.flush()
            assert self._probe.stdout.readline() == "taken\n"
        await super().append(events, expected_last)


async def test_no_key_is_refused_because_a_reading_came_between(tmp_path: Path) -> None:
    path, clock = tmp_path / "journal.sqlite", HandClock()
    first = JournalKeeper(path)
    live = Live(clock, first, GUESTHOUSE)
    await live.take_up()
    bake = await put_on(live, KNOTS)
    first.close()
    words = [sys.executable, "-c", PROBE, str(path), bake]
    with subprocess.Popen(words, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as probe:
        assert probe.stdout is not None
        assert probe.stdin is not None
        assert probe.stdout.readline() == "ready\n"
        keeper = Interrupted(path, probe, clock)
        live = Live(clock, keeper, GUESTHOUSE)
        await live.take_up()
        keys: list[Intent] = [intents.Begin()]
        for _ in range(7):
            keys += [intents.Longer(300), intents.AddNote("soft"), intents.Longer(-300), intents.Done()]
        for number, key in enumerate(keys, 1):
            clock.forward(5)
            keeper.next = True
            assert await live.say(bake, key) is None, (number, key)
            assert keeper.between == number
        probe.stdin.close()
        keeper.close()
    assert of(live, bake).closed is not None
    assert len(of(live, bake).readings) == len(keys)
