"""No test ever sees or touches the journal and the kitchen of whoever runs it."""

from __future__ import annotations

from collections.abc import Iterator

import pytest


@pytest.fixture(scope="session", autouse=True)
def nobodys_files(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Name files that are not there, for every test that names none of its own."""
    folder = tmp_path_factory.mktemp("nobodys")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("PROOFBELL_JOURNAL", str(folder / "journal.sqlite"))
        patch.setenv("PROOFBELL_KITCHEN", str(folder / "kitchen.toml"))
        yield
