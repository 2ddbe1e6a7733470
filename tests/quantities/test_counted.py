"""How many there are, in words."""

from __future__ import annotations

import pytest

from proofbell.words import counted


@pytest.mark.parametrize(("number", "said"), [(0, "0 bakes"), (1, "1 bake"), (2, "2 bakes")])
def test_one_thing_has_no_s(number: int, said: str) -> None:
    assert counted(number, "bake") == said
