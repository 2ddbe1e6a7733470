"""Learning finds the truth of simulated kitchens within its own range, never much farther off than knowing nothing."""

from __future__ import annotations

import json
import math
import random
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from proofbell.bake import intents
from proofbell.bake.events import Event
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import OvenTask
from proofbell.journal.learning.estimate import FEW, RANGE, Shown, estimate
from proofbell.journal.learning.evidence import BakeEvidence, evidence
from proofbell.journal.learning.fermenting import pace_shown
from proofbell.journal.learning.habits import Habits
from proofbell.journal.learning.kept import evidence_from, kept_evidence
from proofbell.journal.learning.quantities import QUANTITIES, Prior, QuantityName
from proofbell.journal.learning.recall import habits, recalled
from proofbell.journal.learning.use import use
from proofbell.journal.storage.store import Journal
from proofbell.kitchen.model import Kitchen
from tests.journal.generate import LOAF, Truth, simulated, simulated_bakes
from tests.support.making import KNOTS, MORNING_US
from tests.support.walking import FLAT, at, done

GUESTHOUSE = Kitchen(name="Guesthouse")


def test_without_bakes_the_estimate_is_the_prior() -> None:
    found = estimate(Prior(2.0, 1.5, 0.5, 0.8), 1.5, [])
    assert (found.value, found.bakes) == (2.0, 0)
    assert (found.low, found.high) == pytest.approx((2.0 - RANGE * 1.5, 2.0 + RANGE * 1.5))


@pytest.mark.parametrize("count", [5, 12, 40])
def test_with_tight_bakes_it_is_the_textbook_mean_of_prior_and_bakes(count: int) -> None:
    """Normal model with known scatter (Gelman et al., Bayesian Data Analysis): precisions add and weigh the means.

    Measuring's doubt, which is known, is made large beside the scatter, which is not.
    """
    values = [3.0 + (0.9 if n % 2 else -0.9) for n in range(count)]
    found = estimate(Prior(1.0, 2.0, 0.0, 0.01), 2.0, [Shown(value, value, 1.0) for value in values])
    precision = 1 / 2.0**2 + count / 1.0**2
    mean = (1.0 / 2.0**2 + sum(values)) / precision
    # Taking one bake in twenty for a slip makes the estimate a little less sure than the plain model.
    assert found.value == pytest.approx(mean, abs=0.06)
    assert found.deviation == pytest.approx(1 / math.sqrt(precision), rel=0.12)


@given(st.lists(st.floats(-1e3, 1e3), min_size=1, max_size=FEW - 1))
def test_a_few_bakes_of_any_kind_never_move_it_beyond_the_priors_own_range(values: list[float]) -> None:
    prior = Prior(1.0, 1.5, 0.5, 0.8)
    found = estimate(prior, 1.5, [Shown(value, value) for value in values])
    assert abs(found.value - 1.0) <= RANGE * 1.5 + 1e-9
    assert found.low <= found.value <= found.high


def kitchens_of(quantity: QuantityName, count: int, bakes: int, slips: float) -> tuple[float, float, int]:
    """How often the range held, how much nearer than the prior it came, how often it was worse by the prior's error."""
    rng = random.Random(f"{quantity}{bakes}")
    prior = QUANTITIES[quantity].prior
    held = worse = 0
    error = before = 0.0
    for _ in range(count):
        truth = rng.gauss(prior.middle, prior.kitchens)
        scatter = prior.bakes * math.exp(rng.gauss(0.0, 0.4))
        shown = []
        for _ in range(bakes):
            slip = rng.choice((-1, 1)) * 8 * prior.bakes if rng.random() < slips else 0.0
            value = rng.gauss(truth, scatter) + slip
            shown.append(Shown(value, value))
        found = estimate(prior, prior.kitchens, shown)
        held += found.low <= truth <= found.high
        error += abs(found.value - truth)
        before += abs(prior.middle - truth)
        worse += abs(found.value - truth) > abs(prior.middle - truth) + RANGE * prior.kitchens
    return held / count, error / before, worse


@pytest.mark.parametrize("quantity", ["rise by hand", "oven heat-up"])
@pytest.mark.parametrize("slips", [0.0, 0.08])
def test_from_twenty_bakes_the_range_holds_the_truth_nine_times_of_ten(quantity: QuantityName, slips: float) -> None:
    held, nearer, worse = kitchens_of(quantity, 50, 20, slips)
    assert held >= 0.9
    assert nearer < 0.3
    assert worse == 0


@pytest.mark.parametrize("bakes", [1, 3])
def test_from_a_few_bakes_it_is_nearer_than_the_prior_and_never_much_farther(bakes: int) -> None:
    held, nearer, worse = kitchens_of("hands", 100, bakes, 0.05)
    assert held >= 0.9
    assert nearer < 0.8
    assert worse == 0


def bounded(rng: random.Random, truth: float) -> Shown:
    """A dough looked at when it should be ready, and again each tenth later, until it is."""
    ready, short, look = rng.gauss(truth, 0.06), -math.inf, 1.0
    while math.log(look) < ready:
        short, look = math.log(look), look + 0.1
    return Shown(short, math.log(look), 0.03)


@pytest.mark.parametrize("truth", [-0.3, -0.15, -0.05, 0.0, 0.2])
def test_bakes_that_only_bound_the_value_hold_it_in_the_range(truth: float) -> None:
    """Ready at the first look says no more than: by then. The value then stays near what was thought before."""
    rng, prior = random.Random(5), QUANTITIES["pace"].prior
    found = [estimate(prior, prior.kitchens, [bounded(rng, truth) for _ in range(20)]) for _ in range(10)]
    assert sum(each.low <= truth <= each.high for each in found) >= 9
    assert all(abs(each.value - truth) <= abs(truth) + 0.06 for each in found)


TRUTHS = {
    "slow and cool": Truth(rise_k=0.2, pace=1.2, oven=1.4, hands=1.3, make_up_loss_percent=3.5, bake_loss_percent=13.0),
    "quick and warm": Truth(
        rise_k=2.6, pace=0.92, oven=0.8, hands=0.75, make_up_loss_percent=0.8, bake_loss_percent=9.0
    ),
    "with slips": Truth(rise_k=1.4, pace=1.1, drift=1.15, oven=1.1, hands=1.1, outliers=0.1),
}


@pytest.fixture(scope="module", params=TRUTHS)
def kitchen_and_bakes(request: pytest.FixtureRequest) -> tuple[Truth, list[BakeState]]:
    truth = TRUTHS[request.param]
    return truth, simulated_bakes(len(request.param), truth, 20)


def test_twenty_whole_bakes_bring_a_kitchens_habits_to_light(
    kitchen_and_bakes: tuple[Truth, list[BakeState]],
) -> None:
    truth, states = kitchen_and_bakes
    known = Habits([evidence(state) for state in states], GUESTHOUSE)
    wanted: dict[QuantityName, float] = {
        "rise by hand": truth.rise_k,
        "drift": 1 / truth.drift,
        "pace": truth.pace,
        "oven heat-up": 1500.0 * truth.oven,
        "hands": truth.hands,
        "make-up loss": truth.make_up_loss_percent,
        "bake loss": truth.bake_loss_percent,
    }
    found = {name: known.of(name, LOAF.name) for name in wanted}
    held = [name for name, value in wanted.items() if found[name].low <= value <= found[name].high]
    assert len(held) >= 6, {name: (wanted[name], found[name].words) for name in wanted}
    for name, learned in found.items():
        own_error = (learned.high - learned.low) / 2
        assert abs(learned.value - wanted[name]) <= abs(learned.prior - wanted[name]) + own_error
        assert learned.bakes == 20 or name == "drift"


def test_a_habit_in_use_does_not_teach_itself() -> None:
    """The same kitchen shows the same warming whatever the weigh-out reckoned with."""
    truth = Truth(rise_k=2.4)
    reckoned = [
        Habits([evidence(state) for state in simulated_bakes(4, truth, 15, rise_k=rise_k)], GUESTHOUSE).of(
            "rise by hand"
        )
        for rise_k in (0.9, 2.4)
    ]
    assert reckoned[0].value == pytest.approx(reckoned[1].value, abs=0.1)


def test_bakes_that_are_live_given_up_or_not_typical_teach_nothing() -> None:
    state = simulated_bakes(1, Truth(), 1)[0]
    assert evidence(state).items
    assert evidence(replace(state, typical=False)).items == ()
    assert evidence(replace(state, closed=None)).items == ()
    assert state.closed is not None
    assert evidence(replace(state, closed=replace(state.closed, outcome="given up"))).items == ()


def test_an_oven_that_was_only_turned_up_does_not_teach_how_long_it_takes_from_cold() -> None:
    state = simulated_bakes(1, Truth(), 1)[0]
    marks = tuple(
        replace(mark, task=OvenTask("oven on", 4, from_c=190.0)) if mark.task == OvenTask("oven on", 4) else mark
        for mark in state.marks
    )

    def heat_ups(of: BakeState) -> int:
        return sum(1 for item in evidence(of).items if item.quantity == "oven heat-up")

    assert heat_ups(state) == 1
    assert heat_ups(replace(state, marks=marks)) == 0


def test_another_kitchens_bakes_teach_nothing_here() -> None:
    shown = [evidence(state) for state in simulated_bakes(1, Truth(), 4)]
    assert Habits(shown, Kitchen(name="Boathouse")).of("oven heat-up").bakes == 0
    assert Habits(shown, GUESTHOUSE).of("oven heat-up").bakes == 4


def test_a_formula_without_bakes_is_thought_to_be_like_the_kitchens_others() -> None:
    shown = [evidence(state) for state in simulated_bakes(1, Truth(hands=1.6), 12)]
    known = Habits(shown, GUESTHOUSE)
    other = known.of("hands", KNOTS.name)
    assert other.bakes == 0
    assert other.value == pytest.approx(known.of("hands").value)
    assert other.high / other.low > known.of("hands", LOAF.name).high / known.of("hands", LOAF.name).low


def test_what_the_owner_says_is_where_learning_starts() -> None:
    kitchen = replace(GUESTHOUSE, rise_hand_k=3.0)
    assert Habits([], kitchen).of("rise by hand").value == 3.0
    assert Habits([], GUESTHOUSE).of("rise by hand").value == QUANTITIES["rise by hand"].prior.middle


def test_evidence_is_kept_and_read_back_whole() -> None:
    for state in simulated_bakes(2, Truth(pace=1.1), 3):
        found = evidence(state)
        assert evidence_from(kept_evidence(found)) == found
        json.loads(kept_evidence(found), parse_constant=pytest.fail)
    assert kept_evidence(BakeEvidence("a", "b", "c", ())) == ""


def store(path: Path, states: list[BakeState]) -> None:
    with Journal.open(path) as journal:
        for state in states:
            events: tuple[Event, ...] = state.events
            journal.append(events, 0)


def test_what_is_learned_is_used_and_every_number_says_where_it_comes_from(tmp_path: Path) -> None:
    path = tmp_path / "journal.db"
    store(path, simulated_bakes(3, Truth(rise_k=2.5, oven=1.5, hands=1.5, pace=1.2), 14))
    found = recalled(path, GUESTHOUSE, LOAF)
    assert found.rise_k == pytest.approx(2.5, abs=0.5)
    assert found.kitchen.oven.heat_up_s == pytest.approx(1500 * 1.5, rel=0.1)
    assert found.kitchen.pace == pytest.approx(1.2, abs=0.08)
    assert found.plan_formula.stages[0].time_s == pytest.approx(600 * 1.5, rel=0.2)
    assert found.plan_formula.stages[1].time_s == LOAF.stages[1].time_s
    assert any(words.startswith("warming by kneading by hand, from 14 bakes: 2.") for words in found.words)
    assert any("(Knead)" in words for words in found.words)
    assert len(found.words) == len(found.used)


def test_learning_switched_off_changes_nothing(tmp_path: Path) -> None:
    path = tmp_path / "journal.db"
    store(path, simulated_bakes(3, Truth(rise_k=2.5), 6))
    off = replace(GUESTHOUSE, learn=False)
    with Journal.open(path) as journal:
        assert habits(journal, off).of("rise by hand").bakes == 6
        found = use(habits(journal, off), off, LOAF)
    assert (found.kitchen, found.plan_formula, found.rise_k, found.words) == (off, LOAF, None, ())
    assert recalled(path, off, LOAF) == found


def test_without_a_journal_or_with_a_broken_one_the_weigh_out_goes_on(tmp_path: Path) -> None:
    (tmp_path / "broken.db").write_text("no database at all, but a long enough text to be taken for one " * 20)
    for name in ("missing.db", "broken.db"):
        found = recalled(tmp_path / name, GUESTHOUSE, LOAF)
        assert (found.kitchen, found.words) == (GUESTHOUSE, ())
    assert not (tmp_path / "missing.db").exists()


def test_fewer_than_three_bakes_are_shown_but_not_used(tmp_path: Path) -> None:
    path = tmp_path / "journal.db"
    store(path, simulated_bakes(3, Truth(rise_k=2.5), 2))
    with Journal.open(path) as journal:
        assert habits(journal, GUESTHOUSE).of("rise by hand").bakes == 2
    assert recalled(path, GUESTHOUSE, LOAF).words == ()


@settings(max_examples=10)
@given(st.integers(0, 9999), st.floats(0.7, 1.5), st.floats(0.6, 1.8))
def test_no_kitchen_makes_a_plan_outside_what_the_dough_forgives(seed: int, pace: float, hands: float) -> None:
    shown = [evidence(state) for state in simulated_bakes(seed, Truth(pace=pace, hands=hands), 4)]
    found = use(Habits(shown, GUESTHOUSE), GUESTHOUSE, LOAF)
    for stage in found.plan_formula.stages:
        assert stage.time_s > 0
        assert stage.stretch is None or stage.stretch[0] <= stage.time_s <= stage.stretch[1]
    assert 0.25 < found.kitchen.pace < 4
    assert 0 < found.kitchen.drift <= 4


def test_a_kitchens_own_pace_changes_a_proof_by_the_rate_and_is_named_in_its_reason() -> None:
    """A dough that must do a fifth more needs about a fifth longer in a room that it is as warm as."""
    truth, room = Truth(rise_k=1.5), replace(GUESTHOUSE, room_c=25.0)
    plain, paced = (
        simulated(random.Random(1), truth, bake="one", start=Stamp(MORNING_US, 0, "b"), kitchen=kitchen, rise_k=1.5)
        for kitchen in (room, replace(room, pace=1.2))
    )
    first = [next(a.body for a in state.stages[1].adjustments if a.body.by == "rate") for state in (plain, paced)]
    assert first[0].rate_s is not None
    assert first[1].rate_s == pytest.approx(first[0].rate_s * 1.2, abs=180)
    assert "what past bakes here took to be ready" in first[1].reason
    assert "past bakes" not in first[0].reason


def test_a_proof_that_the_cold_had_helped_along_tells_nothing_of_the_pace() -> None:
    def shown(read_c: float | None) -> int:
        baking = at(FLAT, "First proof")
        while baking.state.stage(baking.state.current or 0).kind != "bake":
            stage = baking.state.stage(baking.state.current or 0)
            baking.wait(minutes=baking.length_min)
            if read_c is not None and stage.name == "First proof":
                baking.read(read_c)
            if stage.kind == "proof":
                baking.say(intents.Read("rise", "ready", eye="ready"))
            done(baking)
        return len(list(pace_shown(baking.state)))

    assert shown(None) == 2
    assert shown(30.0) == 1
