"""What is published for breads such as the house formulas: the span of the sources named, as data.

Percentages are of all flour, yeast is taken as instant: fresh × 0.33, active dry × 0.75. Temperatures in °C, proofs in
minutes at their source's own temperatures, levains, sours, poolishes and retards in hours.
"""

from __future__ import annotations

from dataclasses import dataclass, field

TM = "US Armed Forces Recipe Service, TM 10-412"
GISSLEN = "Gisslen, Professional Baking"
HAMELMAN = "Hamelman, Bread"
HONEY = "National Honey Board"
LEAN_CORE = "A. Cohn, Bread-Bakers mailing list 2008: 93–98 °C lean"
RICH_CORE = "A. Cohn, Bread-Bakers mailing list 2008: 85–91 °C enriched; others go to 96 °C"
HOME_TINS = "risenflour.com.au, 1.67–1.78 ml/g; eurotins.co.uk and daveiscooking.com, about 2.3 ml/g"

Range = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Published:
    """The ranges of one bread, and who published them; of ``by_custom`` no source was found: common practice."""

    ranges: dict[str, Range]
    sources: tuple[str, ...]
    by_custom: dict[str, Range] = field(default_factory=dict)


PUBLISHED: dict[str, Published] = {
    "pilots-milk-buns": Published(
        {
            "all water": (50, 68),
            "sugar": (1.4, 17),
            "fat": (3.8, 16.7),
            "salt": (1.2, 2.1),
            "yeast": (1.2, 1.8),
            "dough": (26, 30),
            "first proof": (30, 60),
            "final proof": (40, 60),
            "oven": (180, 240),
            "bake": (10, 18),
            "piece": (30, 60),
            "core": (85, 96),
        },
        (
            "bakingmatters.co.uk, soft dinner rolls: 56 g, dough 29 °C, bulk 30 min, 240 °C for 10 to 12 min",
            f"{TM} D-33: water 60.4, sugar 12.5, fat 13.5, salt 2.1, active dry yeast 2.1",
            f"{HONEY}, white rolls, bakemag.com/articles/10923: dough 26 °C, 30 g, proof 40 to 55 min",
            "washoku.guide/recipe/1187821: fat 16.7, salt 1.2, 30 °C for 50 to 60 min",
            "hirokoliston.com/butter-rolls: 180 °C for about 15 min",
            RICH_CORE,
        ),
    ),
    "harbour-knots": Published(
        {
            "all water": (46, 64),
            "egg": (0, 18),
            "sugar": (11, 17.5),
            "fat": (11, 20),
            "salt": (0.6, 1.9),
            "yeast": (1.4, 3.8),
            "first proof": (30, 120),
            "final proof": (30, 60),
            "oven": (180, 250),
            "bake": (8, 30),
            "core": (85, 96),
        },
        (
            "thegourmetmoose.com/cardamom-buns: milk 66, butter 19, sugar 12.8, active dry yeast 3.1, salt 0.8",
            "zhorigo.com/cardamom-buns: milk 57, butter and sugar 11 each, fresh yeast 5.6, 225 to 250 °C",
            "fooby.ch/en/recipes/amp.id-20761: butter 20, active dry yeast 1.4, salt 1.5, 2 h, 180 °C for 30 min",
            f"{TM} D-36, sweet dough: water 37.5, egg and sugar 17.5 each, fat 16.3, salt 1.9, active dry yeast 5",
            RICH_CORE,
        ),
        {"dough": (24, 28)},
    ),
    "regatta-brioche": Published(
        {
            "egg": (50, 52),
            "milk": (9, 25),
            "fat": (35, 70),
            "sugar": (5, 14),
            "salt": (1.9, 2.5),
            "yeast": (1.4, 2.3),
            "dough": (24, 26),
            "oven": (190, 204),
            "core": (85, 96),
        },
        (
            f"{GISSLEN}: milk 20, egg 50, butter 35 to 70, sugar 5, salt 2, fresh yeast 5; 190 °C large, 204 °C small",
            "Reinhart, middle-class brioche: milk 25, egg 51.6, butter 50, sugar 6.3, salt 1.9, instant yeast 1.4",
            "baking-forums.com, thread 7689: salt 2.5, sugar 12, fresh yeast 7, water 9",
            "likeastrawberrymilk.com: sugar up to 14",
            "voyoeats.com: dough and proof at 24 to 26 °C",
            RICH_CORE,
        ),
        {"bake": (25, 36)},
    ),
    "quay-pan-loaf": Published(
        {
            "water": (53, 62),
            "sugar": (2.8, 7),
            "fat": (2, 3.8),
            "salt": (1.2, 2.0),
            "yeast": (0.33, 1.8),
            "dough": (25.5, 27.8),
            "first proof": (25, 120),
            "final proof": (25, 65),
            "oven": (204, 232),
            "bake": (25, 40),
            "core": (93, 98),
            "tin": (1.67, 2.3),
        },
        (
            "American Society of Baking, white pan bread: water 62, fresh yeast 4, salt 2, sugar 7, fat 3.5",
            f"{TM} D-009: water 53.2, active dry yeast 1.9, sugar 2.8, milk powder 2.4, fat 3.8, salt 1.2",
            "US Army loaf, recipesnut.com: dough 25.6 to 27.8 °C, 2 h and 1 h, 218 °C for 35 to 40 min",
            "Wihlfahrt, A Treatise on Baking, sandwich bread: water 57.5, sugar 3.1, oil 2, salt 1.8, fresh yeast 1",
            LEAN_CORE,
            HOME_TINS,
        ),
        {"dry milk": (1, 4)},
    ),
    "ropewalk-wholemeal": Published(
        {
            "water": (57, 67),
            "sugar": (0, 21),
            "fat": (0, 12.6),
            "salt": (1.8, 2.0),
            "yeast": (0.7, 2.0),
            "dough": (25.5, 29),
            "first proof": (60, 150),
            "final proof": (30, 120),
            "oven": (177, 250),
            "bake": (22, 40),
            "core": (88, 98),
            "tin": (1.67, 2.3),
        },
        (
            "thecrowsrestbakehouse.gowyn.net: water 61, salt 1.8, oil 3.5, fresh yeast 2; 1 h and 1 h; core 98 °C",
            f"{HONEY}, honey whole wheat, bakemag.com/articles/10632: water 67, honey 7.7, fat 3, fresh yeast 3.5",
            f"{TM} D-055: active dry yeast 1.3; dough 25.6 to 27.8 °C, 2 h and 1 h, 191 °C",
            "jane2cook.blogspot.com, November 2019: water 57 to 64, oil 12.6, honey 21; 177 °C; core 88 °C",
            HOME_TINS,
        ),
    ),
    "lamplighter-loaf": Published(
        {
            "water": (67, 76),
            "prefermented": (25, 34.2),
            "salt": (1.8, 2.0),
            "yeast": (0.33, 0.7),
            "preferment's yeast": (0.1, 0.2),
            "preferment": (12, 16),
            "dough": (23.9, 26.7),
            "first proof": (90, 120),
            "final proof": (45, 60),
            "core": (93, 98),
        },
        (
            "King Arthur, French bread with poolish, bakemag.com/articles/10807: 33 % prefermented, water 67, salt 2",
            "a baking book, ISBN 9780062447937: water 68, poolish with 0.10 % instant yeast for 12 to 16 h, bulk 2 h",
            "goofydawg.net/tag/poolish: water 76, poolish with 0.2 % yeast",
            "dawghousebakery.com: 25 % prefermented, water 75, salt 2, yeast 0.7, dough 25.6 to 26.7 °C",
            LEAN_CORE,
        ),
        {"oven": (215, 240), "bake": (35, 50)},
    ),
    "boathook-baguettes": Published(
        {
            "water": (67, 76),
            "prefermented": (25, 34.2),
            "salt": (1.6, 2.25),
            "yeast": (0.08, 0.7),
            "preferment's yeast": (0.1, 0.2),
            "preferment": (8, 16),
            "dough": (20, 26.7),
            "first proof": (90, 120),
            "final proof": (35, 60),
            "piece": (225, 350),
            "core": (93, 98),
        },
        (
            "the sources of the lamplighter loaf",
            "starchefs.com, French baguette: 28.6 % prefermented, water 67.8, salt 1.6, poolish for 8 to 10 h",
            "shipton-mill.com, chilled sponge baguette: 300 g, dough 20 to 21 °C, 90 min, prove 35 to 40 min",
            "dawghousebakery.com: 225 or 335 g",
        ),
        {"oven": (230, 250), "bake": (20, 27)},
    ),
    "tidemark-sourdough": Published(
        {
            "water": (70, 80),
            "prefermented": (9, 33),
            "salt": (1.8, 2.1),
            "dough": (24, 26),
            "preferment": (5, 12),
            "first proof": (120, 360),
            "final proof": (120, 300),
            "retard": (12, 16),
            "oven": (225, 250),
            "bake": (40, 50),
            "core": (93, 98),
        },
        (
            f"{HAMELMAN}, Vermont sourdough, by marlenesfood.com: 15 % prefermented, 2.5 h and 2 to 3.5 h, 45 min",
            "Flour Water Salt Yeast, p. 197: 20 % prefermented, water 78, salt 2.1, levain 6 to 8 h, fridge 12 to 14 h",
            "pantry.bakinggreatbread.com: water 79.6, levain 8 to 12 h at 24 to 26 °C",
            "leviettebakery.com: water 75, bulk 4 to 6 h, fridge 12 to 16 h",
            "thefreshloaf.com/print/23199: 33 % prefermented, water 70, bulk 2 h, final 3 to 5 h",
            "flavorae.com: 250 °C covered for 20 min, 230 °C for 25 min",
        ),
    ),
    "coaling-pier-rye": Published(
        {
            "water": (68, 82),
            "prefermented": (28, 40),
            "salt": (1.8, 2.3),
            "yeast": (0, 0.4),
            "preferment": (12, 16),
            "dough": (27, 32),
            "first proof": (20, 60),
            "final proof": (40, 90),
            "oven": (200, 250),
            "bake": (45, 70),
            "core": (95, 98),
        },
        (
            f"{HAMELMAN}, 66 per cent sourdough rye: water 75, salt 1.8, 40 % prefermented, sour 14 to 16 h",
            "homebaking.at: half of the rye soured at 60 % rye; dough 30 to 32 °C",
            "xundundguat.com, September 2020: water 82, salt 2.3, fresh yeast 1.1, sour 13 to 15 h",
            "King Arthur, old bread rye, bakemag.com/articles/10888: dough 27 to 28 °C, 45 and 75 min",
            "thefreshloaf.com, a rye of 70 %: 28 % prefermented",
            "foodcoach.at: core 95 °C; selber-backen.de: 220, then 200 °C, 70 min",
        ),
    ),
    "breakwater-flatbread": Published(
        {
            "water": (70, 80),
            "fat": (2, 8),
            "salt": (2, 2.1),
            "yeast": (0.8, 1.6),
            "retard": (12, 48),
            "final proof": (120, 240),
            "oven": (204, 232),
            "bake": (20, 35),
            "core": (93, 98),
        },
        (
            "passportkitchen.com: water 80, salt 2, instant yeast 1.4, oil 8",
            "thefreshloaf.com/node/33820: water 72, oil 4.2, salt 2, 15 h in the cold",
            "flatbreadgarden.com/tag/focaccia: water 80, oil 3, 232 °C for 25 to 35 min, core at least 93 °C",
            "alexandracooks.com, March 2018: 18 to 24 h in the fridge",
            "culinarilyinclined.com: instant yeast 1.6, at least 12 h in the cold, then 2 to 4 h",
            "visualfoodie.com: instant yeast 0.8",
        ),
    ),
    "lantern-pittas": Published(
        {
            "water": (59.5, 72),
            "fat": (0, 6.3),
            "sugar": (0, 2.5),
            "salt": (1.2, 2.3),
            "yeast": (0.33, 1.8),
            "dough": (26, 28),
            "first proof": (45, 90),
            "final proof": (10, 45),
            "oven": (220, 316),
            "bake": (3, 6),
            "piece": (80, 150),
        },
        (
            "Joy of Cooking, p. 610: water 59.5, oil 6.3, sugar 2.5, active dry yeast 1.8, 260 °C for 4 to 4.5 min",
            "starchefs.com, crusty pita: water 62, salt 2, fresh yeast 1, 220 °C",
            "blog.singleton.io: water 72, 260 °C for 5 to 6 min",
            "johnnyskitchen.us, kebab bread: dough 27 to 28 °C, 45 min, 150 g, 316 °C for about 5 min",
            "barnardhealth.us, pita bread: 85 to 113 g, about 1 h, proof 30 to 45 min",
        ),
    ),
    "mooring-plait": Published(
        {
            "all water": (44, 56),
            "egg": (20, 30),
            "fat": (9, 17),
            "sugar": (7.5, 19),
            "salt": (1.3, 2.7),
            "yeast": (1.1, 1.9),
            "dough": (25.5, 27.8),
            "first proof": (60, 120),
            "final proof": (30, 90),
            "oven": (165, 204),
            "bake": (25, 50),
            "core": (87.8, 91),
        },
        (
            f"{GISSLEN}, challah: water 40, yolks 20, oil 10, sugar 7.5, salt 2, fresh yeast 3.75; 204 °C for 30 min",
            "bakewithtex.com/challah: egg 30, oil 9.1, sugar 14.3, salt 2.7, active dry yeast 2.5; 166 °C",
            "cooking.danglazier.me: water 38, oil 17, honey 19, egg 26, salt 1.3; core 87.8 °C",
            "mudz.me: 2 h and 1 h, 177 °C for 35 min, core 87.8 °C",
        ),
    ),
}
