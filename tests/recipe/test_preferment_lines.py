"""Lines of a method that make a preferment, after both lists; and those of the dough that only use it."""

from __future__ import annotations

import pytest

from proofbell.formula.read import load
from proofbell.recipe.assembly import read_recipe
from proofbell.recipe.toml_text import toml_text

RECIPE = """\
Jetty loaf

Levain
20 g ripe starter
60 g rye flour
60 g water

Dough
440 g white flour
280 g water
all of the levain
9 g salt

LINES
Knead for 8 minutes. Prove for 3 hours. Shape. Prove for 2 hours. Bake at 230C for 40 minutes.
"""
REST = [("", "hands", 8), ("", "proof", 180), ("", "hands", 5), ("", "proof", 120), ("", "bake", 40), ("", "cool", 90)]
MIXED = [("", "hands", 6), *REST]


def stages(lines: str) -> list[tuple[str, str, float]]:
    draft = read_recipe(RECIPE.replace("LINES", lines))
    load(toml_text(draft).encode(), "loaf")
    return [(stage.made_for or "", stage.kind, stage.seconds / 60) for stage in draft.stages]


@pytest.mark.parametrize(
    ("lines", "minutes"),
    [
        ("Mix the levain and leave covered overnight, 10-12 hours.\nMix flour, water, salt and levain.", 660),
        ("Method\nMix the levain, cover and let it stand for 8 hours. Then mix everything.", 480),
        ("Method\nStir the levain ingredients together in a jar. Cover and leave for 9 hours.\nMix it all.", 540),
        ("The evening before, combine starter, rye and water for the levain and leave 12 hours.\nMix it all.", 720),
        ("Method\n1. To make the levain, mix starter, rye and water and leave for 7 hours.\n2. Mix it all.", 420),
        ("Method\nLevain: stir it all up; leave for 10 hours.\nDough: mix all.", 600),
        ("Method\nFeed the starter and let it ripen for 6 hours.\nStir the levain into flour, water and salt.", 360),
        ("Method\nBuild the levain the night before. Leave the levain for 11 hours. Mix all.", 660),
        ("Method\nBeat the levain ingredients to a batter, cover and leave for 10 hours.\nMix all.", 600),
        ("Method\nRefresh the starter 5 hours ahead.\nMix all.", 300),
    ],
)
def test_a_line_that_makes_the_preferment_is_its_own_with_its_time(lines: str, minutes: float) -> None:
    assert stages(lines) == [("levain", "hands", 5), ("levain", "proof", minutes), *MIXED]


@pytest.mark.parametrize(
    "line",
    [
        "Mix the levain, water, salt and flour and rest for 30 minutes.",
        "Mix the levain with the flour, salt and water. Rest for 30 minutes.",
        "Stir in the levain. Rest for 30 minutes.",
        "Mix the levain into the dough and rest 30 minutes.",
        "Mix the levain in the morning with all the rest. Rest the dough for 30 minutes.",
    ],
)
def test_a_line_that_only_uses_it_is_the_doughs(line: str) -> None:
    assert stages(line) == [
        ("levain", "hands", 5), ("levain", "proof", 480), ("", "hands", 6), ("", "rest", 30), *REST,
    ]  # fmt: skip
    mixed = next(stage for stage in read_recipe(RECIPE.replace("LINES", line)).stages if stage.made_for is None)
    assert mixed.text.startswith(line[:12])


def test_seeds_that_are_left_after_it_are_no_part_of_its_time() -> None:
    lines = "Mix the levain and leave for 12 hours.\nScald the seeds and leave for 30 minutes.\nMix everything."
    assert stages(lines) == [("levain", "hands", 5), ("levain", "proof", 720), ("", "hands", 36), *REST]


def test_each_of_two_preferments_has_its_own() -> None:
    text = RECIPE.replace("Dough\n", "Poolish\n50 g white flour\n50 g water\n0.1 g instant yeast\n\nDough\n", 1)
    lines = "Mix the poolish and leave it for 14 hours.\nMix the levain and leave it for 8 hours.\nMix everything."
    draft = read_recipe(text.replace("LINES", lines))
    found = [(stage.made_for, stage.kind, stage.seconds / 60) for stage in draft.stages if stage.made_for]
    assert found == [("levain", "hands", 5), ("levain", "proof", 480),
                     ("poolish", "hands", 5), ("poolish", "proof", 840)]  # fmt: skip


@pytest.mark.parametrize(
    ("flours", "called"),
    [
        ("60 g wholemeal rye flour", "wholemeal rye flour"),
        ("60 g strong white flour", "strong white flour"),
        ("20 g rye flour\n40 g spelt flour", "spelt flour and rye flour"),
        ("60 g dark rye", "dark rye"),
        ("60 g flour", ""),
    ],
)
def test_a_preferments_flour_keeps_its_name(flours: str, called: str) -> None:
    text = RECIPE.replace("60 g rye flour", flours).replace("LINES", "Mix all.")
    formula = load(toml_text(read_recipe(text)).encode(), "loaf")
    (made_of,) = [line.made_of for line in formula.ingredients if line.made_of is not None]
    assert made_of.flour_name == called


@pytest.mark.parametrize(
    ("starter", "held"), [("ripe rye starter", ("rye", "wheat")), ("ripe starter", ("wheat",)), ("starter", ("wheat",))]
)
def test_the_flour_in_the_name_of_a_starter_is_in_the_levain(starter: str, held: tuple[str, ...]) -> None:
    text = RECIPE.replace("ripe starter", starter).replace("rye flour", "white flour").replace("LINES", "Mix it all.")
    draft = read_recipe(text)
    (levain,) = [part for part in draft.dough if part.kind == "preferment"]
    assert levain.contains == held
    assert draft.outside == ()
    load(toml_text(draft), "loaf")


def test_a_starter_that_is_not_made_here_holds_what_its_name_says() -> None:
    text = "Loaf\n500 g strong flour\n300 g water\n150 g {} starter\n10 g salt\nMix. Bake at 230C for 40 minutes."
    found = {name: read_recipe(text.format(name)).dough[2].contains for name in ("rye", "spelt", "ripe")}
    assert found == {"rye": ("rye",), "spelt": ("wheat",), "ripe": ("wheat",)}


ONE_LINE = """\
Overnight loaf
LEVAIN
450 g strong white flour
280 g water
all the levain
11 g salt
Mix flour, water and levain. Rest 1 hr. Add the salt. Prove for 4 h. Shape. Prove 2 h. Bake at 240C for 40 minutes.
"""


@pytest.mark.parametrize(
    ("line", "hours"),
    [
        ("Levain: 30g starter + 60g strong flour + 60g water, 8 hours", 8),
        ("Levain (night before) - 30 g starter, 60 g wholemeal flour and 60 g water; leave 10 hours", 10),
        ("For the levain: 30 g ripe starter, 60 g flour, 60 g water", 8),
    ],
)
def test_a_preferment_told_in_one_line_is_that_with_its_time(line: str, hours: int) -> None:
    draft = read_recipe(ONE_LINE.replace("LEVAIN", line))
    load(toml_text(draft), "loaf")
    assert {part.name: (part.amount, part.made_of) for part in draft.dough} == {
        "levain": (150, {"flour": 60, "water": 60, "starter": 30}), "strong white flour": (450, None),
        "water": (280, None), "salt": (11, None),
    }  # fmt: skip
    assert [(stage.made_for, stage.kind, stage.seconds / 60) for stage in draft.stages][:6] == [
        ("levain", "hands", 5), ("levain", "proof", 60 * hours), (None, "hands", 6), (None, "rest", 60),
        (None, "hands", 5), (None, "proof", 240),
    ]  # fmt: skip
    assert draft.unread == ()
