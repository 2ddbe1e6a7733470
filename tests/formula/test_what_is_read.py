"""What a formula comes to once it is read: units, defaults, and the choices that the reference page names."""

from dataclasses import replace

import pytest

from proofbell.formula.model import (
    Band,
    Bands,
    BatchSize,
    Check,
    ChillInstead,
    DoughWish,
    Formula,
    OvenWish,
    Phase,
    PrefermentParts,
    Rate,
    RiseWish,
    Stage,
)
from proofbell.formula.read import load, read_formula

HEAD = """
name = "Gate bread"
[batch]
{batch}
[oven]
temperature = "446 °F"  # 230 °C by the definition, NIST SP 811, B.8
[[ingredients]]
name = "flour"
percent = {flour}
kind = "flour"
[[ingredients]]
name = "water"
percent = 66
kind = "water"
heat = true
[[ingredients]]
name = "salt"
percent = 2
kind = "salt"
"""


def read(stage: str = "", *, batch: str = 'flour = "500 g"', flour: float = 100) -> Formula:
    """A small formula with one stage of its own."""
    more = stage or 'kind = "rest"\ntime = "1 min"'
    return load(f'{HEAD.format(batch=batch, flour=flour)}\n[[stages]]\nname = "One"\n{more}\n', "gate.toml")


def stage(text: str) -> Stage:
    """The one stage of a small formula."""
    return read(text).stages[0]


def test_what_is_left_out_has_its_default() -> None:
    formula = read()
    assert formula.style == "other"
    assert formula.about == ""
    assert formula.batch == BatchSize(flour_g=500.0)
    assert formula.dough == DoughWish(None, "hand", None)
    assert formula.oven == OvenWish(230.0, 1)
    assert formula.stages == (Stage("One", "rest", 60.0),)
    salt = formula.ingredients[2]
    assert (salt.contains, salt.heat, salt.origin, salt.origin_c, salt.water_percent) == ((), False, "room", None, None)


@pytest.mark.parametrize(
    ("batch", "size"),
    [
        ('pieces = 12\npiece = "75 g"\nloss = "2 %"', BatchSize(12, 75.0, loss_percent=2.0)),
        ('dough = "2 lb"', BatchSize(dough_g=907.18474)),
        ('flour = "0.5 kg"', BatchSize(flour_g=500.0)),
        ('tin = "1.6 l"', BatchSize(1, tin_ml=1600.0)),
        ('tin = "1600 ml"\npieces = 3', BatchSize(3, tin_ml=1600.0)),
        ('tin = "1600 ml"\npieces = 2\npiece = "500 g"', BatchSize(2, 500.0, tin_ml=1600.0)),
    ],
)
def test_the_size_of_a_batch_can_be_said_in_several_ways(batch: str, size: BatchSize) -> None:
    """1 lb = 453.592 37 g exactly: NIST Handbook 44, Appendix C."""
    assert read(batch=batch).batch == size


def test_flours_may_miss_one_hundred_by_a_twentieth_of_a_percent() -> None:
    assert read(flour=100.05).ingredients[0].percent == 100.05
    assert read(flour=99.95).ingredients[0].percent == 99.95


def test_checks_are_read_in_the_unit_of_their_reading() -> None:
    read_stage = stage(
        'kind = "proof"\ntime = "1 h"\nstretch = ["50 min", "90 min"]\nchecks = ['
        ' { read = "dough temperature", expect = ["77 °F", "26 °C"] },'
        ' { read = "rise", when = "end", expect = ["50 %", "50 %"] },'
        ' { read = "weight", when = "90 min", expect = ["1 kg", "2 kg"] } ]'
    )
    assert read_stage.checks == (
        Check("dough temperature", "start", None, (25.0, 26.0)),
        Check("rise", "end", None, (50.0, 50.0)),
        Check("weight", "into", 5400.0, (1000.0, 2000.0)),
    )
    assert read_stage.stretch == (3000.0, 5400.0)


def test_bands_and_rates_and_rises_are_read() -> None:
    bands = stage(
        'kind = "proof"\ntime = "1 h"\nadjust = { by = "bands", bands = ['
        ' { below = "75.2 °F", time = "85 min" }, { time = "55 min" } ] }\nrise = { wanted = ["50 %", "70 %"] }'
    )
    assert bands.adjust == Bands("dough temperature", (Band(24.0, 5100.0), Band(None, 3300.0)))
    assert bands.rise == RiseWish((50.0, 70.0), 600.0, 3)
    rate = stage('kind = "chill"\ntime = "10 h"\nplace = "4 °C"\nadjust = { by = "rate", at = "25 °C" }')
    assert (rate.adjust, rate.place_c) == (Rate(25.0, None), 4.0)


def test_phases_are_the_length_of_the_bake() -> None:
    bake = stage(
        'kind = "bake"\ncore = ["93 °C", "93 °C"]\nturn = "20 min"\nphases = ['
        ' { time = "15 min", oven = "240 °C", steam = true }, { time = "25 min", oven = "210 °C" } ]'
    )
    assert bake.time_s == 2400.0
    assert bake.phases == (Phase(900.0, 240.0, steam=True), Phase(1500.0, 210.0))
    assert (bake.turn_s, bake.core) == (1200.0, (93.0, 93.0))


def test_hands_and_a_chill_in_place_of_a_proof_are_read() -> None:
    proof = stage(
        'kind = "proof"\ntime = "1 h"\nhands = "0 s"\nchill_instead = { place = "4 °C", time = ["8 h", "18 h"] }'
    )
    assert proof.hands_s == 0.0
    assert proof.chill_instead == ChillInstead(4.0, 28800.0, 64800.0)


def test_weights_become_percentages_of_all_flour_that_of_the_preferment_included() -> None:
    """Worked by hand after the tutorial "Baker's percentage" of the Wild Yeast blog, part 4.

    A preferment of 468 flour, 468 water, 0.3 yeast in a dough of 900 flour, 468 water, 27 salt: all flour 1368, so
    hydration 68.4 %, salt 1.97 %, and 34.2 % of the flour is in the preferment.
    """
    rows = {"flour": 900, "water": 468, "salt": 27}
    text = 'name = "Poolish bread"\n' + "".join(
        f'[[ingredients]]\nname = "{kind}"\nkind = "{kind}"\nweight = "{grams} g"\n' for kind, grams in rows.items()
    )
    text += '[[ingredients]]\nname = "poolish"\nkind = "preferment"\nweight = "936.3 g"\n'
    text += "made_of = { flour = 468, water = 468, yeast = 0.3 }\n"
    formula = load(text + '[[stages]]\nname = "One"\nkind = "rest"\ntime = "1 min"\n', "poolish.toml")
    percents = {each.name: each.percent for each in formula.ingredients}
    assert formula.batch.flour_g == pytest.approx(1368)
    assert percents["salt"] == pytest.approx(1.97, abs=0.01)
    parts = formula.ingredients[3].made_of
    assert parts == PrefermentParts(468, 468, 0.3)
    assert percents["poolish"] * 468 / parts.total == pytest.approx(34.2, abs=0.05)
    assert percents["water"] + percents["poolish"] * 468 / parts.total == pytest.approx(68.4, abs=0.05)


def test_bytes_and_text_with_any_line_ends_read_alike() -> None:
    text = HEAD.format(batch='dough = "900 g"', flour=100) + '[[stages]]\nname = "One"\nkind = "rest"\ntime = "1 min"\n'
    plain, _ = read_formula(text, "x")
    assert plain is not None
    for other in (text.encode(), b"\xef\xbb\xbf" + text.encode(), text.replace("\n", "\r\n")):
        read, _ = read_formula(other, "x")
        assert read is not None
        assert replace(read, text=text) == plain, "only the text is kept as it is"
        assert read.text.encode() == (other if isinstance(other, bytes) else other.encode())
