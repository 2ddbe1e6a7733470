"""What an item weighs: a weight goes before a packet, a packet before a spoon; each guess with its reason."""

from __future__ import annotations

from dataclasses import replace

from proofbell import words
from proofbell.formula.foods.densities import BY_NAME, Density
from proofbell.recipe.answers import YES, number
from proofbell.recipe.model import Amount, Country, Guess, Item, Weighed
from proofbell.recipe.tables.units import EGG_G, EGG_UNSAID, GRAMS, KNOB_G, LOOSE_ML, ML, PACKET_G, PINCH_G, STICK_G

CUP_BY_FILLING = {
    "spooned": 0.541,
    "leveled": 0.541,
    "levelled": 0.541,
    "sifted": 0.508,
    "scooped": 0.66,
    "dipped": 0.66,
}
"""Grams of strong flour in a millilitre by how the cup is filled: Beranbaum, 120, 128 and 156 g a cup.

Plain flour lies 8 % lower: sifted 113, spooned 120, scooped 142 g.
"""
SALT_BY_GRAIN = {
    "fine": "salt, table or fine",
    "grains": "salt, coarse, rolled grain",
    "flakes": "salt, coarse, hollow flake",
}
"""Rows of the densities by what a coarse salt may be."""
_PLAIN_SHARE = 0.94
_FILLED = ("white flour, plain", "white flour, strong")
NO_AMOUNT = "no amount is written"
_MATTERS = 0.12


def weigh(item: Item, country: Country) -> Weighed:
    """The grams of an item as that country measures; None where it has no amount, or a percentage."""
    chosen = _chosen(item)
    if chosen is None or chosen.unit == "%":
        return Weighed(None)
    found = _one(item, chosen, country)
    if found.grams is None or not item.plus:
        return found
    more = [_one(item, each, country) for each in item.plus]
    return Weighed(
        found.grams + sum(each.grams or 0.0 for each in more), found.low, found.high,
        tuple(dict.fromkeys((*found.guesses, *(guess for each in more for guess in each.guesses)))),
    )  # fmt: skip


def as_answered(item: Item, country: Country, said: str) -> Weighed:
    """The grams of an item by what the baker said to its guesses: yes, a word, or a weight; one guess is left."""
    found = weigh(item, country)
    asked = next((guess for guess in found.guesses if guess.ask), found.guesses[-1] if found.guesses else None)
    if asked is None and item.amounts:
        return found
    typed = number(said, "weight")
    ware = item.ware
    if said == YES:
        grams = found.grams
    elif typed is not None:
        grams = typed
    elif asked is None or said not in asked.options:
        return found
    elif ware is not None and ware.kind == "salt":
        grams = weigh(replace(item, ware=replace(ware, density=SALT_BY_GRAIN[said])), country).grams
    else:
        grams = weigh(replace(item, note=(said, *item.note), size=item.size or said), country).grams
    if grams is None:
        return found
    told = words.grams(grams, _step(grams))
    if asked is None:
        asked = Guess(item.line, item.name, "", NO_AMOUNT, ask=True, takes="weight")
    return Weighed(grams, guesses=(replace(asked, value=told, said=said),))


def _chosen(item: Item) -> Amount | None:
    """The amount that is trusted most: weights, packets, then millilitres, then spoons and cups."""
    ranks = {**dict.fromkeys(GRAMS, 1), "cube": 2, "packet": 2, "stick": 2, "egg": 3, "ml": 4, "l": 4, "dl": 4}
    return min(item.amounts, key=lambda each: ranks.get(each.unit, 5), default=None)


def _one(item: Item, amount: Amount, country: Country) -> Weighed:
    middle = amount.middle
    guesses: tuple[Guess, ...] = ()
    if amount.high is not None:
        said = f"{amount.low:g} to {amount.high:g} {amount.unit}"
        guesses = (Guess(item.line, item.name, f"{middle:g} {amount.unit}", f"{said}: the middle", takes="weight"),)
    if amount.unit in GRAMS:
        each = GRAMS[amount.unit]
        high = None if amount.high is None else amount.high * each
        return Weighed(middle * each, amount.low * each if high else None, high, guesses)
    if amount.unit == "egg":
        return _eggs(item, middle, country, guesses)
    if amount.unit in ("packet", "cube"):
        return _packet(item, amount, country, guesses)
    if amount.unit in ML[country]:
        return _volume(item, middle, middle * ML[country][amount.unit], amount.unit, guesses)
    return _loose(item, amount, guesses)


def _loose(item: Item, amount: Amount, guesses: tuple[Guess, ...]) -> Weighed:
    """Sticks, pinches, knobs, handfuls; a bare count cannot be weighed."""
    middle = amount.middle
    if amount.unit == "stick":
        return Weighed(
            middle * STICK_G, guesses=(*guesses, _told(item, middle * STICK_G, "a stick of butter is 113 g"))
        )
    for unit, (usual, low, high), why in (
        ("pinch", PINCH_G, "a pinch, 0.3 to 0.5 g"),
        ("knob", KNOB_G, "a knob, 10 to 20 g"),
    ):
        if amount.unit == unit:
            return Weighed(middle * usual, middle * low, middle * high, (*guesses, _told(item, middle * usual, why)))
    density = _density(item)
    if amount.unit in LOOSE_ML and density is not None:
        each_ml = LOOSE_ML[amount.unit]
        found = middle * each_ml * density.g_per_ml
        why = f"a {amount.unit} taken as {each_ml:g} ml"
        return Weighed(found, guesses=(*guesses, _told(item, found, why, ask=True)))
    asked = Guess(item.line, item.name, "", "nothing says what one weighs", ask=True, takes="weight")
    return Weighed(None, guesses=(*guesses, asked))


def _eggs(item: Item, count: float, country: Country, guesses: tuple[Guess, ...]) -> Weighed:
    sizes = EGG_G[country]
    size = item.size if item.size in sizes else EGG_UNSAID[country]
    part = 2 if "yolk" in item.name.lower() else 1 if "white" in item.name.lower() else 0
    grams = count * sizes[size][part]
    if item.use != "dough":
        return Weighed(grams, guesses=guesses)
    if not item.size:
        why = f"size not said: {size} taken, {sizes[size][0]:g} g without the shell; XL is {sizes['XL'][0]:g} g"
        guesses = (*guesses, _told(item, grams, why, ask=True, options=tuple(sizes)))
    else:
        guesses = (*guesses, _told(item, grams, f"{sizes[size][part]:g} g each, size {size}, without the shell"))
    return Weighed(grams, guesses=guesses)


def _packet(item: Item, amount: Amount, country: Country, guesses: tuple[Guess, ...]) -> Weighed:
    if item.ware is None or item.ware.kind != "yeast":
        return _loose(item, amount, guesses)
    form = "fresh" if item.ware.form == "fresh" or amount.unit == "cube" else "dry"
    grams = amount.middle * PACKET_G[form][country]
    why = "a cube is 42 g in Germany and France, 25 g in Italy, 50 g in the north, a US cake 17 g"
    why = why if form == "fresh" else "a packet of dry yeast is 7 g nearly everywhere, 12 g in the north"
    return Weighed(grams, guesses=(*guesses, _told(item, grams, why)))


def _volume(item: Item, amount: float, ml: float, unit: str, guesses: tuple[Guess, ...]) -> Weighed:
    density = _density(item)
    if density is None:
        density = Density("water", "other", 1.0, 0.4, 1.4, "taken as water")
        why = "its weight by volume is not known: taken as water"
        return Weighed(ml, ml * 0.4, ml * 1.4, (*guesses, _told(item, ml, why, ask=True)))
    usual = density.g_per_ml
    grams, low, high = ml * usual, ml * density.low, ml * density.high
    if item.ware is not None and item.ware.kind == "water":
        return Weighed(grams, guesses=guesses)
    filled = _filling(item)
    if item.ware is not None and item.ware.kind == "flour" and filled is not None:
        grams = ml * filled[1]
        return Weighed(grams, grams * 0.96, grams * 1.04, (*guesses, _told(item, grams, f"{filled[0]} cups")))
    if spread_is_small(density):
        return Weighed(grams, guesses=guesses)
    span = f"{words.grams(low, _step(low))} to {words.grams(high, _step(high))} by what sources say"
    spread = (high - low) / (2 * grams) if grams else 0.0
    unit = "cups" if unit == "cup" and amount > 1 else unit
    why, ask = f"{amount:g} {unit}; {span}", False
    options: tuple[str, ...] = ()
    if item.ware is not None and item.ware.kind == "flour" and spread > _MATTERS:
        why, ask = f"{why}: were the cups spooned or scooped?", True
        options = ("spooned", "scooped", "sifted") if item.ware.density in _FILLED else ()
    elif item.ware is not None and item.ware.kind == "salt":
        coarse = item.ware.density != "salt, table or fine"
        why = f"{amount:g} {unit} of coarse salt: 2.8 to 5 g a teaspoon by its grain" if coarse else why
        ask = coarse
        options = tuple(SALT_BY_GRAIN) if coarse else ()
    return Weighed(grams, low, high, (*guesses, _told(item, grams, why, ask=ask, options=options)))


def _density(item: Item) -> Density | None:
    name = item.ware.density if item.ware else None
    return BY_NAME[name] if name is not None else None


def spread_is_small(density: Density) -> bool:
    """Whether all sources give about the same weight, so that nothing is guessed."""
    return density.high - density.low < 0.03 * density.g_per_ml


def _filling(item: Item) -> tuple[str, float] | None:
    said = " ".join(item.note).lower()
    plain = item.ware is not None and item.ware.density == "white flour, plain"
    for word, density in CUP_BY_FILLING.items():
        if word in said and item.ware is not None and item.ware.density in _FILLED:
            return word, density * (_PLAIN_SHARE if plain else 1.0)
    return None


def _step(grams: float) -> float:
    return 1.0 if grams >= 20 else 0.1


def _told(item: Item, grams: float, why: str, *, ask: bool = False, options: tuple[str, ...] = ()) -> Guess:
    return Guess(item.line, item.name, words.grams(grams, _step(grams)), why, ask, options, "weight")
