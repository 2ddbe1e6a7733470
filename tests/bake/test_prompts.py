"""What a bake asks for, and when: named once, silenced by name, moving with the proof."""

from __future__ import annotations

from dataclasses import replace
from typing import Literal

import pytest

from proofbell.bake import intents
from proofbell.bake.asking.prompt import OvenBefore, Prompt
from proofbell.bake.heats import STEAM_BURNS, STEAM_OUT
from proofbell.bake.prompts import prompts
from proofbell.bake.tasks import OvenTask, Silenced, Skipped, Weighed
from proofbell.bake.view import view
from proofbell.bench.board import board
from proofbell.formula.model import Check, Phase, Stage
from proofbell.kitchen.model import Kitchen, Oven, OvenDial
from tests.support.baking import FINAL_PROOF, FIRST_PROOF, WHOLE, Baking, at_stage, formula
from tests.support.prompted import due, ringing

TWENTY = Kitchen(room_c=20.0, oven=Oven(heat_up_s=1800.0))
"""From 20 to 220 °C this oven takes 200/180 of half an hour: 33 min 20 s."""


def prompt(baking: Baking, kind: str) -> Prompt:
    """The one prompt of a kind."""
    (found,) = (each for each in prompts(baking.state) if each.kind == kind)
    return found


def rings(baking: Baking) -> list[str]:
    """What rings now."""
    return [each.kind for each in ringing(baking.state, baking.now_s)]


def test_a_stage_that_reaches_nought_rings_and_counts_over_until_answered() -> None:
    baking = at_stage(FINAL_PROOF)
    baking.wait(minutes=49.9)
    assert "due" not in rings(baking)
    baking.wait(minutes=0.1)
    assert "due" in rings(baking)
    baking.wait(minutes=600)
    seen = view(baking.state, baking.now_s)
    assert seen.mode == "over"
    assert seen.seconds == pytest.approx(600 * 60)
    assert baking.state.current == 1


def test_a_hands_stage_counts_up_against_its_nominal_time_and_never_rings() -> None:
    baking = at_stage(Stage("Shape", "hands", 600.0))
    baking.wait(minutes=25)
    seen = view(baking.state, baking.now_s)
    assert seen.mode == "up"
    assert seen.seconds == pytest.approx(1500)
    assert seen.length_s == 600.0
    assert rings(baking) == []


def test_a_silenced_prompt_stays_due_and_a_change_of_length_rings_again() -> None:
    baking = at_stage(FINAL_PROOF)
    baking.wait(minutes=51)
    baking.say(intents.Task(Silenced(prompt(baking, "due").id)))
    assert rings(baking) == []
    assert [each.kind for each in due(baking.state, baking.now_s)] == ["due"]
    baking.say(intents.Longer(300))
    assert due(baking.state, baking.now_s) == ()
    baking.wait(minutes=5)
    assert rings(baking) == ["due"]
    baking.say(intents.Task(Silenced(prompt(baking, "due").id)))
    assert rings(baking) == []


def test_the_oven_goes_on_in_time_to_be_hot_as_the_proof_ends_and_moves_with_it() -> None:
    baking = Baking(WHOLE, TWENTY)
    baking.to_stage(2)
    # 70 + 18 + 53 minutes to the bake in a room of 20 °C, less 33 min 20 s.
    assert prompt(baking, "oven on").due_s == pytest.approx((141 - 33) * 60 - 20)
    assert prompt(baking, "oven on").words == "oven on, 220 °C"
    baking.read(27.0)
    # 15 min sooner by its bands, and what is shaped of a warmer dough is 3 min sooner ready.
    assert prompt(baking, "oven on").due_s == pytest.approx((123 - 33) * 60 - 20)


def test_an_oven_that_was_silenced_rings_again_when_the_proof_was_made_longer() -> None:
    baking = Baking(formula(FINAL_PROOF, Stage("Bake", "bake", 960.0)), TWENTY)
    baking.say(intents.Begin())
    baking.wait(minutes=20)
    baking.say(intents.Task(Silenced(prompt(baking, "oven on").id)))
    assert rings(baking) == []
    baking.say(intents.Longer(20 * 60))
    baking.wait(minutes=16)
    assert rings(baking) == []
    baking.wait(minutes=1)
    assert rings(baking) == ["oven on"]


def test_a_proof_that_runs_over_does_not_move_the_moment_the_oven_was_wanted() -> None:
    baking = Baking(formula(FINAL_PROOF, Stage("Bake", "bake", 960.0)), TWENTY)
    baking.say(intents.Begin())
    wanted_s = prompt(baking, "oven on").due_s
    baking.wait(minutes=200)
    assert prompt(baking, "oven on").due_s == wanted_s


def test_an_oven_waits_for_a_stage_that_runs_over_while_there_is_time_for_it_after_that() -> None:
    baking = Baking(WHOLE, TWENTY)
    baking.to_stage(2)
    baking.wait(minutes=70 + 25)
    # The first proof is 25 minutes over: 18 + 53 minutes are left until the bake, 33 min 20 s of them to heat up.
    (on,) = (one for one in prompts(baking.state, now_s=baking.now_s) if one.kind == "oven on")

    assert on.due_s - baking.now_s == pytest.approx((18 + 53 - 33) * 60 - 20)
    assert on.id not in [one.id for one in due(baking.state, baking.now_s)]


def test_an_oven_that_is_on_is_asked_after_when_it_should_be_hot() -> None:
    baking = Baking(formula(FINAL_PROOF, Stage("Bake", "bake", 960.0)), TWENTY)
    baking.say(intents.Begin())
    baking.wait(minutes=10)
    baking.say(intents.Task(OvenTask("oven on", 1)))
    assert prompt(baking, "oven hot").due_s == pytest.approx(43 * 60 + 20)
    baking.say(intents.Task(OvenTask("oven hot", 1)))
    assert [each.kind for each in prompts(baking.state)] == ["due"]
    baking.say(intents.Done())
    assert [each.kind for each in prompts(baking.state)] == ["due"]


@pytest.mark.parametrize(
    ("oven", "words"),
    [
        (Oven("fan"), "oven on, 200 °C fan"),
        (Oven("gas"), "oven on, gas mark 7"),
        (Oven(dial=(OvenDial(220.0, "5½"),)), "oven on, 5½"),
    ],
)
def test_the_oven_is_told_as_its_own_dial_says_it(oven: Oven, words: str) -> None:
    baking = Baking(formula(FINAL_PROOF, Stage("Bake", "bake", 960.0)), Kitchen(oven=oven))
    baking.say(intents.Begin())
    assert prompt(baking, "oven on").words == words


def test_a_bake_asks_for_its_turn_and_its_later_heats() -> None:
    phases = (Phase(900.0, 240.0, steam=True), Phase(1500.0, 210.0))
    baking = at_stage(Stage("Bake", "bake", 2400.0, turn_s=1200.0, phases=phases))
    asked = [(each.kind, each.due_s, each.words) for each in prompts(baking.state)]
    out = f"oven to 210 °C, {STEAM_OUT}: {STEAM_BURNS}"
    assert asked[:2] == [("heat", 900.0, out), ("turn", 1200.0, "turn the tray")]
    assert asked[2] == ("due", 2400.0, "take it out, at 93 to 98 °C inside, usual for lean dough")
    for kind in ("heat", "turn"):
        task = prompt(baking, kind).task
        assert task is not None
        baking.say(intents.Task(task))
    assert [each.kind for each in prompts(baking.state)] == ["due"]


def test_a_task_is_done_once_and_can_be_taken_back() -> None:
    baking = Baking(WHOLE)
    baking.say(intents.Task(Weighed(0)))
    assert "already" in baking.refused(intents.Task(Weighed(0))).message
    baking.say(intents.Task(Weighed(0), done=False))
    assert not baking.state.done(Weighed(0))
    baking.refused(intents.Task(Weighed(0), done=False))


def test_checks_fall_due_at_the_start_on_the_way_and_at_the_end() -> None:
    checks = (Check("rise", "end"), Check("room temperature", "into", 1800.0), Check("dough temperature", "start"))
    baking = at_stage(replace(FINAL_PROOF, checks=checks))
    asked = [(each.due_s / 60, each.check) for each in prompts(baking.state) if each.kind == "check"]
    assert asked == [(0, 2), (30, 1), (50, 0)]


def test_a_check_at_the_end_moves_with_the_end() -> None:
    baking = at_stage(replace(FIRST_PROOF, checks=(*FIRST_PROOF.checks, Check("rise", "end"))))
    baking.read(27.0)
    assert prompt(baking, "check").due_s == pytest.approx(55 * 60)


def test_a_reading_long_before_a_check_does_not_answer_it() -> None:
    core = Check("core temperature", "end")
    baking = at_stage(Stage("Bake", "bake", 16 * 60.0, checks=(core,)))
    baking.wait(minutes=8)
    baking.read(70.0, "core temperature")
    assert prompt(baking, "check").check == 0
    baking.wait(minutes=7)
    baking.read(91.0, "core temperature")
    assert [each.kind for each in prompts(baking.state)] == ["due"]


def test_a_cold_core_is_read_again_when_the_bake_was_made_longer() -> None:
    baking = at_stage(Stage("Bake", "bake", 16 * 60.0, checks=(Check("core temperature", "end"),)))
    baking.wait(minutes=16)
    baking.read(80.0, "core temperature")
    baking.say(intents.Longer(240))
    assert prompt(baking, "check").due_s == pytest.approx(20 * 60)


def test_a_reading_of_a_moment_ago_answers_the_check_at_the_start() -> None:
    baking = Baking(formula(replace(FINAL_PROOF, name="Rest", adjust=None, rise=None), FIRST_PROOF))
    baking.say(intents.Begin())
    baking.wait(minutes=45)
    baking.read(25.0)
    baking.wait(minutes=5)
    baking.say(intents.Done())
    assert [each.kind for each in prompts(baking.state)] == ["due"]
    baking.wait(minutes=70)
    ended = baking.say(intents.Done())[0].body
    assert ended.missed == ()  # type: ignore[attr-defined]


def test_a_check_that_is_skipped_is_not_asked_again() -> None:
    baking = at_stage(FIRST_PROOF)
    baking.say(intents.Task(Skipped(prompt(baking, "check").id)))
    assert [each.kind for each in prompts(baking.state)] == ["due"]


def test_a_closed_bake_asks_for_nothing() -> None:
    baking = at_stage(FIRST_PROOF)
    baking.say(intents.GiveUp())
    assert prompts(baking.state) == ()


def test_a_bake_is_over_when_its_core_says_so() -> None:
    baking = at_stage(Stage("Bake", "bake", 16 * 60.0, core=(88.0, 94.0)))
    assert prompt(baking, "due").words == "take it out, at 88 to 94 °C inside"
    baking.wait(minutes=16)
    baking.read(83.0, "core temperature")
    assert prompt(baking, "due").words == "core 83 °C, 88 wanted: 2 min longer (up to 4)"
    baking.read(88.0, "core temperature")
    assert prompt(baking, "due").words == "take it out"


def test_a_proof_with_a_wanted_rise_is_judged_before_it_is_over() -> None:
    baking = at_stage(FINAL_PROOF)
    assert prompt(baking, "due").words == "judge the rise, then shape: 12 × 70 g"
    baking.wait(minutes=50)
    baking.eye("ready")
    assert prompt(baking, "due").words == "shape: 12 × 70 g"


@pytest.mark.parametrize(
    ("heat_c", "until_min", "due_min", "words"),
    [
        # 180 to 220 °C is 40/180 of half an hour, 6 min 40 s, before the proof's 50 minutes are over.
        (180.0, 10, 50 - 20 / 3, "oven up to 220 °C"),
        # The other bake is out too late for that: then.
        (180.0, 48, 48, "oven up to 220 °C"),
        # 250 to 220 °C takes 30/100 of 20 minutes with the door ajar.
        (250.0, 10, 44, "oven down to 220 °C"),
    ],
)
def test_after_another_bake_the_oven_goes_up_or_down(
    heat_c: float, until_min: float, due_min: float, words: str
) -> None:
    baking = Baking(formula(FINAL_PROOF, Stage("Bake", "bake", 960.0)), TWENTY)
    baking.say(intents.Begin())
    (asked,) = (each for each in prompts(baking.state, OvenBefore(heat_c, until_min * 60.0)) if each.kind == "oven on")
    assert asked.due_s / 60 == pytest.approx(due_min)
    assert asked.words == words


def test_after_another_bake_at_the_same_heat_nothing_is_asked_of_the_oven() -> None:
    baking = Baking(formula(FINAL_PROOF, Stage("Bake", "bake", 960.0)), TWENTY)
    baking.say(intents.Begin())
    assert [each.kind for each in prompts(baking.state, OvenBefore(220.0, 600.0))] == ["due"]


@pytest.mark.parametrize(("hands_s", "mixing", "asked"), [
    (360.0, "machine", ["stop the mixer: mix and knead is over"]),
    (360.0, "hand", ["stop the machine: mix and knead is over"]),
    (None, "machine", []),
    (960.0, "machine", []),
])  # fmt: skip
def test_a_machine_that_works_on_alone_is_called_to_at_its_time_and_hands_that_stand_there_are_not(
    hands_s: float | None, mixing: Literal["hand", "machine"], asked: list[str]
) -> None:
    made = formula(Stage("Mix and knead", "hands", 960.0, hands_s=hands_s), FIRST_PROOF)
    baking = Baking(replace(made, dough=replace(made.dough, mixing=mixing)))
    baking.say(intents.Begin())
    baking.wait(minutes=15.9)
    assert ringing(baking.state, baking.now_s) == ()
    baking.wait(minutes=0.1)
    assert [each.words for each in ringing(baking.state, baking.now_s)] == asked
    baking.say(intents.Done())
    assert not any(each.over for each in ringing(baking.state, baking.now_s))


def test_what_a_reading_has_made_due_calls_at_once_and_sounds_after_a_minute() -> None:
    proof = replace(FINAL_PROOF, adjust=None, checks=(Check("rise", "end"),))
    baking = Baking(formula(Stage("Mix", "hands", 60.0), proof, Stage("Shape", "hands", 600.0)))
    baking.to_stage(1)
    baking.wait(minutes=50)
    baking.eye("ready")
    called = board([baking.state], baking.now)
    assert [(ring.prompt.words, ring.still) for ring in called.rings] == [("shape: 12 × 70 g", True)]
    assert called.after(None) == baking.state.id
    baking.wait(seconds=61)
    assert [ring.still for ring in board([baking.state], baking.now).rings] == [False]


@pytest.mark.parametrize(("source", "sounds"), [("probe", True), ("", False)])
def test_a_probe_that_talks_keeps_no_bell_still_for_nobody_need_stand_there(source: str, sounds: bool) -> None:  # noqa: FBT001 - a row of the table
    baking = Baking(WHOLE)
    baking.to_stage(5)
    baking.wait(minutes=16)
    baking.say(intents.Read("core temperature", "91", raw=91.0, sure=True, source=source))
    over = [each for each in board([baking.state], baking.now).rings if each.prompt.over]
    assert [not each.still for each in over] == [sounds]
