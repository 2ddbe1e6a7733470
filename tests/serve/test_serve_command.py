"""``proofbell serve`` as a command: what it refuses, what it says first, and how it ends. A real bench behind it."""

from __future__ import annotations

import os
import re
import signal
import socket
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

from proofbell.cli import main
from proofbell.cli import serve as command
from tests.support.signals import hears_all

Captured = pytest.CaptureFixture[str]

ROOT = Path(__file__).parents[2]


def said(capsys: Captured) -> str:
    return " ".join(capsys.readouterr().err.split())


def test_without_the_library_the_refusal_says_how_to_install_it(
    capsys: Captured, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("importlib.util.find_spec", lambda _: None)
    assert main(["serve"]) == 1
    words = said(capsys)
    assert "needs a library that is not installed" in words
    assert f'-m pip install "{command.LIBRARY}"' in words


def test_the_extra_and_the_tests_install_that_library() -> None:
    extras = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]["optional-dependencies"]
    assert command.LIBRARY in extras["serve"]
    assert command.LIBRARY in extras["test"]


@pytest.mark.parametrize("port", ["0", "65536", "-1", "eight", "８０", "1e3", ""])
def test_what_is_no_port_is_refused(port: str, capsys: Captured) -> None:
    assert main(["serve", f"--port={port}"]) == 2
    assert "is no port" in said(capsys)


def test_what_is_no_address_is_refused(capsys: Captured) -> None:
    assert main(["serve", "--host", "harbour"]) == 2
    assert "is no address" in said(capsys)


@pytest.mark.usefixtures("_library")
def test_a_port_in_use_is_told_with_what_to_do(capsys: Captured) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        assert main(["serve", "--port", str(port)]) == 1
    words = said(capsys)
    assert f"Port {port} is in use" in words
    assert f"proofbell serve --port {port + 1}" in words


@pytest.mark.usefixtures("_library")
def test_an_address_of_another_machine_is_refused(capsys: Captured) -> None:
    # 192.0.2.1 is for documents (RFC 5737): no machine has it.
    assert main(["serve", "--host", "192.0.2.1"]) == 2
    assert "is no address of this machine" in said(capsys)


@pytest.mark.usefixtures("_library")
def test_what_the_network_opens_is_said_and_only_there() -> None:
    from proofbell.serve.reach import Reach
    from proofbell.serve.running import opening

    local, network = ("\n".join(opening(Reach(each, 8470))) for each in ("127.0.0.1", "0.0.0.0"))  # noqa: S104
    assert "on no other" in local
    assert "http://127.0.0.1:8470/" in local
    assert "What that opens" not in local
    for words in ("every machine in this network", "Nothing\nis encrypted", "all that the bench can"):
        assert words in network


@pytest.mark.usefixtures("_library")
def test_a_new_code_is_told_once_it_was_used() -> None:
    from proofbell.serve.door import MOST_WRONG, Door
    from proofbell.serve.running import Teller, code_line

    lines: list[str] = []
    tell, door = Teller(lines.append), Door(code="123456789012")
    assert code_line(door) == "Code for one browser: 1234 5678 9012"
    door.knock("0", 0)
    tell(door)
    door.knock(door.code, 0)
    tell(door)
    assert "wrong codes so far: 1" in lines[0]
    assert "1234 5678 9012" not in lines[1]
    for _ in range(MOST_WRONG):
        door.knock("0", 0)
        tell(door)
    assert "nobody else is let in until this is started again" in lines[-1]
    assert lines[-1] != lines[-2]


@pytest.fixture
def _library() -> None:
    pytest.importorskip("textual_serve", reason="the extra `serve` is not installed")


@pytest.fixture
def running(tmp_path: Path, _library: None) -> Iterator[subprocess.Popen[str]]:
    environment = {
        **os.environ,
        "PROOFBELL_JOURNAL": str(tmp_path / "journal.sqlite"),
        "PROOFBELL_KITCHEN": str(tmp_path / "kitchen.toml"),
    }
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    process = subprocess.Popen(
        [sys.executable, "-m", "proofbell", "serve", "--port", str(port)],
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        env=environment,
        preexec_fn=hears_all,  # noqa: PLW1509 - no other thread runs here
    )
    try:
        yield process
    finally:
        process.kill()
        process.wait()
        assert process.stdout is not None
        process.stdout.close()


@pytest.mark.skipif(sys.platform == "win32", reason="ctrl+c is sent otherwise there")
def test_ctrl_c_closes_it(running: subprocess.Popen[str]) -> None:
    assert running.stdout is not None
    lines = [running.stdout.readline() for _ in range(4)]
    assert re.fullmatch(r"  http://127\.0\.0\.1:\d+/\n", lines[1])
    assert re.fullmatch(r"Code for one browser: \d{4} \d{4} \d{4}\n", lines[3])
    running.send_signal(signal.SIGINT)
    assert "The bakes go on in the journal." in running.communicate(timeout=60)[0]
    assert running.returncode == 0
