"""The table "where a new thing goes" of DEVELOPERS.md is true: each row is done to a copy of the program, and works."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

import proofbell
from tests.support.additions import ADDITIONS, MADE, add

ROOT = Path(__file__).parents[1]
TABLE = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8").split("## Where a new thing goes")[1].split("\n## ")[0]
ROWS = {cells[0]: " ".join(cells[1:]) for cells in re.findall(r"^\| (a.+?) \| (.+?) \| (.+?) \|$", TABLE, re.MULTILINE)}

EACH = """
import json, sys, traceback
told = {}
for name, code in json.load(sys.stdin).items():
    try:
        exec(compile(code, name, "exec"), {"__name__": "row"})
        told[name] = ""
    except BaseException:
        told[name] = traceback.format_exc(limit=-3)
import proofbell
print(json.dumps([proofbell.__file__, told]))
"""


@pytest.fixture(scope="module")
def told(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """Row to what went wrong when it was done; all are done to one copy, which is looked at in a process of its own."""
    folder = tmp_path_factory.mktemp("copy")
    program = folder / "proofbell"
    shutil.copytree(Path(proofbell.__file__).parent, program, ignore=shutil.ignore_patterns("__pycache__"))
    told = {}
    for name, addition in ADDITIONS.items():
        try:
            add(addition, program)
        except (AssertionError, OSError) as error:
            told[name] = str(error)
    codes = {name: MADE + addition.shows for name, addition in ADDITIONS.items() if name not in told}
    done = subprocess.run(
        [sys.executable, "-c", EACH],
        input=json.dumps(codes),
        env={**os.environ, "PYTHONPATH": f"{folder}{os.pathsep}{ROOT}", "PYTHONDONTWRITEBYTECODE": "1"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr[-2000:]
    where, found = json.loads(done.stdout.splitlines()[-1])
    assert where.startswith(str(folder)), "the copy is what was run"
    return {**told, **found}


@pytest.mark.parametrize("row", ADDITIONS)
def test_a_row_of_the_table_is_all_that_a_new_thing_needs(row: str, told: dict[str, str]) -> None:
    assert told[row] == ""


@pytest.mark.parametrize("row", ADDITIONS)
def test_a_row_names_every_file_that_a_new_thing_needs(row: str) -> None:
    unnamed = [
        name
        for name, stands, _ in ADDITIONS[row].edits
        if f"`{name}`" not in ROWS[row] and (stands or f"`{Path(name).parent}/`" not in ROWS[row])
    ]
    assert unnamed == []


def test_every_row_is_done() -> None:
    assert sorted(ROWS) == sorted(ADDITIONS)
