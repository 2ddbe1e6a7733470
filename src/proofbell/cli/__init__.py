"""The command line: one file a command, each imported only when it is asked for.

Exit status: 0 fine, 1 could not, 2 wrong input. Whatever goes wrong is said in plain words on standard error.
"""

from __future__ import annotations

import contextlib
import os
import sys

from proofbell import __version__
from proofbell.cli.arguments.known import COMMANDS, nearest, refuse_unknown
from proofbell.cli.streams import NotPrintedError, let_go, safe_streams
from proofbell.errors import Failure

TRACE = "PROOFBELL_TRACE"
"""Set in the environment, it lets an unexpected fault through with its whole trace, for those who mend it."""


def main(argv: list[str] | None = None) -> int:
    """Run one command and return its exit status."""
    arguments = sys.argv[1:] if argv is None else argv
    with safe_streams():
        status = _status(arguments)
        let_go()
    return status


def _status(arguments: list[str]) -> int:
    try:
        status = _run(arguments)
        sys.stdout.flush()
    except Failure as failure:
        return _refused(failure)
    except NotPrintedError as lost:
        return _not_printed(str(lost))
    except BrokenPipeError:
        return 1  # The reader has gone: quietly.
    except KeyboardInterrupt:
        return _say("Stopped.", 1)
    except Exception as error:
        if os.environ.get(TRACE):
            raise
        return _unexpected(error)
    return status


def _run(arguments: list[str]) -> int:
    if arguments[:1] in (["--help"], ["-h"], ["help"]):
        from proofbell.cli.arguments.overview import overview

        print(overview())
        return 0
    if arguments[:1] in (["--version"], ["-V"]):
        print(f"proofbell {__version__}")
        return 0
    from proofbell.cli.arguments.parser import run_command

    if arguments and arguments[0] in COMMANDS:
        return run_command(arguments[0], arguments[1:])
    refuse_unknown(arguments)
    return run_command("bench", arguments)


def _refused(failure: Failure) -> int:
    from proofbell.cli.printed.printing import refusal_text

    return _say(refusal_text(failure), failure.status)


def _unexpected(error: Exception) -> int:
    from proofbell.visible import visible

    what = f"{type(error).__name__}: {visible(str(error), most=200)}"
    remedy = f"Nothing that was saved is lost. Setting {TRACE}=1 shows where it happened."
    return _say(f"Proofbell hit an internal error ({what}).\n{remedy}", 1)


def _not_printed(why: str) -> int:
    words = f"Standard output cannot be written to ({why}), so the answer could not be printed."
    return _say(
        f"{words}\nWhat was to be written or saved is done. Ask again with an output that can be written to.", 1
    )


def _say(text: str, status: int) -> int:
    """Write to standard error; where that fails, the exit status alone has to tell."""
    from proofbell.cli.printed.printing import remark

    with contextlib.suppress(OSError, ValueError, NotPrintedError):
        sys.stdout.flush()
    remark(text)
    return status


__all__ = ["COMMANDS", "main", "nearest"]
