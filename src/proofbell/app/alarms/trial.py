"""One ring to try the kitchen's own command: it is waited for, and what came of it is told."""

from __future__ import annotations

from collections.abc import Sequence

from proofbell.app.alarms.alarm_command import LONGEST_US, failed, filled
from proofbell.app.alarms.process_group import ProcessGroup
from proofbell.visible import visible

LETTER, WORDS = "A", "a test: this is how it rings"


def tried(command: Sequence[str], longest_s: float = LONGEST_US / 1_000_000) -> str:
    """Run it once to its end, as an alarm does; why it could not be, or nothing. Ends it after ``longest_s``."""
    try:
        group = ProcessGroup(filled(command, LETTER, WORDS))
    except (OSError, ValueError) as error:
        return f"The alarm's command could not be started: {visible(str(error))}."
    try:
        group.wait(longest_s)
        status = group.status
    finally:
        group.end()
        group.kill()
    if status is None:
        return f"The alarm's command had not ended after {longest_s:.0f} s and was ended. Try it in a terminal."
    return failed(status)
