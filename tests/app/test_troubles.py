"""What stands wrong stays in sight until it is right or was read, and never where an alarm is."""

from __future__ import annotations

from collections.abc import Sequence

from tests.support.kitchen_scene import KNOTS, app_on, empty_bench, proofing, put_on
from tests.support.stage import seen

from proofbell.app.session.keeper import Nobody
from proofbell.app.session.troubles import ABOUT, FAULT, UNSAVED, Troubles
from proofbell.app.widgets.trouble_dialog import TroubleDialog
from proofbell.bake import intents
from proofbell.bake.events import Event
from proofbell.journal.storage.faults import DiskFull


class FullDisk(Nobody):
    """A journal on a disk that is full for as long as the test wants."""

    def __init__(self) -> None:
        self.full = False
        self.kept: dict[str, tuple[Event, ...]] = {}

    async def append(self, events: Sequence[Event], expected_last: int) -> None:
        self._look()
        self.kept[events[0].bake] = (*self.kept.get(events[0].bake, ())[:expected_last], *events)

    async def complete(self, events: Sequence[Event]) -> int:
        self._look()
        self.kept[events[0].bake] = tuple(events)
        return events[-1].number

    def _look(self) -> None:
        if self.full:
            raise DiskFull("the disk with the journal is full", "free some room there; it is tried again by itself")


def test_the_gravest_stands_first_and_what_was_only_to_be_read_goes_when_it_was() -> None:
    troubles = Troubles()
    troubles.tell("about", ABOUT, "the journal was brought up to date", until_seen=True)
    troubles.tell("unsaved", UNSAVED, "3 lines not saved", "free some room")
    troubles.tell("fault", FAULT, "a fault", until_seen=True)
    assert [trouble.text for trouble in troubles.all] == [
        "3 lines not saved. Free some room.", "A fault.", "The journal was brought up to date.",
    ]  # fmt: skip
    troubles.seen()
    assert [trouble.words for trouble in troubles.all] == ["3 lines not saved"]
    troubles.over("unsaved")
    assert troubles.all == ()


def test_what_is_to_be_read_once_is_told_again_only_in_other_words() -> None:
    troubles = Troubles()
    troubles.tell_once("disk", ABOUT, "the disk is nearly full")
    assert troubles.all
    troubles.seen()
    troubles.tell_once("disk", ABOUT, "the disk is nearly full")
    assert not troubles.all
    troubles.tell_once("disk", ABOUT, "")
    troubles.tell_once("disk", ABOUT, "the disk is nearly full")
    assert [trouble.words for trouble in troubles.all] == ["the disk is nearly full"]
    troubles.tell_once("disk", ABOUT, "")
    assert not troubles.all


async def test_an_alarm_and_a_trouble_stand_beside_each_other_on_the_bench() -> None:
    keeper = FullDisk()
    live, clock = empty_bench(keeper)
    bake = await proofing(live, clock)
    clock.forward(3 * 3600)
    keeper.full = True
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await app.say(bake, intents.AddNote("risen well over"))
        app.tick()
        await pilot.pause()
        text = seen(app)
    lines = text.splitlines()
    assert lines[1].startswith(" ✗ The disk with the journal is full. Free some room there;")
    assert any(line.startswith(" ◆") for line in lines), text
    assert "tried again by itself" in " ".join(text.split()), "the remedy is never cut"


async def test_every_trouble_stands_whole_under_its_key_with_a_way_to_write_down_what_is_known() -> None:
    keeper = FullDisk()
    live, _clock = empty_bench(keeper)
    bake = await put_on(live, KNOTS)
    keeper.full = True
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await app.say(bake, intents.AddNote("risen well"))
        app.troubles.tell("fault", FAULT, "a fault of the page start", "open it again", until_seen=True)
        await pilot.press("exclamation_mark")
        await pilot.pause()
        assert isinstance(app.screen, TroubleDialog)
        text = " ".join(seen(app).split())
        assert "Free some room there" in text
        assert "A fault of the page start. Open it again." in text
        assert "w write what is known to another file" in text
        await pilot.press("escape")
        await pilot.pause()
        app.tick()
        assert [trouble.grade for trouble in app.troubles.all] == [UNSAVED], "it was read; what is not saved stays"


async def test_leaving_with_something_unsaved_is_asked_about_and_ends_with_a_status_of_its_own() -> None:
    keeper = FullDisk()
    live, clock = empty_bench(keeper)
    bake = await proofing(live, clock, KNOTS)
    keeper.full = True
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await app.say(bake, intents.AddNote("risen well"))
        await pilot.press("ctrl+q")
        await pilot.pause()
        assert app.is_running
        assert "1 line of the log could not be saved" in " ".join(seen(app).split())
        await pilot.press("y")
        await pilot.pause()
    assert app.return_value == 1
