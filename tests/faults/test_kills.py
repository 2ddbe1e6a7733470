"""What a program, or the screen, has acknowledged outlives every kill."""

from __future__ import annotations

import random
import sys
from pathlib import Path

import pytest

from tests.faults.kills import campaign

KILLS = 25


@pytest.mark.skipif(sys.platform == "win32", reason="pseudo-terminals and SIGKILL are things of Unix")
@pytest.mark.parametrize("part", range(5))
def test_killed_at_any_moment_nothing_that_was_acknowledged_is_lost(tmp_path: Path, part: int) -> None:
    seed = random.randrange(10**6)
    try:
        tally = campaign(tmp_path, KILLS // 5, seed)
    except Exception as error:
        error.add_note(f"part {part}, seed {seed}")
        raise

    assert tally.kills == KILLS // 5
    assert tally.acknowledged > 0
