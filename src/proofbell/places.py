"""Where things are kept. The only file that knows paths; everything else is handed one.

The kitchen file is in the user's configuration folder, the journal in the data folder. ``PROOFBELL_KITCHEN`` and
``PROOFBELL_JOURNAL`` name others.
"""

from __future__ import annotations

import errno
import os
from collections.abc import Iterable, Sequence
from pathlib import Path

from proofbell.errors import Failure
from proofbell.regular_file import other_than_file
from proofbell.visible import visible

_PACKAGE = Path(__file__).parent
_NAME = "proofbell"


def typed_path(text: str) -> Path:
    """The path that somebody typed; ``~`` at its beginning is a home folder. Whether anything lies there is open.

    Raises Failure: it is empty, names a user whom nobody knows, or is no path that this system can look at.
    """
    if not text.strip():
        raise Failure("No file is named.", "Type its name.")
    if text.strip() == "-":
        raise Failure("- names no file here.", "Name a file; ./- is one of that name.")
    shown = visible(text, most=120)
    try:
        path = Path(text).expanduser()
    except RuntimeError as error:
        home = Path(text).parts[0]
        raise Failure(
            f"{shown}: no home folder is known for {visible(home, most=40)}.",
            f"Write the whole path; ./{visible(text, most=60)} is a file of that name here.",
        ) from error
    try:
        path.stat()
    except (FileNotFoundError, NotADirectoryError):
        pass
    except OSError as error:
        if error.errno == errno.ENAMETOOLONG:
            raise Failure(f"{shown} is too long for the name of a file.", "Choose a shorter one.") from error
        raise Failure(f"{shown} cannot be looked at: {error.strerror}.", "Name another place.") from error
    except ValueError as error:  # a NUL, or half a character
        raise Failure(f"{shown} has a character that no file name can have.", "Type the name again.") from error
    return path


def path_to_write(text: str) -> Path:
    """The path that somebody typed for a file to be written.

    Raises Failure: see `typed_path`; or something else than a file lies there, which is never replaced.
    """
    path = typed_path(text)
    _refuse_other(path, "Give the name of a file.")
    return path


def kitchen_file() -> Path:
    """The kitchen's facts, a TOML file; it need not be there.

    Raises Failure: PROOFBELL_KITCHEN names what can be no file.
    """
    named = _named("PROOFBELL_KITCHEN")
    if named is not None:
        return named
    from platformdirs import user_config_path

    return typed_path(str(user_config_path(_NAME, appauthor=False) / "kitchen.toml"))


def journal_file() -> Path:
    """The journal, one SQLite file; it need not be there yet.

    Raises Failure: PROOFBELL_JOURNAL names what can be no file.
    """
    path = _named("PROOFBELL_JOURNAL")
    if path is None:
        from platformdirs import user_data_path

        path = typed_path(str(user_data_path(_NAME, appauthor=False) / "journal.sqlite"))
    _refuse_other(path, "Name a file for the journal with PROOFBELL_JOURNAL.")
    return path


def _named(variable: str) -> Path | None:
    """The path that a variable of the environment names; None without one."""
    text = os.environ.get(variable)
    if not text:
        return None
    try:
        return typed_path(text)
    except Failure as failure:
        raise Failure(f"{variable}: {failure.message}", failure.remedy, status=failure.status) from failure


def _refuse_other(path: Path, remedy: str) -> None:
    try:
        what = other_than_file(path.stat().st_mode)
    except OSError:
        return
    if what:
        raise Failure(f"{visible(str(path), most=120)} is {what}, not a file.", remedy)


def fault_file() -> Path:
    """Where faults of the program's own are written down, beside the journal; it need not be there."""
    return journal_file().with_name("proofbell-faults.txt")


def recipe_file(journal: Path) -> Path:
    """Where a recipe that was typed is kept until it is a formula, beside the journal; it need not be there."""
    return journal.with_name("proofbell-recipe.json")


def home_folder() -> Path | None:
    """The user's own folder; None where the system knows of none."""
    try:
        home = Path.home()
    except RuntimeError:
        return None
    return home if home.is_dir() else None


def short(path: Path) -> str:
    """A path as one types it: ``~`` for the user's own folder."""
    home = home_folder()
    return str(Path("~") / path.relative_to(home)) if home is not None and path.is_relative_to(home) else str(path)


def house_folder() -> Path:
    """The folder of the formulas that come with the program: in the package, or at the top of a checkout."""
    packed = _PACKAGE / "formulas"
    return packed if packed.is_dir() else _PACKAGE.parent.parent / "formulas"


def house_formulas() -> dict[str, Path]:
    """The formulas that come with the program, by short name, in order: ``harbour-knots`` and the like."""
    return formulas_in([house_folder()])


def own_folders(named: Sequence[str], kitchen: Path) -> tuple[Path, ...]:
    """The folders of one's own formulas: as ``kitchen``, that file, names them; else ``formulas`` beside it.

    Raises Failure: one of them can be no folder; see `typed_path`.
    """
    return tuple(kitchen.parent / typed_path(each) for each in named or ["formulas"])


def formulas_in(folders: Iterable[Path]) -> dict[str, Path]:
    """The formulas in these folders by short name, in order; of one name, that in the first. None need be there."""
    found: dict[str, Path] = {}
    for folder in folders:
        for path in sorted(folder.glob("*.toml")):
            if not path.name.startswith("."):
                found.setdefault(path.stem, path)
    return found


def reference_page() -> Path:
    """The page for those who write formulas."""
    return _PACKAGE / "formula" / "reference.md"


def guide_page(topic: str) -> Path:
    """One of the guide's pages."""
    return _PACKAGE / "guide" / f"{topic}.md"
