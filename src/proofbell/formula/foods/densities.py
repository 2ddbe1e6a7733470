"""Grams for a millilitre: one table for every reader of recipes and formulas.

USDA SR is the National Nutrient Database for Standard Reference, file WEIGHT.txt, with its number and the weight of
a US cup (236.588 ml). Beranbaum is *The Cake Bible*, Reinhart *The Bread Baker's Apprentice*. ``low`` and ``high`` are
the spread of what the named sources give; where there is one source only, it is common practice, no source.
"""

from __future__ import annotations

from proofbell.formula.model import IngredientKind
from proofbell.frozen import dataclass


@dataclass(frozen=True, slots=True)
class Density:
    """What one millilitre of something weighs (g), and between what the sources lie."""

    name: str
    kind: IngredientKind
    g_per_ml: float
    low: float
    high: float
    source: str


DENSITIES: tuple[Density, ...] = (
    Density("water", "water", 1.0, 0.997, 1.0, "USDA SR WEIGHT.txt 14411 cup 237 g; FAO/INFOODS v1.0 0.998 at 20 C"),
    Density("milk, whole", "milk", 1.031, 1.03, 1.035,
            "USDA SR WEIGHT.txt 01077 cup 244, fl oz 30.5; FAO/INFOODS 1.03"),
    Density("milk, skimmed", "milk", 1.036, 1.03, 1.04, "USDA SR WEIGHT.txt 01085 cup 245"),
    Density("buttermilk", "milk", 1.036, 1.03, 1.04, "USDA SR WEIGHT.txt 01088 cup 245"),
    Density("yoghurt, plain", "milk", 1.036, 1.03, 1.04,
            "USDA SR WEIGHT.txt 01116 cup 245; FAO/INFOODS v2 1.031 (seen quoted)"),
    Density("cream, whipping 36 %", "milk", 1.006, 0.98, 1.02, "USDA SR WEIGHT.txt 01053 cup 238; Beranbaum 232"),
    Density("sour cream", "milk", 0.972, 0.97, 1.02, "USDA SR WEIGHT.txt 01056 cup 230, reduced fat 01055 242"),
    Density("white flour, plain", "flour", 0.528, 0.478, 0.63,
            "USDA SR WEIGHT.txt 20081 cup 125; Beranbaum sifted 113, spooned 120, scooped 142; maker chart 120; "
            "scoop test 159"),
    Density("white flour, strong", "flour", 0.55, 0.508, 0.66,
            "USDA SR WEIGHT.txt 20083 cup 137; Beranbaum sifted 120, spooned 128, scooped 156; maker chart 120; "
            "Reinhart 130"),
    Density("wholemeal wheat flour", "flour", 0.507, 0.478, 0.66,
            "USDA SR WEIGHT.txt 20080 cup 120; Reinhart 130; a recipe site 156; maker chart 113"),
    Density("rye flour, light or medium", "flour", 0.431, 0.43, 0.54, "USDA SR WEIGHT.txt 20064, 20065 cup 102"),
    Density("rye flour, dark or wholemeal", "flour", 0.541, 0.43, 0.55, "USDA SR WEIGHT.txt 20063 cup 128"),
    Density("semolina", "flour", 0.706, 0.65, 0.74, "USDA SR WEIGHT.txt 20066 cup 167"),
    Density("barley flour", "flour", 0.626, 0.36, 0.65, "USDA SR WEIGHT.txt 20130 cup 148; maker chart 85"),
    Density("oat flour", "flour", 0.44, 0.38, 0.46, "USDA SR WEIGHT.txt 20132 cup 104"),
    Density("maize meal", "flour", 0.664, 0.51, 0.67, "USDA SR WEIGHT.txt 20022 cup 157, whole-grain 20020 122"),
    Density("cornflour, starch", "other", 0.541, 0.5, 0.55, "USDA SR WEIGHT.txt 20027 cup 128; Beranbaum 120"),
    Density("potato flour", "other", 0.676, 0.6, 0.7, "USDA SR WEIGHT.txt 11413 cup 160"),
    Density("wheat bran", "flour", 0.245, 0.2, 0.28, "USDA SR WEIGHT.txt 20077 cup 58"),
    Density("wheat germ", "flour", 0.486, 0.4, 0.5, "USDA SR WEIGHT.txt 20078 cup 115"),
    Density("rolled oats", "other", 0.38, 0.34, 0.48, "Reinhart 4 cups = 454 g (113.5); 90 g a cup MEM"),
    Density("sugar, white", "sugar", 0.845, 0.83, 0.95, "USDA SR WEIGHT.txt 19335 cup 200, tsp 4.2"),
    Density("sugar, brown, packed", "sugar", 0.93, 0.83, 0.95,
            "USDA SR WEIGHT.txt 19334 packed cup 220; a recipe site 198"),
    Density("sugar, brown, loose", "sugar", 0.613, 0.58, 0.65, "USDA SR WEIGHT.txt 19334 unpacked cup 145"),
    Density("sugar, icing", "sugar", 0.507, 0.42, 0.52,
            "USDA SR WEIGHT.txt 19336 cup unsifted 120, sifted 100; a recipe site 113"),
    Density("honey", "sugar", 1.433, 1.38, 1.5,
            "USDA SR WEIGHT.txt 19296 cup 339, tbsp 21; Sharp manual 250 ml cup 375"),
    Density("golden or corn syrup", "sugar", 1.441, 1.38, 1.5, "USDA SR WEIGHT.txt 19350 cup 341, tbsp 22"),
    Density("treacle, molasses", "sugar", 1.424, 1.35, 1.45, "USDA SR WEIGHT.txt 19304 cup 337, tbsp 20"),
    Density("malt syrup", "sugar", 1.403, 1.35, 1.45, "USDA SR WEIGHT.txt 19352 cup 332, tbsp 21"),
    Density("maple syrup", "sugar", 1.331, 1.31, 1.36, "USDA SR WEIGHT.txt 19353 cup 315, tbsp 20"),
    Density("salt, table or fine", "salt", 1.217, 1.0, 1.25,
            "USDA SR WEIGHT.txt 02047 tsp 6.0, cup 292; Reinhart 7 g; fine sea 5 to 6 g"),
    Density("salt, coarse, rolled grain", "salt", 0.974, 0.8, 1.02, "2 pages: 4.8 to 5 g a tsp"),
    Density("salt, coarse, hollow flake", "salt", 0.568, 0.55, 0.65, "2 pages: 2.8 to 3 g a tsp; Reinhart 4 g"),
    Density("salt, sea flakes", "salt", 0.507, 0.4, 0.65, "answeratlas 2 to 3 g a tsp"),
    Density("butter", "fat", 0.959, 0.94, 0.97, "USDA SR WEIGHT.txt 01145 cup 227, tbsp 14.2, stick 113"),
    Density("lard, shortening", "fat", 0.866, 0.85, 0.91, "USDA SR WEIGHT.txt 04002 cup 205, tbsp 12.8"),
    Density("olive oil", "fat", 0.913, 0.91, 0.93, "USDA SR WEIGHT.txt 04053 cup 216, tbsp 13.5, tsp 4.5"),
    Density("rapeseed, sunflower oil", "fat", 0.921, 0.91, 0.93, "USDA SR WEIGHT.txt 04582, 04584 cup 218"),
    Density("yeast, dry, instant", "yeast", 0.629, 0.57, 0.67,
            "Reinhart 3 tbsp = 28 g (3.1); packet 7 g = 2 1/4 tsp (3.1)"),
    Density("yeast, dry, active", "yeast", 0.629, 0.57, 0.82,
            "USDA SR WEIGHT.txt 18375 tsp 4.0, tbsp 12.0 but packet 7.2 (= 2 1/4 tsp: 3.2); Reinhart 2.8"),
    Density("milk powder, skimmed", "dry milk", 0.507, 0.29, 0.55,
            "USDA SR WEIGHT.txt 01154 cup 120; instant 01092 68"),
    Density("milk powder, whole", "dry milk", 0.541, 0.5, 0.56, "USDA SR WEIGHT.txt 01090 cup 128"),
    Density("cocoa", "other", 0.364, 0.31, 0.4, "USDA SR WEIGHT.txt 19165 cup 86, tbsp 5.4; Beranbaum 75, 82, 95"),
    Density("raisins", "other", 0.613, 0.6, 0.7, "USDA SR WEIGHT.txt 09298 cup 145, packed 165"),
    Density("currants, dried", "other", 0.609, 0.6, 0.7, "USDA SR WEIGHT.txt 09085 cup 144"),
    Density("sesame seed", "other", 0.609, 0.55, 0.63, "USDA SR WEIGHT.txt 12023 cup 144, tbsp 9.0"),
    Density("poppy seed", "other", 0.595, 0.55, 0.63, "USDA SR WEIGHT.txt 02033 tsp 2.8, tbsp 8.8"),
    Density("sunflower kernels", "other", 0.592, 0.54, 0.6, "USDA SR WEIGHT.txt 12036 cup 140; roasted 128 to 135"),
    Density("pumpkin kernels", "other", 0.545, 0.5, 0.56, "USDA SR WEIGHT.txt 12014 cup 129, roasted 118"),
    Density("linseed, whole", "other", 0.71, 0.68, 0.72, "USDA SR WEIGHT.txt 12220 cup 168, tbsp 10.3"),
    Density("linseed, ground", "other", 0.473, 0.45, 0.52, "USDA SR WEIGHT.txt 12220 tbsp 7.0"),
    Density("caraway seed", "other", 0.426, 0.42, 0.46, "USDA SR WEIGHT.txt 02005 tsp 2.1, tbsp 6.7"),
    Density("fennel, anise seed", "other", 0.406, 0.39, 0.46, "USDA SR WEIGHT.txt 02018 tsp 2.0; 02002 2.1"),
    Density("cardamom, ground", "other", 0.406, 0.38, 0.42, "USDA SR WEIGHT.txt 02006 tsp 2.0, tbsp 5.8"),
    Density("cinnamon, ground", "other", 0.527, 0.5, 0.55, "USDA SR WEIGHT.txt 02010 tsp 2.6, tbsp 7.8"),
    Density("walnuts, chopped", "other", 0.495, 0.42, 0.52, "USDA SR WEIGHT.txt 12155 chopped 117, halves 100"),
    Density("almonds, whole", "other", 0.604, 0.58, 0.62, "USDA SR WEIGHT.txt 12061 whole 143, sliced 92, ground 95"),
    Density("parmesan, grated", "other", 0.423, 0.34, 0.43, "USDA SR WEIGHT.txt 01032 cup 100"),
    Density("vinegar", "other", 1.01, 1.0, 1.01, "USDA SR WEIGHT.txt 02048 tbsp 14.9"),
)  # fmt: skip

BY_NAME: dict[str, Density] = {row.name: row for row in DENSITIES}
