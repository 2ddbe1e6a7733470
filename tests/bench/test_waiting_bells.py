"""With all hands on other doughs a bell that can wait does: until they are free, or its dough forgives no more."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from proofbell.bake import intents
from proofbell.bake.asking.timer import Timer
from proofbell.bake.fermenting.forgiven import forgives
from proofbell.bake.intents import Intent
from proofbell.bake.prompts import rings
from proofbell.bake.state import BakeState
from proofbell.bench.agenda import ahead
from proofbell.bench.board import board
from proofbell.formula.model import Formula, Stage, StageKind
from tests.support.baking import formula
from tests.support.decided import at, bake

MIX, SHAPE, COOL = Stage("Mix", "hands", 600.0), Stage("Shape", "hands", 900.0), Stage("Cool", "cool", 1800.0)
BAKE = Stage("Bake", "bake", 1200.0)
PROOF = Stage("First proof", "proof", 1800.0, stretch=(1500.0, 2100.0))
FINAL = Stage("Final proof", "proof", 1800.0, stretch=(1500.0, 2100.0))
WHOLE = formula(MIX, PROOF, SHAPE, FINAL, BAKE, COOL)
PROOFING = (0.0, intents.Begin()), (600.0, intents.Done())


def kneaded(from_s: float, made: Stage = MIX) -> BakeState:
    """A dough that hands are on from so many seconds on."""
    return bake("J", formula(made, PROOF), (from_s, intents.Begin()))


def rung(*states: BakeState, at_s: float, people: int = 1) -> list[str]:
    return [one.letter for one in board(states, at(at_s), people=people).rings]


def test_the_end_of_a_proof_waits_for_hands_until_they_are_free_and_the_list_says_for_whom() -> None:
    proofing = bake("E", WHOLE, *PROOFING)
    there = board([proofing, kneaded(2300.0)], at(2460))
    assert [one.letter for one in there.rings] == []
    assert there.urgent == "J-bake", "what hands are on comes before what waits for them"
    listed = next(one for one in ahead([proofing, kneaded(2300.0)], there) if one.letter == "E")
    assert (listed.waits, listed.words) == (True, "shape: 12 × 70 g, after J")
    assert rung(proofing, kneaded(2300.0), at_s=2460, people=2) == ["E"]
    assert rung(proofing, kneaded(1700.0), at_s=2600) == ["E"], "J is five minutes past its time: nobody stands there"
    assert rung(proofing, at_s=2460) == ["E"]


@pytest.mark.parametrize(("most_s", "from_s"), [(2100.0, 300.0), (1860.0, 60.0), (1800.0, 0.0), (7200.0, 600.0)])
def test_it_rings_when_its_dough_forgives_no_more_or_ten_minutes_late(most_s: float, from_s: float) -> None:
    proofing = bake("E", formula(MIX, replace(PROOF, stretch=(1500.0, most_s)), SHAPE), *PROOFING)
    ends_s = 600 + 1800.0
    if from_s:
        assert rung(proofing, kneaded(2300.0), at_s=ends_s + from_s - 1) == []
    assert rung(proofing, kneaded(2300.0), at_s=ends_s + from_s) == ["E"]


def test_a_machine_that_works_alone_leaves_the_hands_free_and_its_end_waits_for_nobody() -> None:
    alone = kneaded(2300.0, replace(MIX, hands_s=120.0))
    assert rung(bake("E", WHOLE, *PROOFING), alone, at_s=2400) == []
    assert rung(bake("E", WHOLE, *PROOFING), alone, at_s=2430) == ["E"]
    assert rung(alone, bake("K", formula(MIX, PROOF), (2800.0, intents.Begin())), at_s=2900) == ["J"]


def test_a_proof_that_goes_into_the_oven_a_core_and_a_timer_ring_whatever_hands_do() -> None:
    final = bake("E", WHOLE, *PROOFING, (2400.0, intents.Done()), (3300.0, intents.Done()))
    assert rung(final, kneaded(5090.0), at_s=5100) == ["E", "E"], "the oven too"
    baking = bake("E", WHOLE, *PROOFING, *((s, intents.Done()) for s in (2400.0, 3300.0, 5100.0)))
    assert "E" in rung(baking, kneaded(6290.0), at_s=6300)
    timer = Timer("t1", "soak the raisins", 60.0, at(0))
    assert [one.letter for one in board([kneaded(0.0)], at(61), timers=[timer]).rings] == ["t"]


def test_a_planned_start_waits_for_hands() -> None:
    planned = bake("E", WHOLE, start_in_s=2400.0)
    assert rung(planned, kneaded(2300.0), at_s=2400) == []
    assert rung(planned, kneaded(2300.0), at_s=3000) == ["E"]


def test_what_its_baker_has_judged_to_be_over_waits_for_nobody() -> None:
    judged = bake("E", WHOLE, *PROOFING, (2390.0, intents.Read("rise", "ready", eye="ready")))
    assert rung(judged, kneaded(2300.0), at_s=2460) == ["E"]


HANDS = st.tuples(st.integers(1, 2), st.integers(0, 2))
"""Pairs of hands, and doughs that are being kneaded."""

MINUTES = st.integers(0, 30).map(lambda minutes: 60.0 * minutes)


@st.composite
def doughs(draw: st.DrawFn) -> Dough:
    """A formula of random lengths, and what is said to it: each stage is over so much after its time."""
    stages = []
    for stage in WHOLE.stages:
        time_s = 60.0 + draw(MINUTES)
        spare_s = draw(st.sampled_from((0.0, 120.0, 420.0, 1800.0)))
        stretch = (time_s, time_s + spare_s) if stage.stretch is not None and draw(st.booleans()) else None
        kind: StageKind = draw(st.sampled_from(("proof", "rest", "chill"))) if stage.kind == "proof" else stage.kind
        hands_s = time_s / 2 if kind == "hands" and draw(st.booleans()) else None
        stages.append(replace(stage, kind=kind, time_s=time_s, stretch=stretch, hands_s=hands_s))
    made, now_s = formula(*stages), draw(MINUTES)
    said: list[tuple[float, Intent]] = [(now_s, intents.Begin())]
    for stage in stages[:-1]:
        now_s += stage.time_s + draw(st.sampled_from((0.0, 60.0, 240.0, 900.0)))
        said.append((now_s, intents.Done()))
    return made, said


Dough = tuple[Formula, list[tuple[float, Intent]]]


def bench_at(benches: list[Dough], now_s: float) -> list[BakeState]:
    """All of them as they are at one second."""
    return [
        bake(letter, made, *(each for each in said if each[0] <= now_s), start_in_s=said[0][0])
        for letter, (made, said) in zip("ABCD", benches, strict=False)
    ]


@settings(max_examples=200)
@given(st.lists(doughs(), min_size=1, max_size=3), st.integers(0, 5), st.integers(0, 13), HANDS)
def test_no_bell_waits_longer_than_its_dough_forgives_and_what_always_rings_never_does(
    benches: list[Dough], which: int, late_min: int, hands: tuple[int, int]
) -> None:
    people, others = hands
    made, said = benches[0]
    now_s = said[which][0] + made.stages[which].time_s + 60.0 * late_min
    long = formula(replace(MIX, time_s=7200.0), PROOF)
    kneading = [bake(letter, long, (max(0.0, now_s - 60), intents.Begin())) for letter in "XY"[:others]]
    states, now = [*bench_at(benches, now_s), *kneading], at(now_s)
    there = board(states, now, people=people)
    rung_now = {(one.bake, one.prompt.id) for one in there.rings}
    working = [s for s in states if s.closed is None and any(s.stage(i).kind == "hands" for i in s.running)]
    wanted = [(state, prompt) for state in states for prompt in (there.of(state.id) or there.views[0]).wants]
    for state, prompt in wanted:
        if (state.id, prompt.id) in rung_now or not rings(state, prompt):
            continue
        if prompt.id.waits:
            continue  # There is no place in the oven yet, and nobody is called to a full one.
        assert len(working) >= people, "hands are free"
        late_s = state.now_s(now) - prompt.due_s
        assert late_s < 600
        if prompt.kind == "start":
            continue
        stage, follower = state.stage(prompt.stage), state.formula.followed_by(prompt.stage)
        assert prompt.over
        assert stage.kind in ("proof", "rest", "chill")
        assert follower is not None
        assert state.stage(follower).kind != "bake"
        stretch, begun_s = forgives(state, prompt.stage).stretch, state.stages[prompt.stage].begun_s or 0.0
        assert late_s < (300.0 if stretch is None else begun_s + stretch[1] - prompt.due_s)
