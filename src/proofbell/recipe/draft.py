"""The recipe as a formula to be: what will be written, what was guessed, what was not read."""

from __future__ import annotations

from proofbell.formula.model import Style
from proofbell.frozen import dataclass
from proofbell.recipe.model import About, Country, Guess, PartDraft, StageDraft, Unread


@dataclass(frozen=True, slots=True)
class Draft:
    """A formula to be. Amounts of its parts are in g, or in percent of all flour with ``in_percent``.

    ``parts`` has those of the dough first, then those on the piece, tin or bench. ``oven_c`` is conventional,
    ``oven_said`` how the recipe has it ("180 °C fan"), if otherwise. ``left_out`` are those of the dough that have no
    amount.
    """

    name: str
    style: Style
    country: Country
    country_why: str
    in_percent: bool
    parts: tuple[PartDraft, ...]
    stages: tuple[StageDraft, ...]
    pieces: int | None = None
    piece_g: float | None = None
    oven_c: float | None = None
    oven_said: str = ""
    dough_c: float | None = None
    tin: str = ""
    guesses: tuple[Guess, ...] = ()
    unread: tuple[Unread, ...] = ()
    left_out: tuple[PartDraft, ...] = ()

    @property
    def dough(self) -> tuple[PartDraft, ...]:
        """What goes into the dough."""
        return tuple(part for part in self.parts if part.use == "dough")

    @property
    def outside(self) -> tuple[PartDraft, ...]:
        """What goes on the piece, the tin or the bench."""
        return tuple(part for part in self.parts if part.use != "dough")

    @property
    def allergens(self) -> tuple[str, ...]:
        """Everything that any part contains, what is on the piece and what has no amount included; sorted."""
        return tuple(sorted({each for part in (*self.parts, *self.left_out) for each in part.contains}))

    @property
    def unknown(self) -> tuple[str, ...]:
        """The parts whose allergens nobody has said yet: while there are any, `allergens` is not complete."""
        return tuple(part.name for part in (*self.parts, *self.left_out) if part.unknown)

    @property
    def open(self) -> tuple[Guess, ...]:
        """What matters and nobody has answered."""
        return tuple(guess for guess in self.guesses if guess.ask and not guess.said and guess.takes != "nothing")

    def guessed(self, about: About, line: int | None = None) -> bool:
        """Whether something is a guess that nobody has agreed to; of one ``line`` of the recipe, or of any."""
        found = (guess for guess in self.guesses if guess.about == about and line in (None, guess.line))
        return any(not guess.said for guess in found)

    @property
    def lacks(self) -> str:
        """What every bread has and this does not, unless it was said to be right so; empty: nothing."""
        baked = any(stage.kind == "bake" for stage in self.stages)
        return "" if baked else next((guess.why for guess in self.open if guess.about == "bake"), "")

    @property
    def sourdough(self) -> bool:
        """Whether a fed starter raises it and no yeast."""
        starter = any(part.kind == "preferment" and not (part.made_of or {}).get("yeast") for part in self.dough)
        return starter and not any(part.kind == "yeast" for part in self.dough)
