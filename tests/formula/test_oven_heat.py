"""A heat as a card has it: for a fan oven, as a gas mark, or without a word for a conventional one."""

from __future__ import annotations

import jsonschema
import pytest

from proofbell.dough.oven import setting
from proofbell.errors import Failure
from proofbell.formula.read import load, schema
from tests.support.stage import FORMULAS

# Oven manual of Baumatic BO788, temperature chart: gas mark and °C.
CHART = [("1/4", 110), ("½", 130), ("1", 140), ("2", 160), ("3", 170), ("4", 180), ("5", 190), ("6", 200), ("7", 220),
         ("8", 230), ("9", 240)]  # fmt: skip


def heats(written: str) -> list[float | None]:
    """The heats of a card of one heat and of one of two that have this instead of their own."""
    one = (FORMULAS / "harbour-knots.toml").read_text(encoding="utf-8").replace('"190 °C"', f'"{written}"')
    two = (FORMULAS / "lamplighter-loaf.toml").read_text(encoding="utf-8").replace('"215 °C"', f'"{written}"')
    bake = next(stage for stage in load(two.encode(), "two.toml").stages if stage.phases)
    return [load(one.encode(), "one.toml").oven.temperature_c, bake.phases[1].oven_c]


@pytest.mark.parametrize(
    ("written", "conventional_c"),
    [("180 °C fan", 200.0), ("350 °F", 176.67), ("320 °F fan", 180.0), ("gas 6", 200.0), ("gas mark 10", 260.0)],
)
def test_a_heat_is_kept_as_that_of_a_conventional_oven(written: str, conventional_c: float) -> None:
    # 20 °C less with a fan: BBC Good Food's conversion.
    assert heats(written) == pytest.approx([conventional_c, conventional_c], abs=0.01)


@pytest.mark.parametrize(("mark", "chart_c"), CHART)
def test_a_gas_mark_is_near_a_published_chart_and_comes_back_in_a_gas_kitchen(mark: str, chart_c: float) -> None:
    heat_c = heats(f"gas {mark}")[0]
    assert heat_c == pytest.approx(chart_c, abs=10)
    assert heat_c is not None
    assert setting(heat_c, kind="gas") == f"gas mark {mark.replace('1/4', '¼')}"


@pytest.mark.parametrize("written", ["gas 11", "gas", "180 fan", "fan", "180 °C turbo", "600 °C fan"])
def test_what_is_no_heat_is_refused_at_its_line(written: str) -> None:
    with pytest.raises(Failure) as failure:
        heats(written)
    (fault,) = failure.value.faults
    assert fault.line
    assert fault.remedy


def test_the_schema_knows_it() -> None:
    part = jsonschema.Draft202012Validator(schema()["properties"]["oven"]["properties"]["temperature"])
    assert all(part.is_valid(written) for written in ("180 °C fan", "180 °C", "gas 6", "gas mark ½"))
    assert not any(part.is_valid(written) for written in ("gas 11", "180", "180 fan", "180 °C turbo"))
