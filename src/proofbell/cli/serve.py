"""``proofbell serve``: the bench in a browser on this machine, or in the network where that is asked for."""

from __future__ import annotations

import argparse
import importlib.util
import ipaddress
import sys

from proofbell import places
from proofbell.errors import Failure
from proofbell.visible import visible

EXAMPLE = "proofbell serve --port 8080"

PORT = 8470

LIBRARY = "textual-serve>=1.1,<2"
"""What the extra ``serve`` installs."""

EVERYWHERE = "0.0.0.0"  # noqa: S104 - only where --network asks for it


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the command's arguments."""
    parser.add_argument("--port", metavar="N", help=f"where on the machine ({PORT})")
    where = parser.add_mutually_exclusive_group()
    where.add_argument(
        "--network",
        action="store_true",
        help="open it to every machine in this network, which can then reach the door; nothing is encrypted",
    )
    where.add_argument("--host", metavar="ADDRESS", help="the same on one of this machine's addresses only")


def run(args: argparse.Namespace) -> int:
    """Serve until ctrl+c. 1: the library is missing, or the port is not to be had."""
    port = _port(args.port)
    address = EVERYWHERE if args.network else _address(args.host)
    _need_library()
    from proofbell.clock import WallClock
    from proofbell.kitchen.file import load_kitchen
    from proofbell.kitchen.model import Kitchen
    from proofbell.serve.reach import Reach
    from proofbell.serve.running import Teller, names_of_machine, run
    from proofbell.serve.server import Serving

    kitchen_file = places.kitchen_file()
    before = load_kitchen(kitchen_file)

    def kitchen() -> Kitchen:
        """As its file is now; as it was, where that has become one that cannot be read."""
        try:
            return load_kitchen(kitchen_file)
        except Failure:
            return before

    def say(text: str) -> None:
        print(visible(text, most=2000, breaks=True), flush=True)

    serving = Serving(
        Reach(address, port, names_of_machine()),
        WallClock(),
        (sys.executable, "-m", "proofbell"),
        kitchen,
        Teller(say),
    )
    return run(serving, say)


def _need_library() -> None:
    if importlib.util.find_spec("textual_serve") is None:
        raise Failure(
            "The bench in a browser needs a library that is not installed.",
            f'Install it: {visible(sys.executable, most=500)} -m pip install "{LIBRARY}"',
            status=1,
        )


def _port(text: str | None) -> int:
    if text is None:
        return PORT
    port = int(text) if text.isascii() and text.isdecimal() and len(text) < 6 else 0
    if not 0 < port < 65536:
        raise Failure(
            f"--port: {visible(text, most=40)} is no port.", f"Write a number from 1 to 65535, such as {PORT}."
        )
    return port


def _address(text: str | None) -> str:
    if text is None or text == "localhost":
        return "127.0.0.1"
    try:
        return str(ipaddress.ip_address(text))
    except ValueError as error:
        shown = visible(text, most=80)
        raise Failure(
            f"--host: {shown} is no address.", "Write numbers, such as 192.168.1.20, or --network."
        ) from error
