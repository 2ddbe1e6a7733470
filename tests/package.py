"""What a wheel must hold, and what one lacks: ``python -m tests.package dist/proofbell-0.1.0-py3-none-any.whl``."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path
from zipfile import ZipFile

ROOT = Path(__file__).parents[1]


def files() -> Iterator[str]:
    """Every file that a wheel must hold, as it is named there."""
    for folder, inside in ((ROOT / "src" / "proofbell", "proofbell"), (ROOT / "formulas", "proofbell/formulas")):
        for path in sorted(folder.rglob("*")):
            if path.is_file() and "__pycache__" not in path.parts:
                yield f"{inside}/{path.relative_to(folder).as_posix()}"


def missing(wheel: Path) -> list[str]:
    """What a wheel lacks."""
    with ZipFile(wheel) as packed:
        names = set(packed.namelist())
    return [name for name in files() if name not in names]


if __name__ == "__main__":
    lacks = missing(Path(sys.argv[1]))
    print("\n".join(lacks) or "Nothing is missing.")
    sys.exit(bool(lacks))
