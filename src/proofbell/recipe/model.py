"""What is read from a recipe: amounts, items, steps, guesses. Grams, seconds and °C unless a name says otherwise."""

from __future__ import annotations

import dataclasses
from dataclasses import field
from typing import Literal

from proofbell.formula.model import IngredientKind, StageKind, YeastForm
from proofbell.frozen import dataclass
from proofbell.units import used
from proofbell.words import degrees

Country = Literal["uk", "us", "au", "metric"]
Use = Literal["dough", "finish", "tin"]
Takes = Literal["yes", "weight", "percent", "temperature", "time", "choice", "allergens", "nothing"]
"""What can be said to a guess beside yes; "nothing" where it follows from another one."""
About = Literal["a line", "country", "style", "dough temperature", "proofs", "oven temperature", "bake", "core"]
"""What a guess is about: something of a line of the recipe, or one thing of the whole."""
Act = Literal[
    "oven", "wake", "soak", "mix", "knead", "proof", "rest", "chill", "fold", "divide", "shape", "finish", "bake",
    "cool",
]  # fmt: skip

ENRICHED_CORE_C = (88.0, 94.0)
"""Usual for enriched doughs, as in the house formulas (°C)."""


@dataclass(frozen=True, slots=True)
class Guess:
    """Something the recipe does not say. ``line`` counts from 1 (0: the recipe as a whole).

    ``ask``: it matters and only the baker can know it. ``options`` are words that may be said in place of the value;
    ``takes`` what else. ``said`` is the baker's answer, empty while there is none. ``may_go``: its line may be
    said to be no ingredient. ``about``: what it is of, whatever ``field`` calls it. ``value_c``: what the value is in
    °C, one figure or a range, where it is a temperature.
    """

    line: int
    field: str
    value: str
    why: str
    ask: bool = False
    options: tuple[str, ...] = ()
    takes: Takes = "yes"
    said: str = ""
    may_go: bool = False
    about: About = "a line"
    value_c: tuple[float, ...] = ()

    @property
    def shown(self) -> str:
        """The value, in the degrees that the kitchen counts in."""
        return f"{' to '.join(map(degrees, self.value_c))} {used().temperature}" if self.value_c else self.value

    def at(self, *value_c: float) -> Guess:
        """The same, of a temperature or a range of them (°C)."""
        return dataclasses.replace(self, value=f"{' to '.join(f'{each:g}' for each in value_c)} °C", value_c=value_c)


@dataclass(frozen=True, slots=True)
class Unread:
    """A line, or a part of one, that was not understood."""

    line: int
    text: str


@dataclass(frozen=True, slots=True)
class Amount:
    """``low`` to ``high`` of a ``unit`` as the tables call it: "g", "tsp", "egg". ``high`` is None without a range."""

    low: float
    high: float | None
    unit: str

    @property
    def middle(self) -> float:
        """The amount, or the middle of its range."""
        return self.low if self.high is None else (self.low + self.high) / 2


@dataclass(frozen=True, slots=True)
class Ware:
    """What is known of an ingredient by its name.

    ``density`` is its row of the densities; ``water_percent`` is set where it differs from its kind's usual share.
    """

    words: str
    kind: IngredientKind
    density: str | None = None
    contains: tuple[str, ...] = ()
    form: YeastForm | None = None
    water_percent: float | None = None


@dataclass(frozen=True, slots=True)
class Item:
    """One ingredient of one line. ``amounts`` are ways to say one amount; ``plus`` comes on top of it.

    ``extra`` is a second use without an amount: "plus extra for dusting". ``kept_c`` is a temperature that is given.
    """

    line: int
    name: str
    ware: Ware | None
    amounts: tuple[Amount, ...] = ()
    plus: tuple[Amount, ...] = ()
    note: tuple[str, ...] = ()
    use: Use = "dough"
    extra: Use | None = None
    kept_c: float | None = None
    size: str = ""


@dataclass(frozen=True, slots=True)
class Weighed:
    """Grams of an item, None where no amount is given or it is a percentage; what was guessed on the way."""

    grams: float | None
    low: float | None = None
    high: float | None = None
    guesses: tuple[Guess, ...] = ()


@dataclass(frozen=True, slots=True)
class Heat:
    """An oven's heat as conventional °C, and how the card has it ("180 °C fan"), if otherwise."""

    oven_c: float
    said: str = ""


@dataclass(frozen=True, slots=True)
class BakePhase:
    """A heat of the bake, None where it is the one before; ``seconds`` None where none is said."""

    oven_c: float | None
    seconds: tuple[float, float | None] | None
    steam: bool = False


@dataclass(frozen=True, slots=True)
class Step:
    """One thing that is done.

    ``seconds`` is (shortest or only, longest or None). ``rise_percent`` is the sign "doubled" and the like; ``until``
    any sign in the recipe's words. ``clock_s`` is when it begins, seconds after midnight, where the recipe says.
    """

    line: int
    act: Act
    text: str
    seconds: tuple[float, float | None] | None = None
    guess: str = ""
    until: str = ""
    rise_percent: float | None = None
    place_c: float | None = None
    core_c: float | None = None
    phases: tuple[BakePhase, ...] = ()
    clock_s: float | None = None
    after_s: float | None = None
    times: int = 1
    section: str = ""


@dataclasses.dataclass(slots=True)
class Section:
    """What stands under one heading: ``name`` as it is told, ``use`` of its items."""

    name: str = ""
    use: Use = "dough"
    preferment: bool = False
    items: list[Item] = field(default_factory=list)
    steps: list[Step] = field(default_factory=list)


@dataclasses.dataclass(slots=True)
class Sheet:
    """A recipe taken apart: sections in order, what is made of it, what could not be read.

    ``listed`` are the items that have lines of their own, before anything is made of them.
    """

    name: str = ""
    pieces: int | None = None
    piece_g: float | None = None
    sections: list[Section] = field(default_factory=list)
    ovens: list[tuple[int, Heat]] = field(default_factory=list)
    dough_c: float | None = None
    core_c: float | None = None
    tin: str = ""
    unread: list[Unread] = field(default_factory=list)
    listed: list[Item] = field(default_factory=list)
    guesses: list[Guess] = field(default_factory=list)


Role = Literal["", "wake", "soak", "mix", "knead", "divide", "shape", "first proof", "second half"]
"""What a stage is to those around it: dough is divided or shaped, a proof goes on after a fold. Empty: nothing more."""


@dataclass(frozen=True, slots=True)
class StageDraft:
    """A stage as it will be written. ``guess`` says why its length is a guess; ``made_for`` names a preferment.

    ``loading`` is what is done with the pieces just before a bake.
    """

    name: str
    kind: StageKind
    seconds: float
    stretch: tuple[float, float] | None = None
    text: str = ""
    guess: str = ""
    line: int = 0
    place_c: float | None = None
    rise_percent: float | None = None
    core_c: float | None = None
    phases: tuple[BakePhase, ...] = ()
    made_for: str | None = None
    role: Role = ""
    loading: str = ""


@dataclass(frozen=True, slots=True)
class PartDraft:
    """An ingredient as it will be written. ``amount`` is in g or percent as the draft says; None: not known.

    ``made_of`` (flour, water, yeast, salt, starter) is in the same measure as ``amount``; ``flour_name`` says which
    flour that is. ``at`` names the stage at which it goes into the dough, where it does not with the rest. ``unknown``:
    nobody has said yet which allergens are in it; ``contains_none``: there are none, as the baker found.
    """

    name: str
    kind: IngredientKind
    amount: float | None
    contains: tuple[str, ...] = ()
    form: YeastForm | None = None
    water_percent: float | None = None
    kept: str = ""
    heat: bool = False
    use: Use = "dough"
    each_g: float | None = None
    made_of: dict[str, float] | None = None
    flour_name: str = ""
    guess: str = ""
    line: int = 0
    note: str = ""
    at: str = ""
    unknown: bool = False
    contains_none: bool = False
