"""A loaf of the guesthouse with two preferments that stand at the same time: a ripe levain and an evening poolish."""

from __future__ import annotations

from proofbell.formula.model import Formula
from proofbell.formula.read import load

HEADLAND = """
name  = "Headland loaf"
style = "lean"

[batch]
pieces = 2
piece  = "800 g"

[dough]
temperature = "25 °C"
raising     = "yeast"

[oven]
temperature = "230 °C"

[[ingredients]]
name    = "strong white flour"
percent = 70
kind    = "flour"
contains = ["wheat"]

[[ingredients]]
name    = "water"
percent = 38
kind    = "water"
heat    = true

[[ingredients]]
name    = "ripe levain"
percent = 22
kind    = "preferment"
made_of = { flour = 100, water = 100, starter = 20 }
contains = ["wheat"]

[[ingredients]]
name    = "evening poolish"
percent = 38.019
kind    = "preferment"
made_of = { flour = 100, water = 100, yeast = 0.1, form = "instant" }
contains = ["wheat"]

[[ingredients]]
name    = "salt"
percent = 2
kind    = "salt"

[[stages]]
name = "Feed"
for  = "ripe levain"
kind = "hands"
time = "5 min"

[[stages]]
name    = "Ripen"
for     = "Ripe levain"
kind    = "proof"
time    = "8 h"
stretch = ["7 h", "9 h"]
place   = "larder"
adjust  = { by = "rate", at = "24 °C" }
checks  = [ { read = "dough temperature", when = "start" } ]

[[stages]]
name = "Stir"
for  = "evening poolish"
kind = "hands"
time = "5 min"

[[stages]]
name    = "Overnight"
for     = "evening poolish"
kind    = "proof"
time    = "13 h"
stretch = ["11 h", "15 h"]
adjust  = { by = "rate", at = "22 °C", place = "21 °C" }
checks  = [ { read = "dough temperature", when = "start" } ]

[[stages]]
name = "Mix"
kind = "hands"
time = "12 min"

[[stages]]
name    = "First proof"
kind    = "proof"
time    = "90 min"
stretch = ["65 min", "2 h"]

[[stages]]
name = "Shape"
kind = "hands"
time = "10 min"

[[stages]]
name    = "Final proof"
kind    = "proof"
time    = "60 min"
stretch = ["45 min", "80 min"]

[[stages]]
name = "Bake"
kind = "bake"
time = "40 min"
core = ["94 °C", "98 °C"]

[[stages]]
name = "Cool"
kind = "cool"
time = "1 h"
"""

FEED, RIPEN, STIR, OVERNIGHT, MIX, FIRST_PROOF, SHAPE, FINAL_PROOF, BAKE, COOL = range(10)


def headland() -> Formula:
    """The loaf as it is read."""
    return load(HEADLAND, "headland.toml")
