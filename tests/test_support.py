"""What tests share lies in tests/support, and a slow machine fails none of them."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import settings

from tests.private_members import named

TESTS = Path(__file__).parent

PRIVATE_OF_TEXTUAL = {
    "app/test_textual_private.py": "it tells when a part of Textual that the app leans on is no more",
    "app/test_changed.py": "Textual's own picture of a change goes in",
    "serve/test_keys.py": "Textual's own reader of keys hears what the page sends",
    "support/quick_pilot.py": "it knows when Textual and the loop have nothing left to do",
    "support/stage.py": "what stands on a screen is read where Textual keeps it",
}
"""The files that name private members, none of them ours, and why."""


def imported(path: Path) -> Iterator[str]:
    """The modules that a file imports."""
    for node in ast.walk(ast.parse(path.read_bytes())):
        if isinstance(node, ast.Import):
            yield from (name.name for name in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            yield node.module


def test_no_test_imports_another_test() -> None:
    found = [
        f"{path.relative_to(TESTS)} imports {name}"
        for path in TESTS.rglob("*.py")
        for name in imported(path)
        if name.startswith("tests.") and name.rsplit(".", 1)[-1].startswith("test_")
    ]
    assert found == []


def test_no_test_names_a_private_member() -> None:
    """It would go red with every change inside, and stay green while a baker sees something else."""
    found = {
        path.relative_to(TESTS).as_posix(): [f"line {line}: {name}" for line, name in hits]
        for path in TESTS.rglob("*.py")
        if (hits := list(named(path.read_text(encoding="utf-8"))))
    }
    assert {file: hits for file, hits in found.items() if file not in PRIVATE_OF_TEXTUAL} == {}
    assert set(found) == set(PRIVATE_OF_TEXTUAL), "each that may is one that does"


@pytest.mark.parametrize(
    "source",
    [
        "screen._fields['pieces']",
        "app.screen._shelf.whole",
        "journal._connection = None",
        "Page()._come()",
        "from proofbell.dough.fermenting.drift import _nodes",
        "from textual._compositor import ChopsUpdate",
        "import textual._context",
        "patch.setattr(Rows, '_line', None)",
        "patch.setattr('proofbell.journal.index._line_of', None)",
        "getattr(screen, '_shown')",
    ],
)
def test_a_private_member_is_found_however_it_is_named(source: str) -> None:
    assert list(named(source))


@pytest.mark.parametrize(
    "source",
    ["self._real", "cls._made", "found._replace(probe=1)", "os._exit(1)", "a.__dict__", "x = _own", "Mark('_library')"],
)
def test_what_is_ones_own_or_public_is_no_private_member(source: str) -> None:
    assert not list(named(source))


def test_how_long_an_example_takes_is_not_judged() -> None:
    assert settings().deadline is None
