"""A bake's formula as the file that it was opened from, byte for byte: the journal keeps the whole text."""

from __future__ import annotations

from proofbell.errors import Failure
from proofbell.formula.model import Formula
from proofbell.formula.text.guard import bare
from proofbell.formula.text.identity import digest_of
from proofbell.visible import visible


def formula_bytes(bake: str, formula: Formula) -> bytes:
    """Return what stood in the file. Bakes of before this could be asked for have each line end as a line feed.

    Raises Failure: the log holds no text, or another one than was opened.
    """
    # Half a character was in no file.
    data = formula.text.encode(errors="replace")
    digest = digest_of(bare(data.decode()))
    shown = visible(bake, most=80)
    if not data:
        raise Failure(f"The log of {shown} holds no text of its formula.", "Choose another bake of it.", status=1)
    if formula.digest and digest != formula.digest:
        raise Failure(
            f"The formula in the log of {shown} is damaged: it is not the text that was opened.",
            "Choose another bake of it; proofbell journal export shows what is left.",
            status=1,
        )
    return data
