"""What stands wrong stays in sight until it is right or was read, and never where an alarm is."""

from __future__ import annotations

import pytest

from proofbell.app.session.troubles import ABOUT, FAULT, UNREAD, UNSAVED, Troubles
from proofbell.app.widgets.trouble_dialog import TroubleDialog
from proofbell.app.widgets.trouble_line import MOST_LINES
from proofbell.bake import intents
from tests.support.kitchen_scene import KNOTS, app_on, empty_bench, proofing, put_on
from tests.support.settling import settle
from tests.support.stage import FullDisk, seen


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
        text = await settle(pilot, app)
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


@pytest.mark.parametrize("width", [60, 80, 120, 133, 200])
async def test_the_key_stands_beside_a_trouble_that_more_can_be_done_about_than_read(width: int) -> None:
    keeper = FullDisk()
    live, _clock = empty_bench(keeper)
    bake = await put_on(live, KNOTS)
    app = app_on(live)
    async with app.run_test(size=(width, 24)) as pilot:
        app.troubles.tell("read", UNREAD, "one bake cannot be read", "the others go on")
        app.tick()
        await pilot.pause()
        assert "The others go on.\n" in seen(app), "only to be read: it stands there whole"
        app.troubles.over("read")
        app.troubles.tell("about", ABOUT, "the disk is nearly full", until_seen=True)
        app.tick()
        await pilot.pause()
        assert "nearly full.   ! put away" in seen(app)
        app.troubles.seen()
        keeper.full = True
        await app.say(bake, intents.AddNote("risen well"))
        await pilot.pause()
        lines = [line for line in seen(app).splitlines()[1 : 1 + MOST_LINES] if line.strip()]
    told = " ".join(" ".join(lines).split())
    assert "tried again by itself. 1 line of the log in memory until then." in told, "nothing of it makes room"
    assert told.endswith("! write elsewhere") or "! write elsewhere " in told
