"""Which formulas are at hand, in which order: what was baked of late, own ones, those of the house. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Literal

from proofbell.app.session.formula_files import FormulaFile
from proofbell.formula.model import Formula, YeastForm
from proofbell.frozen import dataclass

Section = Literal["opened", "again", "own", "house"]

HEADS: Mapping[Section, str] = {"opened": "Opened", "again": "Again", "own": "Your own", "house": "House formulas"}


@dataclass(frozen=True, slots=True)
class LastBake:
    """The newest bake of a formula, as its log has it. ``began_us`` is UTC; ``score`` is of 10 points.

    ``loaf_g`` is what one loaf was to weigh once cool, ``tin_ml`` the tin and ``yeast`` the form that were asked for;
    each is None where it was the formula's own. ``own_size``: no other size was asked for than the formula's.
    """

    bake: str
    formula: Formula
    began_us: int
    pieces: int | None
    piece_g: float | None
    dough_g: float
    loaf_g: float | None = None
    tin_ml: float | None = None
    yeast: YeastForm | None = None
    score: float | None = None
    note: str = ""
    own_size: bool = False


@dataclass(frozen=True, slots=True)
class Baked:
    """When (UTC, µs) each formula was last baked, by its name; and the newest bake of those of the last weeks."""

    last_us: Mapping[str, int]
    again: tuple[LastBake, ...] = ()


@dataclass(frozen=True, slots=True)
class Item:
    """A formula that can be chosen; with ``again`` at the size of that bake. ``last_us``: when it was last baked."""

    section: Section
    file: FormulaFile
    again: LastBake | None = None
    last_us: int | None = None
    replaces: bool = False

    @property
    def from_log(self) -> bool:
        """Whether its file is not there any more as it was, and its text is that of the bake."""
        return self.again is not None and bool(self.again.formula.path) and self.file.path == Path(self.again.bake)

    @property
    def key(self) -> tuple[str, str]:
        """What stays the same when the list is made anew."""
        return self.section, str(self.file.path)


Row = Section | Item
"""A line of the list: the heading of a section, or a formula in it."""


def at_hand(
    opened: Sequence[FormulaFile],
    own: Sequence[FormulaFile],
    house: Sequence[FormulaFile],
    baked: Baked,
    typed: str = "",
    *,
    elsewhere: Sequence[FormulaFile] = (),
) -> tuple[Row, ...]:
    """The lines of the list: sections that hold something that fits every word of ``typed``, each under its heading.

    A house formula gives way to an own one whose file has its name. What was baked of late is taken from its file as
    it is now, also from one that lies ``elsewhere``; from the bake's log where that file has no such formula any more.
    """
    known = {file.path for file in opened}
    own = [file for file in own if file.path not in known]
    stems = {file.path.stem for file in house}
    house = [file for file in house if file.path.stem not in {each.path.stem for each in own}]
    by_name = {file.formula.name: file for file in (*house, *own, *opened) if file.formula is not None}
    by_path = {str(file.path.absolute()): file for file in (*elsewhere, *own, *opened)}
    parts: Sequence[tuple[Section, Iterable[Item]]] = (
        ("opened", (_item("opened", file, baked) for file in opened)),
        ("again", (_again(last, by_path, by_name) for last in baked.again)),
        ("own", (_item("own", file, baked, replaces=file.path.stem in stems) for file in own)),
        ("house", (_item("house", file, baked) for file in house)),
    )
    words = typed.casefold().split()
    rows: list[Row] = []
    for section, items in parts:
        fitting = [item for item in items if _fits(item.file, words)]
        rows += [section, *fitting] if fitting else []
    return tuple(rows)


def _item(section: Section, file: FormulaFile, baked: Baked, *, replaces: bool = False) -> Item:
    last_us = None if file.formula is None else baked.last_us.get(file.formula.name)
    return Item(section, file, last_us=last_us, replaces=replaces)


def _again(last: LastBake, by_path: Mapping[str, FormulaFile], by_name: Mapping[str, FormulaFile]) -> Item:
    """From where its file lay; of before that was kept, and of the house, by its name."""
    formula = last.formula
    file = by_path.get(formula.path) if formula.path else by_name.get(formula.name)
    if file is None or file.formula is None or file.formula.name != formula.name:
        file = FormulaFile(Path(last.bake), formula)
    return Item("again", file, last, last.began_us)


def _fits(file: FormulaFile, words: Sequence[str]) -> bool:
    formula = file.formula
    text = f"{file.title} {file.path.stem}" + ("" if formula is None else f" {formula.style} {formula.about}")
    return all(word in text.casefold() for word in words)
