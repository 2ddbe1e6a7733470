"""Says why a command stands still while another program keeps the journal to itself."""

from __future__ import annotations

from pathlib import Path

from proofbell.cli.printed.printing import remark
from proofbell.clock import Patience, Retry
from proofbell.journal.storage.opening import is_busy

SAY_AFTER_S = 1.0
"""A save takes milliseconds: whoever keeps the file longer keeps somebody waiting."""


def say_if_busy(path: Path, retry: Retry | None = None) -> None:
    """Wait a little until the journal is free; say once when it is not free by then. Opening it waits on.

    It goes to standard error, in a terminal or not: a script's log should tell why it stood still.
    """
    retry = retry or Patience(SAY_AFTER_S)
    while is_busy(path):
        if not retry.again():
            remark("proofbell: another program is writing to the journal; waiting for it …")
            return
