"""From where the page may be asked for, and what each answer says to the browser about safety. Pure.

A page of another site may have its name point to this machine (DNS rebinding): its browser then sends that name in
``Host``. A number of an address cannot be pointed elsewhere, so numbers are taken, names only where they are ours.
"""

from __future__ import annotations

import ipaddress

from proofbell.frozen import dataclass

LOCAL_NAMES = frozenset({"localhost", "127.0.0.1", "::1"})


@dataclass(frozen=True, slots=True)
class Reach:
    """Where the server listens. ``names``: what this machine is called in the network, in small letters."""

    address: str
    port: int
    names: frozenset[str] = frozenset()

    @property
    def in_network(self) -> bool:
        """Whether other machines reach it."""
        return not ipaddress.ip_address(self.address).is_loopback

    def takes_host(self, header: str | None) -> bool:
        """Whether the ``Host`` of a request is one of ours. The port may be another: one that a tunnel begins at."""
        name = _name(header or "")
        if name in LOCAL_NAMES:
            return True
        if not self.in_network:
            return name == self.address
        return _is_number(name) or name.rstrip(".").removesuffix(".local") in self.names


def same_origin(origin: str | None, host: str | None) -> bool:
    """Whether a request comes from a page of this server; one that does not say, does not (RFC 6454, section 7)."""
    return bool(host) and origin == f"http://{host}"


def _name(header: str) -> str:
    """The host of ``name:port`` or ``[number]:port``; empty where it is neither (RFC 9110, section 7.2)."""
    text = header.lower()
    if text.startswith("["):
        name, closed, port = text[1:].partition("]")
        port = port.removeprefix(":")
        return name if closed and (port.isdecimal() or not port) else ""
    name, _, port = text.partition(":")
    return name if port.isdecimal() or not port else ""


def _is_number(name: str) -> bool:
    try:
        ipaddress.ip_address(name)
    except ValueError:
        return False
    return True


def headers(host: str, nonce: str = "") -> dict[str, str]:
    """What every answer carries. ``nonce`` lets in the script and the style that stand in that page itself."""
    inside = f"'nonce-{nonce}'" if nonce else "'self'"
    policy = (
        "default-src 'none'",
        f"script-src {inside}",
        f"style-src {inside}",
        # Not every browser counts the websocket as 'self'.
        f"connect-src 'self' ws://{host}" if host else "connect-src 'self'",
        "img-src data:",
        "form-action 'none'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
    )
    return {
        "Content-Security-Policy": "; ".join(policy),
        "Referrer-Policy": "no-referrer",
        "X-Content-Type-Options": "nosniff",
        "X-Frame-Options": "DENY",
        "Cross-Origin-Opener-Policy": "same-origin",
        "Cross-Origin-Resource-Policy": "same-origin",
        "Permissions-Policy": "camera=(), microphone=(), geolocation=()",
        "Cache-Control": "no-store",
    }
