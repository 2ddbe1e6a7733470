"""Finds and reads the formula that a command names: a path, or the short name of an own or a house formula."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path
from shlex import quote

from proofbell import places
from proofbell.cli.arguments.known import formula_meant, nearest
from proofbell.cli.printed.printing import remark
from proofbell.errors import Failure
from proofbell.formula.model import Formula
from proofbell.formula.read import load
from proofbell.formula.text.guard import MOST_BYTES
from proofbell.regular_file import NotAFileError, first_bytes
from proofbell.visible import visible

COMMAND = "proofbell new --own --from"


def formula_path(named: str) -> Path:
    """Return the file that ``named`` means: what lies at that path, or an own or a house formula of that name.

    An own formula goes before a house formula, which is remarked. Raises Failure: there is neither, or the path is
    none; or the kitchen file cannot be read.
    """
    path = places.typed_path(named)
    if path.exists():
        return path
    own, house = own_formulas(), places.house_formulas()
    if named in own:
        if named in house:
            remark(f"{visible(named, most=120)}: your own formula, not the house formula of that name.")
        return own[named]
    if named in house:
        return house[named]
    meant = formula_meant(named, (*own, *house)) or nearest(named, (*own, *house))
    if meant:
        raise Failure(f"There is no file {visible(named, most=120)}.", f"Did you mean {visible(meant, most=120)}?")
    yours = f", one of your own ({visible(', '.join(own), most=300)})" if own else ""
    raise Failure(
        f"There is no file {visible(named, most=120)}.",
        f"Give a path{yours}, or one of the house formulas: {', '.join(house)}.",
    )


def own_folders() -> tuple[Path, ...]:
    """The folders of this kitchen's own formulas; raises `Failure` when the kitchen file cannot be read."""
    from proofbell.kitchen.file import load_kitchen

    kitchen_file = places.kitchen_file()
    return places.own_folders(load_kitchen(kitchen_file).formulas, kitchen_file)


def own_formulas() -> dict[str, Path]:
    """This kitchen's own formulas by short name; raises `Failure` when the kitchen file cannot be read."""
    return places.formulas_in(own_folders())


def formula_bytes(path: Path) -> bytes:
    """Return what is in the file, at most a little more than a formula may hold.

    Raises Failure: it is no file but a folder, a pipe and the like, may not be read, or the disk fails.
    """
    shown = visible(str(path), most=120)
    try:
        return first_bytes(path, MOST_BYTES)
    except NotAFileError as error:
        remedy = "Name a formula file in it." if error.what == "a folder" else "Name a formula file."
        raise Failure(f"{shown} is {error.what}, not a file.", remedy) from error
    except PermissionError as error:
        raise Failure(f"{shown} may not be read.", "Check the file's permissions.") from error
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "the name cannot be used"
        raise Failure(f"{shown} cannot be read: {reason}.", "Check that the file and its disk are there.") from error


def read_named(named: str) -> Formula:
    """Read the formula that a command names; raises `Failure` with every fault."""
    path = formula_path(named)
    data = formula_bytes(path)
    refuse_recipe(path, data)
    return load(data, str(path))


_TOML = re.compile(r"(?m)^\s*(?:\[|[\w\"'.-]+\s*=)")


def refuse_recipe(path: Path, data: bytes) -> None:
    """Raise Failure for a text with words and no line of TOML: somebody's recipe, which can be made a formula."""
    text = data.decode("utf-8", "replace")
    if _TOML.search(text) is None and len(text.split()) > 1:
        shown = visible(str(path), most=120)
        raise Failure(f"{shown} is no formula; it looks like a recipe.", f"Make one of it: {COMMAND} {quote(shown)}")


def read_all(named: Sequence[str]) -> list[Formula]:
    """Read several formulas in order; stops at the first that is refused."""
    return [read_named(each) for each in named]
