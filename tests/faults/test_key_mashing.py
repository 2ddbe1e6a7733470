"""A wet elbow on the keys, and a window that is dragged about, end nothing."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.faults.key_mashing import mash


@pytest.mark.parametrize("seed", range(2))
async def test_random_keys_and_sizes_on_every_page(seed: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)  # Where an export of such a name may be written.
    pressed = await mash(tmp_path, 250, seed)
    assert len(pressed) > 5, pressed
