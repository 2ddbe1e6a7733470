"""Only files are read: whatever else lies at a path is told apart at once, and nothing is waited for."""

from __future__ import annotations

import os
import socket
import sys
from pathlib import Path

import pytest

from proofbell.regular_file import NotAFileError, first_bytes

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="pipes and devices lie elsewhere there")


def test_at_most_one_byte_more_than_asked_for_is_read(tmp_path: Path) -> None:
    path = tmp_path / "long"
    path.write_bytes(b"x" * 50)
    assert first_bytes(path, 10) == b"x" * 11
    assert first_bytes(path, 50) == b"x" * 50


def test_a_pipe_is_told_even_when_something_waits_in_it(tmp_path: Path) -> None:
    path = tmp_path / "pipe"
    os.mkfifo(path)
    # A reader first: opening for writing would wait for one.
    reader = os.open(path, os.O_RDONLY | os.O_NONBLOCK)
    writer = os.open(path, os.O_WRONLY)
    try:
        os.write(writer, b"name")
        with pytest.raises(NotAFileError) as told:
            first_bytes(path, 10)
        assert told.value.what == "a pipe"
        assert os.read(reader, 10) == b"name"
    finally:
        os.close(writer)
        os.close(reader)


def test_a_folder_a_device_and_a_socket_are_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)  # A socket's path may not be long.
    with socket.socket(socket.AF_UNIX) as listening:
        listening.bind("here.sock")
        for path, what in ((tmp_path, "a folder"), (Path("/dev/zero"), "a device"), (Path("here.sock"), "a socket")):
            with pytest.raises(NotAFileError) as told:
                first_bytes(path, 10)
            assert told.value.what == what
            assert told.value.strerror == f"it is {what}, not a file"


def test_a_link_to_a_file_is_one_and_a_link_to_nothing_is_not_there(tmp_path: Path) -> None:
    (tmp_path / "file").write_bytes(b"yes")
    (tmp_path / "link").symlink_to(tmp_path / "file")
    (tmp_path / "loose").symlink_to(tmp_path / "nowhere")
    assert first_bytes(tmp_path / "link", 10) == b"yes"
    with pytest.raises(FileNotFoundError):
        first_bytes(tmp_path / "loose", 10)
