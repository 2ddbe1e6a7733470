"""Text to a tree of TOML values, or the one place where it is no TOML."""

from __future__ import annotations

import re
from typing import Any

import tomli

from proofbell.faults import Fault
from proofbell.formula.text.toml_advice import advice
from proofbell.visible import visible

_FIRST_SIGN = {"line": re.compile(r"(\S)"), "part": re.compile(r"[{,]\s*(\S)[^{,]*$")}


def parsed(text: str) -> tuple[dict[str, Any], Fault | None]:
    """Return the tree that ``text`` stands for, or the fault that stops it being TOML. Lines end in a line feed."""
    try:
        return tomli.loads(text), None
    except tomli.TOMLDecodeError as error:
        return {}, _fault(error, text)
    except RecursionError:
        return {}, Fault("error", "Brackets are nested too deeply.", "Close some.", line=1, column=1)
    except ValueError as error:  # a number that Python will not make, for one
        return {}, Fault("error", f"This cannot be read: {visible(str(error), most=100)}.", line=1, column=1)


def _fault(error: tomli.TOMLDecodeError, text: str) -> Fault:
    line, column, known = error.lineno, error.colno, advice(error.msg)
    if known is None:
        said = f"This is not TOML: {visible(error.msg, most=100)}."
        return Fault("error", said, "Look at the line and the one above it.", line=line, column=column)
    if known.at != "here":
        found = _FIRST_SIGN[known.at].search(text.split("\n")[line - 1][: column - 1])
        column = found.start(1) + 1 if found else column
    return Fault("error", known.said, known.remedy, line=line, column=column)
