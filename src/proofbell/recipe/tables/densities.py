"""Grams in a millilitre: what a cup or a spoon of each thing weighs, how far sources lie apart, and which they are.

USDA is WEIGHT.txt of the USDA National Nutrient Database SR (public domain), with its keys; Beranbaum is *The Cake
Bible*, Reinhart *The Bread Baker's Apprentice*. Where only one source is named the band is a judgement of 3 to 10 %.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Density:
    """``usual`` grams in a millilitre, with the ``low`` and ``high`` of the sources."""

    usual: float
    low: float
    high: float
    source: str


DENSITIES: dict[str, Density] = {
    "water": Density(1.0, 0.997, 1.0, "USDA 14411 cup 237 g; FAO/INFOODS v1.0 0.998 at 20 C"),
    "milk, whole": Density(1.031, 1.03, 1.035, "USDA 01077 cup 244, fl oz 30.5; FAO/INFOODS 1.03"),
    "milk, skimmed": Density(1.036, 1.03, 1.04, "USDA 01085 cup 245"),
    "buttermilk": Density(1.036, 1.03, 1.04, "USDA 01088 cup 245"),
    "yoghurt, plain": Density(1.036, 1.03, 1.04, "USDA 01116 cup 245; FAO/INFOODS v2 1.031 (seen quoted)"),
    "cream, whipping 36 %": Density(1.006, 0.98, 1.02, "USDA 01053 cup 238; Beranbaum 232"),
    "sour cream": Density(0.972, 0.97, 1.02, "USDA 01056 cup 230, reduced fat 01055 242"),
    "white flour, plain": Density(
        0.528,
        0.478,
        0.63,
        "USDA 20081 cup 125; Beranbaum sifted 113, spooned 120, scooped 142; maker chart 120; scoop test 159",
    ),
    "white flour, strong": Density(
        0.55,
        0.508,
        0.66,
        "USDA 20083 cup 137; Beranbaum sifted 120, spooned 128, scooped 156; maker chart 120; Reinhart 130",
    ),
    "wholemeal wheat flour": Density(
        0.507, 0.478, 0.66, "USDA 20080 cup 120; Reinhart 130; a recipe site 156; maker chart 113"
    ),
    "rye flour, light or medium": Density(0.431, 0.43, 0.54, "USDA 20064, 20065 cup 102"),
    "rye flour, dark or wholemeal": Density(0.541, 0.43, 0.55, "USDA 20063 cup 128"),
    "semolina": Density(0.706, 0.65, 0.74, "USDA 20066 cup 167"),
    "barley flour": Density(0.626, 0.36, 0.65, "USDA 20130 cup 148; maker chart 85"),
    "oat flour": Density(0.44, 0.38, 0.46, "USDA 20132 cup 104"),
    "maize meal": Density(0.664, 0.51, 0.664, "USDA 20022 cup 157, whole-grain 20020 122"),
    "cornflour, starch": Density(0.541, 0.5, 0.55, "USDA 20027 cup 128; Beranbaum 120"),
    "potato flour": Density(0.676, 0.6, 0.7, "USDA 11413 cup 160"),
    "wheat bran": Density(0.245, 0.2, 0.28, "USDA 20077 cup 58"),
    "wheat germ": Density(0.486, 0.4, 0.5, "USDA 20078 cup 115"),
    "rolled oats": Density(0.38, 0.34, 0.48, "Reinhart 4 cups = 454 g (113.5); 90 g a cup MEM"),
    "sugar, white": Density(0.845, 0.83, 0.95, "USDA 19335 cup 200, tsp 4.2"),
    "sugar, brown, packed": Density(0.93, 0.83, 0.95, "USDA 19334 packed cup 220; a recipe site 198"),
    "sugar, brown, loose": Density(0.613, 0.58, 0.65, "USDA 19334 unpacked cup 145"),
    "sugar, icing": Density(0.507, 0.42, 0.52, "USDA 19336 cup unsifted 120, sifted 100; a recipe site 113"),
    "honey": Density(1.433, 1.38, 1.5, "USDA 19296 cup 339, tbsp 21; Sharp manual 250 ml cup 375"),
    "golden or corn syrup": Density(1.441, 1.38, 1.5, "USDA 19350 cup 341, tbsp 22"),
    "treacle, molasses": Density(1.424, 1.35, 1.45, "USDA 19304 cup 337, tbsp 20"),
    "malt syrup": Density(1.403, 1.35, 1.45, "USDA 19352 cup 332, tbsp 21"),
    "maple syrup": Density(1.331, 1.31, 1.36, "USDA 19353 cup 315, tbsp 20"),
    "salt, table or fine": Density(1.217, 1.0, 1.25, "USDA 02047 tsp 6.0, cup 292; Reinhart 7 g; fine sea 5 to 6 g"),
    "salt, coarse, rolled grain": Density(0.974, 0.8, 1.02, "2 pages: 4.8 to 5 g a tsp"),
    "salt, coarse, hollow flake": Density(0.568, 0.55, 0.65, "2 pages: 2.8 to 3 g a tsp; Reinhart 4 g"),
    "salt, sea flakes": Density(0.507, 0.4, 0.65, "a web page 2 to 3 g a tsp"),
    "butter": Density(0.959, 0.94, 0.97, "USDA 01145 cup 227, tbsp 14.2, stick 113"),
    "lard, shortening": Density(0.866, 0.85, 0.91, "USDA 04002 cup 205, tbsp 12.8"),
    "olive oil": Density(0.913, 0.91, 0.93, "USDA 04053 cup 216, tbsp 13.5, tsp 4.5"),
    "rapeseed, sunflower oil": Density(0.921, 0.91, 0.93, "USDA 04582, 04584 cup 218"),
    "yeast, dry, instant": Density(0.629, 0.57, 0.67, "Reinhart 3 tbsp = 28 g (3.1); packet 7 g = 2 1/4 tsp (3.1)"),
    "yeast, dry, active": Density(
        0.629, 0.57, 0.82, "USDA 18375 tsp 4.0, tbsp 12.0 but packet 7.2 (= 2 1/4 tsp: 3.2); Reinhart 2.8"
    ),
    "milk powder, skimmed": Density(0.507, 0.29, 0.55, "USDA 01154 cup 120; instant 01092 68"),
    "milk powder, whole": Density(0.541, 0.5, 0.56, "USDA 01090 cup 128"),
    "cocoa": Density(0.364, 0.31, 0.4, "USDA 19165 cup 86, tbsp 5.4; Beranbaum 75, 82, 95"),
    "raisins": Density(0.613, 0.6, 0.7, "USDA 09298 cup 145, packed 165"),
    "currants, dried": Density(0.609, 0.6, 0.7, "USDA 09085 cup 144"),
    "sesame seed": Density(0.609, 0.55, 0.63, "USDA 12023 cup 144, tbsp 9.0"),
    "poppy seed": Density(0.595, 0.55, 0.63, "USDA 02033 tsp 2.8, tbsp 8.8"),
    "sunflower kernels": Density(0.592, 0.54, 0.6, "USDA 12036 cup 140; roasted 128 to 135"),
    "pumpkin kernels": Density(0.545, 0.5, 0.56, "USDA 12014 cup 129, roasted 118"),
    "linseed, whole": Density(0.71, 0.68, 0.72, "USDA 12220 cup 168, tbsp 10.3"),
    "linseed, ground": Density(0.473, 0.45, 0.52, "USDA 12220 tbsp 7.0"),
    "caraway seed": Density(0.426, 0.42, 0.46, "USDA 02005 tsp 2.1, tbsp 6.7"),
    "fennel, anise seed": Density(0.406, 0.39, 0.46, "USDA 02018 tsp 2.0; 02002 2.1"),
    "cardamom, ground": Density(0.406, 0.38, 0.42, "USDA 02006 tsp 2.0, tbsp 5.8"),
    "cinnamon, ground": Density(0.527, 0.5, 0.55, "USDA 02010 tsp 2.6, tbsp 7.8"),
    "walnuts, chopped": Density(0.495, 0.42, 0.52, "USDA 12155 chopped 117, halves 100"),
    "almonds, whole": Density(0.604, 0.58, 0.62, "USDA 12061 whole 143, sliced 92, ground 95"),
    "parmesan, grated": Density(0.423, 0.34, 0.43, "USDA 01032 cup 100"),
    "vinegar": Density(1.01, 1.0, 1.01, "USDA 02048 tbsp 14.9"),
}
