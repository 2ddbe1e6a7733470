"""What tests share lies in tests/support, and a slow machine fails none of them."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

from hypothesis import settings

TESTS = Path(__file__).parent


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


def test_how_long_an_example_takes_is_not_judged() -> None:
    assert settings().deadline is None
