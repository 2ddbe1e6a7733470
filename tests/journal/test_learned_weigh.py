"""What past bakes showed changes the next weigh-out and plan, which say so."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from pathlib import Path

import pytest

from proofbell.bake import intents
from proofbell.bake.fermenting.terms import modelled_tau_s
from proofbell.bake.state import BakeState
from proofbell.bake.weigh.weigh_out import weigh_out
from proofbell.cli import main
from proofbell.formula.model import Stage
from proofbell.formula.read import load
from proofbell.journal.learning.estimate import Shown
from proofbell.journal.learning.evidence import BakeEvidence, Evidence, evidence
from proofbell.journal.learning.habits import Habits
from proofbell.journal.learning.kept import evidence_from
from proofbell.journal.learning.use import use
from proofbell.journal.storage.store import Journal
from proofbell.kitchen.model import Kitchen
from tests.journal.generate import LOAF, Truth, simulated_bakes
from tests.support.baking import Baking
from tests.support.baking import formula as of_stages

FORMULA = """
name = "Pier loaf"
batch = { dough = "1560 g", loss = "2 %" }
dough = { temperature = "25 °C", mixing = "hand" }
ingredients = [
  { name = "strong white flour", percent = 100, kind = "flour" },
  { name = "water", percent = 66, kind = "water", heat = true },
]
stages = [{ name = "Knead", kind = "hands", time = "10 min" }, { name = "Cool", kind = "cool", time = "1 h" }]
"""

Out = pytest.CaptureFixture[str]


def liquid_c(formula: Path, capsys: Out) -> tuple[float, list[str]]:
    assert main(["weigh", str(formula), "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    return found["liquid"]["temperature_c"], found.get("learned", [])


def test_a_kitchen_that_warms_its_doughs_more_pours_cooler_water(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Out
) -> None:
    formula, kitchen = tmp_path / "loaf.toml", tmp_path / "kitchen.toml"
    formula.write_text(FORMULA, encoding="utf-8")
    kitchen.write_text('name = "Guesthouse"\n')
    monkeypatch.setenv("PROOFBELL_KITCHEN", str(kitchen))
    monkeypatch.setenv("PROOFBELL_JOURNAL", str(tmp_path / "journal.db"))
    before_c, words = liquid_c(formula, capsys)
    assert words == []
    with Journal.open(tmp_path / "journal.db") as journal:
        for state in simulated_bakes(9, Truth(rise_k=3.0), 12):
            journal.append(state.events, 0)
    after_c, words = liquid_c(formula, capsys)
    # About 1 °C more from kneading; water holds about six tenths of the dough's heat.
    assert before_c - after_c == pytest.approx(1.0 / 0.6, abs=0.7)
    assert words[0].startswith("warming by kneading by hand, from 12 bakes: ")
    assert main(["weigh", str(formula)]) == 0
    assert "Learned from past bakes, and used here" in capsys.readouterr().out
    kitchen.write_text('name = "Guesthouse"\nlearn = false\n')
    assert liquid_c(formula, capsys) == (before_c, [])


@pytest.mark.parametrize("rise_k", [0.5, 3.3])
def test_three_bakes_settle_how_much_kneading_by_hand_warms(rise_k: float) -> None:
    shown = [
        BakeEvidence(f"b{n}", "Guesthouse", "Pier loaf", (Evidence("rise by hand", "", Shown(k, k)),))
        for n, k in enumerate((rise_k - 0.2, rise_k + 0.3, rise_k - 0.1))
    ]
    kitchen, formula = Kitchen(name="Guesthouse"), load(FORMULA.encode(), "loaf")
    known = use(Habits(shown, kitchen), kitchen, formula)
    assert known.rise_k == pytest.approx(rise_k, abs=0.3)
    found = weigh_out(formula, kitchen, learned_rise_k=known.rise_k, learned_rise_range_k=known.rise_range_k).liquid
    usual = weigh_out(formula, kitchen).liquid
    assert found is not None
    assert usual is not None
    assert found.range_c is not None
    assert usual.range_c is not None
    # And the range is no wider than nobody's reading left it.
    assert found.range_c[1] - found.range_c[0] < usual.range_c[1] - usual.range_c[0]
    assert use(Habits(shown[:2], kitchen), kitchen, formula).rise_k is None


def planned_s(formula: Path, capsys: Out) -> tuple[int, list[str]]:
    assert main(["plan", str(formula), "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    stage = found["bakes"][0]["stages"][0]
    assert stage["nominal_seconds"] == 600
    return stage["seconds"], found.get("learned", [])


def test_hands_that_take_longer_are_given_longer_in_the_plan(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Out
) -> None:
    formula, kitchen = tmp_path / "loaf.toml", tmp_path / "kitchen.toml"
    formula.write_text(FORMULA, encoding="utf-8")
    kitchen.write_text('name = "Guesthouse"\n')
    monkeypatch.setenv("PROOFBELL_KITCHEN", str(kitchen))
    monkeypatch.setenv("PROOFBELL_JOURNAL", str(tmp_path / "journal.db"))
    assert planned_s(formula, capsys) == (600, [])
    with Journal.open(tmp_path / "journal.db") as journal:
        for state in simulated_bakes(9, Truth(hands=1.5), 12):
            journal.append(state.events, 0)
    seconds, words = planned_s(formula, capsys)
    assert seconds == pytest.approx(900, abs=120)
    assert any(words_.startswith("hands stages (Knead), from 12 bakes: 1.") for words_ in words)
    assert main(["plan", str(formula)]) == 0
    assert "Learned from past bakes, and used here" in capsys.readouterr().out


def test_the_formula_of_the_test_is_the_generators() -> None:
    assert f'name = "{LOAF.name}"' in FORMULA


def slow_in_the_cold() -> BakeState:
    """A night at 4 °C in which the dough cools half as fast as the model says, closed as finished."""
    night = Stage("Overnight", "chill", 12 * 3600.0, place_c=4.0)
    baking = Baking(of_stages(Stage("Mix", "hands", 600.0), night))
    baking.to_stage(1)
    baking.read(26.0)
    tau_s = modelled_tau_s(baking.state, 1)
    baking.wait(minutes=tau_s / 60)
    baking.read(4.0 + 22.0 * math.exp(-0.5))
    baking.wait(minutes=600)
    baking.say(intents.Done())
    assert baking.state.closed is not None
    return baking.state


def test_the_fridge_is_learned_apart_from_the_room() -> None:
    shown = evidence(slow_in_the_cold())
    drifts = {item.quantity: item.shown.low for item in shown.items if item.quantity.startswith("drift")}
    assert drifts == {"drift in the cold": pytest.approx(0.5, abs=0.01)}
    bakes = [replace(shown, bake=f"b{n}") for n in range(4)]
    kitchen = Kitchen(name=shown.kitchen)
    here = use(Habits(bakes, kitchen), kitchen, slow_in_the_cold().formula).kitchen
    assert here.drift_at(4.0) > 1.3
    assert here.drift_at(22.0) == 1.0


def test_what_was_learned_of_both_at_once_is_read_on() -> None:
    old = evidence_from('["b1", "Guesthouse", "Pier loaf", [["drift", "", 0.8, 0.8, 0.1]]]')
    assert [item.quantity for item in old.items] == ["drift"]
    # A bake that was opened with one figure for both keeps it in both.
    kept = Kitchen(drift=1.4)
    assert (kept.drift_at(4.0), kept.drift_at(22.0)) == (1.4, 1.4)
    apart = Kitchen(drift=1.4, drift_cold=0.9)
    assert (apart.drift_at(4.0), apart.drift_at(22.0)) == (0.9, 1.4)
