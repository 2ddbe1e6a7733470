"""The oven's row and the list of what comes up: from when it was told to be on, and what is done inside a bake."""

from __future__ import annotations

from dataclasses import replace

import pytest

from proofbell.bake import intents
from proofbell.bake.prompts import prompts
from proofbell.bake.tasks import OvenTask
from proofbell.bench.agenda import ahead
from proofbell.bench.board import board
from tests.support.bakes import house
from tests.support.decided import TO_FINAL_PROOF, at, bake

# Harbour knots: the final proof runs from 6360 s to 9360 s, then 16 min at 190 °C, the tray turned after 9.
# From 21 to 190 °C at 25 min for 180 K takes 1408 s.
BAKE, DUE_S, HEAT_UP_S = 5, 9360.0, 169 / 180 * 1500
ON, HOT = (intents.Task(OvenTask(kind, BAKE)) for kind in ("oven on", "oven hot"))


@pytest.mark.parametrize(
    ("told", "heating", "hot"),
    [
        ((), (DUE_S - HEAT_UP_S, DUE_S), []),
        (((6400.0, ON),), (6400.0, 6400 + HEAT_UP_S), [(6400 + HEAT_UP_S, DUE_S)]),
        (((6400.0, ON), (7500.0, HOT)), (6400.0, 7500.0), [(7500.0, DUE_S)]),
    ],
)
def test_the_oven_heats_from_when_it_was_told_to_be_on_and_is_hot_until_the_bread_goes_in(
    told: tuple[tuple[float, intents.Intent], ...], heating: tuple[float, float], hot: list[tuple[float, float]]
) -> None:
    row = board([bake("A", "harbour-knots", *TO_FINAL_PROOF, *told)], at(7600)).oven

    def spans(use: str) -> list[tuple[float, float]]:
        return [(one.begin_us / 1e6, one.end_us / 1e6) for one in row if one.use == use]

    assert spans("heating") == [pytest.approx(heating)]
    assert spans("hot") == [pytest.approx(span) for span in hot]


def test_the_tray_the_heats_and_the_core_of_a_bake_to_come_are_listed_at_their_times() -> None:
    loaf = bake("A", "lamplighter-loaf", (0, intents.Begin()))
    index = next(i for i in range(len(loaf.stages)) if loaf.stage(i).kind == "bake")
    there = board([loaf], at(60))
    begin_s, end_s = next((one.begin_s, one.end_s) for one in there.views[0].spans if one.stage == index)
    listed = [(round(one.at_us / 1e6 - begin_s), one.words) for one in ahead([loaf], there) if one.inside]
    first_s = loaf.stage(index).phases[0].time_s

    assert (round(first_s), "oven to 215 °C, let the steam out by door or vent: stand back, it burns") in listed
    assert listed[-1] == (round(end_s - begin_s), "read the core")
    out = [one.words for one in ahead([loaf], there) if one.at_us == round(end_s * 1e6)]
    assert out == ["read the core", "take it out, then cool"]


def test_nothing_is_asked_for_a_tray_as_it_comes_out() -> None:
    knots = house("harbour-knots")
    stages = list(knots.stages)
    for turn_s, asked in ((540.0, True), (920.0, False)):
        stages[BAKE] = replace(stages[BAKE], turn_s=turn_s)
        state = bake("A", replace(knots, stages=tuple(stages)), *TO_FINAL_PROOF, (DUE_S, intents.Done()))

        assert ("turn" in [one.kind for one in prompts(state, now_s=DUE_S + 10)]) == asked
