"""What a formula file says, once it has been read: plain numbers in °C, g, s, ml and percent.

Everything here is frozen. Names carry the unit: ``_c`` a temperature in °C, ``_k`` a difference in K,
``_g`` grams, ``_s`` seconds, ``_ml`` millilitres, ``_percent`` a share of all flour unless said otherwise.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import field
from typing import Literal

from proofbell.formula.stage_order import stage_order
from proofbell.frozen import dataclass

Style = Literal["lean", "enriched", "rye", "other"]
Mixing = Literal["hand", "machine"]
IngredientKind = Literal[
    "flour", "water", "milk", "dry milk", "egg", "fat", "sugar", "salt", "yeast", "preferment", "other"
]
TinKind = Literal["open", "lidded", "plant"]
YeastForm = Literal["fresh", "active dry", "instant"]
Raising = Literal["yeast", "sourdough"]
StageKind = Literal["hands", "proof", "rest", "chill", "bake", "cool"]
ReadingKind = Literal["dough temperature", "room temperature", "core temperature", "rise", "weight"]
Origin = Literal["room", "fridge"]
Use = Literal["dough", "finish", "tin"]
CooksUnit = Literal["ml", "tbsp", "tsp", "egg"]
EggSize = Literal["S", "M", "L", "XL"]

USUAL_ROOM_C = 21.0
"""A card that names no place is written for a room of this temperature: common practice, no source."""


@dataclass(frozen=True, slots=True)
class PrefermentParts:
    """What a preferment is made of, in parts by weight on any scale.

    ``starter`` is ripe starter of ``starter_water`` parts water to 100 of flour; flour and water are without it.
    ``flour_name`` is what the flour is called on the weigh-out, where the file says.
    """

    flour: float
    water: float
    yeast: float = 0.0
    salt: float = 0.0
    form: YeastForm | None = None
    starter: float = 0.0
    starter_water: float = 100.0
    flour_name: str = ""

    @property
    def total(self) -> float:
        """The sum of all parts, in the parts' own scale."""
        return self.flour + self.water + self.yeast + self.salt + self.starter

    @property
    def all_flour(self) -> float:
        """The flour, the starter's included, in the parts' own scale."""
        return self.flour + self.starter * 100 / (100 + self.starter_water)

    @property
    def all_water(self) -> float:
        """The water, the starter's included, in the parts' own scale."""
        return self.water + self.starter * self.starter_water / (100 + self.starter_water)


@dataclass(frozen=True, slots=True)
class Measured:
    """How a cook measures something: by volume or by count. ``unit_g`` is one unit's weight, least to most.

    ``like`` is the row of the table of measures that says so, or the size of the eggs.
    """

    unit: CooksUnit
    unit_g: float
    least_g: float
    most_g: float
    like: str


@dataclass(frozen=True, slots=True)
class Ingredient:
    """One line of the formula.

    ``percent`` is the baker's percentage: share of all flour, the preferments' flour included. Outside the dough
    (``use``) it is nothing where ``each_g`` says the weight for one piece. ``at`` is the stage (its index) at which it
    goes into the dough, none where it does as the dough begins; outside the dough, the stages before which it is
    wanted. ``measured`` is set when the file gives a cook's measure. ``guess``: outside the dough, nobody weighs it
    out to the gram.
    ``contains_none``: the file says that no allergen is in it, where an empty ``contains`` alone says nothing.
    ``origin_c`` is set when the file gives a temperature of its own; otherwise ``origin`` says where it is kept.
    ``water_percent`` (share of this ingredient's own weight) is set only when the file overrides its kind's default.
    """

    name: str
    percent: float
    kind: IngredientKind
    contains: tuple[str, ...] = ()
    heat: bool = False
    origin: Origin = "room"
    origin_c: float | None = None
    water_percent: float | None = None
    form: YeastForm | None = None
    made_of: PrefermentParts | None = None
    use: Use = "dough"
    each_g: float | None = None
    at: tuple[int, ...] = ()
    measured: Measured | None = None
    guess: bool = False
    contains_none: bool = False

    @property
    def flour_and_water_percent(self) -> tuple[float, float]:
        """The flour and the water that a preferment brings, in percent of all flour; nothing for any other line."""
        parts = self.made_of
        if self.kind != "preferment" or parts is None or parts.total == 0:
            return 0.0, 0.0
        return self.percent * parts.all_flour / parts.total, self.percent * parts.all_water / parts.total

    @property
    def leavens(self) -> frozenset[Raising]:
        """What raises in it: yeast, a sourdough's own yeast, or both. A preferment without yeast is a sourdough."""
        parts = self.made_of
        yeasted = self.kind == "yeast" or (self.kind == "preferment" and parts is not None and parts.yeast > 0)
        sour = self.kind == "preferment" and (not yeasted or (parts is not None and parts.starter > 0))
        found: dict[Raising, bool] = {"yeast": yeasted, "sourdough": sour}
        return frozenset(each for each, there in found.items() if there)


def hydration_percent(ingredients: Sequence[Ingredient]) -> float:
    """Plain hydration: water, milk and the water in preferments, on all flour."""
    poured = sum(line.percent for line in ingredients if line.kind in ("water", "milk"))
    return poured + sum(line.flour_and_water_percent[1] for line in ingredients)


@dataclass(frozen=True, slots=True)
class BatchSize:
    """How much the file makes: pieces of a weight, or dough, or flour.

    ``tin_ml`` is the volume of one tin, ``tin_kind`` what sort it is, ``in_tin`` how many pieces go into one (None:
    not said, one where there are tins). ``weigh_s`` is the time that hands need to weigh out, when the file says.
    """

    pieces: int | None = None
    piece_g: float | None = None
    dough_g: float | None = None
    flour_g: float | None = None
    loss_percent: float = 0.0
    tin_ml: float | None = None
    tin_kind: TinKind = "open"
    in_tin: int | None = None
    weigh_s: float | None = None


@dataclass(frozen=True, slots=True)
class DoughWish:
    """How the dough should come off the bench. ``rise_k`` is the warming by kneading, when the file knows it.

    ``raising`` names the rate that it goes by; None: by what is in it.
    """

    temperature_c: float | None = None
    mixing: Mixing = "hand"
    rise_k: float | None = None
    raising: Raising | None = None


@dataclass(frozen=True, slots=True)
class OvenWish:
    """Conventional oven temperature and the oven places that the batch takes."""

    temperature_c: float | None = None
    trays: int = 1


@dataclass(frozen=True, slots=True)
class Check:
    """A reading that a stage asks for.

    ``at_s`` is set when ``when`` is ``"into"``: that many seconds into the stage.
    ``expect`` is (low, high) in the unit of the reading: °C, percent or g.
    """

    read: ReadingKind
    when: Literal["start", "end", "into"]
    at_s: float | None = None
    expect: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class Band:
    """Readings below ``below`` (None: all the rest) make the stage ``time_s`` long."""

    below: float | None
    time_s: float


@dataclass(frozen=True, slots=True)
class Bands:
    """The formula's own table from a reading to the stage's whole length."""

    read: ReadingKind
    bands: tuple[Band, ...]


@dataclass(frozen=True, slots=True)
class Rate:
    """``time`` is right for a dough that starts at ``at_c`` and stands in ``place_c`` (None: the stage's own place)."""

    at_c: float
    place_c: float | None = None


@dataclass(frozen=True, slots=True)
class RiseWish:
    """Wanted rise in volume (percent, low to high); when short: ``extend_s`` more, ``at_most`` times."""

    wanted: tuple[float, float]
    extend_s: float
    at_most: int


@dataclass(frozen=True, slots=True)
class Phase:
    """One heat of a bake (conventional °C)."""

    time_s: float
    oven_c: float
    steam: bool = False


@dataclass(frozen=True, slots=True)
class ChillInstead:
    """This proof may be retarded at ``place_c`` for ``least_s`` to ``most_s``."""

    place_c: float
    least_s: float
    most_s: float


@dataclass(frozen=True, slots=True)
class Stage:
    """One step. ``stretch`` is (shortest, longest) acceptable length in seconds and holds ``time_s``.

    ``no_core``: a bake without a middle to read, such as a flat bread's.
    ``place_c`` is how warm the place is that the time is right for; ``place_name`` names one of the kitchen instead.
    ``made_for`` names the preferment that it makes; None: it makes the dough.
    ``load``: which load of how many a bake is, in a bake whose batch is wider than its oven; no file says it.
    ``loading``: what to do as it goes into the oven, where ``text`` holds for all of the bake.
    """

    name: str
    kind: StageKind
    time_s: float
    text: str = ""
    stretch: tuple[float, float] | None = None
    hands_s: float | None = None
    checks: tuple[Check, ...] = ()
    adjust: Bands | Rate | None = None
    rise: RiseWish | None = None
    turn_s: float | None = None
    core: tuple[float, float] | None = None
    phases: tuple[Phase, ...] = ()
    place_c: float | None = None
    chill_instead: ChillInstead | None = None
    no_core: bool = False
    place_name: str | None = None
    made_for: str | None = None
    load: tuple[int, int] | None = None
    loading: str = ""


@dataclass(frozen=True, slots=True)
class Formula:
    """A whole formula. ``text`` is the file as read, and ``digest`` its SHA-256 (hex).

    The digest is of the text without byte order mark and with bare line feeds. ``path`` is where the file lay, if it
    is one of the baker's own; it says nothing of the formula. ``ingredients`` are the dough's; ``outside`` is what goes
    on the pieces or the tins, and counts in nothing of it.
    """

    name: str
    style: Style
    batch: BatchSize
    dough: DoughWish
    oven: OvenWish
    ingredients: tuple[Ingredient, ...]
    stages: tuple[Stage, ...]
    about: str = ""
    text: str = ""
    digest: str = ""
    outside: tuple[Ingredient, ...] = ()
    path: str = field(default="", compare=False)

    @property
    def weigh_s(self) -> float:
        """How long hands need to weigh out (s): the file's figure, else a minute and 40 s for each ingredient.

        Common practice, no source.
        """
        lines = len(self.ingredients) + len(self.outside)
        return 60.0 + 40.0 * lines if self.batch.weigh_s is None else self.batch.weigh_s

    @property
    def dough_begins(self) -> int | None:
        """The index of the first stage of the dough; None where a file with preferments does not tell."""
        if all(line.kind != "preferment" for line in self.ingredients):
            return 0
        if all(stage.made_for is None for stage in self.stages):
            return None
        return next((index for index, stage in enumerate(self.stages) if stage.made_for is None), None)

    def strand(self, index: int) -> range:
        """The stages that make what this one makes, a preferment or the dough; all, where the file does not tell."""
        return stage_order(self._made_for).strands[index]

    def follows(self, index: int) -> tuple[int, ...]:
        """The stages right before a stage: none for a preferment's first, for the dough's first the last of each."""
        return stage_order(self._made_for).follows[index]

    def followed_by(self, index: int) -> int | None:
        """The stage that comes after a stage; None after the last."""
        return stage_order(self._made_for).followed_by[index]

    @property
    def _made_for(self) -> tuple[str | None, ...]:
        return tuple([stage.made_for for stage in self.stages])

    def maker(self, index: int) -> Ingredient | None:
        """The preferment that a stage makes; None: the dough, or what cannot be told."""
        name = self.stages[index].made_for
        return None if name is None else next((line for line in self.ingredients if line.name == name), None)

    @property
    def leavens(self) -> frozenset[Raising]:
        """What raises the dough, its preferments included."""
        return frozenset(each for line in self.ingredients for each in line.leavens)

    @property
    def raised_by(self) -> Raising:
        """Whose rate the dough goes by: the one that the file names, else yeast's unless there is only a levain."""
        return self.dough.raising or ("sourdough" if self.leavens == {"sourdough"} else "yeast")
