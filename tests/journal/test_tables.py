"""The tables for statistics, read back by two readers that know nothing of how they were written."""

from __future__ import annotations

import csv
import re
from collections.abc import Callable
from pathlib import Path

import pytest

from proofbell.bake import events as kinds
from proofbell.bake.events import Body
from proofbell.cli import main
from proofbell.journal.export.tables import BAKES, NAMES, READINGS, STAGES, dictionary, heads, rows
from proofbell.journal.reviews.review import BakeReview, review
from proofbell.journal.storage.store import Journal
from proofbell.kitchen.model import Kitchen
from tests.journal.generate import Truth, simulated_bakes
from tests.support.making import chain, opened

Table = list[list[str]]
Reader = Callable[[str], Table]
Out = pytest.CaptureFixture[str]

HARM = [
    '=HYPERLINK("http://a.example")',
    "+1",
    "-2+3",
    "@SUM(1)",
    "\t=1",
    'a "b", c',
    "two\r\nlines",
    "＝1",
    "\x1b]0;x\x07",
]

FIELD = re.compile(r'"((?:[^"]|"")*)"|([^",\r\n]*)')


def by_the_grammar(text: str) -> Table:
    """A reader of RFC 4180, section 2, and of nothing else: lines end in CR LF, quotes are doubled, no blanks."""
    found: Table = []
    at = 0
    while at < len(text):
        line: list[str] = []
        while True:
            field = FIELD.match(text, at)
            assert field is not None
            line.append(field[2] if field[1] is None else field[1].replace('""', '"'))
            at = field.end()
            if text[at : at + 1] != ",":
                break
            at += 1
        assert text[at : at + 2] == "\r\n", text[at : at + 20]
        at += 2
        found.append(line)
    return found


def by_the_library(text: str) -> Table:
    """The standard library's reader, told to be strict."""
    return list(csv.reader(text.splitlines(keepends=True), strict=True))


@pytest.fixture(params=[by_the_grammar, by_the_library], ids=["grammar", "library"])
def read(request: pytest.FixtureRequest) -> Reader:
    reader: Reader = request.param
    return reader


def tables(bakes: list[BakeReview]) -> list[str]:
    """The three tables."""
    texts = [*heads()]
    for parts in rows(bakes):
        texts = [before + more for before, more in zip(texts, parts, strict=True)]
    return texts


def hostile(bake: str, kitchen: str) -> BakeReview:
    bodies: list[tuple[float, Body]] = [
        (0.0, opened(kitchen=Kitchen(name=kitchen))),
        (60.0, kinds.StageBegun(0)),
        (70.0, kinds.ReadingTaken("rise", None, "ready", stage=0, eye="ready")),
        (80.0, kinds.NoteAdded(bake)),
        (90.0, kinds.BakeClosed("given up", bake)),
    ]
    return review(chain(bake, bodies))


def test_numbers_come_back_as_what_they_were(read: Reader) -> None:
    bakes = [review(state.events) for state in simulated_bakes(3, Truth(), 2)]
    made, readings, stages = map(read, tables(bakes))
    assert (len(made), len(readings), len(stages)) == (
        1 + len(bakes),
        1 + sum(len(each.readings) for each in bakes),
        1 + sum(len(each.stages) for each in bakes),
    )
    for row, bake in zip(made[1:], bakes, strict=True):
        cells = dict(zip(made[0], row, strict=True))
        assert cells["bake"] == bake.state.id
        assert cells["kitchen"] == "Guesthouse"
        assert cells["formula"] == "Pier loaf"
        assert float(cells["flour_g"]) == 925.0
        assert float(cells["bake_loss_percent"]) == pytest.approx(bake.bake_loss_percent, abs=0.001)
        assert (cells["typical"], cells["points"], cells["room_c"]) == ("1", "", "")
    items = [item for bake in bakes for item in bake.readings]
    for row, item in zip(readings[1:], items, strict=True):
        cells = dict(zip(readings[0], row, strict=True))
        assert cells["what"] == item.reading.what
        assert (float(cells["value"]) if cells["value"] else None) == item.reading.value
        assert float(cells["at_s"]) == pytest.approx(item.reading.at_s, abs=0.001)
    spans = [stage for bake in bakes for stage in bake.stages]
    for row, stage in zip(stages[1:], spans, strict=True):
        cells = dict(zip(stages[0], row, strict=True))
        assert int(cells["stage_number"]) == stage.index + 1
        assert float(cells["actual_s"]) == pytest.approx(stage.actual_s, abs=0.001)


def test_text_from_anywhere_stays_text_in_its_cell(read: Reader) -> None:
    bakes = [hostile(text, text) for text in HARM]
    for text in tables(bakes):
        found = read(text)
        assert {len(row) for row in found} == {len(found[0])}
        for row in found[1:]:
            assert not any(cell.lstrip()[:1] in set("=+@＝") for cell in row)
            assert not any("\x1b" in cell for cell in row)
    made = read(tables(bakes)[0])
    quoted = dict(zip(made[0], made[6], strict=True))
    assert (quoted["note"], quoted["why"], quoted["kitchen"]) == (HARM[5],) * 3


def test_tables_of_two_kitchens_laid_together_stay_apart(read: Reader) -> None:
    one, other = (tables([hostile(bake, kitchen)]) for bake, kitchen in (("b1", "Quay"), ("b2", "Lighthouse")))
    for first, second in zip(one, other, strict=True):
        together = read(first + second.split("\r\n", 1)[1])
        keys = {(row[0], row[1]) for row in together[1:]}
        assert keys == {("b1", "Quay"), ("b2", "Lighthouse")}


def test_the_dictionary_has_every_column_with_its_unit_and_its_meaning(read: Reader) -> None:
    told = read(dictionary())
    named = [(row[0], row[1]) for row in told[2:]]
    written = [read(head)[0] for head in heads()]
    assert named == [(t, name) for t, names in zip(NAMES, written, strict=False) for name in names]
    assert all(row[3] for row in told)
    assert all(len({each.name for each in columns}) == len(columns) for columns in (BAKES, READINGS, STAGES))
    units = {"c": "°C", "g": "g", "s": "s", "percent": "%"}
    for columns in (BAKES, READINGS, STAGES):
        for each in columns:
            unit = units.get(each.name.rpartition("_")[2]) if "_" in each.name else None
            assert unit is None or each.unit == unit, each.name


def test_the_command_writes_all_of_them_and_replaces_nothing_unasked(path: Path, tmp_path: Path, capsys: Out) -> None:
    with Journal.open(path) as journal:
        journal.append(simulated_bakes(3, Truth(), 1)[0].events, 0)
    export = ["journal", "export", "--format", "table"]
    assert main([*export, "--folder", str(tmp_path / "out")]) == 0
    assert sorted(each.name for each in (tmp_path / "out").iterdir()) == sorted(f"{name}.csv" for name in NAMES)
    assert main([*export, "--to", str(tmp_path / "year.csv")]) == 0
    assert (tmp_path / "year-bakes.csv").read_bytes() == (tmp_path / "out" / "bakes.csv").read_bytes()
    (tmp_path / "year-bakes.csv").unlink()
    (tmp_path / "year-stages.csv").write_text("mine")
    capsys.readouterr()
    assert main([*export, "--to", str(tmp_path / "year")]) != 0
    assert "already there" in capsys.readouterr().err
    assert not (tmp_path / "year-bakes.csv").exists()
    assert (tmp_path / "year-stages.csv").read_text() == "mine"
    assert main([*export, "--to", str(tmp_path / "year"), "--overwrite"]) == 0
    assert (tmp_path / "year-stages.csv").read_text() != "mine"
    assert main(export) == 2
    assert not [
        each for each in tmp_path.iterdir() if each.suffix not in (".csv", ".db", ".toml", "") and "year" in each.name
    ]
