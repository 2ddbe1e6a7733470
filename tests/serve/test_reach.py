"""From where the page may be asked for.

Outside the project: RFC 9110 (section 7.2, ``Host``), RFC 6454 (the origin of a page), and what DNS rebinding is: a
name of somebody else's that points here, so that ``Host`` holds that name.
"""

from __future__ import annotations

import pytest

from proofbell.serve.reach import Reach, headers, same_origin

LOCAL = Reach("127.0.0.1", 8470, frozenset({"harbour"}))
NETWORK = Reach("0.0.0.0", 8470, frozenset({"harbour"}))  # noqa: S104 - nothing is bound here


@pytest.mark.parametrize("host", ["127.0.0.1:8470", "localhost:8470", "LOCALHOST:8470", "[::1]:8470", "localhost:9000"])
def test_this_machine_is_taken_by_its_own_names(host: str) -> None:
    # Another port: ssh -L 9000:127.0.0.1:8470.
    assert LOCAL.takes_host(host)
    assert NETWORK.takes_host(host)


@pytest.mark.parametrize(
    "host",
    [None, "", ":8470", "evil.example", "evil.example:8470", "127.0.0.1.evil.example", "localhost.evil.example:8470",
     "127.0.0.1:8470:1", "127.0.0.1:80 80", "[::1", "[::1]evil", "a@127.0.0.1", "127.0.0.1/", "localhost:x",
     "harbour.evil.example", "harbour.local.evil.example"],
)  # fmt: skip
def test_another_name_is_refused_everywhere(host: str | None) -> None:
    assert not LOCAL.takes_host(host)
    assert not NETWORK.takes_host(host)


@pytest.mark.parametrize("host", ["192.168.1.20:8470", "harbour:8470", "harbour.local:8470", "[fe80::1]:8470"])
def test_the_network_is_taken_only_where_it_was_asked_for(host: str) -> None:
    assert NETWORK.takes_host(host)
    assert not LOCAL.takes_host(host)


def test_one_address_is_taken_by_its_number() -> None:
    one = Reach("192.168.1.20", 8470)
    assert one.in_network
    assert not LOCAL.in_network
    assert one.takes_host("192.168.1.20:8470")


@pytest.mark.parametrize(
    ("origin", "same"),
    [
        ("http://localhost:8470", True),
        ("http://localhost:8471", False),
        ("https://localhost:8470", False),
        ("http://evil.example", False),
        ("null", False),
        ("", False),
        (None, False),
    ],
)
def test_only_a_page_of_this_server_is_of_its_origin(origin: str | None, *, same: bool) -> None:
    assert same_origin(origin, "localhost:8470") is same


def test_no_host_has_no_origin() -> None:
    assert not same_origin("http://", "")
    assert not same_origin(None, None)


def test_nothing_from_outside_is_let_into_the_page() -> None:
    # Content Security Policy Level 3 (W3C): what is not named falls back to default-src.
    policy = dict(part.split(" ", 1) for part in headers("localhost:8470")["Content-Security-Policy"].split("; "))
    assert policy["default-src"] == "'none'"
    assert policy["frame-ancestors"] == "'none'"
    assert policy["script-src"] == policy["style-src"] == "'self'"
    assert policy["connect-src"] == "'self' ws://localhost:8470"
    assert "unsafe" not in str(policy)
    assert "*" not in str(policy)
    assert "'self'" not in headers("h", "abc")["Content-Security-Policy"].split("script-src")[1].split(";")[0]
