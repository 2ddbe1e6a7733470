"""A rehearsal of several doughs on the screens: they start when the plan says, so that one pair of hands can follow."""

from __future__ import annotations

from itertools import pairwise

import pytest

from proofbell.app.app import ProofbellApp
from proofbell.app.rehearsal import rehearsed
from proofbell.app.session.live import Live
from proofbell.bake import intents
from proofbell.clock import FastClock
from proofbell.errors import Failure
from tests.support.kitchen_scene import FLAT, GUESTHOUSE, KNOTS, LOAF, app_on, empty_bench, proofing, say, sized
from tests.support.stage import HandClock, seen

DAYS = (
    pytest.param((KNOTS, LOAF, KNOTS, LOAF, KNOTS), id="five doughs"),
    pytest.param((FLAT, KNOTS, LOAF), id="three kinds"),
    pytest.param((KNOTS, LOAF) * 6, id="twelve doughs"),
)


@pytest.mark.parametrize("stems", DAYS)
async def test_no_two_doughs_want_the_hands_at_one_time(stems: tuple[str, ...]) -> None:
    live = await rehearsed(sized(*stems), GUESTHOUSE, HandClock())
    hands = sorted((busy.begin_us, busy.end_us) for busy in live.board().hands)
    assert len(hands) > 2 * len(stems)
    assert [(one, other) for one, other in pairwise(hands) if other[0] < one[1]] == []


async def test_one_dough_is_begun_and_the_others_wait() -> None:
    live = await rehearsed(sized(KNOTS, KNOTS, KNOTS), GUESTHOUSE, HandClock())
    assert sum(state.current is not None for state in live.states) == 1


async def knots_rehearsed() -> tuple[ProofbellApp, Live]:
    """Knots just begun, on a clock that runs sixty times as fast and stands until it is moved."""
    real = HandClock()
    fast = FastClock(real.stamp(), 60.0, real)
    live = await rehearsed(sized(KNOTS), GUESTHOUSE, fast, fast)
    return app_on(live), live


async def test_going_forward_stops_where_a_hands_stage_is_meant_to_end() -> None:
    app, live = await knots_rehearsed()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        began_us = live.clock.stamp().wall_us
        await pilot.press("full_stop")
        await pilot.pause()

    assert round((live.clock.stamp().wall_us - began_us) / 1_000_000) == 6 * 60, "the knots are mixed for six minutes"


async def test_nothing_goes_forward_past_a_stage_that_waits_for_the_baker() -> None:
    app, live = await knots_rehearsed()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        began_us = live.clock.stamp().wall_us
        await pilot.press("full_stop", "full_stop", "full_stop")
        await pilot.pause()
        shown = seen(app)
        assert round((live.clock.stamp().wall_us - began_us) / 1_000_000) == 6 * 60
        assert "Mix waits for you: press space." in shown
        await pilot.press("space")
        await pilot.pause()
        await pilot.press("full_stop")
        await pilot.pause()

    assert live.clock.stamp().wall_us - began_us > 15 * 60_000_000


async def test_a_rehearsal_says_that_it_waits_for_somebody_and_for_which_key() -> None:
    app, live = await knots_rehearsed()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert "waiting for you" not in seen(app)
        clock = live.clock
        assert isinstance(clock, FastClock)
        clock.skip(7 * 60)
        app.tick()
        await pilot.pause()
        assert "waiting for you: space" in seen(app)


async def test_more_than_twelve_are_refused() -> None:
    with pytest.raises(Failure, match="bench holds"):
        await rehearsed(sized(*[KNOTS] * 13), GUESTHOUSE, HandClock())


@pytest.mark.parametrize(("rehearsal", "words"), [(True, "Put away."), (False, "Put away; it is in the journal.")])
async def test_what_was_rehearsed_is_not_said_to_be_in_the_journal(words: str, *, rehearsal: bool) -> None:
    live, clock = empty_bench()
    live.rehearsal = rehearsal
    bake = await proofing(live, clock)
    await say(live, bake, intents.GiveUp("enough"))
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("c")
        await pilot.pause()
        assert words in [line.strip() for line in seen(app).splitlines()]
