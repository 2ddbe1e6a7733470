"""What the package says of itself: each library that is imported is declared, and no file is left out of it."""

from __future__ import annotations

import ast
import re
import sys
import tomllib
from collections.abc import Iterable, Iterator
from fnmatch import fnmatch
from pathlib import Path
from zipfile import ZipFile

from tests.package import ROOT, files, missing

ASKED = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
PROJECT = ASKED["project"]
EXTRAS = PROJECT["optional-dependencies"]
WHEEL = ASKED["tool"]["hatch"]["build"]["targets"]["wheel"]
OURS = {"proofbell", "tests"}


def imported(folder: Path) -> Iterator[str]:
    """The libraries that the files of a folder import, each named as it is imported."""
    for path in folder.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_bytes())):
            names = [one.name for one in node.names] if isinstance(node, ast.Import) else []
            if isinstance(node, ast.ImportFrom) and not node.level:
                names = [node.module or ""]
            yield from (top for name in names if (top := name.split(".")[0]) not in sys.stdlib_module_names | OURS)


def declared(requirements: Iterable[str]) -> set[str]:
    """The libraries that are asked for, as they are imported: by their name, pytest's plugins by the rest of it."""
    names = (re.split(r"[^\w-]", one)[0].lower() for one in requirements)
    return {name.removeprefix("pytest-").replace("-", "_") for name in names}


def test_what_the_program_imports_is_declared() -> None:
    assert {name.lower() for name in imported(ROOT / "src")} == declared((*PROJECT["dependencies"], *EXTRAS["serve"]))


def test_what_the_tests_import_is_declared() -> None:
    asked = declared((*PROJECT["dependencies"], *EXTRAS["test"]))
    assert {name.lower() for name in imported(ROOT / "tests")} <= asked


def test_each_library_has_a_lowest_and_a_next_version() -> None:
    for one in (*PROJECT["dependencies"], *EXTRAS["serve"]):
        assert re.search(r">=[\d.]+,<[\d.]+$", one), one


def test_every_file_goes_into_the_wheel() -> None:
    """The builder takes folders, less what git is told to ignore. ``python -m tests.package`` looks into a wheel."""
    assert WHEEL == {"packages": ["src/proofbell"], "force-include": {"formulas": "proofbell/formulas"}}
    ignored = [line.strip("/") for line in (ROOT / ".gitignore").read_text(encoding="utf-8").splitlines()]
    lost = [name for name in files() if any(fnmatch(part, one) for part in name.split("/") for one in ignored)]
    assert not lost


def test_a_wheel_that_lacks_a_file_is_found_out(tmp_path: Path) -> None:
    with ZipFile(tmp_path / "some.whl", "w") as packed:
        for name in files():
            if not name.endswith("guide/bell.md"):
                packed.writestr(name, "")
    assert missing(tmp_path / "some.whl") == ["proofbell/guide/bell.md"]
