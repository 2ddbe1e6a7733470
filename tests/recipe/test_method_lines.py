"""Sixteen lines of a method against readings by hand (data/set-a-lines.json), and lengths and heats alone."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from proofbell.recipe.assembly import read_recipe
from proofbell.recipe.model import Step
from proofbell.recipe.reading.lengths import heats_in, lengths_in
from proofbell.recipe.reading.numbers import plain
from proofbell.recipe.reading.steps import read_steps

DATA = Path(__file__).parent / "data"
LINES: list[dict[str, Any]] = json.loads((DATA / "set-a-lines.json").read_text(encoding="utf-8"))["method_lines"]
KINDS = {"mix": "hands", "knead": "hands", "divide": "hands", "shape": "hands", "finish": "hands", "fold": "hands"}
OVEN_K = 2.5
"""Gas 7 is 218 °C by its scale and 220 °C on most charts."""


def main_step(steps: list[Step]) -> Step:
    """The step that takes time, else the first."""
    return next((step for step in steps if step.seconds), steps[0])


@pytest.mark.parametrize("case", LINES, ids=lambda case: case["line"])
def test_a_line_of_the_method_is_read_as_by_hand(case: dict[str, Any]) -> None:
    expect = case["expect"]
    steps, unread = read_steps(case["line"], 3)
    step = main_step(steps)
    assert unread == []
    assert KINDS.get(step.act, step.act) == expect["kind"]
    low, high = step.seconds or (None, None)
    assert (low / 60 if low else None) == expect["minutes"]
    assert (high / 60 if high else None) == expect["minutes_to"]
    if expect["oven_or_place_c"] is not None:
        heats = [heat.oven_c for heat, _, _ in heats_in(case["line"])]
        place = [step.place_c] if step.place_c is not None else heats
        assert place == [pytest.approx(expect["oven_or_place_c"], abs=OVEN_K)]
    if expect["until"]:
        assert step.until == expect["until"]


def test_two_heats_of_a_bake_are_two_phases() -> None:
    (step,), _ = read_steps("Bake for 15 min, then turn down to 190C and bake 20 min more.", 1)
    assert [(phase.oven_c, phase.seconds) for phase in step.phases] == [(None, (900.0, None)), (190.0, (1200.0, None))]


def test_steam_and_lid_and_core_are_read() -> None:
    (step,), _ = read_steps("Bake 245C with lid 20 min, 230C without lid 25 min; 205F in the middle.", 1)
    assert [phase.steam for phase in step.phases] == [True, False]
    assert step.core_c == pytest.approx(96.1, abs=0.05)
    assert [phase.oven_c for phase in step.phases] == [245.0, 230.0]


def test_rests_and_folds_that_are_repeated() -> None:
    steps, _ = read_steps("Let the dough rest 20 min, then fold; repeat twice more.", 1)
    assert [(step.act, step.times) for step in steps] == [("rest", 1), ("fold", 3)]


@pytest.mark.parametrize(
    ("text", "minutes"),
    [
        ("an hour and a half", (90, None)),
        ("1 hour 30 mins", (90, None)),
        ("1 h 30", (90, None)),
        ("45 mins to 1 hour", (45, 60)),
        ("half an hour", (30, None)),
        ("1–1½ hours", (60, 90)),
        ("a good ten minutes", (10, None)),
        ("a couple of hours", (120, None)),
    ],
)
def test_lengths(text: str, minutes: tuple[float, float | None]) -> None:
    ((seconds, _, _),) = lengths_in(plain(text))
    assert (seconds[0] / 60, seconds[1] / 60 if seconds[1] else None) == minutes


@pytest.mark.parametrize(
    ("text", "degrees"),
    [
        ("200C/180C fan/gas 6", [200]),
        ("180C fan (gas 6)", [200]),
        ("fan 180C", [200]),
        ("gas mark 8", [230]),
        ("450 degrees F", [232.2]),
        ("500°", [260]),
        ("230 °C, falling to 190 °C", [230, 190]),
        ("200°C (180°C fan-forced)", [200]),
        ("a dough of 25C", []),
        ("230°C (fan 210°C)", [230]),
        ("230C/210C fan/gas 8", [230]),
        ("230 °C (210 °C fan)", [230]),
        ("230°C/fan 210°C/gas 8", [230]),
        ("210 fan/230C/gas 8", [230]),
        ("gas mark 8 (230°C, fan: 210°C)", [230]),
        ("210°C fan (230°C conventional)", [230]),
        ("230°C conventional, 210°C fan", [230]),
        ("230C (210C in a fan oven)", [230]),
        ("fan oven 210°C, normal oven 230°C", [230]),
        ("230 °C, or 210 °C with a fan", [230]),
        ("446°F (fan 410°F)", [230]),
        ("210°C (fan)", [230]),
        ("220°C fan, then 200°C fan", [240, 220]),
    ],
)
def test_heats(text: str, degrees: list[float]) -> None:
    """Gas 8 is 450 °F: the scale of British gas ovens. A fan is set 20 °C lower (BBC Good Food)."""
    assert [heat.oven_c for heat, _, _ in heats_in(text)] == [pytest.approx(each, abs=0.1) for each in degrees]


def test_both_heats_of_a_bake_are_read_alike_whichever_way_the_fan_is_told() -> None:
    text = """Quay loaf
500 g flour
320 g water
9 g salt
7 g instant yeast
Knead 10 min. Prove 1 hour. Shape. Prove 40 min. Heat the oven to 230°C (fan 210°C).
Bake 10 minutes, then turn down to 200 °C (180 °C fan) and bake another 25 minutes.
"""
    draft = read_recipe(text)
    bake = next(stage for stage in draft.stages if stage.kind == "bake")
    assert (draft.oven_c, draft.oven_said, [phase.oven_c for phase in bake.phases]) == (230.0, "", [230.0, 200.0])
    assert not any("oven" in guess.field for guess in draft.guesses)
