"""Which of a formula's allergens must be named, by the law of the EU (and UK) and of the US.

EU: Regulation (EU) 1169/2011, Annex II (fourteen); the UK kept the list. US: the nine major food allergens of the
Federal Food, Drug and Cosmetic Act, sesame since the FASTER Act of 2021. Local rules and licensed advice come first.
"""

from __future__ import annotations

from collections.abc import Iterable

from proofbell.formula.danger_zone import Region
from proofbell.formula.foods.contains import contained_in, not_known
from proofbell.formula.ingredients import NUTS
from proofbell.formula.model import Formula

EU: dict[str, tuple[str, ...]] = {
    "cereals containing gluten": ("wheat", "rye", "barley", "oats"),
    "crustaceans": ("crustaceans",),
    "egg": ("egg",),
    "fish": ("fish",),
    "peanuts": ("peanut",),
    "soya": ("soya",),
    "milk": ("milk",),
    "nuts": ("nuts", *NUTS),
    "celery": ("celery",),
    "mustard": ("mustard",),
    "sesame": ("sesame",),
    "sulphites": ("sulphites",),
    "lupin": ("lupin",),
    "molluscs": ("molluscs",),
}
US: dict[str, tuple[str, ...]] = {
    "milk": ("milk",),
    "egg": ("egg",),
    "fish": ("fish",),
    "crustacean shellfish": ("crustaceans",),
    "tree nuts": ("nuts", *NUTS),
    "peanuts": ("peanut",),
    "wheat": ("wheat",),
    "soybeans": ("soya",),
    "sesame": ("sesame",),
}

_NAMED_ONE_BY_ONE = frozenset({"cereals containing gluten", "nuts", "tree nuts"})


def eu_allergens(contains: Iterable[str]) -> tuple[str, ...]:
    """Return the EU's allergens in what is contained, in the order of the law; cereals and nuts with their names."""
    return _listed(contains, EU)


def us_allergens(contains: Iterable[str]) -> tuple[str, ...]:
    """Return the US major allergens in what is contained; nuts with their names."""
    return _listed(contains, US)


def named_alone(contains: Iterable[str], region: Region) -> tuple[str, ...]:
    """Return the region's allergens as they are named in a list of what is in it: each cereal and nut by its own name.

    Nuts that nobody named beside one that is named are "other nuts": the one says nothing of them.
    Commission Notice 2017/C 428/01: the cereal itself must be named ("wheat"), the word gluten may be.
    """
    law = US if region == "us" else EU
    words = [word for group in law.values() for word in group]
    names = {word: allergen for allergen, group in law.items() for word in group if allergen not in _NAMED_ONE_BY_ONE}
    present = {name.strip().casefold() for name in contains}
    here = [names.get(word, word) for word in words if word in present]
    if "nuts" in here and (named := [word for word in here if word in NUTS]):
        here.insert(here.index(named[-1]) + 1, "other nuts")
        here.remove("nuts")
    return (*here, *_unlisted(present))


def contained(formula: Formula) -> tuple[str, ...]:
    """Return what is contained, told or certain: in the dough, on the pieces, and on tin, tray or basket."""
    return tuple(name for line in (*formula.ingredients, *formula.outside) for name in contained_in(line))


def with_unknown(listed: Iterable[str], formula: Formula, none: str = "none named") -> str:
    """``wheat, milk; not known: mayonnaise``: a list, and of what nobody has said what is in it; never cut off."""
    return in_one_line(listed, not_known(formula), none)


def as_lists(eu: Iterable[str], us: Iterable[str], unknown: Iterable[str]) -> dict[str, list[str]]:
    """Both lists as scripts get them; ``unknown``, where there is any, makes both incomplete."""
    lists = {"eu": list(eu), "us": list(us), "unknown": list(unknown)}
    return lists if lists["unknown"] else {"eu": lists["eu"], "us": lists["us"]}


def in_one_line(listed: Iterable[str], unknown: Iterable[str], none: str = "none named") -> str:
    """As `with_unknown`; ``none`` is said where there is nothing of either."""
    named, open_ = ", ".join(listed), ", ".join(unknown)
    told = f"not known: {open_}" if open_ else ""
    return "; ".join(part for part in (named, told) if part) or none


def _listed(contains: Iterable[str], law: dict[str, tuple[str, ...]]) -> tuple[str, ...]:
    present = {name.strip().casefold() for name in contains}
    found: list[str] = []
    for allergen, words in law.items():
        here = [word for word in words if word in present]
        own = [word for word in here if word != "nuts"]
        named = ", ".join([*own, "others"] if own and own != here else own)
        if here:
            found.append(f"{allergen} ({named})" if named and allergen in _NAMED_ONE_BY_ONE else allergen)
    return (*found, *_unlisted(present))


def _unlisted(present: set[str]) -> list[str]:
    """What neither law lists is still told: a warning too many hurts nobody."""
    return sorted(present - {word for words in EU.values() for word in words})
