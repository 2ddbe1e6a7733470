"""Readings about a band's edge: said to be on it, and no reason to move a proof to and fro.

The demo rule: below 24 °C 85 min, below 26 °C 70 min, else 55 min. Its middle band is 2 K wide, so an edge of it is
half a degree to either side, or as little as the probe is good to.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofbell.bake import intents
from proofbell.bake.decisions.adjust import edge_words
from proofbell.bake.fermenting.rule_readings import band_held, edge_now, on_edge
from proofbell.bake.view import view
from proofbell.formula.model import Band, Bands
from proofbell.kitchen.model import Kitchen, Probe
from tests.support.baking import FIRST_PROOF, Baking, at_stage

assert isinstance(FIRST_PROOF.adjust, Bands)
RULE = FIRST_PROOF.adjust


def good_to_1_k(_value: float) -> float:
    return 1.0


@pytest.mark.parametrize(
    ("value", "told"),
    [
        (25.9, "On the edge: from 26 °C it is 55 min."),
        (26.0, "On the edge: below 26 °C it is 70 min."),
        (26.5, "On the edge: below 26 °C it is 70 min."),
        (24.2, "On the edge: below 24 °C it is 85 min."),
        (23.5, "On the edge: from 24 °C it is 70 min."),
        (25.0, None),
        (24.6, None),
        (27.0, None),
        (21.0, None),
    ],
)
def test_a_reading_near_an_edge_says_which_way_and_what_the_other_side_would_be(value: float, told: str | None) -> None:
    edge = on_edge(RULE, [value], good_to_1_k)
    assert (None if edge is None else edge_words(edge)) == told


def test_a_finer_probe_has_a_narrower_edge_and_a_table_of_one_edge_the_probes_own() -> None:
    assert on_edge(RULE, [25.7], lambda _value: 0.2) is None
    assert on_edge(RULE, [25.9], lambda _value: 0.2) is not None
    two = Bands("dough temperature", (Band(25.0, 3600.0), Band(None, 3000.0)))
    assert on_edge(two, [24.1], good_to_1_k) is not None
    same = Bands("dough temperature", (Band(25.0, 3600.0), Band(None, 3600.0)))
    assert on_edge(same, [25.0], good_to_1_k) is None


def lengths(*values: float, probe: Probe | None = None) -> list[float]:
    baking = at_stage(FIRST_PROOF, Kitchen(probe=probe or Probe()))
    found: list[float] = []
    for value in values:
        baking.wait(minutes=1)
        baking.read(value)
        found.append(baking.length_min)
    return found


def test_a_stream_of_readings_about_an_edge_does_not_move_the_proof_to_and_fro() -> None:
    assert lengths(25.9, 26.1, 25.8, 26.3, 25.7) == [70, 70, 70, 70, 70]
    assert lengths(26.0, 25.8, 26.2, 25.6) == [55, 55, 55, 55]


def test_what_is_clear_of_the_edge_moves_it_and_a_finer_probe_is_sooner_believed() -> None:
    assert lengths(25.9, 26.5, 25.6, 25.4) == [70, 55, 55, 70]
    assert lengths(25.9, 26.3, 26.4, probe=Probe(pt100="A")) == [70, 55, 55]
    assert lengths(27.0, 23.9) == [55, 85]


@given(st.lists(st.floats(20, 30), min_size=1, max_size=12))
def test_the_band_that_holds_is_never_further_from_a_reading_than_the_edge_is_wide(values: list[float]) -> None:
    held, value = band_held(RULE, values, good_to_1_k), values[-1]
    low, high = ((0.0, 24.0), (24.0, 26.0), (26.0, 99.0))[held]
    assert low - 0.5 <= value <= high + 0.5


def said(baking: Baking) -> str:
    return view(baking.state, baking.now_s).why


def test_it_is_said_beside_the_countdown_although_nothing_changed() -> None:
    baking = at_stage(FIRST_PROOF)
    assert baking.read(25.9) is None
    assert said(baking).startswith("Dough 25.9 °C, below 26 °C: stays 70 min by the formula")
    assert said(baking).endswith("On the edge: from 26 °C it is 55 min.")
    baking.read(26.1)
    assert said(baking).startswith("Dough 26.1 °C, below 26 °C as before: stays 70 min by the formula")
    edge = edge_now(baking.state, 1)
    assert edge is not None
    assert (edge.held, edge.time_s, edge.other_s) == (True, 70 * 60, 55 * 60)
    baking.read(25.0)
    assert said(baking) == ""


def test_a_corrected_reading_takes_its_edge_away() -> None:
    baking = at_stage(FIRST_PROOF)
    baking.read(26.0)
    assert "On the edge" in said(baking)
    baking.say(intents.Correct(baking.state.readings[-1].number, "28", 28.0))
    assert baking.length_min == 55
    assert said(baking).startswith("Dough 28.0 °C, 26 °C or warmer: 70 → 55 min by the formula")
    assert "On the edge" not in said(baking)
