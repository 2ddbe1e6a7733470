"""The formulas that come with the program: no fault, no oddity, and inside what is published for such breads."""

import re

import pytest
import tomli

from proofbell.bake.fermenting.terms import raised_by
from proofbell.formula import ingredients, readings, stages
from proofbell.formula.kinds import Kind
from proofbell.formula.model import Bands, Formula, Rate, hydration_percent
from proofbell.formula.read import FORMULA, load, read_formula
from proofbell.formula.tables import Table, Tables
from proofbell.kitchen.fields import KITCHEN
from proofbell.kitchen.file import read_kitchen
from proofbell.places import house_formulas, reference_page
from proofbell.quantities import Dimension, spellings

HOUSE = house_formulas()
PAGE = reference_page().read_text(encoding="utf-8")


def house(name: str) -> Formula:
    """Read one of the house formulas."""
    return load(HOUSE[name].read_bytes(), name)


def test_there_are_twelve_and_they_show_the_whole_range() -> None:
    formulas = {name: house(name) for name in HOUSE}
    assert len(formulas) == 12
    assert {each.style for each in formulas.values()} == {"lean", "enriched", "rye", "other"}
    assert {each.dough.mixing for each in formulas.values()} == {"hand", "machine"}
    assert {line.form for each in formulas.values() for line in each.ingredients if line.kind == "yeast"} >= {
        "fresh",
        "instant",
    }
    assert any(raised_by(each, len(each.stages) - 1) == ("sourdough", False) for each in formulas.values())
    assert any(each.batch.tin_ml for each in formulas.values())
    every_stage = [stage for each in formulas.values() for stage in each.stages]
    assert any(stage.kind == "chill" and stage.time_s >= 8 * 3600 for stage in every_stage)
    assert any(item.kind == "preferment" for each in formulas.values() for item in each.ingredients)
    ways = {type(stage.adjust) for stage in every_stage}
    assert {Bands, Rate} <= ways
    assert any(stage.chill_instead for stage in every_stage)
    assert any(stage.phases for stage in every_stage)


@pytest.mark.parametrize("name", HOUSE)
def test_a_house_formula_has_neither_fault_nor_oddity(name: str) -> None:
    formula, faults = read_formula(HOUSE[name].read_bytes(), name)
    assert formula is not None
    assert faults == ()


@pytest.mark.parametrize("name", HOUSE)
def test_a_house_formula_is_sound_by_published_ranges(name: str) -> None:
    """The published ranges.

    Salt 1 to 2 % of the flour: Wihlfahrt, A Treatise on Baking. Crumb 93–98 °C lean and 85–91 °C enriched: A. Cohn,
    Bread-Bakers mailing list 2008; others go to 96 °C for rich doughs, so the enriched band may reach 94 °C. Starch of
    wheat has set by 80 to 90 °C: Hamelman, Bread. Doughs are normally held at 25 to 28 °C, usual practice is 23 to
    30 °C: bake magazine, The science of fermentation, 2015.
    """
    formula = house(name)
    salt = sum(each.percent for each in formula.ingredients if each.kind == "salt")
    assert 1.0 <= salt <= 2.0
    assert formula.dough.temperature_c is not None
    assert 23 <= formula.dough.temperature_c <= 30
    low, high = (85, 94) if formula.style == "enriched" else (93, 98)
    for stage in formula.stages:
        if stage.kind == "bake":
            assert (stage.core is None) == (name == "lantern-pittas")  # too thin for a probe
            assert stage.core is None or low <= stage.core[0] < stage.core[1] <= high
        if stage.kind in ("proof", "bake", "chill"):
            assert stage.stretch is not None
    assert 55 <= hydration_percent(formula.ingredients) <= 85 or formula.style == "enriched"


def test_the_percentages_of_the_loaf_on_a_preferment_add_up_by_hand() -> None:
    """65 + 10 in the bowl, 50.025 × 100/200.1 = 25 in the preferment; water 43 + 25."""
    formula = house("lamplighter-loaf")
    assert hydration_percent(formula.ingredients) == pytest.approx(68.0)
    poolish = next(each for each in formula.ingredients if each.made_of)
    assert poolish.made_of is not None
    assert poolish.percent * poolish.made_of.flour / poolish.made_of.total == pytest.approx(25.0)
    # A baking book's poolish for 12 to 16 h at room temperature: 0.10 % instant yeast on its flour.
    assert (poolish.made_of.form, poolish.made_of.yeast / poolish.made_of.flour) == ("instant", 0.001)


def test_a_digest_names_the_text_and_nothing_else() -> None:
    """SHA-256 of "abc" is in FIPS 180-4's examples; here: the digest of the file's own bytes."""
    import hashlib

    data = HOUSE["harbour-knots"].read_bytes()
    formula = load(data, "x")
    assert formula.digest == hashlib.sha256(data).hexdigest()
    assert formula.text == data.decode()
    assert load(data + b"\n# a note\n", "x").digest != formula.digest


def names_in(kind: Kind | Table | Tables) -> set[str]:
    """Every field name in a table and the tables in it."""
    table = kind.table if isinstance(kind, Tables) else kind
    if not isinstance(table, Table):
        return set()
    return {each.name for each in table.fields}.union(*(names_in(each.kind) for each in table.fields))


def test_the_page_for_writers_names_every_field_kind_and_unit() -> None:
    words = names_in(FORMULA) | names_in(KITCHEN) | {"offset"}
    words |= {*ingredients.KINDS, *ingredients.FORMS, *ingredients.ALLERGENS, *stages.KINDS, *readings.READINGS}
    # A size and a jar's volume stand in no file.
    written = set(Dimension) - {Dimension.SIZE, Dimension.JAR}
    words |= {unit for dimension in written for unit in spellings(dimension)}
    marked = " ".join(re.findall(r"`([^`\n]+)`", PAGE))
    missing = [word for word in sorted(words) if not re.search(rf"(?<![a-z]){re.escape(word)}(?![a-z])", marked)]
    assert missing == []


def test_the_formula_on_the_page_for_writers_reads_without_oddity() -> None:
    blocks = re.findall(r"```toml\n(.*?)```", PAGE, re.DOTALL)
    whole = [block for block in blocks if "[batch]" in block]
    assert len(whole) == 1
    formula, faults = read_formula(whole[0], "page")
    assert formula is not None
    assert faults == ()
    kitchens = [block for block in blocks if block.startswith("# a kitchen file")]
    assert [read_kitchen(block, "page")[1] for block in kitchens] == [()]


def test_every_part_of_a_stage_on_the_page_reads_in_a_stage() -> None:
    whole = HOUSE["harbour-knots"].read_text(encoding="utf-8")
    parts = [
        block for block in re.findall(r"```toml\n(.*?)```", PAGE, re.DOTALL) if block.startswith("# part of a stage")
    ]
    assert len(parts) == 3
    for part in parts:
        formula, faults = read_formula(f'{whole}\n[[stages]]\nname = "One more"\n{part}', "page")
        assert formula is not None, faults
    assert all(tomli.loads(part) for part in parts)


def test_the_house_formulas_are_found_by_short_name() -> None:
    assert {"harbour-knots", "quay-pan-loaf", "breakwater-flatbread", "lamplighter-loaf"} < set(HOUSE)
    assert all(path.is_file() for path in HOUSE.values())
