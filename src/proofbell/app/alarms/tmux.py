"""What tmux, if we are in it, lets through to the terminal around it."""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Mapping


def tmux_lets_through(environment: Mapping[str, str]) -> bool:
    """Whether tmux hands on what is meant for the terminal around it (its option ``allow-passthrough``)."""
    tmux = shutil.which("tmux")
    if not environment.get("TMUX") or tmux is None:
        return False
    pane = ["-t", environment["TMUX_PANE"]] if environment.get("TMUX_PANE") else []
    asked = [tmux, "show-options", "-p", "-A", "-v", *pane, "allow-passthrough"]
    try:
        told = subprocess.run(  # noqa: S603 - arguments of our own
            asked, capture_output=True, text=True, timeout=2, check=False, stdin=subprocess.DEVNULL, env=os.environ
        )
    except (OSError, subprocess.SubprocessError):
        return False
    return told.stdout.strip() in ("on", "all")
