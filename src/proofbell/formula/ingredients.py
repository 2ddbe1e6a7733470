"""The list [[ingredients]]: what goes in, in percentages of the flour or in weights."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any, get_args

from proofbell.formula.findings import Findings
from proofbell.formula.foods.added_later import added_at
from proofbell.formula.foods.densities import BY_NAME
from proofbell.formula.foods.measured import WeightOrMeasure, measured
from proofbell.formula.foods.outside import BESIDE, check_outside, is_outside, wanted_at
from proofbell.formula.kinds import Choice, Number, OneOrSeveral, Several, Text, YesNo, shown
from proofbell.formula.measures import Measure, WordOr
from proofbell.formula.model import EggSize, Ingredient, IngredientKind, Measured, PrefermentParts, Use, YeastForm
from proofbell.formula.tables import Draft, Field, Table, Tables
from proofbell.frozen import dataclass
from proofbell.quantities import Dimension

MOST_INGREDIENTS = 200
FLOUR_TOLERANCE_PERCENT = 0.05

KINDS: tuple[IngredientKind, ...] = get_args(IngredientKind)
FORMS: tuple[YeastForm, ...] = get_args(YeastForm)
USES: tuple[Use, ...] = get_args(Use)
SIZES: tuple[EggSize, ...] = get_args(EggSize)
# What Regulation (EU) No 1169/2011, annex II, wants named, in short words. Its nuts may also be named one by one.
NUTS = ("almond", "hazelnut", "walnut", "cashew", "pecan", "brazil nut", "pistachio", "macadamia")
ALLERGENS = (
    "wheat", "rye", "barley", "oats", "egg", "milk", "soya", "sesame", "nuts", *NUTS, "peanut", "lupin", "mustard",
    "celery", "fish", "crustaceans", "molluscs", "sulphites",
)  # fmt: skip

_ALSO_KINDS = (
    ("butter", "fat"), ("oil", "fat"), ("lard", "fat"), ("margarine", "fat"), ("honey", "sugar"), ("syrup", "sugar"),
    ("eggs", "egg"), ("milk powder", "dry milk"), ("dried milk", "dry milk"), ("starter", "preferment"),
    ("sourdough", "preferment"), ("sponge", "preferment"), ("seeds", "other"), ("spice", "other"), ("nuts", "other"),
    ("fruit", "other"), ("liquid", "water"), ("cream", "milk"), ("buttermilk", "milk"),
)  # fmt: skip
_ALSO_ALLERGENS = (
    ("gluten", "wheat"), ("spelt", "wheat"), ("dairy", "milk"), ("lactose", "milk"), ("butter", "milk"),
    ("soy", "soya"), ("tree nuts", "nuts"), ("eggs", "egg"), ("oat", "oats"), ("peanuts", "peanut"),
    ("sulfites", "sulphites"), ("sulphur dioxide", "sulphites"), ("almonds", "almond"),
)  # fmt: skip
_ALSO_FORMS = (
    ("dry", "active dry"), ("dried", "active dry"), ("active", "active dry"), ("quick", "instant"), ("fast", "instant"),
    ("compressed", "fresh"), ("cake", "fresh"), ("block", "fresh"),
)  # fmt: skip
_ALSO_USES = (
    ("top", "finish"), ("topping", "finish"), ("glaze", "finish"), ("wash", "finish"), ("piece", "finish"),
    ("tray", "tin"), ("basket", "tin"), ("bench", "tin"), ("dusting", "tin"), ("cloth", "tin"),
)  # fmt: skip

_PARTS = Number(0, 1_000_000)

MADE_OF = Table(
    "what a preferment is made of",
    (
        Field("flour", Number(0, 1_000_000, above=True), "Parts of flour by weight, on any scale.", required=True),
        Field("water", _PARTS, "Parts of water by weight, on the same scale.", required=True),
        Field("yeast", _PARTS, "Parts of yeast by weight."),
        Field("salt", _PARTS, "Parts of salt by weight."),
        Field("form", Choice("a form of yeast", FORMS, _ALSO_FORMS), "Form of its yeast."),
        Field("starter", _PARTS, "Parts of ripe starter by weight."),
        Field("starter_water", Number(0, 1000), "Water in the starter, to 100 of its flour."),
        Field("flour_name", Text(60), "Which flour that is, by its name on the weigh-out."),
    ),
)

INGREDIENT = Table(
    "an ingredient",
    (
        Field("name", Text(60), "What it is called on the weigh-out; no two alike.", required=True),
        Field("percent", Number(0, 1000), "Baker's percentage: its share of all flour."),
        Field(
            "weight",
            WeightOrMeasure(Measure(Dimension.MASS, 0, 1_000_000)),
            "Weight in place of a percentage, on every ingredient; or a cook's measure.",
        ),
        Field("use", Choice("a use", USES, _ALSO_USES), "In the dough, on the piece, or on tin, tray or basket."),
        Field("each", Measure(Dimension.MASS, 0, 100_000, above=True), "Weight for one piece, outside the dough."),
        Field("at", OneOrSeveral(Several(Text(60), 20)), "The stage at which it goes in, or is wanted before."),
        Field("guess", YesNo(), "Whether its amount is a guess, outside the dough."),
        Field("size", Choice("a size of egg", SIZES), "Size of counted eggs.", only=("egg",)),
        Field("like", Choice("a row of the table of measures", tuple(BY_NAME)), "What it weighs as, by volume."),
        Field("kind", Choice("a kind of ingredient", KINDS, _ALSO_KINDS), "What sort of thing it is.", required=True),
        Field("contains", Several(Choice("an allergen", ALLERGENS, _ALSO_ALLERGENS), 20), "Allergens in it."),
        Field(
            "heat",
            YesNo(),
            "The liquid that is warmed or cooled to reach the dough temperature.",
            only=("water", "milk", "other"),
        ),
        Field(
            "from",
            WordOr(("room", "fridge"), Measure(Dimension.TEMPERATURE, -30, 100)),
            "Where it is kept, or its temperature.",
        ),
        Field("water", Measure(Dimension.PERCENT, 0, 100), "Share of water in it, in place of its kind's."),
        Field("form", Choice("a form of yeast", FORMS, _ALSO_FORMS), "Form of the yeast.", only=("yeast",)),
        Field("made_of", MADE_OF, "What the preferment is made of.", only=("preferment",)),
    ),
    governed_by="kind",
    beside=BESIDE,
)

INGREDIENTS = Tables(INGREDIENT, MOST_INGREDIENTS)


@dataclass(frozen=True, slots=True)
class Amounts:
    """What the dough's amounts come to: percentages in the file's order, and the flour when the file is in weights.

    ``measured`` goes with them: how a cook measured what is weighed.
    """

    percents: tuple[float, ...]
    flour_g: float | None
    measured: tuple[Measured | None, ...]


def check_ingredients(
    drafts: Sequence[Draft], stages: Sequence[Draft], size: Draft | None, findings: Findings
) -> Amounts | None:
    """Refuse what does not go together; return the percentages of the dough when all of them are known.

    ``stages`` and ``size`` (the batch) are what ingredients outside the dough refer to.
    """
    _check_names(drafts, findings)
    _check_heat(drafts, findings)
    for draft in drafts:
        if draft.get("kind") == "preferment" and "made_of" not in draft.given:
            remedy = "Add made_of = { flour = 100, water = 100, yeast = 0.2 }"
            findings.error(draft.at("made_of"), "A preferment says what it is made of.", remedy)
    dough = [draft for draft in drafts if draft.get("use") == "dough" or "use" not in draft.given]
    in_weights = any("weight" in draft.given for draft in dough)
    check_outside(drafts, stages, size, findings, in_weights=in_weights)
    if not dough:
        if drafts:
            findings.error(("ingredients",), "Nothing here goes into the dough.", 'Take use = "finish" or "tin" out.')
        return None
    if not _check_one_way(dough, findings):
        return None
    return _amounts(dough, findings)


def _check_names(drafts: Sequence[Draft], findings: Findings) -> None:
    seen: set[str] = set()
    for draft in drafts:
        name: str | None = draft.get("name")
        if name is None:
            continue
        if name.casefold() in seen:
            remedy = 'Give each its own name, such as "water for the poolish".'
            findings.error(draft.at("name"), f"Two ingredients are called {shown(name)}.", remedy)
        seen.add(name.casefold())


def _check_heat(drafts: Sequence[Draft], findings: Findings) -> None:
    heated = [draft for draft in drafts if draft.get("heat") is True]
    for draft in heated[1:]:
        first = shown(heated[0].get("name", "another"))
        message = f"Only one liquid is warmed or cooled, and that is {first} already."
        findings.error(draft.at("heat"), message, "Keep heat = true on one ingredient.")


def _check_one_way(drafts: Sequence[Draft], findings: Findings) -> bool:
    """Whether every amount is there, all of them percentages or all of them weights."""
    in_weights = next((name for draft in drafts for name in ("percent", "weight") if name in draft.given), "percent")
    other = "percent" if in_weights == "weight" else "weight"
    whole = True
    for draft in drafts:
        if other in draft.given:
            message = f'"{other}" here and "{in_weights}" elsewhere: percentages and weights are not mixed.'
            findings.error(
                draft.at(other), message, f'Use "{in_weights}" on every ingredient, or "{other}" on every one.'
            )
            whole = False
        elif in_weights not in draft.given and "each" in draft.given:
            whole = False  # told already: what has a weight for one piece is not for the dough
        elif in_weights not in draft.given:
            sample = "percent = 2" if in_weights == "percent" else 'weight = "10 g"'
            findings.error(draft.at(in_weights), f'"{in_weights}" is missing.', f"Add a line {sample}")
            whole = False
        elif in_weights not in draft.values:
            whole = False
    return whole


def _amounts(drafts: Sequence[Draft], findings: Findings) -> Amounts | None:
    """Percentages; weights are turned into them. Flours and preferments' flour have to be all the flour."""
    in_weights = any("weight" in draft.values for draft in drafts)
    flour, amounts, ways = 0.0, list[float](), list[Measured | None]()
    for draft in drafts:
        made_of: Draft | None = draft.get("made_of")
        unread = made_of is None or not made_of.given <= made_of.values.keys()
        if "kind" not in draft.values or (draft.get("kind") == "preferment" and unread):
            return None
        found = measured(draft, findings) if in_weights else (float(draft.get("percent")), None)
        if found is None:
            return None
        amounts.append(found[0])
        ways.append(found[1])
        flour += _flour_in(draft, found[0])
    if in_weights:
        if flour <= 0:
            findings.error(("ingredients",), "There is no flour.", 'Give at least one ingredient kind = "flour".')
            return None
        return Amounts(tuple(100.0 * amount / flour for amount in amounts), flour, tuple(ways))
    if abs(flour - 100.0) > FLOUR_TOLERANCE_PERCENT + 1e-9:
        first = next((draft for draft in drafts if draft.get("kind") == "flour"), None)
        path = first.at("percent") if first else ("ingredients",)
        message = f"The flours add up to {flour:.6g} percent, not 100."
        findings.error(path, message, "Share 100 percent among the flours; flour in preferments counts.")
        return None
    return Amounts(tuple(amounts), None, tuple(ways))


def _flour_in(draft: Draft, amount: float) -> float:
    if draft.get("kind") == "flour":
        return amount
    parts = _parts(draft)
    return amount * parts.all_flour / parts.total if parts else 0.0


def _parts(draft: Draft) -> PrefermentParts | None:
    made_of: Draft | None = draft.get("made_of")
    if made_of is None or not {"flour", "water"} <= made_of.values.keys():
        return None
    flour, water, yeast, salt = (float(made_of.get(name, 0.0)) for name in ("flour", "water", "yeast", "salt"))
    starter, starter_water = float(made_of.get("starter", 0.0)), float(made_of.get("starter_water", 100.0))
    called: str = made_of.get("flour_name", "")
    return PrefermentParts(flour, water, yeast, salt, made_of.get("form"), starter, starter_water, called)


def ingredients(
    drafts: Sequence[Draft], stages: Sequence[Draft], amounts: Amounts, findings: Findings
) -> tuple[tuple[Ingredient, ...], tuple[Ingredient, ...]]:
    """The checked tables as ingredients: those of the dough, and those outside it."""
    shares = zip(amounts.percents, amounts.measured, strict=True)
    inside = [draft for draft in drafts if not is_outside(draft)]
    dough = [replace(_ingredient(each, *next(shares)), at=added_at(each, inside, stages)) for each in inside]
    return tuple(dough), tuple(_outside(draft, stages, amounts, findings) for draft in drafts if is_outside(draft))


def _outside(draft: Draft, stages: Sequence[Draft], amounts: Amounts, findings: Findings) -> Ingredient:
    found = measured(draft, findings)
    if found is not None and amounts.flour_g:
        made = _ingredient(draft, 100.0 * found[0] / amounts.flour_g, found[1])
    else:
        made = _ingredient(draft, float(draft.get("percent", 0.0)), None)
    return replace(
        made,
        use=draft.get("use"),
        each_g=draft.get("each"),
        at=wanted_at(draft, stages),
        guess=draft.get("guess", False),
    )


def _ingredient(draft: Draft, percent: float, way: Measured | None) -> Ingredient:
    """``percent`` is its share of all flour."""
    kept: Any = draft.get("from", "room")
    own_c = float(kept) if isinstance(kept, float | int) else None
    return Ingredient(
        name=draft.get("name"),
        percent=percent,
        kind=draft.get("kind"),
        contains=draft.get("contains", ()),
        contains_none=draft.get("contains") == (),
        heat=draft.get("heat", False),
        origin="room" if own_c is not None else kept,
        origin_c=own_c,
        water_percent=draft.get("water"),
        form=draft.get("form"),
        made_of=_parts(draft),
        measured=way,
    )
