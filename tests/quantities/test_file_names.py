"""File names made of any text."""

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from proofbell.file_names import MOST, file_stem

# Names reserved by Windows: Microsoft, "Naming Files, Paths, and Namespaces".
DEVICES = {"con", "prn", "aux", "nul", *(f"com{n}" for n in range(10)), *(f"lpt{n}" for n in range(10))}


@given(st.text(max_size=200), st.text(max_size=60))
@settings(max_examples=200)
def test_any_text_becomes_a_name_that_every_system_takes(text: str, suffix: str) -> None:
    stem = file_stem(text, suffix)
    assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", stem)
    assert len(stem) <= MOST + len("file-")
    assert stem.split(".")[0] not in DEVICES


@pytest.mark.parametrize(
    ("text", "stem"),
    [
        ("Harbour knots", "harbour-knots-01h8"),
        ("../../etc/passwd", "etc-passwd-01h8"),
        ("C:\\bread", "c-bread-01h8"),
        ("Rúgbrauð & Brötchen. ", "rugbrau-brotchen-01h8"),
        ("\x1b[2J", "2j-01h8"),
        ("", "01h8"),
        ("🍞", "01h8"),
    ],
)
def test_a_name_stays_readable_and_inside_its_folder(text: str, stem: str) -> None:
    assert file_stem(text, "01H8") == stem


@pytest.mark.parametrize("device", ["CON", "nul", "COM¹", "Lpt9", "AUX.txt"])
def test_a_device_of_windows_is_never_a_name(device: str) -> None:
    assert file_stem(device, "").split("-")[0] not in DEVICES


def test_a_name_is_cut_before_it_is_checked() -> None:
    assert len(file_stem("knot" * 100, "id")) <= 60
    assert file_stem("knot" * 100, "id").endswith("-id")
