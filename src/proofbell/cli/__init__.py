"""The command line: one file a command, each imported only when it is asked for.

Exit status: 0 fine, 1 could not, 2 wrong input. Whatever goes wrong is said in plain words on standard error.
"""

from __future__ import annotations

import os
import sys

from proofbell import __version__
from proofbell.cli.known import COMMANDS, nearest, refuse_unknown
from proofbell.formula.fault import Refusal

TRACE = "PROOFBELL_TRACE"
"""Set in the environment, it lets an unexpected fault through with its whole trace, for those who mend it."""


def main(argv: list[str] | None = None) -> int:
    """Run one command and return its exit status."""
    arguments = sys.argv[1:] if argv is None else argv
    _never_stumble_over_letters()
    try:
        status = _run(arguments)
        sys.stdout.flush()
    except Refusal as refusal:
        return _refused(refusal)
    except BrokenPipeError:
        return _nobody_reads()
    except KeyboardInterrupt:
        return _say("Stopped.", 1)
    except Exception as error:
        if os.environ.get(TRACE):
            raise
        return _unexpected(error)
    return status


def _run(arguments: list[str]) -> int:
    if arguments[:1] in (["--help"], ["-h"], ["help"]):
        from proofbell.cli.overview import overview

        print(overview())
        return 0
    if arguments[:1] in (["--version"], ["-V"]):
        print(f"proofbell {__version__}")
        return 0
    from proofbell.cli.parser import run_command

    if arguments and arguments[0] in COMMANDS:
        return run_command(arguments[0], arguments[1:])
    refuse_unknown(arguments)
    return run_command("bench", arguments)


def _refused(refusal: Refusal) -> int:
    from proofbell.cli.say import refusal_text

    return _say(refusal_text(refusal), refusal.status)


def _unexpected(error: Exception) -> int:
    from proofbell.visible import visible

    what = f"{type(error).__name__}: {visible(str(error), most=200)}"
    remedy = f"Nothing was lost that was saved. Setting {TRACE}=1 shows where it happened."
    return _say(f"Proofbell made a mistake of its own ({what}).\n{remedy}", 1)


def _say(text: str, status: int) -> int:
    try:
        sys.stdout.flush()
        print(text, file=sys.stderr)
        sys.stderr.flush()
    except BrokenPipeError:
        _nobody_reads()
    return status


def _nobody_reads() -> int:
    """The reader of a pipe has gone: end quietly, and let Python's own last flush go nowhere."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    for stream in (sys.stdout, sys.stderr):
        try:
            stream.flush()
        except (BrokenPipeError, ValueError):
            os.dup2(nowhere, stream.fileno())
    return 1


def _never_stumble_over_letters() -> None:
    """A terminal that cannot write "°" gets a question mark, and not a fault."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="replace")


__all__ = ["COMMANDS", "main", "nearest"]
