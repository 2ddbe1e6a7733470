"""``at`` on a line of the dough: the stage at which it goes in, and what is refused of it."""

from __future__ import annotations

import json

import jsonschema
import pytest
import tomli

from proofbell.faults import Fault
from proofbell.formula.dough_stages import division
from proofbell.formula.editing.figures import figures, with_figure
from proofbell.formula.model import Formula
from proofbell.formula.read import read_formula, schema
from proofbell.places import house_formulas
from proofbell.recipe.assembly import read_recipe
from proofbell.recipe.toml_text import toml_text

HOUSE = house_formulas()
TIDEMARK = HOUSE["tidemark-sourdough"].read_text(encoding="utf-8")
AT = 'at      = "Add the salt"'
VALIDATOR = jsonschema.Draft202012Validator(schema())
SALT_LINE = TIDEMARK.split(AT)[0].count("\n") + 1


def refused(old: str, new: str) -> Fault:
    assert TIDEMARK.count(old) == 1
    formula, faults = read_formula(TIDEMARK.replace(old, new), "x.toml")
    assert formula is None
    (fault,) = [fault for fault in faults if fault.is_error]
    return fault


def added(formula: Formula) -> dict[str, str]:
    return {line.name: formula.stages[line.at[0]].name for line in formula.ingredients if line.at}


def test_it_names_the_stage_at_which_a_line_goes_in() -> None:
    formula, faults = read_formula(TIDEMARK, "x.toml")
    assert formula is not None
    assert faults == ()
    assert added(formula) == {"salt": "Add the salt"}


@pytest.mark.parametrize("said", ['at = "add the SALT"', 'at = ["Add the salt"]'])
def test_capitals_and_a_list_of_one_are_the_same(said: str) -> None:
    formula, _ = read_formula(TIDEMARK.replace(AT, said), "x.toml")
    assert formula is not None
    assert added(formula) == {"salt": "Add the salt"}
    assert VALIDATOR.is_valid(tomli.loads(formula.text))


def test_the_first_stage_of_the_dough_is_the_same_as_none() -> None:
    first, _ = read_formula(TIDEMARK.replace(AT, 'at = "Mix flour and water"'), "x.toml")
    none, _ = read_formula(TIDEMARK.replace(AT, ""), "x.toml")
    assert first is not None
    assert none is not None
    assert first.ingredients == none.ingredients


@pytest.mark.parametrize(
    ("new", "message", "remedy"),
    [
        ('at = "Add the sal"', 'no stage "Add the sal"', 'Did you mean "Add the salt"?'),
        ('at = "Rest"', "nobody has the dough in hand", '"Add the salt"'),
        ('at = "Divide and round"', "the dough is in pieces", '"Mix flour and water" or "Add the salt" or "Last fold"'),
        ('at = "Shape"', "the dough is in pieces", '"Last fold"'),
        ('at = "Bake"', "in the oven", '"Last fold"'),
        ('at = "Feed the levain"', "and not the dough", '"Add the salt"'),
        ('at = ["Add the salt", "Last fold"]', "once", "two lines"),
    ],
)
def test_a_stage_at_which_nothing_can_go_in_is_refused_where_it_stands(new: str, message: str, remedy: str) -> None:
    fault = refused(AT, new)
    assert message in fault.message
    assert remedy in fault.remedy
    assert fault.line == SALT_LINE
    assert fault.column > 0


def test_what_the_dough_is_begun_with_cannot_go_in_later() -> None:
    water = refused("heat    = true\n", 'heat    = true\nat = "Add the salt"\n')
    assert "sets the dough's temperature" in water.message
    assert not schema_takes_with(water)


def test_a_levain_can_go_in_after_flour_and_water_have_rested() -> None:
    text = TIDEMARK.replace('kind     = "preferment"\n', 'kind     = "preferment"\nat = "Add the salt"\n')
    formula, faults = read_formula(text, "x.toml")
    assert formula is not None
    assert faults == ()
    assert added(formula) == {"ripe levain": "Add the salt", "salt": "Add the salt"}
    assert VALIDATOR.is_valid(tomli.loads(text))


def schema_takes_with(fault: Fault) -> bool:
    """Whether the schema takes the file that made a fault."""
    lines = TIDEMARK.split("\n")
    lines.insert(fault.line - 1, 'at = "Add the salt"')
    return bool(VALIDATOR.is_valid(tomli.loads("\n".join(lines))))


def test_something_goes_in_first() -> None:
    tree = TIDEMARK.split("[[ingredients]]")
    plain = [tree[0], tree[1] + AT + "\n\n", tree[2] + AT + "\n\n", *tree[5:]]
    text = "[[ingredients]]".join(plain).replace("percent  = 72", "percent  = 90")
    text = "\n".join(line for line in text.split("\n") if "ripe levain" not in line)
    formula, faults = read_formula(text, "x.toml")
    assert formula is None
    assert [fault.message for fault in faults if fault.is_error] == [
        "Everything goes in later, and nothing as the dough is begun."
    ]


def test_a_file_that_does_not_tell_which_stages_make_the_dough_is_asked_for_that() -> None:
    text = TIDEMARK.replace('for  = "ripe levain"\n', "").replace('for     = "ripe levain"\n', "")
    _, faults = read_formula(text, "x.toml")
    (fault,) = [fault for fault in faults if fault.is_error]
    assert "which stages make the dough" in fault.message
    assert "for" in fault.remedy


def test_a_dough_that_is_one_piece_takes_it_until_the_oven() -> None:
    one = TIDEMARK.replace("pieces = 2", "pieces = 1").replace(AT, 'at = "Shape"')
    formula, faults = read_formula(one, "x.toml")
    assert formula is not None, faults
    assert added(formula) == {"salt": "Shape"}


def test_a_stage_at_which_something_goes_in_is_not_the_one_that_divides_the_dough() -> None:
    one = TIDEMARK.replace("pieces = 2", "pieces = 1").replace(AT, 'at = "Divide and round"')
    formula, faults = read_formula(one, "x.toml")
    assert formula is not None, faults
    divides = division(formula)
    assert divides is not None
    assert formula.stages[divides].name == "Shape"
    none, _ = read_formula(one.replace('at = "Divide and round"', ""), "x.toml")
    assert none is not None
    assert none.stages[division(none) or 0].name == "Divide and round"


def test_another_figure_of_the_line_leaves_it_where_it_is() -> None:
    salt = next(one for one in figures(TIDEMARK.encode()) if one.owner == "salt")
    assert [one.words for one in figures(TIDEMARK.encode()) if one.owner == "salt"] == ["percent"]
    changed = with_figure(TIDEMARK.encode(), salt, "2.1").decode()
    assert changed == TIDEMARK.replace("percent = 2\n", "percent = 2.1\n")


RECIPE = """\
Jetty loaf
500 g strong white flour
350 ml water
10 g salt
3 g instant yeast
60 g raisins
Mix the flour, water and yeast. {first} Leave to rest for 30 minutes.
Add the salt and knead for 5 minutes. {knead}
Leave until doubled, about 1 hour.
Shape and prove for 40 minutes.
Bake at 220 C for 30 minutes.
"""


def test_after_yeast_that_wakes_in_water_all_the_rest_goes_in_with_the_flour() -> None:
    wakes = "Stir the yeast into the water and leave to foam for 10 minutes.\nMix in the flour and salt."
    text = RECIPE.replace("Mix the flour, water and yeast.", wakes).replace("Add the salt and knead", "Knead")
    formula, faults = read_formula(toml_text(read_recipe(text.format(first="", knead=""))), "x.toml")
    assert formula is not None, faults
    assert [stage.name for stage in formula.stages][:2] == ["Wake the yeast", "Mix"]
    assert added(formula) == {"strong white flour": "Mix", "salt": "Mix", "raisins": "Mix"}


@pytest.mark.parametrize(
    ("first", "knead", "found"),
    [
        ("", "", {"salt"}),
        ("", "Work in the raisins.", {"salt", "raisins"}),
        ("Add all the other ingredients.", "Work in the raisins.", set()),
        ("Stir in the salt.", "", set()),
        ("Add everything but the salt.", "", {"salt"}),
    ],
)
def test_a_recipe_that_says_so_plainly_adds_it_later(first: str, knead: str, found: set[str]) -> None:
    text = toml_text(read_recipe(RECIPE.format(first=first, knead=knead)))
    formula, faults = read_formula(text, "x.toml")
    assert formula is not None, (faults, text)
    assert set(added(formula)) == found, json.dumps(tomli.loads(text), indent=1)
