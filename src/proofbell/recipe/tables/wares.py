"""What an ingredient is by its name: kind, allergens, density, water. The first row whose words are in the name holds.

Water shares (percent of its own weight) are those of USDA SR, file ABBREV, where they differ from the kind's usual
one: honey 19296, syrup 19350, treacle 19304, maple 19353, cream 01053, sour cream 01056, yolk 01125, white 01124.
Spelt, emmer, einkorn and khorasan are wheat by Regulation (EU) 1169/2011, annex II.
"""

from __future__ import annotations

import re
from typing import Final

from proofbell.recipe.model import Ware

_MILK, _EGG, _WHEAT = ("milk",), ("egg",), ("wheat",)

WARES: Final = (
    # Starters before flours: "rye starter" is a starter.
    Ware(r"starter|levain|leaven|sourdough|poolish|biga|sponge|pâte fermentée|sour\b(?! c)|preferment", "preferment"),
    Ware(r"(?:fast|quick|easy|rapid|instant|bread machine|rapid-rise)\S*(?: \S+){0,3} yeast|"
         r"yeast.*(?:instant|fast|quick|easy|rapid)", "yeast", "yeast, dry, instant", form="instant"),
    Ware(r"(?:active|dried active)(?: \S+){0,2} yeast|yeast.*active", "yeast", "yeast, dry, active", form="active dry"),
    Ware(r"(?:fresh|compressed|cake|cube|block)(?: \S+){0,2} yeast|yeast.*fresh|baker'?s'? yeast", "yeast",
         form="fresh"),
    Ware(r"(?:dried|dry)(?: \S+){0,2} yeast|yeast.*dr(?:y|ied)|\byeast\b", "yeast", "yeast, dry, active"),
    Ware(r"baking powder|baking soda|bicarbonate|cream of tartar|ascorbic|vitamin c", "other"),
    # Plant milks and creams before milk.
    Ware(r"(?:soya?|soy) (?:milk|drink|yog)", "milk", "milk, skimmed", ("soya",), water_percent=90),
    Ware(r"almond (?:milk|drink)", "milk", "water", ("almond",), water_percent=96),
    Ware(r"oat (?:milk|drink)", "milk", "milk, skimmed", ("oats",), water_percent=90),
    Ware(r"coconut (?:milk|cream|drink)", "milk", "cream, whipping 36 %", water_percent=70),
    Ware(r"(?:milk powder|(?:powdered|dried|dry)(?: \S+){0,2} milk)", "dry milk", "milk powder, skimmed", _MILK),
    Ware(r"peanut butter", "fat", None, ("peanut",), water_percent=1),
    Ware(r"(?:cocoa|shea|nut|almond) butter", "fat", None, water_percent=1),
    Ware(r"buttermilk", "milk", "buttermilk", _MILK),
    Ware(r"sour(?:ed)? cream|crème fraîche|creme fraiche", "milk", "sour cream", _MILK, water_percent=71),
    Ware(r"cream cheese|mascarpone|ricotta|quark|cottage cheese|curd", "other", None, _MILK, water_percent=60),
    Ware(r"\bcream\b", "milk", "cream, whipping 36 %", _MILK, water_percent=58),
    Ware(r"yog(?:h)?urt|kefir|skyr", "milk", "yoghurt, plain", _MILK),
    Ware(r"condensed milk", "sugar", "honey", _MILK, water_percent=27),
    Ware(r"skim(?:med)?(?: \S+)? milk|\bwhey\b", "milk", "milk, skimmed", _MILK),
    Ware(r"\bmilk\b(?! chocolate)", "milk", "milk, whole", _MILK),
    Ware(r"yolks?\b", "egg", None, _EGG, water_percent=52.3),
    Ware(r"egg whites?|whites? of", "egg", None, _EGG, water_percent=87.6),
    Ware(r"\begg[\s-]?wash\b", "egg", None, _EGG),
    Ware(r"\beggs?\b", "egg", None, _EGG),
    # Fats. Oil and lard hold no water.
    Ware(r"margarine|baking spread|vegan butter|plant butter", "fat", "butter"),
    Ware(r"\b(?:butter|ghee)\b", "fat", "butter", _MILK),
    Ware(r"lard|shortening|suet|dripping|vegetable fat|coconut oil", "fat", "lard, shortening", water_percent=0),
    Ware(r"olive oil", "fat", "olive oil", water_percent=0),
    Ware(r"sesame oil", "fat", "olive oil", ("sesame",), water_percent=0),
    Ware(r"walnut oil", "fat", "olive oil", ("walnut",), water_percent=0),
    Ware(r"hazelnut oil", "fat", "olive oil", ("hazelnut",), water_percent=0),
    Ware(r"almond oil", "fat", "olive oil", ("almond",), water_percent=0),
    Ware(r"\boil\b", "fat", "rapeseed, sunflower oil", water_percent=0),
    # Salt.
    Ware(r"kosher salt|coarse(?: \S+)? salt|salt.*coarse", "salt", "salt, coarse, rolled grain"),
    Ware(r"(?:flak\w+|fleur de sel)(?: \S+){0,2} salt|salt (?:flakes|crystals)|flaked sea salt|fleur de sel", "salt",
         "salt, sea flakes"),
    Ware(r"\bsalt\b", "salt", "salt, table or fine"),
    # Sugars.
    Ware(r"malt(?:ed)? (?:extract|syrup)|barley malt", "sugar", "malt syrup", ("barley",), water_percent=21),
    Ware(r"malt (?:powder|flour)|diastatic", "other", None, ("barley",)),
    Ware(r"maple syrup", "sugar", "maple syrup", water_percent=32),
    Ware(r"treacle|molasses", "sugar", "treacle, molasses", water_percent=22),
    Ware(r"syrup|glucose", "sugar", "golden or corn syrup", water_percent=23),
    Ware(r"honey", "sugar", "honey", water_percent=17),
    Ware(r"icing sugar|powdered sugar|confectioner'?s'? sugar", "sugar", "sugar, icing"),
    Ware(r"(?:brown|muscovado|demerara)(?: \S+)? sugar|muscovado|demerara|jaggery", "sugar", "sugar, brown, packed"),
    Ware(r"sugar", "sugar", "sugar, white"),
    Ware(r"marzipan|almond paste|frangipane", "other", None, ("almond",)),
    # Things with "flour", "rye", "oat" in their names that are no flour of the dough, then flours.
    Ware(r"potato (?:flour|starch)", "other", "potato flour"),
    Ware(r"corn\s?(?:flour|starch)|tapioca|arrowroot", "other", "cornflour, starch"),
    Ware(r"vital wheat gluten|wheat gluten|gluten", "other", None, _WHEAT),
    Ware(r"bran\b", "flour", "wheat bran", _WHEAT),
    Ware(r"wheat\s?germ", "flour", "wheat germ", _WHEAT),
    Ware(r"oat ?flour", "flour", "oat flour", ("oats",)),
    Ware(r"\boats?\b|oatmeal|porridge", "other", "rolled oats", ("oats",)),
    Ware(r"barley", "flour", "barley flour", ("barley",)),
    Ware(r"(?:whole ?meal|whole ?grain|whole|dark|pumpernickel)(?: \S+){0,2} rye|rye.*(?:whole|dark)|rye meal", "flour",
         "rye flour, dark or wholemeal", ("rye",)),
    Ware(r"\brye\b(?!.*\b(?:seed|bread)\b)", "flour", "rye flour, light or medium", ("rye",)),
    Ware((r"(?:rice|maize|corn|buckwheat|chickpea|gram|sorghum|millet|teff|gluten.free) ?(?:flour"
r"|meal)|polenta|\bmasa\b"),
         "flour", "maize meal"),
    Ware(r"soya? flour", "flour", "maize meal", ("soya",)),
    Ware(r"almond (?:flour|meal)|ground almonds?", "other", None, ("almond",)),
    Ware(r"hazelnut (?:flour|meal)|ground hazelnuts?", "other", None, ("hazelnut",)),
    Ware(r"nut (?:flour|meal)", "other", None, ("nuts",)),
    Ware(r"cracked wheat|bulgh?ur|wheat flakes|couscous", "other", None, _WHEAT),
    Ware(r"semolina|durum", "flour", "semolina", _WHEAT),
    Ware(r"whole ?(?:meal|wheat|grain)|brown flour|graham|granary|malthouse|atta\b|spelt.*whole", "flour",
         "wholemeal wheat flour", _WHEAT),
    Ware(r"spelt|einkorn|emmer|khorasan", "flour", "wholemeal wheat flour", _WHEAT),
    Ware(r"plain(?: white)? flour|all.purpose|self.raising|\bap flour|soft(?: \S+)? flour|pastry flour", "flour",
         "white flour, plain", _WHEAT),
    Ware(r"\bflour\b", "flour", "white flour, strong", _WHEAT),
    # On and in the dough.
    Ware(r"sesame|tahini", "other", "sesame seed", ("sesame",)),
    Ware(r"poppy", "other", "poppy seed"),
    Ware(r"sunflower", "other", "sunflower kernels"),
    Ware(r"pumpkin seed|pumpkin kernel|pepitas", "other", "pumpkin kernels"),
    Ware(r"ground (?:linseed|flax)", "other", "linseed, ground"),
    Ware(r"linseed|flax", "other", "linseed, whole"),
    Ware(r"caraway|cumin|nigella", "other", "caraway seed"),
    Ware(r"fennel|anise|aniseed", "other", "fennel, anise seed"),
    Ware(r"cardamom", "other", "cardamom, ground"),
    Ware(r"cinnamon|mixed spice|nutmeg|allspice|\bspice", "other", "cinnamon, ground"),
    Ware(r"walnut", "other", "walnuts, chopped", ("walnut",)),
    Ware(r"almond", "other", "almonds, whole", ("almond",)),
    Ware(r"hazelnut", "other", "almonds, whole", ("hazelnut",)),
    Ware(r"pecan", "other", "walnuts, chopped", ("pecan",)),
    Ware(r"pistachio", "other", "almonds, whole", ("pistachio",)),
    Ware(r"cashew", "other", "almonds, whole", ("cashew",)),
    Ware(r"peanut", "other", "almonds, whole", ("peanut",)),
    Ware(r"\bnuts\b", "other", "walnuts, chopped", ("nuts",)),
    Ware(r"parmesan|cheddar|gruy|cheese|feta|mozzarella", "other", "parmesan, grated", _MILK, water_percent=37),
    Ware(r"vinegar", "other", "vinegar", water_percent=95),
    Ware(r"cocoa", "other", "cocoa"),
    Ware(r"chocolate", "other", "raisins", _MILK),
    Ware(r"mustard", "other", "vinegar", ("mustard",)),
    Ware(r"currants", "other", "currants, dried"),
    Ware(r"apricot|sultana|mixed (?:fruit|peel)|candied|dried fruit", "other", "raisins", ("sulphites",)),
    Ware(r"raisin|cranberr|dates?\b|prunes?|figs?\b|cherries", "other", "raisins"),
    Ware(r"beer|ale\b|stout|lager", "water", "water", ("barley",)),
    Ware(r"orange juice|apple juice|\bjuice\b|\btea\b|coffee|cider", "water", "water"),
    Ware(r"\bwater\b", "water", "water"),
    Ware(r"zest|vanilla|rosemary|thyme|herb|garlic|onion|olives?\b|tomato|potato|pepper|seeds?\b|lemon|orange|apple|"
         r"carrot|pumpkin|banana|jam\b|bacon|ham\b|saffron|coriander|turmeric|paprika|chill?i|basil|sage\b|dulse",
         "other"),
    Ware(r"ice\b", "water", "water"),
)  # fmt: skip
ROWS: Final = tuple(
    (re.compile(rf"(?:{ware.words})" if ware.words[0] in "\\(" else rf"\b(?:{ware.words})", re.IGNORECASE), ware)
    for ware in WARES
)


def ware_of(name: str) -> Ware | None:
    """What is known of an ingredient of that name; None when no row knows it."""
    return next((ware for words, ware in ROWS if words.search(name)), None)


FLOUR: Final = re.compile(r"(?i)\bflours?\b")
"""Any flour, in the words of a method."""
