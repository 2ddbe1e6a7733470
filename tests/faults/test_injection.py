"""No handler, worker, timer or task may end the bench: functions of the app fail, and it goes on."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from tests.faults.injection import functions, survives

TOGETHER = 60
"""Functions that fail in one walk. ``python -m tests.faults.injection`` lets each fail alone."""


# A function that fails is never going to await what it was given.
@pytest.mark.filterwarnings("ignore:coroutine .* was never awaited:RuntimeWarning")
@pytest.mark.parametrize("share", range(3))
async def test_the_bench_goes_on_whatever_fails(share: int, tmp_path: Path) -> None:
    known = functions()
    names = sorted(known)
    random.Random(20260314).shuffle(names)
    fired = await survives(tmp_path, names[share * TOGETHER : (share + 1) * TOGETHER], known)
    assert fired, "the walk comes through none of them"
    assert "InjectedError" in (tmp_path / "faults.txt").read_text(encoding="utf-8")
