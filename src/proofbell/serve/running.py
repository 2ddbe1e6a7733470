"""Runs the server until it is told to end, and tells the terminal where it is and what the code is."""

from __future__ import annotations

import asyncio
import contextlib
import errno
import signal
import socket
from collections.abc import Callable

from aiohttp import web

from proofbell.errors import Failure
from proofbell.serve.door import Door
from proofbell.serve.reach import Reach
from proofbell.serve.server import Serving

Said = Callable[[str], None]

LOCAL = """\
The bench is open in a browser on this machine, and on no other:"""

NETWORK = """\
The bench is open in this network, at:"""

OPENED = """
What that opens: every machine in this network reaches the door. Whoever has a
code can do all that the bench can, on this machine and with your files. Nothing
is encrypted: who can listen in the network can read it, and a session too. Do
it in a network that you trust, never in one for guests.
"""


def run(serving: Serving, say: Said) -> int:
    """Serve until ctrl+c, a hang-up or an asked-for end. Raises `Failure` where the port cannot be had."""
    asyncio.run(_run(serving, say))
    return 0


async def _run(serving: Serving, say: Said) -> None:
    end = asyncio.Event()
    loop = asyncio.get_running_loop()
    for name in ("SIGINT", "SIGTERM", "SIGHUP"):
        which = getattr(signal, name, None)
        # Whoever started us with a signal ignored, as nohup does, means it.
        if which is not None and signal.getsignal(which) is not signal.SIG_IGN:
            with contextlib.suppress(NotImplementedError):  # on Windows
                loop.add_signal_handler(which, end.set)
    runner = web.AppRunner(serving.app(), access_log=None, shutdown_timeout=0.2)
    await runner.setup()
    try:
        await _listen(runner, serving.reach)
        for line in opening(serving.reach):
            say(line)
        say(code_line(serving.door))
        await end.wait()
        say("\nClosed. The bakes go on in the journal.")
    finally:
        await serving.end_all()
        await runner.cleanup()


async def _listen(runner: web.AppRunner, reach: Reach) -> None:
    try:
        await web.TCPSite(runner, reach.address, reach.port).start()
    except OSError as error:
        raise _refusal(error, reach) from error


def _refusal(error: OSError, reach: Reach) -> Failure:
    if error.errno == errno.EADDRINUSE:
        return Failure(
            f"Port {reach.port} is in use, perhaps by another proofbell serve.",
            f"End that one, or take another port: proofbell serve --port {reach.port % 65535 + 1}",
            status=1,
        )
    if error.errno == errno.EACCES:
        return Failure(f"Port {reach.port} is for the system's own services.", "Take one above 1023.", status=1)
    # Python 3.13 passes over an address that is not there, and says only at the end that none was left.
    if error.errno in (errno.EADDRNOTAVAIL, None):
        return Failure(f"{reach.address} is no address of this machine.", "Name one of its own, or --network.")
    why = error.strerror or type(error).__name__
    return Failure(f"Nothing can be served at {reach.address}, port {reach.port}: {why}.", status=1)


def opening(reach: Reach) -> list[str]:
    """What the terminal says first."""
    lines = [NETWORK if reach.in_network else LOCAL]
    lines += [f"  http://{_in_url(address)}:{reach.port}/" for address in _addresses(reach.address)]
    if reach.in_network:
        lines.append(OPENED)
    return [*lines, "Ctrl+C closes it; the bakes go on in the journal."]


def code_line(door: Door) -> str:
    """The code, or that there is none any more."""
    if door.is_closed:
        return "Ten wrong codes: nobody else is let in until this is started again."
    code = " ".join(door.code[at : at + 4] for at in range(0, len(door.code), 4))
    return f"Code for one browser: {code}"


class Teller:
    """Says each change of the door once."""

    def __init__(self, say: Said) -> None:
        self._say = say
        self._said = ""

    def __call__(self, door: Door) -> None:
        """A code was used up, or one was wrong."""
        line = code_line(door)
        if door.wrong and not door.is_closed:
            line += f"   (wrong codes so far: {door.wrong})"
        if line != self._said:
            self._said = line
            self._say(line)


def names_of_machine() -> frozenset[str]:
    """What this machine is called, in small letters."""
    name = socket.gethostname().lower()
    return frozenset({name, name.split(".")[0]}) - {""}


def _addresses(bound: str) -> list[str]:
    """Where a browser finds it: of all addresses the one that other machines see, as far as the system tells."""
    if bound not in ("0.0.0.0", "::"):  # noqa: S104 - compared, not bound
        return [bound]
    found = []
    with contextlib.suppress(OSError), socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as way:
        way.connect(("192.0.2.1", 9))  # of RFC 5737, nobody's; nothing is sent
        found.append(way.getsockname()[0])
    return found or [socket.gethostname()]


def _in_url(address: str) -> str:
    return f"[{address}]" if ":" in address else address
