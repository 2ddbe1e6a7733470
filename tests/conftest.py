"""No test ever sees or touches the journal and the kitchen of whoever runs it, and none is judged by its speed."""

from __future__ import annotations

import os
from collections.abc import Iterator

import pytest
from hypothesis import HealthCheck, settings
from xdist.remote import Producer
from xdist.scheduler import WorkStealingScheduling

from proofbell.units import METRIC, use
from tests.support import quick_pilot

# Hundreds of tests start a program of its own: none should read the whole source anew.
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)

# How long an example takes says how busy the machine is, not whether the program is right.
settings.register_profile("unhurried", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("unhurried")


def pytest_xdist_auto_num_workers() -> int:
    """Half as many again as there are processors: a test that drives a terminal mostly waits for it."""
    processors = os.cpu_count() or 1
    return processors + processors // 2


def pytest_xdist_make_scheduler(config: pytest.Config, log: Producer) -> WorkStealingScheduling:
    """Whoever has nothing left to do takes over half of what another has: files take from no time to a minute."""
    return WorkStealingScheduling(config, log)


@pytest.fixture(scope="session", autouse=True)
def nobodys_files(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Name files that are not there, for every test that names none of its own."""
    folder = tmp_path_factory.mktemp("nobodys")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("PROOFBELL_JOURNAL", str(folder / "journal.sqlite"))
        patch.setenv("PROOFBELL_KITCHEN", str(folder / "kitchen.toml"))
        yield


@pytest.fixture(scope="session", autouse=True)
def _pilot_that_does_not_wait() -> Iterator[None]:
    """Nothing is waited for that is not under way."""
    with pytest.MonkeyPatch.context() as patch:
        quick_pilot.use(patch)
        yield


@pytest.fixture(autouse=True)
def _metric() -> Iterator[None]:
    """A kitchen that counts in °F is nobody else's."""
    yield
    use(METRIC)
