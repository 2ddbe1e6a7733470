"""Formula files as the screens meet them: sound, or with their faults in plain words; never a crash."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from proofbell.faults import Fault
from proofbell.formula.model import Formula
from proofbell.formula.text.guard import MOST_BYTES
from proofbell.frozen import dataclass
from proofbell.places import house_folder
from proofbell.regular_file import first_bytes


@dataclass(frozen=True, slots=True)
class FormulaFile:
    """One file: its formula, or None and why. ``title`` is what it goes by in a list."""

    path: Path
    formula: Formula | None
    faults: tuple[Fault, ...] = ()

    @property
    def title(self) -> str:
        """The formula's name, or the file's when it cannot be read."""
        return self.path.name if self.formula is None else self.formula.name

    @property
    def warnings(self) -> tuple[Fault, ...]:
        """What is odd in it."""
        return tuple(fault for fault in self.faults if not fault.is_error)

    @property
    def errors(self) -> tuple[Fault, ...]:
        """What it is refused for."""
        return tuple(fault for fault in self.faults if fault.is_error)


def read_file(path: Path) -> FormulaFile:
    """Read one formula file; a formula of one's own remembers where. Slow the first time: units are learned then."""
    from proofbell.formula.read import read_formula

    try:
        data = first_bytes(path, MOST_BYTES)
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or "the name cannot be used"
        return FormulaFile(path, None, (Fault("error", f"The file cannot be read: {why}.", "Check its name."),))
    formula, faults = read_formula(data, path.name)
    if formula is not None and path.parent != house_folder():
        formula = replace(formula, path=str(path.absolute()))
    return FormulaFile(path, formula, faults)


def where(fault: Fault) -> str:
    """A fault's place in words: ``line 12, stage 3 "First proof", time``."""
    line = f"line {fault.line}" if fault.line else "the file"
    return ", ".join(part for part in (line, fault.field) if part)
