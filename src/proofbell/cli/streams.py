"""Standard input, output and error as they are found: closed, full, or with nobody left to read."""

from __future__ import annotations

import contextlib
import io
import os
import sys
from collections.abc import Iterator
from typing import Any, TextIO

from proofbell.browser import in_browser
from proofbell.errors import Failure

NUMBERS = (0, 1, 2)


class NotPrintedError(Exception):
    """Standard output did not take what was printed; the text says why, in the system's words."""


class Output:
    """Standard output that remembers a failed write, whatever a library does with the error.

    ``stream`` is None where standard output was closed before the program began.
    """

    def __init__(self, stream: TextIO | None) -> None:
        self._stream = stream
        self._why = ""

    def __getattr__(self, name: str) -> Any:  # noqa: ANN401 - whatever the stream has
        return getattr(self._stream, name)

    @property
    def encoding(self) -> str:
        return getattr(self._stream, "encoding", None) or "utf-8"

    def isatty(self) -> bool:
        return self._stream is not None and self._stream.isatty()

    def write(self, text: str) -> int:
        if self._stream is None:
            self._why = self._why or ("it is closed" if text else "")
        else:
            with self._watched():
                self._stream.write(text)
        return len(text)

    def flush(self) -> None:
        """Write what was held back.

        Raises NotPrintedError: this, or something before, was not taken; BrokenPipeError: nobody reads any more.
        """
        if self._stream is not None:
            with self._watched():
                self._stream.flush()
        if self._why:
            raise NotPrintedError(self._why)

    @contextlib.contextmanager
    def _watched(self) -> Iterator[None]:
        try:
            yield
        except BrokenPipeError:
            raise
        except OSError as error:
            self._why = self._why or error.strerror or "it cannot be written to"
            raise NotPrintedError(self._why) from error


@contextlib.contextmanager
def safe_streams() -> Iterator[None]:
    """Make the three streams safe to use while a command runs, and none stumble over a letter that it cannot write.

    A number that is closed would go to the next file that is opened, and what is printed would be written into that:
    so each is opened on the null device first. Python has None for a stream that was closed.
    """
    for number in NUMBERS:
        try:
            os.fstat(number)
        except OSError:
            with contextlib.suppress(OSError):
                os.open(os.devnull, os.O_RDWR)
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="replace")
    before = sys.stdin, sys.stdout, sys.stderr
    sys.stdin = before[0] or io.StringIO()
    sys.stdout = Output(before[1])
    sys.stderr = before[2] or io.StringIO()
    try:
        yield
    finally:
        sys.stdin, sys.stdout, sys.stderr = before


def let_go() -> None:
    """Stop writing: Python's own last flush goes nowhere and raises nothing."""
    for stream in (sys.stdout, sys.stderr):
        try:
            stream.flush()
        except (OSError, ValueError, NotPrintedError):
            with contextlib.suppress(OSError, ValueError, AttributeError):
                nowhere = os.open(os.devnull, os.O_WRONLY)
                os.dup2(nowhere, stream.fileno())
                os.close(nowhere)


CANNOT_DRAW = ("", "dumb", "unknown")
"""Names of a terminal that cannot move its cursor: "dumb" and "unknown" stand for that in terminfo(5)'s database."""


def need_terminal(what: str, instead: str) -> None:
    """See that screens can be drawn. ``what`` needs them; ``instead`` says what serves without, after "or ".

    In a browser's window there is one to draw on, though no terminal.

    Raises Failure: standard input or output is no terminal, or TERM names one that cannot draw.
    """
    if in_browser():
        return
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        raise Failure(f"{what} needs a terminal.", f"Start it in one, or {instead}", status=1)
    # Windows does not use TERM.
    if sys.platform != "win32" and os.environ.get("TERM", "") in CANNOT_DRAW:
        named = "TERM says nothing" if not os.environ.get("TERM") else f'TERM is "{os.environ["TERM"]}"'
        raise Failure(
            f"{what} needs a terminal that can draw; {named}.",
            f"Set TERM to the terminal's name, such as xterm-256color, or {instead}",
            status=1,
        )
