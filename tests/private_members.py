"""Which private members a Python file names: those with one leading underscore, of whatever it has not made itself."""

from __future__ import annotations

import ast
from collections.abc import Iterator

REACHING = {"setattr", "delattr", "getattr", "hasattr"}
"""Calls that take the name of a member as a text, of the language and of what tests swap things with."""


def named(source: str) -> Iterator[tuple[int, str]]:
    """Line and name of each. What is behind ``self`` or ``cls``, and what the standard library calls so, is fair."""
    for node in ast.walk(ast.parse(source)):
        match node:
            case ast.Attribute(value=ast.Name(id="self" | "cls")):
                continue
            case ast.Attribute(attr=name):
                names = [name]
            case ast.ImportFrom(module=module, names=found):
                names = [*(module or "").split("."), *(each.name for each in found)]
            case ast.Import(names=found):
                names = [part for each in found for part in each.name.split(".")]
            case ast.Call(func=ast.Name(id=called) | ast.Attribute(attr=called), args=args) if called in REACHING:
                texts = [each.value for each in args if isinstance(each, ast.Constant) and isinstance(each.value, str)]
                names = [part for text in texts for part in text.split(".")]
            case _:
                continue
        yield from ((node.lineno, name) for name in names if is_private(name))


def is_private(name: str) -> bool:
    """``_name``, and no ``__name__``."""
    return name.startswith("_") and not name.startswith("__") and name not in PUBLIC_ALL_THE_SAME


PUBLIC_ALL_THE_SAME = {"_replace", "_exit"}
"""Of named tuples and of ``os``: documented, with an underscore."""
