"""What tests of the journal's commands share: a kitchen and a journal of their own."""

from __future__ import annotations

from pathlib import Path

import pytest


@pytest.fixture
def path(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where the commands find the journal; nothing is there yet."""
    journal_path = tmp_path / "journal.db"
    monkeypatch.setenv("PROOFBELL_JOURNAL", str(journal_path))
    kitchen = tmp_path / "kitchen.toml"
    kitchen.write_text('name = "Guesthouse"\n')
    monkeypatch.setenv("PROOFBELL_KITCHEN", str(kitchen))
    return journal_path
