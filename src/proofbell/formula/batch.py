"""The tables [batch], [dough] and [oven]: how much, how the dough comes off the bench, how hot."""

from __future__ import annotations

from typing import Any, get_args

from proofbell.formula.findings import Findings
from proofbell.formula.kinds import Choice, Number
from proofbell.formula.measures import Measure
from proofbell.formula.model import BatchSize, DoughWish, OvenWish, Raising, TinKind
from proofbell.formula.oven_heat import OvenHeat
from proofbell.formula.tables import Draft, Field, Table
from proofbell.quantities import Dimension

TONNE_G = 1_000_000.0

RAISING: tuple[Raising, ...] = get_args(Raising)
_ALSO_RAISING = (("levain", "sourdough"), ("starter", "sourdough"), ("sour", "sourdough"), ("baker's yeast", "yeast"))

_SIZES = ("pieces", "piece", "dough", "flour", "tin")

BATCH = Table(
    "a batch",
    (
        Field("pieces", Number(1, 10_000, whole=True), "How many pieces are divided off."),
        Field("piece", Measure(Dimension.MASS, 0, TONNE_G, above=True), "Dough weight of one piece at dividing."),
        Field("dough", Measure(Dimension.MASS, 0, TONNE_G, above=True), "Dough weight in all, in place of pieces."),
        Field("flour", Measure(Dimension.MASS, 0, TONNE_G, above=True), "Flour in all, in place of pieces."),
        Field("tin", Measure(Dimension.VOLUME, 0, 100_000, above=True), "Volume of one tin."),
        Field("in_tin", Number(1, 1000, whole=True), "How many pieces go into one tin."),
        Field(
            "tin_kind", Choice("a kind of tin", get_args(TinKind)), "What sort of tin: how much dough belongs in it."
        ),
        Field("loss", Measure(Dimension.PERCENT, 0, 50), "Dough that stays on bowl, bench and hands."),
        Field("weigh", Measure(Dimension.TIME, 0, 24 * 3600), "How long hands need to weigh out."),
    ),
    beside={
        "anyOf": [{"required": ["pieces", "piece"]}, *({"required": [name]} for name in ("dough", "flour", "tin"))],
        "dependentSchemas": {
            "dough": {"properties": dict.fromkeys(("pieces", "piece", "flour", "tin", "in_tin"), False)},
            "flour": {"properties": dict.fromkeys(("pieces", "piece", "dough", "tin", "in_tin"), False)},
        },
    },
)

DOUGH = Table(
    "the dough",
    (
        Field("temperature", Measure(Dimension.TEMPERATURE, 0, 60), "Wanted when kneading ends."),
        Field("mixing", Choice("a way of mixing", ("hand", "machine")), "Picks the default rise from kneading."),
        Field("rise", Measure(Dimension.DIFFERENCE, 0, 30), "Warming by kneading, if known: a difference."),
        Field("raising", Choice("what raises a dough", RAISING, _ALSO_RAISING), "Whose rate its times go by."),
    ),
)

OVEN = Table(
    "the oven",
    (
        Field("temperature", OvenHeat(), "For a conventional oven, unless it says fan or gas."),
        Field("trays", Number(1, 100, whole=True), "Oven places that this batch takes."),
    ),
)


def check_batch(draft: Draft, findings: Findings) -> None:
    """Refuse a batch that gives no size, or two."""
    sizes = [name for name in _SIZES if name in draft.given]
    for name in ("dough", "flour"):
        others = [each for each in sizes if each != name]
        if name in sizes and others:
            message = f'"{name}" says how much by itself; "{others[0]}" says it another way.'
            findings.error(draft.at(name), message, "Keep one of them.", at_key=True)
            return
    if "in_tin" in draft.given and ("dough" in sizes or "flour" in sizes):
        message = '"in_tin" is about pieces; this batch has none.'
        findings.error(draft.at("in_tin"), message, "Say how much by pieces or tins, or take it out.", at_key=True)
    if not sizes:
        remedy = 'Write pieces = 12 and piece = "75 g", or dough = "900 g", or flour = "500 g", or tin = "1600 ml".'
        findings.error(draft.path, "The batch does not say how much is made.", remedy)
    elif sizes in (["pieces"], ["piece"]):
        missing = "piece" if sizes == ["pieces"] else "pieces"
        sample = 'piece = "75 g"' if missing == "piece" else "pieces = 12"
        findings.error(draft.at(missing), f'"{missing}" is missing beside "{sizes[0]}".', f"Add a line {sample}")


def batch(draft: Draft | None, flour_g: float | None) -> BatchSize:
    """Build the size. A formula in weights that names no size makes what it says: ``flour_g`` of flour."""
    if draft is None:
        return BatchSize(flour_g=flour_g)
    tin_ml: float | None = draft.get("tin")
    sized = any(name in draft.values for name in _SIZES)
    return BatchSize(
        pieces=draft.get("pieces", draft.get("in_tin", 1) if tin_ml is not None else None),
        piece_g=draft.get("piece"),
        dough_g=draft.get("dough"),
        flour_g=draft.get("flour") if sized else flour_g,
        loss_percent=draft.get("loss", 0.0),
        tin_ml=tin_ml,
        tin_kind=draft.get("tin_kind", "open"),
        in_tin=draft.get("in_tin"),
        weigh_s=draft.get("weigh"),
    )


def dough(draft: Draft | None) -> DoughWish:
    if draft is None:
        return DoughWish()
    mixing: Any = draft.get("mixing", "hand")
    return DoughWish(draft.get("temperature"), mixing, draft.get("rise"), draft.get("raising"))


def oven(draft: Draft | None) -> OvenWish:
    return OvenWish() if draft is None else OvenWish(draft.get("temperature"), draft.get("trays", 1))
