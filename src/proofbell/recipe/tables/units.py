"""Cooks' measures by country, packets of yeast, sticks and eggs. Each with its source."""

from __future__ import annotations

import re
from typing import Final

from proofbell.recipe.model import Country

_SPELLINGS: Final[dict[str, str]] = {
    "g": "g gr gm gms gram grams gramme grammes",
    "kg": "kg kgs kilo kilos kilogram kilograms kilogramme kilogrammes",
    "oz": "oz oz. ounce ounces",
    "lb": "lb lbs lb. lbs. pound pounds",
    "ml": "ml mls millilitre millilitres milliliter milliliters cc",
    "cl": "cl",
    "dl": "dl decilitre decilitres deciliter deciliters",
    "l": "l litre litres liter liters ltr",
    "pint": "pint pints pt pts",
    "quart": "quart quarts qt qts",
    "cup": "cup cups",
    "tbsp": "tbsp tbsps tbsp. tbs tbs. tblsp tablespoon tablespoons tablespoonful tablespoonfuls msk",
    "tsp": "tsp tsps tsp. teaspoon teaspoons teaspoonful teaspoonfuls tsk",
    "krm": "krm kryddmått",
    "pinch": "pinch pinches dash dashes",
    "knob": "knob knobs",
    "handful": "handful handfuls",
    "mug": "mug mugs mugful mugfuls",
    "teacup": "teacup teacups teacupful teacupfuls",
    "dessertspoon": "dessertspoon dessertspoons dessertspoonful dessertspoonfuls dsp",
    "stick": "stick sticks",
    "packet": "packet packets pkt package packages pkg sachet sachets envelope envelopes",
    "cube": "cube cubes block blocks cake cakes",
    "%": "% percent",
}
UNITS: Final = {word: unit for unit, words in _SPELLINGS.items() for word in words.split()} | {
    "fl oz": "fl oz", "fl. oz": "fl oz", "fl. oz.": "fl oz", "fluid ounce": "fl oz", "fluid ounces": "fl oz",
    "per cent": "%",
}  # fmt: skip
UNIT_WORDS: Final = "|".join(sorted((re.escape(word) for word in UNITS), key=len, reverse=True))

GRAMS: Final = {"g": 1.0, "kg": 1000.0, "oz": 28.3495, "lb": 453.592}
"""Exact by definition: the international pound."""

_EVERYWHERE = {"ml": 1.0, "cl": 10.0, "dl": 100.0, "l": 1000.0, "krm": 1.0}
_IMPERIAL = {"fl oz": 28.413, "pint": 568.26, "quart": 1136.5}
ML: Final[dict[Country, dict[str, float]]] = {
    "uk": {"tsp": 5, "tbsp": 15, "cup": 250, **_IMPERIAL, **_EVERYWHERE},
    "metric": {"tsp": 5, "tbsp": 15, "cup": 250, **_IMPERIAL, **_EVERYWHERE},
    "us": {
        "tsp": 4.929, "tbsp": 14.787, "cup": 236.588, "fl oz": 29.574, "pint": 473.18, "quart": 946.35, **_EVERYWHERE,
    },
    "au": {"tsp": 5, "tbsp": 20, "cup": 250, "fl oz": 28.413, "pint": 600, "quart": 1136.5, **_EVERYWHERE},
}  # fmt: skip
"""Millilitres. US: the figures of UCUM and NIST. Australia: NSW Health's conversion chart (20 ml tablespoon). UK and
metric: 5, 15 and 250 ml are common practice, no source; the imperial pint is 568.26 ml by law."""

PACKET_G: Final[dict[str, dict[Country, float]]] = {
    "dry": {"uk": 7, "us": 7, "au": 7, "metric": 7},
    "fresh": {"uk": 42, "us": 17, "au": 42, "metric": 42},
}
"""A packet of dry yeast is 7 g (USDA 18375: 7.2 g; Nordic packets 12 g); a cube of fresh yeast 42 g in Germany and
France, 25 g in Italy, 50 g in the north; a US cake 17 g (USDA 18374)."""

STICK_G: Final = 113.0
"""A stick of butter: USDA 01145. An Australian chart says 125 g."""

PINCH_G: Final = (0.36, 0.3, 0.5)
"""A pinch or dash of salt: 1/16 teaspoon is common practice, no source; USDA 02047 gives a dash 0.4 g."""

KNOB_G: Final = (15.0, 10.0, 20.0)
"""A knob of butter: common practice, no source."""

LOOSE_ML: Final = {"handful": 60.0, "mug": 300.0, "teacup": 150.0, "dessertspoon": 10.0}
"""Measures of a household, of no law: common practice, no source, so each is asked about."""

EGG_G: Final[dict[Country, dict[str, tuple[float, float, float]]]] = {
    "uk": {"S": (44, 29, 15), "M": (51, 34, 18), "L": (60, 39, 21), "XL": (67, 44, 23)},
    "us": {"S": (38, 25, 13), "M": (44, 29, 15), "L": (50, 33, 17), "XL": (56, 37, 19), "Jumbo": (63, 42, 21)},
    "au": {"M": (41, 27, 14), "L": (48, 32, 16), "XL": (55, 36, 19), "Jumbo": (60, 40, 20), "59 g": (52, 34, 18)},
}
"""Without the shell: whole, white, yolk. UK and EU: classes of Regulation (EC) 589/2008, edible share 0.885 (USDA:
0.878 to 0.894). US: USDA 01123 to 01125. Australia: classes of the Australian Egg Corporation, 59 g in most recipes."""
EGG_G["metric"] = EGG_G["uk"]

EGG_UNSAID: Final[dict[Country, str]] = {"uk": "M", "us": "L", "au": "59 g", "metric": "M"}
"""The size meant where none is said: common practice, no source; the three lie within a gram of each other."""
