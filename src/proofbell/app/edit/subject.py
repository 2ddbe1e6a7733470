"""Which file is edited: one's own in place; a copy of what belongs to the house, or to a bake's log alone."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from proofbell.app.session.formulas.saving import formula_bytes
from proofbell.errors import Failure
from proofbell.file_names import file_stem
from proofbell.formula.model import Formula
from proofbell.frozen import dataclass
from proofbell.places import house_folder
from proofbell.visible import visible


@dataclass(frozen=True, slots=True)
class Copy:
    """A file that is to be made before it can be edited, and why."""

    path: Path
    data: bytes
    why: str

    @property
    def question(self) -> str:
        return f"{self.why} Edit a copy, {visible(self.path.name, most=80)}, among your own formulas?"


def subject(path: Path | None, formula: Formula | None, own: Sequence[Path]) -> Path | Copy:
    """Return the file to edit, or the copy to make first. ``own`` are the folders of one's own formulas.

    Raises Failure: there is nothing to edit, or no folder for a copy.
    """
    if path is not None and path.resolve().parent != house_folder().resolve() and path.is_file():
        return path
    if not own:
        raise Failure("A rehearsal leaves the files of the house alone.", "Open the formula outside of it.")
    if path is not None and path.is_file():
        target, why = own[0] / path.name, "This formula came with Proofbell and is not changed."
        data = formula_bytes(path)
    elif formula is not None:
        target, why = own[0] / f"{file_stem(formula.name, '')}.toml", "No file here holds this formula; its log does."
        data = formula.text.encode()
    else:
        raise Failure("There is no file to edit.", "Choose a formula first.")
    return target if target.is_file() else Copy(target, data, why)
