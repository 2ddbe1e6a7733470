"""The scan of places, against a parser's idea of what there is."""

import datetime as dt
from typing import Any

import pytest
import tomli
import tomlkit
from hypothesis import given, settings
from hypothesis import strategies as st

from proofbell.formula.text.positions import Path, positions

NAMES = st.one_of(
    st.text(alphabet="abcXYZ019_-", min_size=1, max_size=6),
    st.text(alphabet="ab .#\"'=[]{}é\\", min_size=0, max_size=5),
)
SCALARS = st.one_of(
    st.booleans(),
    st.integers(-(2**40), 2**40),
    st.floats(allow_nan=False),
    st.text(alphabet="ab \"'#=[]{},\n\\é.", max_size=12),
    st.dates(dt.date(1900, 1, 1), dt.date(2100, 1, 1)),
    st.datetimes(dt.datetime(1900, 1, 1), dt.datetime(2100, 1, 1)),  # noqa: DTZ001 - a local time, as TOML has them
)
TREES = st.dictionaries(
    NAMES,
    st.recursive(
        SCALARS,
        lambda inner: st.one_of(
            st.lists(inner, max_size=3),
            st.dictionaries(NAMES, inner, max_size=3),
            st.lists(st.dictionaries(NAMES, inner, max_size=2), min_size=1, max_size=3),
        ),
        max_leaves=10,
    ),
    max_size=4,
)


def paths_of(value: Any, path: Path = ()) -> set[Path]:  # noqa: ANN401
    """Every path in a tree of values."""
    found = {path} if path else set()
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    return found.union(*(paths_of(item, (*path, name)) for name, item in items))


@given(TREES)
@settings(max_examples=150)
def test_there_is_a_place_for_every_path_and_no_other(tree: dict[str, Any]) -> None:
    text = tomlkit.dumps(tree).replace("\r\n", "\n")
    assert set(positions(text)) == paths_of(tomli.loads(text))


@given(TREES)
@settings(max_examples=100)
def test_what_stands_at_the_place_of_a_value_reads_as_that_value(tree: dict[str, Any]) -> None:
    text = tomlkit.dumps(tree)
    lines = text.split("\n")
    whole = tomli.loads(text)
    for path, spot in positions(text).items():
        value: Any = whole
        for part in path:
            value = value[part]
        place = spot.value
        written = lines[place.line - 1][place.column - 1 : place.column - 1 + place.length]
        if isinstance(value, dict | list) or written.startswith(('"""', "'''")):
            continue
        assert tomli.loads(f"x = {written}")["x"] == value


@pytest.mark.parametrize(
    ("text", "path", "key", "value"),
    [
        ('name = "x"', ("name",), (1, 1), (1, 8)),
        ("\n  a . b  =  1", ("a", "b"), (2, 7), (2, 13)),
        ('"a.b" = 1', ("a.b",), (1, 1), (1, 9)),
        ('x = { y = 1, z = "2" }', ("x", "z"), (1, 14), (1, 18)),
        ('x = [\n  1, # one "]"\n  [2, 3],\n]', ("x", 1, 1), (3, 7), (3, 7)),
        ("[[s]]\na = 1\n[[s]]\na = 2", ("s", 1, "a"), (4, 1), (4, 5)),
        (
            "[[s]]\n  [[s.c]]\n  r = 1\n  [[s.c]]\n  r = 2\n[[s]]\n  [[s.c]]\n  r = 3",
            ("s", 1, "c", 0, "r"),
            (8, 3),
            (8, 7),
        ),
        ('[[s]]\n[s.t]\nb = [ { k = "1" }, { k = "2" } ]', ("s", 0, "t", "b", 1, "k"), (3, 22), (3, 26)),
        ("[a.b]\nc = 1", ("a",), (1, 1), (1, 1)),
        ('x = """\n[no]\n"""\ny = 1', ("y",), (4, 1), (4, 5)),
        ("d = 1979-05-27 07:32:00 # when", ("d",), (1, 1), (1, 5)),
        ('"pâte" = 1', ("pâte",), (1, 1), (1, 10)),
    ],
)
def test_key_and_value_stand_where_a_reader_would_point(
    text: str, path: Path, key: tuple[int, int], value: tuple[int, int]
) -> None:
    spot = positions(text)[path]
    assert (spot.key.line, spot.key.column) == key
    assert (spot.value.line, spot.value.column) == value
