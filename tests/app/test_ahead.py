"""The screens that the bench leads to are read in before their first key."""

from __future__ import annotations

import inspect
import subprocess
import sys

from proofbell.app.bench import bench_going
from proofbell.app.preload import SCREENS


def test_every_screen_that_the_bench_imports_late_is_read_ahead() -> None:
    late = {name for name in SCREENS if f"from proofbell.app.{name} import" in _source()}
    assert late == set(SCREENS)
    assert _source().count("        from proofbell.app.") == len(SCREENS) + 1  # the far view is small


def _source() -> str:
    return inspect.getsource(bench_going)


def test_reading_ahead_leaves_nothing_for_the_first_key() -> None:
    code = (
        "import sys, proofbell.app.app\n"
        "from proofbell.app.preload import SCREENS, read_ahead\n"
        "names = [f'proofbell.app.{name}' for name in SCREENS]\n"
        "before = [name for name in names if name in sys.modules]\n"
        "read_ahead()\n"
        "print(before, all(name in sys.modules for name in names))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[] True"
