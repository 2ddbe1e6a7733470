"""Files made to hurt: refused at once, with a place, and never with a traceback.

The sorts of file are those that TOML parsers are known to be slow on or to fail without a place.
"""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from proofbell.faults import Source
from proofbell.formula.read import read_formula
from proofbell.formula.report import report
from proofbell.formula.text.guard import MOST_BYTES, decoded, guard

HOSTILE: dict[str, str | bytes] = {
    "brackets in brackets": "a = " + "[" * 100_000,
    "braces in braces": "a = " + "{a=" * 50_000,
    "a key of ten thousand parts": ".".join(["a"] * 10_000) + " = 1",
    "headings of many parts": ("[" + ".".join(["a"] * 1_000) + "]\n") * 50,
    "many dotted keys": "".join(f"k{n}{'.a' * 30} = 1\n" for n in range(3_000)),
    "dots in an inline table": "a = { " + ".".join(["b"] * 20) + " = 1 }",
    "quoted parts": ".".join(['"a"'] * 20) + " = 1",
    "a long number": "a = " + "9" * 4_000,
    "a long hexadecimal number": "a = 0x" + "f" * 4_000,
    "a long line": "# " + "x" * 5_000,
    "a file too large": "# x\n" * 70_000,
    "bytes that are not UTF-8": b'name = "\xff\xfe"',
    "UTF-16": 'name = "x"'.encode("utf-16"),
    "half a character": 'name = "\ud800"',
    "an escape in the file": 'name = "\x1b[2J"',
    "a NUL in the file": 'name = "\x00"',
    "a carriage return alone": 'name = "a"\rname = "b"',
    "a string that does not end": 'name = """' + "x\n" * 50_000,
    "quotation marks without end": '"' * 200_000,
    "many quotation marks, line by line": ('"' * 1_000 + "\n") * 200,
    "backslashes": 'a = "' + "\\" * 4_000,
    "many unknown fields": "".join(f"k{n} = 1\n" for n in range(20_000)),
    "a list of many numbers": "a = [\n" + "1,\n" * 60_000 + "]",
    "many hidden characters": 'name = "' + "\u200b" * 3_000 + '"\n',
    "one thing twice": 'name = "a"\nname = "b"',
    "no end to a heading": "[batch\npieces = 1",
}


@pytest.mark.parametrize("sort", HOSTILE)
def test_a_hostile_file_is_refused_with_a_place(sort: str) -> None:
    formula, faults = read_formula(HOSTILE[sort], "hostile.toml")
    assert formula is None
    errors = [fault for fault in faults if fault.is_error]
    assert errors
    assert all(fault.line >= 1 and fault.column >= 1 and fault.message for fault in errors)


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("a = 1\nb = " + "[" * 20, (2, 21)),
        ("a = 1\n" + ".".join("abcdefghijklmnopqrs") + " = 1", (2, 34)),
        ("a = 1\n\nb = " + "7" * 101, (3, 5)),
        ("a = 1\n" + "#" * 4097, (2, 4097)),
    ],
)
def test_the_guard_marks_where_it_stopped(text: str, place: tuple[int, int]) -> None:
    fault = guard(text)
    assert fault is not None
    assert (fault.line, fault.column) == place


@pytest.mark.parametrize(
    "text",
    [
        'a = "' + "." * 300 + '"',
        "# " + "[" * 300,
        "a = '''\n" + "[.[." * 100 + "\n'''",
        'a = """\n' + '\\"[' * 100 + '\n"""',
        'a = "\\\\"\nb = [[1]]',
        "a = [ " + "[], " * 200 + "]",
        "a = 1.5\n" * 30,
        "[[a.b.c.d]]\n" * 30,
        "a = { " + ", ".join(f"b{n}.c = {n}" for n in range(30)) + " }",
    ],
)
def test_the_guard_lets_ordinary_files_pass(text: str) -> None:
    assert guard(text) is None


def test_a_byte_order_mark_is_dropped_and_line_ends_of_windows_are_read() -> None:
    text, fault = decoded(b'\xef\xbb\xbfname = "x"\r\nabout = "y"\r\n')
    assert fault is None
    assert text == 'name = "x"\nabout = "y"\n'


def test_bytes_that_are_not_utf8_are_found_in_their_line() -> None:
    _, fault = decoded('name = "brød"\nabout = "'.encode() + b'\xe5"')
    assert fault is not None
    assert (fault.line, fault.column) == (2, 10)


def test_the_bound_on_the_size_is_on_bytes() -> None:
    assert decoded("#" * MOST_BYTES)[1] is None
    assert decoded("#" * (MOST_BYTES + 1))[1] is not None
    assert decoded("é" * MOST_BYTES)[1] is not None


SIGNS = [
    "[",
    "]",
    "{",
    "}",
    "=",
    '"',
    "'",
    '"""',
    "\\",
    "\n",
    ".",
    ",",
    "#",
    "1",
    "nan",
    "é",
    "\x1b",
    "\u202e",
    "\ud800",
]
WORDS = ["[[stages]]\n", "[[ingredients]]\n", "[stages.adjust]\n", "name", "time", "kind", " = ", '"5 min"', '"proof"']
BITS = st.sampled_from([*SIGNS, *WORDS])


@given(st.lists(BITS, max_size=60).map("".join))
@settings(max_examples=200)
def test_any_text_is_read_or_refused_and_reported_without_harm(text: str) -> None:
    formula, faults = read_formula(text, "any\x1b.toml")
    assert (formula is None) == any(fault.is_error for fault in faults)
    shown = report(faults, Source("any\x1b.toml", text))
    assert "\x1b" not in shown
    assert "\u202e" not in shown


@given(st.binary(max_size=200))
@settings(max_examples=100)
def test_any_bytes_are_read_or_refused(data: bytes) -> None:
    formula, faults = read_formula(data, "any.toml")
    assert (formula is None) == any(fault.is_error for fault in faults)
