"""Which window raises the alarms, in words."""

from __future__ import annotations

from dataclasses import replace

import pytest

from proofbell.app.alarms.who_rings import rings_where, who_rings
from proofbell.app.widgets.notice_line import rings_line
from proofbell.journal.files.lock import BROWSER, Holder
from tests.support.kitchen_scene import GUESTHOUSE, KNOTS, app_on, empty_bench, put_on
from tests.support.settling import settle
from tests.support.stage import MORNING_US, HandClock

PTS = Holder(41, "pts/3", MORNING_US, MORNING_US + 120_000_000)


@pytest.mark.parametrize(
    ("holder", "leads", "words"),
    [
        (None, True, ""),
        (None, False, "Another window rings."),
        (PTS, False, "Another window rings: the one on pts/3, open since 09:30."),
        (Holder(41, "", MORNING_US, MORNING_US), False, "Another window rings: process 41, open since 09:30."),
        (
            Holder(41, "pts/3", MORNING_US, MORNING_US + 120_000_000, answers=False),
            True,
            "The other window, the one on pts/3, has not answered since 09:32: this one rings too. Close the other.",
        ),
    ],
)
def test_who_rings_is_said_where_it_is_not_this_window(
    monkeypatch: pytest.MonkeyPatch, holder: Holder | None, *, leads: bool, words: str
) -> None:
    monkeypatch.setattr("proofbell.app.session.local_time.offset_min", lambda _: 60)

    assert who_rings(holder, HandClock().stamp(), leads=leads) == words


@pytest.mark.parametrize(
    ("holder", "leads", "words"),
    [
        (None, True, ""),
        (None, False, "rings elsewhere"),
        (PTS, False, "rings on pts/3"),
        (replace(PTS, terminal=""), False, "rings in process 41"),
        (replace(PTS, terminal=BROWSER), False, "rings in a browser"),
        (replace(PTS, answers=False), True, ""),
    ],
)
def test_beside_a_ring_it_is_said_in_few_words(holder: Holder | None, *, leads: bool, words: str) -> None:
    assert rings_where(holder, leads=leads) == words


class Other:
    """Another window may ring, until it lets go."""

    holds: Holder | None = PTS

    def take(self) -> bool:
        return self.holds is None

    def let_go(self) -> None:
        """Nothing is held here."""

    def holder(self) -> Holder | None:
        return self.holds


async def test_it_is_said_when_it_changes_and_stands_only_beside_what_rings() -> None:
    live, clock = empty_bench()
    await put_on(live, KNOTS, start_in_s=1200.0)
    other = Other()
    app = app_on(live, leader=other)
    async with app.run_test(size=(100, 24)) as pilot:
        await settle(pilot, app)
        first = await settle(pilot, app)
        clock.forward(10)
        later = await settle(pilot, app)
        clock.forward(1200)
        ringing = await settle(pilot, app)
        other.holds = None
        clock.forward(1)
        await settle(pilot, app)
        taken = await settle(pilot, app)
        clock.forward(10)
        ours = await settle(pilot, app)

    assert "Another window rings: the one on pts/3, open since" in first
    assert "pts/3" not in later, "nothing rings"
    assert "begin: Mix  q quiet  rings on pts/3" in ringing
    assert "This window rings now." in taken
    assert "begin: Mix  q quiet" in ours
    assert "rings on" not in ours


@pytest.mark.parametrize(("quiet", "rings"), [((), True), (("09:00", "12:00"), False)])
async def test_what_keeps_still_in_the_quiet_hours_rings_nowhere(quiet: tuple[str, ...], rings: bool) -> None:  # noqa: FBT001
    live, clock = empty_bench(kitchen=replace(GUESTHOUSE, quiet=quiet))
    await put_on(live, KNOTS, start_in_s=300.0)
    app = app_on(live, leader=Other())
    async with app.run_test(size=(100, 24)) as pilot:
        await settle(pilot, app)
        clock.forward(10)
        shown = await settle(pilot, app)

    assert "weigh out, then begin: Mix" in shown
    assert ("rings on pts/3" in shown) == rings


async def test_a_window_rings_only_while_no_other_does(monkeypatch: pytest.MonkeyPatch) -> None:
    live, clock = empty_bench()
    await put_on(live, KNOTS, start_in_s=60.0)
    clock.forward(60)
    other = Other()
    app = app_on(live, leader=other, real=clock)
    heard: list[str] = []
    monkeypatch.setattr(app.sounding.bell, "ring", heard.append)
    async with app.run_test(size=(100, 24)) as pilot:
        await settle(pilot, app)
        kept_still = list(heard)
        other.holds = None
        clock.forward(15)
        app.tick()

    assert kept_still == []
    assert heard == ["Proofbell: A  begin: Mix"]


async def test_an_answer_goes_before_it() -> None:
    live, clock = empty_bench()
    await put_on(live, KNOTS)
    other = Other()
    other.holds = None
    app = app_on(live, leader=other)
    async with app.run_test(size=(100, 24)) as pilot:
        await settle(pilot, app)
        app.bench.say("Noted.")
        other.holds = PTS
        answered = await settle(pilot, app)
        clock.forward(6)
        app.tick()
        told = await settle(pilot, app)

    assert "Noted." in answered
    assert "pts/3" not in answered
    assert "Another window rings: the one on pts/3" in told


async def test_where_it_rings_gives_way_to_what_rings() -> None:
    live, clock = empty_bench()
    await put_on(live, KNOTS, start_in_s=60.0)
    clock.forward(120)
    rings = live.board().rings
    line = "◆  A  begin: Mix  q quiet"

    assert rings_line(rings, None, 80, "rings on pts/3").plain == f"{line}  rings on pts/3"
    assert rings_line(rings, None, len(line), "rings on pts/3").plain == line


async def test_what_changed_while_another_page_was_open_is_told_on_the_bench() -> None:
    live, clock = empty_bench()
    await put_on(live, KNOTS)
    other = Other()
    app = app_on(live, leader=other)
    async with app.run_test(size=(100, 24)) as pilot:
        await settle(pilot, app)
        clock.forward(10)
        await pilot.press("w")
        await settle(pilot, app)
        other.holds = None
        app.tick()
        clock.forward(10)
        await settle(pilot, app)
        await pilot.press("escape")
        shown = await settle(pilot, app)

    assert "This window rings now." in shown
