"""Each refusal of the formula format, at the line and column where it stands.

Every case changes one thing in a house formula. The sign ⌖ in the new text says where the fault must be found;
it is taken out before the file is read.
"""

from pathlib import Path

import pytest

from proofbell.errors import Failure
from proofbell.formula.read import load, read_formula

FORMULAS = Path(__file__).parents[2] / "formulas"
KNOTS = (FORMULAS / "harbour-knots.toml").read_text(encoding="utf-8")
LOAF = (FORMULAS / "lamplighter-loaf.toml").read_text(encoding="utf-8")
HERE = "⌖"

FINAL_ADJUST = 'adjust  = { by = "rate", at = "25 °C", place = "22 °C" }'
FIRST_EXPECT = '  expect = ["24 °C", "26 °C"]'
FIRST_STRETCH = 'stretch = ["50 min", "100 min"]'
CASES = [
    # unknown names, with the nearest known one
    ('style = "enriched"', '⌖stile = "enriched"', '"stile" is not a field', 'Did you mean "style"?', "stile"),
    ('style = "enriched"', 'style = ⌖"rich"', '"rich" is not a style', "enriched", "style"),
    ("[oven]", "⌖[ovens]", '"ovens" is not a field', 'Did you mean "oven"?', "ovens"),
    ('kind     = "milk"', 'kind     = ⌖"milks"', "not a kind of ingredient", 'Did you mean "milk"?', "ingredient 2"),
    ('kind     = "fat"', 'kind     = ⌖"butter"', "not a kind of ingredient", 'Did you mean "fat"?', "butter"),
    ('contains = ["egg"]', 'contains = ["milk", ⌖"gluten"]', "not an allergen", '"wheat"', "contains, item 2"),
    ('form    = "fresh"', 'form    = ⌖"dry"', "not a form of yeast", '"active dry"', "form"),
    (FINAL_ADJUST, 'adjust = { by = ⌖"rates", at = "25 °C" }', "not a way to adjust", '"rate"', "adjust, by"),
    (FINAL_ADJUST, 'adjust = { by = "rate", ⌖att = "25 °C", at = "25 °C" }', '"att" is not a field', '"at"', "att"),
    ("[dough]", "[dough]\n⌖temprature = 1", '"temprature" is not a field', '"temperature"', "dough"),
    # what is missing, marked at the table that wants it
    ('name  = "Harbour knots"', "", '"name" is missing', "name = …", "name"),
    ('[[stages]]\nname = "Knead"\n', "⌖[[stages]]\n", '"name" is missing', "name = …", "stage 2"),
    ("percent  = 12\n", "", '"percent" is missing', "percent = 2", "egg"),
    (
        'name    = "sugar"\npercent = 12\nkind    = "sugar"',
        'name = "sugar"\npercent = 12',
        '"kind" is missing',
        "kind",
        '"sugar"',
    ),
    ('time = "10 min"', "", '"time" is missing', 'time = "50 min"', "Knead"),
    ('piece  = "75 g"', "", '"piece" is missing', 'piece = "75 g"', "batch"),
    (FINAL_ADJUST, '⌖adjust = { by = "rate" }', '"at" is missing', '"25 °C"', "adjust"),
    (FINAL_ADJUST, '⌖adjust = { by = "bands" }', '"bands" is missing', "below", "adjust"),
    ('temperature = "190 °C"', "", "how hot the oven is", "190 °C", 'stage 6 "Bake"'),
    # wrong types
    ("pieces = 12", "pieces = ⌖12.5", "whole number", "1 to 10000", "batch, pieces"),
    ("pieces = 12", 'pieces = ⌖"12"', "this is a text", "Write pieces = 12", "pieces"),
    ("percent  = 48", 'percent  = ⌖"48 %"', "this is a text", "Write percent = 48", "percent"),
    ("percent  = 48", 'percent  = ⌖"half"', "this is a text", "without quotation marks", "percent"),
    ("pieces = 12", "pieces = ⌖true", "true or false", "1 to 10000", "pieces"),
    ("pieces = 12", "pieces = ⌖1979-05-27", "a date", "1 to 10000", "pieces"),
    ("heat     = true", 'heat     = ⌖"yes"', "true or false is wanted", "bare", "heat"),
    ('name = "Knead"', "name = ⌖3", "A text is wanted", "quotation marks", "name"),
    ('name = "Knead"', 'name = ⌖""', "nothing in this text", "Write something", "name"),
    ('time = "10 min"', "time = ⌖10", "which unit", '"10 min"', "Knead"),
    ('contains = ["egg"]', 'contains = ⌖"egg"', "A list is wanted", "brackets", "contains"),
    (FIRST_STRETCH, 'stretch = ⌖"50 min"', "Two values are wanted", "50 min", "stretch"),
    (FIRST_STRETCH, 'stretch = ⌖["50 min"]', "this list has 1", "50 min", "stretch"),
    (FINAL_ADJUST, "adjust = ⌖5", "A table of fields is wanted", "by", "adjust"),
    ("[batch]\n", "batch = ⌖3\n[ignored]\n", "A table of fields is wanted", "batch", "batch"),
    # units and bounds
    ('piece  = "75 g"', 'piece  = ⌖"75 min"', "a length of time", '"75 g"', "piece"),
    ('piece  = "75 g"', 'piece  = ⌖"0 g"', "not more than 0 g", "more than", "piece"),
    ('rise        = "1.5 °C"', 'rise        = ⌖"1.5 g"', "a weight", "1.5 °C", "rise"),
    ('temperature = "25 °C"', 'temperature = ⌖"-300 °C"', "colder than anything", "−273.15", "temperature"),
    ('place = "22 °C" }\nrise', 'place = ⌖"61 °C" }\nrise', "above 60.0 °C", "60.0 °C", "place"),
    ('time = "10 min"', 'time = ⌖"0 min"', "not more than 0 s", "14 d", "time"),
    ('time = "10 min"', 'time = ⌖"-5 min"', "not more than 0 s", "14 d", "time"),
    ('time = "10 min"', 'time = ⌖"337 h"', "above 14 d", "14 d", "time"),
    ('time = "10 min"', 'time = ⌖"nan min"', "not a length of time", "min", "time"),
    ('time = "10 min"', 'time = ⌖"inf min"', "not a length of time", "min", "time"),
    ("percent  = 12", "percent  = ⌖-1", "-1 is not", "0 to 1000", "percent"),
    ("percent  = 12", "percent  = ⌖nan", "not a number to bake with", "0 to 1000", "percent"),
    ("percent  = 12", "percent  = ⌖inf", "not a number to bake with", "0 to 1000", "percent"),
    ("percent  = 12", "percent  = ⌖1e999", "not a number to bake with", "0 to 1000", "percent"),
    ("percent  = 12", "percent  = ⌖99999999999999999999999", "is not a number from", "0 to 1000", "percent"),
    ('core    = ["88 °C", "94 °C"]', 'core    = ⌖["94 °C", "88 °C"]', "above", '["88 °C", "94 °C"]', "core"),
    ('loss   = "2 %"', 'loss   = ⌖"60 %"', "above 50 %", "50 %", "loss"),
    # what does not go together
    ("percent  = 100", "percent  = ⌖90", "add up to 90 percent", "preferments", "percent"),
    ("percent  = 100", "percent  = ⌖100.06", "add up to 100.06 percent", "preferments", "percent"),
    ("percent = 12\n", "percent = 12\nheat = true\n", None, "", ""),
    ('kind    = "salt"', 'kind    = "water"\nheat    = ⌖true', "Only one liquid", "one ingredient", "heat"),
    ('name     = "egg"', 'name     = ⌖"Whole Milk"', "Two ingredients are called", "its own name", "name"),
    ('name = "Knead"', 'name = ⌖"MIX"', "Two stages are called", "its own name", "name"),
    (FIRST_STRETCH, 'stretch = ⌖["80 min", "100 min"]', "does not hold the time", "Widen", "stretch"),
    (FIRST_STRETCH, 'stretch = ⌖["50 min", "69 min"]', "does not hold the time", "Widen", "stretch"),
    (
        '{ below = "26 °C", time = "70 min" }',
        '{ below = ⌖"24 °C", time = "70 min" }',
        "not above the one",
        "rise",
        "band 3",
    ),
    ('{ below = "24 °C", time = "85 min" }', '⌖{ time = "85 min" }', "Only the last band", "last", "band 2"),
    ('    { time = "55 min" },\n', "", None, "", ""),
    ('{ below = "22 °C", time = "100 min" }', '{ below = ⌖"22 %", time = "100 min" }', "a percentage", "°C", "below"),
    (
        'read  = "dough temperature"\n  bands',
        'read  = ⌖"core temperature"\n  bands',
        "not a reading to adjust by",
        "room",
        "read",
    ),
    ('read   = "core temperature"', 'read   = ⌖"dough temperature"', "cannot be read at a stage", "hands", "read"),
    ('read   = "rise"', 'read   = ⌖"core temperature"', "cannot be read at a stage", "bake", "check 2"),
    (FIRST_EXPECT, '  expect = [⌖"50 %", "60 °C"]', "a percentage", "°C", "expect"),
    ('  when   = "start"\n' + FIRST_EXPECT, '  when   = ⌖"3 h"\n' + FIRST_EXPECT, "comes at 3 h", "earlier", "when"),
    ('  when   = "start"\n' + FIRST_EXPECT, '  when   = ⌖"middle"\n' + FIRST_EXPECT, "not known here", '"end"', "when"),
    ('turn    = "9 min"', 'turn    = ⌖"16 min"', "is over", "earlier", "turn"),
    ('time = "10 min"', 'time = "10 min"\n⌖turn = "5 min"', '"turn" goes with kind "bake"', "Take it out", "turn"),
    ('time = "10 min"', 'time = "10 min"\n⌖core = ["88 °C", "94 °C"]', '"core" goes with kind "bake"', "Take", "core"),
    (
        'time    = "16 min"',
        '⌖time    = "16 min"\nphases = [ { time = "16 min", oven = "190 °C" } ]',
        "once more",
        "Keep",
        "time",
    ),
    ("[batch]\n", '[batch]\n⌖dough = "900 g"\n', "says it another way", "Keep one", "dough"),
    ("percent  = 12", '⌖weight = "60 g"', None, "", ""),
    (
        'form    = "fresh"',
        'form    = "fresh"\n⌖made_of = { flour = 1, water = 1 }',
        '"made_of" goes with',
        "Take",
        "made_of",
    ),
    # characters that are not shown, raw and spelled
    ('text = "Knead', 'text = "⌖\u202eKnead', "\\u202e", "Take it out", ""),
    ('name = "Knead"', 'name = ⌖"Kn\\u001bead"', "\\x1b", "Take it out", "name"),
    ('name = "Knead"', 'name = ⌖"Kn\\nead"', "a line break", "Take it out", "name"),
    ('name = "Knead"', 'name = "Knead" # ⌖\u2066 note', "\\u2066", "Take it out", ""),
    ('name = "Knead"', 'name = "K⌖\x9bnead"', "\\x9b", "Take it out", ""),
    ('name = "Knead"', f'name = ⌖"{"K" * 61}"', "61 characters", "60", "name"),
]


def broken(old: str, new: str, text: str = KNOTS) -> tuple[str, int, int]:
    """Change one thing in a formula; return the text and where the sign stood."""
    assert text.count(old) >= 1, f"the house formula no longer has {old!r}"
    changed = text.replace(old, new, 1)
    at = changed.find(HERE)
    line, column = changed.count("\n", 0, at) + 1, at - changed.rfind("\n", 0, at)
    return changed.replace(HERE, ""), (line if at >= 0 else 0), (column if at >= 0 else 0)


@pytest.mark.parametrize(("old", "new", "said", "remedy", "field"), [case for case in CASES if case[2]])
def test_a_fault_is_told_where_it_stands(old: str, new: str, said: str, remedy: str, field: str) -> None:
    text, line, column = broken(old, new)
    formula, faults = read_formula(text, "knots.toml")
    assert formula is None
    fitting = [fault for fault in faults if said in fault.message]
    assert len(fitting) == 1, faults
    fault = fitting[0]
    assert fault.is_error
    assert remedy in fault.remedy
    assert field in fault.field
    if line:
        assert (fault.line, fault.column) == (line, column)
    assert fault.line >= 1
    assert fault.column >= 1


@pytest.mark.parametrize(("old", "new"), [(case[0], case[1]) for case in CASES])
def test_a_refused_file_gives_no_formula_and_a_refusal_with_all_its_faults(old: str, new: str) -> None:
    text, _, _ = broken(old, new)
    with pytest.raises(Failure) as refused:
        load(text, "knots.toml")
    assert refused.value.status == 2
    assert refused.value.source is not None
    assert any(fault.is_error for fault in refused.value.faults)


def test_all_faults_of_a_file_are_told_at_once_and_in_order() -> None:
    text = KNOTS
    for old, new in (
        ('style = "enriched"', 'stile = "enriched"'),
        ("pieces = 12", "pieces = 0"),
        ("percent  = 12", "percent  = -1"),
        ('time = "10 min"', 'time = "10"'),
        ('core    = ["88 °C", "94 °C"]', 'core    = ["94 °C", "88 °C"]'),
    ):
        text, _, _ = broken(old, new, text)
    _, faults = read_formula(text, "knots.toml")
    places = [(fault.line, fault.column) for fault in faults]
    assert len(faults) == 5
    assert places == sorted(places)


def test_the_last_band_must_have_no_bound() -> None:
    text, _, _ = broken('    { time = "55 min" },\n', "")
    _, faults = read_formula(text, "knots.toml")
    line = text[: text.index('"26 °C", time')].count("\n") + 1
    assert [(fault.line, fault.column) for fault in faults] == [(line, 15)]
    assert "The last band has a bound" in faults[0].message


def test_weights_and_percentages_are_not_mixed() -> None:
    text, _, _ = broken("percent  = 12", 'weight   = "60 g"')
    _, faults = read_formula(text, "knots.toml")
    assert ["not mixed" in fault.message for fault in faults] == [True]


def test_a_preferment_says_what_it_is_made_of() -> None:
    text, _, _ = broken(next(line for line in LOAF.splitlines(keepends=True) if line.startswith("made_of")), "", LOAF)
    _, faults = read_formula(text, "loaf.toml")
    assert ["made of" in fault.message for fault in faults] == [True]


def test_flour_in_a_preferment_counts() -> None:
    text, line, column = broken("percent  = 50.025", "percent  = ⌖60", LOAF)
    _, faults = read_formula(text, "loaf.toml")
    assert len(faults) == 1
    assert "104.985" in faults[0].message
    assert (faults[0].line, faults[0].column) != (line, column), "the first flour is marked, not the preferment"


@pytest.mark.parametrize("text", ["", "\n\n", "# nothing yet\n"])
def test_an_empty_file_is_told_everything_that_is_missing(text: str) -> None:
    _, faults = read_formula(text, "empty.toml")
    assert {fault.field for fault in faults} == {"name", "batch", "ingredients", "stages"}
    assert all((fault.line, fault.column) == (1, 1) for fault in faults)


def test_the_bounds_on_how_many_hold() -> None:
    one = '[[ingredients]]\nname = "f{}"\nkind = "other"\npercent = 0\n'
    many = "".join(one.format(number) for number in range(195))
    text = KNOTS.replace("[[stages]]", many + "\n[[stages]]", 1)
    assert any("There are 204 here" in fault.message for fault in read_formula(text, "x")[1])
    more = "".join(f'[[stages]]\nname = "s{n}"\nkind = "rest"\ntime = "1 min"\n' for n in range(100))
    assert any("There are 107 here" in fault.message for fault in read_formula(KNOTS + more, "x")[1])


@pytest.mark.parametrize("text", ["", 'name = "x"\n', KNOTS.partition("[[ingredients]]")[0] + "ingredients = []\n"])
def test_without_ingredients_nothing_is_said_of_flours_that_do_not_add_up(text: str) -> None:
    _, faults = read_formula(text, "empty.toml")

    assert any(fault.field == "ingredients" for fault in faults)
    assert not any("add up" in fault.message for fault in faults)
