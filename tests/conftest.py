"""No test ever sees or touches the journal and the kitchen of whoever runs it, and none is judged by its speed."""

from __future__ import annotations

import os
from collections.abc import Iterator

import pytest
from hypothesis import HealthCheck, settings

from proofbell.units import METRIC, use

# How long an example takes says how busy the machine is, not whether the program is right.
settings.register_profile("unhurried", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("unhurried")


def pytest_xdist_auto_num_workers() -> int:
    """Half as many again as there are processors: a test that drives a screen waits for a third of its time."""
    processors = os.cpu_count() or 1
    return processors + processors // 2


@pytest.fixture(scope="session", autouse=True)
def nobodys_files(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Name files that are not there, for every test that names none of its own."""
    folder = tmp_path_factory.mktemp("nobodys")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("PROOFBELL_JOURNAL", str(folder / "journal.sqlite"))
        patch.setenv("PROOFBELL_KITCHEN", str(folder / "kitchen.toml"))
        yield


@pytest.fixture(autouse=True)
def _metric() -> Iterator[None]:
    """A kitchen that counts in °F is nobody else's."""
    yield
    use(METRIC)
