"""A bake on paper goes through the same decisions as a real one, with every check answered on target."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings

from proofbell.bake import events as kinds
from proofbell.bake import intents
from proofbell.bake.rehearse import Scripted, ScriptedSaid, on_target, rehearse
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import OvenTask
from proofbell.errors import Failure
from proofbell.formula.model import Band, Bands, Check, Formula, Rate, RiseWish, Stage
from proofbell.formula.read import load
from proofbell.kitchen.model import Kitchen, Probe
from proofbell.places import house_formulas
from tests.support.bakes import house
from tests.support.baking import BATCH, FINAL_PROOF, FIRST_PROOF, KITCHENS, WHOLE, at_stage, formula, formulas
from tests.support.walking import KNOTS

START = Stamp(0, 0, "rehearsal")


def run(made: Formula, kitchen: Kitchen | None = None, **more: tuple[Scripted, ...]) -> BakeState:
    return rehearse(made, BATCH, kitchen or Kitchen(), start=START, version="0", readings=more.get("readings", ()))


@settings(max_examples=60)
@given(formulas(), KITCHENS)
def test_every_formula_can_be_rehearsed_to_its_end_with_nothing_missed(made: Formula, kitchen: Kitchen) -> None:
    state = run(made, kitchen)
    assert state.closed is not None
    assert state.closed.outcome == "finished"
    # A check on the way of a stage that a reading made shorter never comes.
    for index, stage in enumerate(made.stages):
        asked, on_the_way = ({c.read for c in stage.checks if c.when == when} for when in ("start", "into"))
        asked -= on_the_way
        assert asked.isdisjoint(state.stages[index].missed)


@pytest.mark.parametrize("name", sorted(house_formulas()))
def test_the_house_formulas_run_through_with_every_reading_taken(name: str) -> None:
    path = house_formulas()[name]
    made = load(path.read_bytes(), path.name)
    state = run(made)
    assert {run.missed for run in state.stages} == {()}
    assert all(run.ended_s is not None for run in state.stages)


def test_the_oven_is_on_in_time_and_the_tray_is_turned() -> None:
    state = run(WHOLE)
    tasks = [(event.stamp.boot_us / 1e6, event.body) for event in state.events]
    done = {body.task: at_s for at_s, body in tasks if isinstance(body, kinds.TaskDone)}
    bake_s = state.stages[5].begun_s
    assert bake_s is not None
    assert done[OvenTask("oven hot", 5)] == pytest.approx(bake_s)
    assert done[OvenTask("turn", 5)] == pytest.approx(bake_s + 540)


def test_the_probes_own_error_is_not_rehearsed() -> None:
    state = run(
        WHOLE, Kitchen(probe=Probe(offset_k=3.0)), readings=(Scripted("First proof", "dough temperature", "25"),)
    )
    assert state.readings[0].value == 25.0


@pytest.mark.parametrize(
    ("stage", "check", "value"),
    [
        (FIRST_PROOF, Check("dough temperature", "start", expect=(22.0, 23.0)), 22.5),
        (FIRST_PROOF, Check("dough temperature", "start"), 25.0),
        (FINAL_PROOF, Check("dough temperature", "start"), 25.0),
        (FINAL_PROOF, Check("rise", "end"), 60.0),
        (replace(FINAL_PROOF, adjust=Rate(17.0)), Check("dough temperature", "start"), 17.0),
        (Stage("Bake", "bake", 960.0, core=(88.0, 94.0)), Check("core temperature", "end"), 91.0),
        (Stage("Bake", "bake", 960.0), Check("core temperature", "end"), 95.5),
        (Stage("Shape", "hands", 960.0), Check("weight", "end"), 840.0),
        (Stage("Rest", "rest", 960.0), Check("room temperature", "start"), 21.0),
        (Stage("Rest", "rest", 960.0), Check("dough temperature", "start"), 25.0),
    ],
)
def test_on_target_is_the_middle_of_what_is_expected_or_what_the_rule_was_written_for(
    stage: Stage, check: Check, value: float
) -> None:
    assert on_target(at_stage(stage).state, 1, check) == pytest.approx(value)


@pytest.mark.parametrize(
    ("bands", "inside"),
    [
        ((Band(24.0, 4200.0), Band(None, 3300.0)), (-100.0, 24.0)),
        ((Band(24.0, 5100.0), Band(None, 4200.0)), (24.0, 100.0)),
        ((Band(20.0, 5100.0), Band(22.0, 4200.0), Band(None, 3300.0)), (20.0, 22.0)),
    ],
)
def test_on_target_lies_in_the_band_of_the_nominal_time(bands: tuple[Band, ...], inside: tuple[float, float]) -> None:
    stage = replace(
        FIRST_PROOF, adjust=Bands("dough temperature", bands), checks=(Check("dough temperature", "start"),)
    )
    low, high = inside
    assert low <= on_target(at_stage(stage).state, 1, stage.checks[0]) < high
    assert run(formula(stage)).stages[0].adjustments == ()


def test_a_rise_that_stays_short_ends_all_the_same() -> None:
    wish = replace(FINAL_PROOF, stretch=None, rise=RiseWish((50.0, 70.0), 480.0, 2), checks=(Check("rise", "end"),))
    never = tuple(Scripted("Final proof", "rise", "not yet") for _ in range(6))
    state = run(formula(wish), readings=never)
    assert state.stages[0].length_s == (50 + 2 * 8) * 60
    assert len(state.readings) == 6


def test_a_stage_that_does_not_exist_is_refused_with_those_that_do() -> None:
    with pytest.raises(Failure) as refused:
        run(WHOLE, readings=(Scripted("Third proof", "rise", "50"),))
    assert "Final proof" in refused.value.remedy


def test_a_dough_put_into_the_fridge_is_out_of_it_and_warm_before_it_is_baked() -> None:
    fridge = ScriptedSaid("Final proof", intents.Move("fridge"))
    state = rehearse(house(KNOTS), BATCH, Kitchen(), start=START, version="0", said=(fridge,))
    proof = state.stages[[stage.name for stage in state.formula.stages].index("Final proof")]
    assert [each.place for each in proof.stood] == ["fridge", "room"]
    assert proof.ended_s is not None
    assert proof.ended_s > proof.stood[-1].at_s + 600


@pytest.mark.parametrize("room_c", [3.0, 8.0, 10.0, 13.0])
def test_in_a_room_that_warms_no_dough_a_rehearsal_ends_as_well(room_c: float) -> None:
    """A dough out of the cold is put into the room once, however long that takes to warm it."""
    cold = replace(FINAL_PROOF, place_c=4.0, time_s=12 * 3600.0, checks=())
    state = run(formula(cold, *WHOLE.stages[-2:]), Kitchen(room_c=room_c))
    assert state.closed is not None
    assert sum(len(each.stood) for each in state.stages) <= 2
