"""What a food's name tells of the allergens in it: for certain, usually, or nothing at all.

The allergens are those of Regulation (EU) 1169/2011, Annex II, which holds all that the US names (FALCPA of 2004,
FASTER Act of 2021): spelt and its kin are wheat, celeriac is celery; Annex II and FALCPA spare soya oil only where it
is fully refined, so that is asked about. What bought mixtures usually contain is a hint where to look, never an answer:
common practice, no source. A name is read word by word, the longest row first; a plural is its singular.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from typing import Final, Literal

from proofbell.frozen import dataclass

CERTAIN: Final[dict[str, tuple[str, ...]]] = {
    "wheat": (
        "wheat", "spelt", "einkorn", "emmer", "khorasan", "farro", "durum", "semolina", "bulgur", "bulghur", "couscous",
        "seitan", "gluten", "triticale", "bread flour", "white flour", "strong flour", "plain flour", "soft flour",
        "all purpose flour", "self raising flour", "self rising flour", "pastry flour", "cake flour", "graham flour",
        "wholemeal flour", "brown flour", "00 flour", "type 00", "atta",
    ),
    "rye": ("rye", "triticale", "rye bread flour"),
    "barley": ("barley", "malt", "malt extract", "malt vinegar"),
    "oats": ("oat", "oatmeal", "oat milk", "oat drink", "oat cream"),
    "egg": ("egg", "yolk", "egg white", "egg wash", "meringue"),
    "milk": (
        "milk", "butter", "buttermilk", "cream", "cheese", "yogurt", "yoghurt", "kefir", "skyr", "whey", "casein",
        "ghee", "quark", "ricotta", "mascarpone", "parmesan", "cheddar", "gruyère", "gruyere", "feta", "mozzarella",
        "crème fraîche", "creme fraiche", "curd", "milk powder",
    ),
    "soya": (
        "soya", "soy", "soybean", "tofu", "tempeh", "edamame", "miso", "tamari", "bean curd", "soya milk", "soy milk",
        "soya drink", "soy drink", "soya cream", "soy cream", "soy sauce", "soya sauce",
    ),
    "sesame": ("sesame", "sesame seed", "tahini", "halva"),
    "almond": ("almond", "almond milk", "almond drink", "almond butter", "marzipan", "frangipane"),
    "hazelnut": ("hazelnut", "hazelnut milk", "hazelnut butter"),
    "walnut": ("walnut",),
    "cashew": ("cashew", "cashew butter", "cashew milk"),
    "pecan": ("pecan",),
    "brazil nut": ("brazil nut",),
    "pistachio": ("pistachio", "pistachio butter"),
    "macadamia": ("macadamia",),
    "nuts": ("nut", "nut butter", "nut milk", "mixed nut", "tree nut", "praline"),
    "peanut": ("peanut", "peanut butter", "groundnut"),
    "lupin": ("lupin", "lupine"),
    "mustard": ("mustard", "mustard seed"),
    "celery": ("celery", "celery seed", "celeriac"),
    "fish": (
        "fish", "fish sauce", "anchovy", "anchovie", "salmon", "tuna", "cod", "herring", "mackerel", "sardine",
        "haddock", "trout", "surimi",
    ),
    "crustaceans": ("crab", "prawn", "shrimp", "lobster", "crayfish", "langoustine"),
    "molluscs": ("mussel", "oyster", "squid", "clam", "scallop", "cockle", "whelk", "octopus", "oyster sauce"),
    "sulphites": ("sulphite", "sulfite"),
}  # fmt: skip
"""Rows by what is in them whoever made it."""

MIXTURES: Final[tuple[tuple[tuple[str, ...], tuple[str, ...]], ...]] = (
    (("margarine", "spread", "baking spread", "plant butter", "vegetable butter"), ("milk", "soya")),
    (("mayonnaise", "mayo", "aioli", "salad cream"), ("egg", "mustard")),
    (("pesto",), ("milk", "cashew", "nuts")),
    (("soy sauce", "soya sauce", "teriyaki", "hoisin", "tamari", "miso"), ("soya", "wheat", "barley")),
    (("fish sauce", "worcestershire", "worcester sauce"), ("fish", "barley")),
    (("oyster sauce",), ("molluscs", "soya", "wheat")),
    (("surimi", "crab stick", "fish stick"), ("fish", "crustaceans", "egg", "wheat")),
    (("sauce", "dressing", "ketchup", "relish", "chutney", "pickle", "gravy"), ("celery", "mustard", "wheat")),
    (("stock", "stock cube", "bouillon", "soup", "yeast extract"), ("celery", "barley", "wheat")),
    (("seasoning", "curry powder", "curry paste", "spice mix", "mixed spice", "mixed herb", "masala",
      "baharat", "ras el hanout"), ("mustard", "celery", "sesame")),
    (("mixed seed", "seed mix", "seed", "everything seasoning", "everything topping"), ("sesame",)),
    (("zaatar",), ("sesame", "wheat")),
    (("dukkah",), ("sesame", "hazelnut")),
    (("hummus", "houmous"), ("sesame",)),
    (("halva",), ("sesame", "nuts")),
    (("tapenade",), ("fish", "sulphites")),
    (("kimchi",), ("fish", "crustaceans", "soya")),
    (("mixed nut", "trail mix", "nut mix"), ("nuts", "peanut")),
    (("pine nut", "pinenut"), ("nuts",)),
    (("muesli", "granola", "cereal", "porridge", "mixed grain", "grain mix"), ("oats", "wheat", "barley", "nuts")),
    (("granary", "granary flour", "malthouse", "malthouse flour", "multigrain", "multigrain flour", "seeded",
      "seeded flour", "multi grain", "five grain", "seven grain"), ("wheat", "barley", "rye", "oats", "sesame")),
    (("flour mix", "flour blend", "bread mix", "cake mix", "mixed flour"), ("wheat", "soya", "milk")),
    (("breadcrumb", "bread crumb", "crumble", "biscuit", "cracker", "wafer", "cookie", "bread", "stale bread",
      "old bread", "panko", "streusel", "pretzel", "pastry", "puff pastry"), ("wheat", "milk", "egg", "soya")),
    (("baking powder",), ("wheat",)),
    (("improver", "bread improver", "dough conditioner", "conditioner", "lecithin"), ("wheat", "soya")),
    (("suet",), ("wheat",)),
    (("soya oil", "soybean oil", "soy oil", "vegetable fat", "peanut oil", "groundnut oil"), ("soya", "peanut")),
    (("chocolate", "milk chocolate", "white chocolate", "dark chocolate", "chocolate chip", "chocolate spread",
      "nut spread", "gianduja", "praline", "drinking chocolate"), ("milk", "soya", "hazelnut")),
    (("marzipan", "frangipane", "almond paste"), ("almond", "egg", "milk")),
    (("amaretti", "amaretto", "nougat", "turron"), ("almond", "egg")),
    (("custard", "pastry cream", "lemon curd", "pudding powder", "custard powder", "ice cream"), ("egg", "milk")),
    (("caramel", "toffee", "fudge", "sprinkle", "icing", "fondant", "marshmallow"),
     ("milk", "soya", "egg")),
    (("jam", "marmalade", "mincemeat", "apricot", "dried apricot", "dried fruit", "mixed fruit", "mixed peel",
      "candied", "candied peel", "candied fruit", "glacé cherry", "glace cherry", "glacé cherrie",
      "glace cherrie", "wine", "cider", "balsamic vinegar", "sun dried tomato"), ("sulphites",)),
    (("beer", "ale", "stout", "lager"), ("barley", "wheat")),
    (("sausage", "chorizo", "salami", "pepperoni", "meatball", "burger", "ham", "bacon"),
     ("wheat", "milk", "mustard", "sulphites")),
    (("egg replacer", "egg substitute", "protein powder"), ("soya", "milk", "lupin")),
    (("cream of coconut", "coconut cream", "coconut milk", "creamer"), ("milk", "sulphites")),
    (("malt powder", "malted milk"), ("barley", "wheat", "milk")),
)  # fmt: skip
"""What is bought ready made, or comes in many makes: what is in it stands on its packet. With what is often there."""

PLAIN: Final[tuple[str, ...]] = (
    "oil", "olive oil", "lard", "shortening", "dripping", "tallow", "cocoa butter", "shea butter", "coconut oil",
    "water", "ice", "salt", "sugar", "icing sugar", "honey", "syrup", "treacle", "molasses", "yeast", "starch",
    "cornflour", "corn flour", "cornstarch", "tapioca", "arrowroot", "potato flour", "potato starch", "rice",
    "rice flour", "maize", "cornmeal", "polenta", "masa", "buckwheat", "chickpea", "gram flour", "sorghum", "millet",
    "teff", "quinoa", "amaranth", "psyllium", "bicarbonate", "baking soda", "soda", "cream of tartar",
    "ascorbic acid", "vitamin c", "vinegar", "poppy", "poppy seed", "sunflower", "sunflower seed", "sunflower kernel",
    "pumpkin", "pumpkin seed", "pumpkin kernel", "pepita", "linseed", "flax", "flaxseed", "flax seed", "chia",
    "chia seed", "hemp seed", "caraway", "caraway seed", "cumin", "cumin seed", "nigella", "nigella seed", "fennel",
    "fennel seed", "anise", "anise seed", "aniseed", "coriander", "coriander seed", "cardamom", "cinnamon", "nutmeg",
    "mace", "allspice", "clove", "ginger", "saffron", "turmeric", "paprika", "chilli", "chili", "pepper",
    "peppercorn", "vanilla", "rosemary", "thyme", "oregano", "marjoram", "basil", "sage", "dill", "parsley", "chive",
    "mint", "bay", "herb", "garlic", "onion", "leek", "shallot", "olive", "tomato", "tomatoe", "potato", "potatoe",
    "carrot", "beetroot", "courgette", "spinach", "nettle", "dulse", "mushroom", "oyster mushroom", "raisin",
    "sultana", "currant", "cranberry", "cranberrie", "date", "prune", "fig", "cherry", "cherrie", "apple",
    "crab apple", "pear", "banana", "plum", "blueberry", "blueberrie", "raspberry", "raspberrie", "lemon", "orange",
    "lime", "zest", "peel", "juice", "coconut", "chestnut", "water chestnut", "cocoa", "cocoa powder", "coffee",
    "tea", "rose water", "orange flower water", "bean", "lentil", "pea",
)  # fmt: skip
"""Holds none of them where it is nothing else beside."""

_ANIMAL: Final = ("milk", "egg", "fish", "crustaceans", "molluscs")
_GLUTEN: Final = ("wheat", "rye", "barley")
_WITHOUT: Final[dict[str, tuple[str, ...]]] = {
    "vegan": _ANIMAL, "plant based": _ANIMAL, "dairy free": ("milk",), "milk free": ("milk",), "non dairy": ("milk",),
    "egg free": ("egg",), "gluten free": _GLUTEN, "wheat free": ("wheat",), "soya free": ("soya",),
    "soy free": ("soya",), "nut free": ("nuts",),
}  # fmt: skip
"""What a name says is not in it; so it is another thing, made of what its packet names."""


@dataclass(frozen=True, slots=True)
class Composition:
    """What a name tells. ``certain`` is in it; ``mixture``: more may be, ``usual`` often is.

    ``known``: a row has it.
    """

    certain: tuple[str, ...] = ()
    usual: tuple[str, ...] = ()
    mixture: bool = False
    known: bool = False


_Row = tuple[Literal["certain", "mixture", "plain", "without"], tuple[str, ...]]


@cache
def composition(name: str) -> Composition:
    """Return what the name of a food tells of what is in it."""
    words, found = _words(name), list[_Row]()
    at = 0
    while at < len(words):
        rows, taken = next(_longest(words, at), ((), 1))
        found += rows
        at += taken
    without = {each for kind, allergens in found if kind == "without" for each in allergens}
    certain = dict.fromkeys(each for kind, held in found if kind == "certain" for each in held if each not in without)
    usual = dict.fromkeys(each for kind, held in found if kind == "mixture" for each in held if each not in without)
    return Composition(
        tuple(certain), tuple(usual), any(kind in ("mixture", "without") for kind, _ in found), bool(found)
    )


def _longest(words: tuple[str, ...], at: int) -> Iterator[tuple[tuple[_Row, ...], int]]:
    """The rows that begin at a word, those of most words first, each with how many that are."""
    for taken in range(min(_MOST_WORDS, len(words) - at), 0, -1):
        rows = _rows().get(words[at : at + taken])
        if rows:
            yield rows, taken


_MOST_WORDS: Final = 4


@cache
def _rows() -> dict[tuple[str, ...], tuple[_Row, ...]]:
    """Every row by its words; one that holds something for certain can be a mixture as well."""
    made: dict[tuple[str, ...], tuple[_Row, ...]] = {_words(each): (("plain", ()),) for each in PLAIN}
    made |= {_words(each): (("without", held),) for each, held in _WITHOUT.items()}
    for allergen, names in CERTAIN.items():
        for each in names:
            made[_words(each)] = (*made.get(_words(each), ()), ("certain", (allergen,)))
    for names, usual in MIXTURES:
        for each in names:
            made[_words(each)] = (*made.get(_words(each), ()), ("mixture", usual))
    return made


def _words(name: str) -> tuple[str, ...]:
    """The words in their singular, as far as an s at the end makes a plural; what joins two words parts them."""
    letters = name.casefold().replace("'", "").replace("’", "")
    split = "".join(each if each.isalnum() else " " for each in letters).split()
    return tuple(
        word[:-1] if len(word) > 3 and word.endswith("s") and not word.endswith("ss") else word for word in split
    )
