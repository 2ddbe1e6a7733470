"""The JSON Schema and the reader, held together: made of one table of fields, they may not come to differ."""

import copy
import json
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import tomli
import tomlkit
from hypothesis import given, settings
from hypothesis import strategies as st

from proofbell.formula.read import read_formula, schema
from proofbell.quantities import Dimension, QuantityError, read_quantity, spellings

FORMULAS = sorted((Path(__file__).parents[2] / "formulas").glob("*.toml"))
VALIDATOR = jsonschema.Draft202012Validator(schema())
KNOTS = tomli.loads((FORMULAS[0].parent / "harbour-knots.toml").read_text(encoding="utf-8"))
Tree = dict[str, Any]


def schema_takes(tree: Tree) -> bool:
    """Whether a JSON Schema validator that is not ours accepts it."""
    return bool(VALIDATOR.is_valid(tree))


def reader_takes(tree: Tree) -> bool:
    """Whether the reader accepts the same thing written as TOML."""
    return read_formula(tomlkit.dumps(tree), "x.toml")[0] is not None


def test_the_schema_is_a_schema() -> None:
    jsonschema.Draft202012Validator.check_schema(schema())
    assert schema()["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert json.loads(json.dumps(schema())) == schema()


@pytest.mark.parametrize("path", FORMULAS, ids=lambda path: path.stem)
def test_both_accept_the_house_formulas(path: Path) -> None:
    tree = tomli.loads(path.read_text(encoding="utf-8"))
    assert schema_takes(tree)
    assert reader_takes(tree)


def tables_of(value: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:  # noqa: ANN401
    """The paths of all tables in a tree."""
    if isinstance(value, dict):
        yield path
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for name, item in items:
        yield from tables_of(item, (*path, name))


def fields_of(tree: Tree) -> list[tuple[Any, ...]]:
    """The paths of all fields of all tables in a tree."""
    found = []
    for path in tables_of(tree):
        found += [(*path, name) for name in at(tree, path)]
    return found


def at(tree: Tree, path: tuple[Any, ...]) -> Any:  # noqa: ANN401
    """What stands at a path."""
    value: Any = tree
    for part in path:
        value = value[part]
    return value


@pytest.mark.parametrize("path", list(tables_of(KNOTS)), ids=str)
def test_both_refuse_an_unknown_field_in_every_table(path: tuple[Any, ...]) -> None:
    tree = copy.deepcopy(KNOTS)
    at(tree, path)["sprinkle"] = "yes"
    assert not schema_takes(tree)
    assert not reader_takes(tree)


@pytest.mark.parametrize("wrong", [{"a": 1}, 1.5e9, True, ["x", "y", "z"]], ids=str)
@pytest.mark.parametrize("path", fields_of(KNOTS), ids=str)
def test_both_refuse_a_value_of_the_wrong_sort_in_every_field(path: tuple[Any, ...], wrong: Any) -> None:  # noqa: ANN401
    tree = copy.deepcopy(KNOTS)
    if path[-1] in ("heat", "guess") and wrong is True:
        return
    at(tree, path[:-1])[path[-1]] = wrong
    assert not schema_takes(tree)
    assert not reader_takes(tree)


CHILL = {"place": "4 °C", "time": ["1 h", "2 h"]}
PHASES = [{"time": "16 min", "oven": "190 °C", "steam": True}]
CORE = {"core": ["88 °C", "94 °C"]}

BRUSHED = {"name": "egg on top", "kind": "egg", "use": "finish", "each": "3 g"}


def outside(**other: Any) -> Callable[[Tree], object]:  # noqa: ANN401
    """Add an ingredient outside the dough; what is None is left out."""
    fields = {name: value for name, value in {**BRUSHED, **other}.items() if value is not None}
    return lambda tree: tree["ingredients"].append(fields)


MUTATIONS: list[tuple[str, Callable[[Tree], object]]] = [
    ("no name", lambda tree: tree.pop("name")),
    ("no stages", lambda tree: tree.pop("stages")),
    ("an empty list of stages", lambda tree: tree.update(stages=[])),
    ("no ingredients", lambda tree: tree.pop("ingredients")),
    ("a stage without a kind", lambda tree: tree["stages"][0].pop("kind")),
    ("a stage without a time", lambda tree: tree["stages"][0].pop("time")),
    ("an unknown kind of stage", lambda tree: tree["stages"][0].update(kind="proofing")),
    ("an unknown kind of ingredient", lambda tree: tree["ingredients"][0].update(kind="flower")),
    ("an unknown style", lambda tree: tree.update(style="crusty")),
    ("an unknown allergen", lambda tree: tree["ingredients"][0].update(contains=["gluten"])),
    ("an allergen twice", lambda tree: tree["ingredients"][0].update(contains=["wheat", "wheat"])),
    ("turn on a proof", lambda tree: tree["stages"][2].update(turn="5 min")),
    ("adjust on a bake", lambda tree: tree["stages"][5].update(adjust={"by": "rate", "at": "25 °C"})),
    ("rise on a hands stage", lambda tree: tree["stages"][0].update(rise={"wanted": ["10 %", "20 %"]})),
    ("place on a bake", lambda tree: tree["stages"][5].update(place="20 °C")),
    (
        "chill_instead on a chill",
        lambda tree: tree["stages"][5].update(chill_instead={"place": "4 °C", "time": ["1 h", "2 h"]}),
    ),
    ("form on flour", lambda tree: tree["ingredients"][0].update(form="fresh")),
    ("made_of on flour", lambda tree: tree["ingredients"][0].update(made_of={"flour": 1, "water": 1})),
    ("each in the dough", lambda tree: tree["ingredients"][0].update(each="3 g")),
    ("two stages in the dough", lambda tree: tree["ingredients"][0].update(at=["Mix", "Knead"])),
    ("at on the liquid that is warmed", lambda tree: tree["ingredients"][1].update(at="Knead")),
    ("a guess in the dough", lambda tree: tree["ingredients"][0].update(guess=True)),
    ("each and percent", outside(percent=2)),
    ("no amount outside the dough", outside(each=None)),
    ("heat outside the dough", outside(kind="milk", heat=True)),
    ("an unknown use", outside(use="topping")),
    ("an unknown likeness", outside(like="sand")),
    ("in tins without pieces", lambda tree: tree.update(batch={"dough": "900 g", "in_tin": 9})),
    ("a core of another word", lambda tree: tree["stages"][5].update(core="any")),
    ("heat on salt", lambda tree: tree["ingredients"][5].update(heat=True)),
    ("rate with bands", lambda tree: tree["stages"][4]["adjust"].update(bands=[{"time": "5 min"}])),
    ("rate without at", lambda tree: tree["stages"][4]["adjust"].pop("at")),
    ("bands with at", lambda tree: tree["stages"][2]["adjust"].update(at="25 °C")),
    ("bands without bands", lambda tree: tree["stages"][2]["adjust"].pop("bands")),
    ("bands by a core temperature", lambda tree: tree["stages"][2]["adjust"].update(read="core temperature")),
    ("time and phases", lambda tree: tree["stages"][5].update(phases=[{"time": "5 min", "oven": "200 °C"}])),
    ("a bare number for a time", lambda tree: tree["stages"][0].update(time=5)),
    ("a time in grams", lambda tree: tree["stages"][0].update(time="5 g")),
    ("a temperature without its degree", lambda tree: tree["oven"].update(temperature="190 C")),
    ("a decimal comma", lambda tree: tree["batch"].update(piece="75,5 g")),
    ("a rise in minutes", lambda tree: tree["stages"][4]["rise"].update(wanted=["5 min", "6 min"])),
    ("three in a stretch", lambda tree: tree["stages"][2].update(stretch=["50 min", "60 min", "90 min"])),
    ("pieces without piece", lambda tree: tree["batch"].pop("piece")),
    ("pieces and dough", lambda tree: tree["batch"].update(dough="900 g")),
    ("flour and dough", lambda tree: tree.update(batch={"flour": "500 g", "dough": "900 g"})),
    ("half a piece", lambda tree: tree["batch"].update(pieces=1.5)),
    ("no pieces", lambda tree: tree["batch"].update(pieces=0)),
    ("a percentage below nothing", lambda tree: tree["ingredients"][0].update(percent=-1)),
    ("a percentage in quotes", lambda tree: tree["ingredients"][0].update(percent="100")),
    ("percent and weight", lambda tree: tree["ingredients"][0].update(weight="500 g")),
    ("neither percent nor weight", lambda tree: tree["ingredients"][0].pop("percent")),
    ("an empty name", lambda tree: tree.update(name="  ")),
    ("a name of two lines", lambda tree: tree.update(name="one\ntwo")),
    ("a name that is too long", lambda tree: tree.update(name="x" * 81)),
    ("a check of something unknown", lambda tree: tree["stages"][2]["checks"][0].update(read="humidity")),
    ("a check at a strange moment", lambda tree: tree["stages"][2]["checks"][0].update(when="middle")),
]


@pytest.mark.parametrize("change", [change for _, change in MUTATIONS], ids=[name for name, _ in MUTATIONS])
def test_both_refuse_what_is_wrong_by_names_kinds_and_units(change: Callable[[Tree], object]) -> None:
    tree = copy.deepcopy(KNOTS)
    change(tree)
    assert not schema_takes(tree)
    assert not reader_takes(tree)


GOOD: list[tuple[str, Callable[[Tree], object]]] = [
    ("no style", lambda tree: tree.pop("style")),
    ("no dough", lambda tree: tree.pop("dough")),
    ("a size by dough", lambda tree: (tree["ingredients"].pop(), tree.update(batch={"dough": "900 g", "loss": "2 %"}))),
    ("a size by flour", lambda tree: (tree["ingredients"].pop(), tree.update(batch={"flour": "1 lb 2 oz"}))),
    ("a size by tins", lambda tree: tree.update(batch={"tin": "1600 ml", "pieces": 2})),
    ("one tin", lambda tree: tree.update(batch={"tin": "1.6 l"})),
    ("a temperature in Fahrenheit", lambda tree: tree["oven"].update(temperature="375 °F")),
    ("from a temperature", lambda tree: tree["ingredients"][0].update({"from": "18 °C"})),
    ("a named nut", lambda tree: tree["ingredients"][7].update(contains=["hazelnut"])),
    ("a check into the stage", lambda tree: tree["stages"][2]["checks"][0].update(when="30 min")),
    (
        "phases",
        lambda tree: (
            tree["stages"][5].pop("time"),
            tree["stages"][5].update(phases=[{"time": "16 min", "oven": "190 °C"}]),
        ),
    ),
    ("bands by the room", lambda tree: tree["stages"][2]["adjust"].update(read="room temperature")),
    ("a time in seconds", lambda tree: tree["stages"][0].update(time="360 s")),
    ("outside the dough", outside()),
    ("by percent, at two stages", outside(each=None, percent=2, at=["Final proof", "Bake"])),
    ("at one stage", outside(at="Final proof", use="tin")),
    ("pieces in tins", lambda tree: tree["batch"].update(in_tin=6, tin="1200 ml", weigh="10 min")),
    ("no core", lambda tree: (tree["stages"][5].update(core="none"), tree["stages"][5].pop("checks"))),
    ("a rise with its defaults", lambda tree: tree["stages"][4].update(rise={"wanted": ["50 %", "70 %"]})),
]


@pytest.mark.parametrize("change", [change for _, change in GOOD], ids=[name for name, _ in GOOD])
def test_both_accept_what_is_right(change: Callable[[Tree], object]) -> None:
    tree = copy.deepcopy(KNOTS)
    change(tree)
    assert schema_takes(tree)
    assert reader_takes(tree)


def test_weights_in_place_of_percentages_are_accepted_by_both_without_a_batch() -> None:
    tree = copy.deepcopy(KNOTS)
    tree["ingredients"].pop()
    for each in tree["ingredients"]:
        each["weight"] = f"{each.pop('percent') * 5} g"
    del tree["batch"]
    assert schema_takes(tree)
    formula, _ = read_formula(tomlkit.dumps(tree), "x.toml")
    assert formula is not None
    assert formula.batch.flour_g == pytest.approx(500)
    assert [each.percent for each in formula.ingredients] == pytest.approx(
        [each["percent"] for each in KNOTS["ingredients"] if "percent" in each]
    )


@given(st.sampled_from(Dimension), st.data())
@settings(max_examples=120)
def test_the_pattern_of_a_quantity_accepts_all_that_the_reader_does(dimension: Dimension, data: st.DataObject) -> None:
    """And refuses what has no unit or another's; what is a sum the wrong way round only the reader knows."""
    import re

    from proofbell.formula.measures import pattern

    number = data.draw(st.sampled_from(["25", "0.5", ".5", "-3", "1,5", "", "1e3", "+2", "−4"]))
    space = data.draw(st.sampled_from(["", " ", "\u202f"]))
    unit = data.draw(st.sampled_from([s for each in Dimension for s in spellings(each)] + ["", "C", "cups"]))
    text = number + space + unit
    try:
        read_quantity(text, dimension)
        read = True
    except QuantityError as refused:
        read = "colder" in refused.message
    assert bool(re.search(pattern(dimension), text)) == read
