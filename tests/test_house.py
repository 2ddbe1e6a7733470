"""The picture of the house in DEVELOPERS.md is that of its imports, and no room imports another in a circle."""

from __future__ import annotations

import re
from pathlib import Path

from tests.house import arrows, floors, picture

ROOT = Path(__file__).parents[1]
PAGE = ROOT / "DEVELOPERS.md"

MOST_FILES = 20
"""Some fifteen is better."""


def test_the_picture_is_that_of_the_imports() -> None:
    drawn = PAGE.read_text(encoding="utf-8").split("<!-- house -->\n```\n")[1].split("```")[0]
    assert drawn == picture() + "\n"


def test_each_room_imports_from_floors_below_its_own() -> None:
    level = {room: number for number, rooms in enumerate(floors(arrows())) for room in rooms}
    assert all(level[below] < level[room] for room, to in arrows().items() for below in to)


def test_every_file_that_the_page_names_is_there() -> None:
    named = set(re.findall(r"`([a-z_/]+\.(?:py|md|json|toml))`", PAGE.read_text(encoding="utf-8")))
    roots = [ROOT, ROOT / "src" / "proofbell", ROOT / "tests", ROOT / "src" / "proofbell" / "journal"]
    roots.append(ROOT / "src" / "proofbell" / "formula")
    assert named
    assert not {name for name in named if not any((root / name).is_file() for root in roots)}


def test_no_folder_holds_more_than_a_reader_takes_in() -> None:
    source = ROOT / "src" / "proofbell"
    full = {
        str(folder.relative_to(source)): count
        for folder in source.rglob("*")
        if folder.is_dir() and (count := len(list(folder.glob("*.py")))) > MOST_FILES
    }
    assert not full
