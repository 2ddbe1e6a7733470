"""Every key of the bench does something that can be seen: to a bake, to the bench, or on the screen."""

from __future__ import annotations

import re
from collections.abc import Awaitable, Callable
from dataclasses import dataclass
from pathlib import Path

import pytest
from textual.pilot import Pilot

from proofbell.app.app import ProofbellApp
from proofbell.app.session.live import Live, Nobody
from proofbell.app.widgets.actions import of_screen
from proofbell.bake import intents
from proofbell.bake.fermenting.place import place_c
from proofbell.bake.stamp import Stamp
from proofbell.clock import FastClock
from tests.support.kitchen_scene import (
    FLAT,
    GUESTHOUSE,
    KNOTS,
    LOAF,
    RYE,
    app_on,
    empty_bench,
    of,
    proofing,
    put_on,
    say,
)
from tests.support.preferments import FEED, OVERNIGHT, RIPEN, STIR, headland
from tests.support.settling import settle, to_bench
from tests.support.stage import HandClock, seen

Scene = Callable[[Live, HandClock], Awaitable[object]]
Look = Callable[[ProofbellApp], object]


# -- what is on the bench ---------------------------------------------------------------------------------------------


async def nothing(_live: Live, _clock: HandClock) -> None:
    """An empty bench."""


async def waiting(live: Live, _clock: HandClock) -> None:
    await put_on(live, KNOTS)


async def longer_proof(live: Live, clock: HandClock) -> None:
    await say(live, await proofing(live, clock), intents.Longer(600))


async def given_up(live: Live, clock: HandClock) -> None:
    await say(live, await proofing(live, clock), intents.GiveUp("the power is off"))


async def three(live: Live, _clock: HandClock) -> None:
    """None begun, the second in hand."""
    for what in (KNOTS, LOAF, FLAT):
        await put_on(live, what)


async def two_over(live: Live, clock: HandClock) -> None:
    """Both first proofs are long over and ring."""
    for _ in range(2):
        bake = await put_on(live, KNOTS)
        await say(live, bake, intents.Begin(), intents.Done(), intents.Done())
        await say(live, bake, intents.Read("dough temperature", "25", 25.0))
    clock.forward(2 * 3600)


async def one_oven_place(live: Live, clock: HandClock) -> None:
    """Both doughs would go into the one place of the oven at the same time; their warmth is known."""
    for _ in range(2):
        await put_on(live, KNOTS)
    for said in (intents.Begin(), intents.Done(), intents.Done(), intents.Read("dough temperature", "25", 25.0)):
        for state in live.states:
            await say(live, state.id, said)


async def before_the_oven(live: Live, clock: HandClock) -> None:
    """The dough is in its final proof, and the oven has not been turned on."""
    bake = await proofing(live, clock)
    await say(live, bake, intents.Read("dough temperature", "25", 25.0), intents.Done(), intents.Done())
    await say(live, bake, intents.Read("dough temperature", "25", 25.0))


async def power_cut(live: Live, clock: HandClock) -> None:
    """The machine was off, and its clock does not know for how long."""
    await proofing(live, clock)
    clock.now = Stamp(clock.now.wall_us + 30_000_000, 30_000_000, "boot-2", 60)
    await live.look_again()


async def overnight(live: Live, _clock: HandClock) -> None:
    """A dough whose preferment takes until tomorrow, and one for today."""
    await put_on(live, KNOTS)
    await put_on(live, RYE)


async def being_mixed(live: Live, _clock: HandClock) -> None:
    await say(live, await put_on(live, KNOTS), intents.Begin())


# -- what is looked at ------------------------------------------------------------------------------------------------


def screen(app: ProofbellApp) -> str:
    return type(app.screen).__name__


def begun(app: ProofbellApp) -> bool:
    return of(app.live, "bake-1").begun


def minutes(app: ProofbellApp) -> float:
    """The length of the stage that the first dough is in."""
    state = of(app.live, "bake-1")
    return state.stages[state.current or 0].length_s / 60


def stands(app: ProofbellApp) -> float:
    """Where the first dough stands (°C)."""
    state = of(app.live, "bake-1")
    return place_c(state, state.current or 0)


def stage_in_hand(app: ProofbellApp) -> int | None:
    return of(app.live, "bake-1").current


def pieces(app: ProofbellApp) -> int | None:
    return of(app.live, "bake-1").batch.pieces


def noted(app: ProofbellApp) -> list[str]:
    return [note.text for note in of(app.live, "bake-1").notes]


def timed(app: ProofbellApp) -> list[str]:
    return [timer.name for timer in app.live.timers.running]


def in_hand(app: ProofbellApp) -> str | None:
    return app.bench.in_hand


def ringing(app: ProofbellApp) -> set[str]:
    return {ring.bake for ring in app.bench.board.rings}


def rows(app: ProofbellApp) -> str:
    """The letters of the strips, from the top."""
    return "".join(re.findall(r"^[ !▸]([A-L]) [A-Z]", seen(app), re.MULTILINE))


def last_hour(app: ProofbellApp) -> str:
    """The last hour above the strips."""
    return seen(app).splitlines()[1].split()[-1]


def outcome(app: ProofbellApp) -> str | None:
    closed = of(app.live, "bake-1").closed
    return None if closed is None else closed.outcome


def bakes(app: ProofbellApp) -> list[str]:
    return [state.id for state in app.live.states]


def held(app: ProofbellApp) -> bool:
    """Whether a stage of either dough is of another length than its formula has it."""
    return any(
        run.length_s != state.stage(index).time_s for state in app.live.states for index, run in enumerate(state.stages)
    )


def asked(app: ProofbellApp) -> bool:
    return bool(app.replanning.proposals)


def declined(app: ProofbellApp) -> bool:
    """The question goes, and no key asks it again; another may be asked at once."""
    return "Left as it is." in seen(app)


def turned_on(app: ProofbellApp) -> bool:
    return bool(of(app.live, "bake-1").marks)


def passed(app: ProofbellApp) -> float:
    """How much of the first stage is over, in minutes."""
    return round(of(app.live, "bake-1").now_s(app.live.clock.stamp()) / 60)


def left(app: ProofbellApp) -> int | None:
    return app.return_value


@dataclass(frozen=True)
class Row:
    """What a key changes: ``look`` is ``before`` until it is pressed, and ``after`` from then on."""

    scene: Scene
    look: Look
    before: object
    after: object
    then: tuple[str, ...] = ()
    """Keys that answer what it opens."""

    until: Look | None = None
    """Awaited before the key: the planner thinks in a thread of its own."""

    rehearsal: bool = False
    """Whether time runs as fast as the baker likes."""


def opens(name: str, scene: Scene = proofing, **more: object) -> Row:
    """A key that leads to another screen."""
    return Row(scene, screen, "BenchScreen", name)


async def two_ripening(live: Live, clock: HandClock) -> None:
    """A levain and a poolish side by side; the levain, due first, is in hand."""
    bake = await put_on(live, headland())
    for intent in (intents.Begin(stage=STIR), intents.Done(), intents.Begin(stage=FEED), intents.Done()):
        await say(live, bake, intent)
        clock.forward(60)


async def one_ripening(live: Live, _clock: HandClock) -> None:
    """The poolish stands; the levain waits for its hour."""
    bake = await put_on(live, headland())
    for intent in (intents.Begin(stage=STIR), intents.Done()):
        await say(live, bake, intent)


ROWS: dict[str, Row] = {
    "done": Row(waiting, begun, before=False, after=True),
    "reading": opens("ReadingDialog"),
    "longer": Row(longer_proof, minutes, 80, 85),
    "shorter": Row(longer_proof, minutes, 80, 75),
    "moved": Row(proofing, stands, 21.5, 4.0, then=("2", "enter")),
    "ended-earlier": Row(proofing, stage_in_hand, 2, 3, then=("0", "enter")),
    "note": Row(proofing, noted, [], ["ok"], then=("o", "k", "enter")),
    "undo": Row(longer_proof, minutes, 80, 70),
    "weigh-out": opens("WeighScreen"),
    "size": Row(being_mixed, pieces, 12, 16, then=("1", "6", "enter")),
    "quiet": Row(two_over, ringing, {"bake-1", "bake-2"}, {"bake-2"}),
    "quiet-all": Row(two_over, ringing, {"bake-1", "bake-2"}, set()),
    "next-dough": Row(two_over, in_hand, "bake-1", "bake-2"),
    "dough-after": Row(three, in_hand, "bake-1", "bake-2"),
    "dough-before": Row(three, in_hand, "bake-1", "bake-3"),
    "row-up": Row(three, rows, "ABC", "BAC"),
    "row-down": Row(three, rows, "ABC", "BAC"),
    "other": Row(two_ripening, stage_in_hand, RIPEN, OVERNIGHT),
    "yes": Row(one_oven_place, held, before=False, after=True, until=asked),
    "no": Row(one_oven_place, declined, before=False, after=True, until=asked),
    "oven": Row(before_the_oven, turned_on, before=False, after=True),
    "edit": opens("ConfirmDialog"),  # A house formula is copied first.
    "why": opens("WhyScreen"),
    "far": opens("FarView"),
    "start": opens("StartScreen"),
    "plan": opens("PlanScreen"),
    "journal": opens("JournalScreen"),
    "kitchen": opens("KitchenScreen"),
    "give-up": Row(proofing, outcome, None, "given up", then=("enter",)),
    "put-away": Row(given_up, bakes, ["bake-1"], []),
    "log": opens("BakeLog"),
    "whole-day": Row(overnight, last_hour, "18:00", "03:00"),
    "timer": Row(proofing, timed, [], ["eggs"], then=(*"eggs", "enter", "4", "enter")),
    "time": opens("TimeDialog", power_cut),
    "go-on": Row(being_mixed, passed, 0, 6, rehearsal=True),
    "trouble": opens("TroubleDialog"),
    "help": opens("KeysDialog"),
    "leave": Row(proofing, left, None, 0),
}
"""Action of the bench to what it does."""

ELSEWHERE = {"suspend": "tests/terminal/test_hang_up.py"}
"""What only a real terminal shows."""

BEFORE = {"row-up": ("j",)}
"""Keys that bring the bench to where the key has something to do."""


def test_every_key_of_the_bench_has_a_row() -> None:
    actions = [action.id.removeprefix("bench.") for action in of_screen("bench")]
    assert sorted([*ROWS, *ELSEWHERE]) == sorted(actions)


async def wait(pilot: Pilot[int], app: ProofbellApp, row: Row) -> None:
    """Wait for the planner."""
    for _ in range(400):
        if row.until is None or row.until(app):
            return
        await pilot.pause(0.05)
        app.tick()
    pytest.fail("the plan never asked")


@pytest.mark.parametrize("name", ROWS)
async def test_a_key_of_the_bench_has_its_effect(name: str, tmp_path: Path) -> None:
    row = ROWS[name]
    live, clock = empty_bench()
    if row.rehearsal:
        fast = FastClock(clock.stamp(), 60.0, clock)
        live = Live(fast, Nobody(), GUESTHOUSE, rehearsal=True, pace=fast)
    await row.scene(live, clock)
    app = app_on(live, kitchen_file=tmp_path / "kitchen.toml", real=clock)
    (action,) = (action for action in of_screen("bench") if action.id == f"bench.{name}")
    async with app.run_test(size=(80, 24)) as pilot:
        await to_bench(pilot, app)
        if live.states:
            app.bench.take("bake-1")
        await pilot.press(*BEFORE.get(name, ()))
        await wait(pilot, app, row)
        await settle(pilot, app)
        assert row.look(app) == row.before
        await pilot.press(action.keys[0], *row.then)
        if name != "leave":
            await settle(pilot, app)
        assert row.look(app) == row.after


async def test_what_is_said_goes_to_the_preferment_in_hand_and_the_key_goes_round() -> None:
    live, clock = empty_bench()
    await two_ripening(live, clock)
    app = app_on(live, real=clock)
    async with app.run_test(size=(80, 24)) as pilot:
        await to_bench(pilot, app)
        app.bench.take("bake-1")
        shown = await settle(pilot, app)
        await pilot.press("i", "l", "r", *"24.5", "enter")
        taken = await settle(pilot, app)
        await pilot.press("i")
        await settle(pilot, app)
        back = stage_in_hand(app)

    state = of(app.live, "bake-1")
    assert "i other preferment" in shown
    assert "Overnight" in taken
    assert state.stages[OVERNIGHT].adjustments[0].body.by == "hand"
    assert [reading.stage for reading in state.readings] == [OVERNIGHT]
    assert not state.stages[RIPEN].adjustments or state.stages[RIPEN].adjustments[0].body.by != "hand"
    assert back == RIPEN


async def test_the_preferment_that_waits_is_begun_before_its_hour_once_that_is_meant() -> None:
    live, clock = empty_bench()
    await one_ripening(live, clock)
    app = app_on(live, real=clock)
    async with app.run_test(size=(80, 24)) as pilot:
        await to_bench(pilot, app)
        app.bench.take("bake-1")
        await pilot.press("i")
        asked_ = await settle(pilot, app)
        await pilot.press("escape")
        await settle(pilot, app)
        assert of(app.live, "bake-1").running == (OVERNIGHT,)
        await pilot.press("i", "enter")
        await settle(pilot, app)

    assert "Begin feed for ripe levain now? It is to begin at" in asked_
    assert set(of(app.live, "bake-1").running) == {OVERNIGHT, FEED}
