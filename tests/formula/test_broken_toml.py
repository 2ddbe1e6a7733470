"""What is no TOML (toml.io, v1.0.0) is met with the line, the column, and what to do about it."""

from __future__ import annotations

import pytest

from proofbell.formula.text.parse import parsed

# By the section of the specification that each breaks: text, line and column of the fault, what is said, what helps.
BROKEN = {
    "key without =": ("name", 1, 5, "A line is a name", 'name = "value"'),
    "bare key": ("näme = 1", 1, 2, "A line is a name", 'name = "value"'),
    "empty key": ("= 1", 1, 1, "neither a name", "[heading]"),
    "dotted key": ("a. = 1", 1, 4, "A name is missing", "quotes"),
    "value": ("time = 50 min", 1, 11, "after the end of the value", '"50 min"'),
    "no value": ("time = ", 1, 8, "not a value", "quotes"),
    "one line for each": ("a = 1 b = 2", 1, 7, "after the end of the value", "one name with its value on a line"),
    "basic string": ('name = "knots', 1, 14, "quotation mark is missing", "Close the text"),
    "basic string over a line": ('name = "knots\n', 1, 14, "quotation mark is missing", "Close the text"),
    "control character in a string": ('name = "a\x07"', 1, 10, "control character", "Take it out"),
    "control character in a comment": ("# a\x07", 1, 4, "control character", "Take it out"),
    "escape": ('name = "C:\\path"', 1, 0, "backslash", "twice"),
    "array": ("a = [1, 2", 1, 10, "list is not closed", '"]"'),
    "inline table": ("a = { b = 1", 1, 12, "braces is not closed", '"}"'),
    "table": ("[dough", 1, 7, "heading is not closed", '"]"'),
    "array of tables": ("[[stages]", 1, 9, "heading is not closed", '"]]"'),
    "table twice": ("[dough]\n[dough]", 2, 1, "stands twice", "one heading"),
    "key twice": ("a = 1\n a = 2", 2, 2, "given twice", "Keep one"),
    "key twice in braces": ("a = { b = 1, b = 2 }", 1, 14, "given twice", "Keep one"),
    "adding to braces": ("a = { b = 1 }\n[a.c]", 2, 1, "given twice|already complete|stands twice", ""),
    "date": ("a = 2026-02-30", 1, 0, "no such day", '"50 min"'),
}


@pytest.mark.parametrize("name", BROKEN)
def test_what_is_broken_is_named_at_its_place_with_a_way_out(name: str) -> None:
    text, line, column, says, helps = BROKEN[name]
    tree, fault = parsed(text)

    assert tree == {}
    assert fault is not None
    assert fault.line == line
    assert column in (0, fault.column)
    assert any(one in fault.message for one in says.split("|")), fault.message
    assert helps in fault.remedy


def test_brackets_without_end_are_a_fault_and_no_crash() -> None:
    _, fault = parsed("a = " + "[" * 100_000)
    assert fault is not None
    assert "rackets" in fault.message


def test_a_number_without_end_is_a_fault_and_no_crash() -> None:
    _, fault = parsed("a = " + "9" * 10_000)
    assert fault is not None
    assert "cannot be read" in fault.message


def test_what_is_toml_has_no_fault() -> None:
    assert parsed('a = 1\n[b]\nc = "d"') == ({"a": 1, "b": {"c": "d"}}, None)
