"""One figure of a formula file is changed, and nothing else: no byte, no field."""

from __future__ import annotations

import copy
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import tomli
from hypothesis import given
from hypothesis import strategies as st

from proofbell.formula.editing.figures import Figure, figures, with_figure
from proofbell.formula.read import read_formula
from proofbell.formula.text.identity import identity, is_other
from proofbell.places import house_formulas
from proofbell.quantities import QuantityError

HOUSE = house_formulas()


@cache
def all_figures(stem: str) -> tuple[bytes, tuple[Figure, ...]]:
    data = HOUSE[stem].read_bytes()
    return data, figures(data)


def figure(data: bytes, owner: str, words: str) -> Figure:
    return next(one for one in figures(data) if (one.owner, one.words) == (owner, words))


def inside(tree: Any, path: tuple[str | int, ...]) -> Any:  # noqa: ANN401 - values of a TOML tree
    for part in path:
        tree = tree[part]
    return tree


@given(st.data(), st.sampled_from(sorted(HOUSE)), st.integers(1, 40), st.sampled_from(["\n", "\r\n"]))
def test_any_figure_changes_alone(data: st.DataObject, stem: str, number: int, line_end: str) -> None:
    plain, listed = all_figures(stem)
    one = data.draw(st.sampled_from(listed))
    before = plain.replace(b"\n", line_end.encode())
    before = data.draw(st.sampled_from([b"", b"\xef\xbb\xbf"])) + before
    try:
        after = with_figure(before, one, str(number))
    except QuantityError:  # outside of what the field may hold, such as a core of 5 °C
        return

    tree = tomli.loads(plain.decode())
    changed = tomli.loads(after.decode("utf-8-sig").replace("\r\n", "\n"))
    value = inside(changed, one.path)
    wanted = copy.deepcopy(tree)
    inside(wanted, one.path[:-1])[one.path[-1]] = value
    assert changed == wanted
    assert str(number) in str(value)
    # Every other byte: the lines before and after, and on its own line what is around it.
    lines, new = before.split(b"\n"), after.split(b"\n")
    assert lines[: one.line - 1] + lines[one.line :] == new[: one.line - 1] + new[one.line :]
    old, now = lines[one.line - 1], new[one.line - 1]
    token = str(inside(tree, one.path)).encode()
    assert any(
        now == old[:at] + str(value).encode() + old[at + len(token) :]
        for at in range(len(old))
        if old.startswith(token, at)
    )


@pytest.mark.parametrize("stem", sorted(HOUSE))
def test_every_amount_time_and_heat_of_a_formula_can_be_changed(stem: str) -> None:
    data, listed = all_figures(stem)
    formula, _ = read_formula(data, stem)
    assert formula is not None
    paths = {one.path for one in listed}

    for index in range(len(formula.ingredients) + len(formula.outside)):
        assert any(("ingredients", index, way) in paths for way in ("percent", "weight", "each"))
    for index, stage in enumerate(formula.stages):
        phases = [("stages", index, "phases", number, "oven") for number in range(len(stage.phases))]
        assert {*phases} <= paths if phases else ("stages", index, "time") in paths
    # What is written as it stands already changes no byte.
    assert all(with_figure(data, one, one.written) == data for one in listed)


TEXT = b"""name = 'One' # my own
[oven]
temperature = '180 \xc2\xb0C fan'  # the old oven
[[ingredients]]
name = "flour"
weight = "1 lb 8 oz"
[[stages]]
name = "Proof"
kind = "proof"
time = "1 h 30 min"
place = "larder 2"
checks = [ { read = "rise", expect = ["50 %", "75 %"] } ]
"""


@pytest.mark.parametrize(
    ("owner", "words", "typed", "line"),
    [
        ("oven", "temperature", "170", "temperature = '170 °C fan'  # the old oven"),
        ("oven", "temperature", "170 fan", "temperature = '170 °C fan'  # the old oven"),
        ("oven", "temperature", "gas 5", "temperature = 'gas 5'  # the old oven"),
        ("oven", "temperature", "350F", "temperature = '350 °F'  # the old oven"),
        ("flour", "weight", "250 ml", 'weight = "250 ml"'),
        ("flour", "weight", "2 tbsp", 'weight = "2 tbsp"'),
        ("flour", "weight", "700", 'weight = "700 g"'),
        ("Proof", "time", "100", 'time = "100 min"'),
        ("Proof", "time", "1,5 h", 'time = "1.5 h"'),
        ("Proof", "check, expect, most", "80", '"50 %", "80 %"'),
    ],
)
def test_a_figure_is_written_as_a_file_has_it(owner: str, words: str, typed: str, line: str) -> None:
    assert line in with_figure(TEXT, figure(TEXT, owner, words), typed).decode()


@pytest.mark.parametrize("typed", ["", "soon", "-5 min", "20 °C", "0", '5 min" # x', "nan", "1e9999"])
def test_what_does_not_fit_the_field_is_refused(typed: str) -> None:
    with pytest.raises(QuantityError):
        with_figure(TEXT, figure(TEXT, "Proof", "time"), typed)


def test_the_name_of_a_place_is_no_figure() -> None:
    assert not any(one.words == "place" for one in figures(TEXT))


def test_a_file_is_another_once_its_text_is(tmp_path: Path) -> None:
    data = HOUSE["harbour-knots"].read_bytes()
    formula, _ = read_formula(data, "knots")
    assert formula is not None
    same, other = identity(data.replace(b"\n", b"\r\n")), identity(data + b"# tried with less sugar\n")
    assert same is not None
    assert other is not None

    assert same.name == formula.name
    assert not is_other(formula.digest, [same.digest])
    assert is_other(formula.digest, [other.digest])
    assert not is_other(formula.digest, [other.digest, same.digest])
    assert not is_other(formula.digest, []), "a file that is gone says nothing"
    assert identity(b"name = ") is None
