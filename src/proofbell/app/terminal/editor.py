"""The person's own editor: which it is, and a run of it in the terminal that the screens have left to it.

``VISUAL`` and ``EDITOR`` are utilities' usual variables, the first one for editors that need a screen (IEEE Std 1003.1,
`more`, `crontab`). The words are taken apart as a shell does, but no shell runs them.
"""

from __future__ import annotations

import asyncio
import contextlib
import shlex
import signal
import subprocess
import threading
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from proofbell.errors import Failure
from proofbell.visible import visible

SET_ONE = 'Set one in the shell before you start Proofbell, such as: export EDITOR="nano"'
_LOOK_EVERY_S = 0.05
_AT_EDITOR = tuple(getattr(signal, name) for name in ("SIGINT", "SIGQUIT") if hasattr(signal, name))


def editor_command(environment: Mapping[str, str]) -> tuple[str, ...]:
    """The editor's program and its arguments; empty where none is set.

    Raises:
        Failure: what is set cannot be taken apart.
    """
    for variable in ("VISUAL", "EDITOR"):
        said = environment.get(variable, "").strip()
        if said:
            try:
                return tuple(shlex.split(said))
            except ValueError as error:
                message = f"{variable} cannot be read: a quotation mark in {visible(said, most=60)} is not closed."
                raise Failure(message, SET_ONE + ".") from error
    return ()


async def run_editor(command: Sequence[str], path: Path) -> str:
    """Run the editor on a file and wait until it has ended; what went wrong with it, in words, or nothing.

    The terminal must be the editor's. Whoever waits may be cancelled: then the editor is asked to end.

    Raises:
        Failure: it could not be started.
    """
    name = visible(Path(command[0]).name, most=60)
    with _signals_left_to_it():
        try:
            process = subprocess.Popen([*command, str(path.absolute())])  # noqa: S603 - the user's own, arguments only
        except (OSError, ValueError) as error:
            why = getattr(error, "strerror", None) or "the command cannot be used"
            message = f"The editor {name} could not be started: {why}."
            raise Failure(message, f"{SET_ONE}.") from error
        try:
            # Asked rather than waited for: a thread that waits would hold up the end of the program.
            while process.poll() is None:
                await asyncio.sleep(_LOOK_EVERY_S)
        finally:
            if process.poll() is None:
                process.terminate()
    return _ended(name, process.returncode)


@contextlib.contextmanager
def _signals_left_to_it() -> Iterator[None]:
    """What the keys of a plain terminal send goes to all programs on it; it is meant for the editor alone.

    A handler that does nothing, not SIG_IGN: the editor would inherit that.
    """
    before: dict[int, Any] = {}
    if threading.current_thread() is threading.main_thread():
        before = {which: signal.signal(which, lambda *_: None) for which in _AT_EDITOR}
    try:
        yield
    finally:
        for which, handler in before.items():
            signal.signal(which, handler)


def _ended(name: str, status: int) -> str:
    if status == 0:
        return ""
    if status > 0:
        return f"The editor {name} ended with status {status}."
    try:
        return f"The editor {name} was ended ({signal.Signals(-status).name})."
    except ValueError:
        return f"The editor {name} was ended (signal {-status})."
