"""Where things are kept. The only file that knows paths; everything else is handed one.

The kitchen file is in the user's configuration folder, the journal in the data folder. ``PROOFBELL_KITCHEN`` and
``PROOFBELL_JOURNAL`` name others.
"""

from __future__ import annotations

import os
from pathlib import Path

_PACKAGE = Path(__file__).parent
_NAME = "proofbell"


def kitchen_file() -> Path:
    """The kitchen's facts, a TOML file; it need not be there."""
    named = os.environ.get("PROOFBELL_KITCHEN")
    if named:
        return Path(named).expanduser()
    from platformdirs import user_config_path

    return user_config_path(_NAME, appauthor=False) / "kitchen.toml"


def journal_file() -> Path:
    """The journal, one SQLite file; it need not be there yet."""
    named = os.environ.get("PROOFBELL_JOURNAL")
    if named:
        return Path(named).expanduser()
    from platformdirs import user_data_path

    return user_data_path(_NAME, appauthor=False) / "journal.sqlite"


def house_folder() -> Path:
    """The folder of the formulas that come with the program: in the package, or at the top of a checkout."""
    packed = _PACKAGE / "formulas"
    return packed if packed.is_dir() else _PACKAGE.parent.parent / "formulas"


def house_formulas() -> dict[str, Path]:
    """The formulas that come with the program, by short name, in order: ``harbour-knots`` and the like."""
    return {path.stem: path for path in sorted(house_folder().glob("*.toml"))}


def reference_page() -> Path:
    """The page for those who write formulas."""
    return _PACKAGE / "formula" / "reference.md"
