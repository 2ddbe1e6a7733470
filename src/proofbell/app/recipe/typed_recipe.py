"""What was typed and answered so far, and the file that keeps it until it is saved as a formula or thrown away."""

from __future__ import annotations

import contextlib
import json
import os
import tempfile
import threading
from collections.abc import Mapping
from dataclasses import field
from pathlib import Path

from proofbell.frozen import dataclass
from proofbell.private_folder import make_private_folder
from proofbell.recipe.answers import Key
from proofbell.recipe.assembly import MOST_LETTERS
from proofbell.regular_file import first_bytes
from proofbell.visible import harmful_places

_MOST_BYTES = 32 * MOST_LETTERS
_BREAKS = dict.fromkeys(map(ord, "\v\f\x85\u2028\u2029"), "\n")


@dataclass(frozen=True, slots=True)
class TypedRecipe:
    """The recipe's text, and the answers to its guesses."""

    text: str = ""
    said: Mapping[Key, str] = field(default_factory=dict)

    @property
    def blank(self) -> bool:
        """Whether there is nothing to lose."""
        return not self.text.strip()


def harmless(text: str) -> str:
    """What was pasted, as plain lines: every break a line feed, and nothing in it that a terminal would obey or hide.

    What is left out is no letter, digit or sign: marks of order, joiners without letters, commands to a terminal.
    """
    text = text.replace("\r\n", "\n").replace("\r", "\n").translate(_BREAKS)
    if text.isascii() and text.replace("\n", "").replace("\t", "").isprintable():
        return text
    harmful = {index for index, _ in harmful_places(text, breaks=True)}
    return "".join(letter for index, letter in enumerate(text) if index not in harmful)


class KeptRecipe:
    """Keeps what is typed in a file, from any thread; without a ``path`` nothing is kept."""

    def __init__(self, path: Path | None) -> None:
        self._path = path
        self._last = TypedRecipe()
        self._over = False
        self._turn = threading.Lock()

    def take_up(self) -> TypedRecipe:
        """What was typed and not saved; blank without any."""
        if self._path is not None:
            self._last = _read(self._path)
        return self._last

    def keep(self, typed: TypedRecipe) -> None:
        """Write it, if it is another one. A disk that fails stops no typing: it is tried again with the next letter."""
        with self._turn, contextlib.suppress(OSError):
            if self._path is not None and typed != self._last and not self._over:
                _write(self._path, typed)
                self._last = typed

    def drop(self) -> None:
        """It is a formula now: keep nothing of it from here on."""
        with self._turn, contextlib.suppress(OSError):
            self._over = True
            if self._path is not None:
                self._path.unlink(missing_ok=True)


def _write(path: Path, typed: TypedRecipe) -> None:
    """Write it to the file, which is for its owner alone; the one before stays whole until then. Blank: no file.

    Raises OSError: it cannot be written.
    """
    if typed.blank:
        path.unlink(missing_ok=True)
        return
    make_private_folder(path.parent)
    said = [[*key, value] for key, value in typed.said.items()]
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.", suffix=".part")
    try:
        with os.fdopen(handle, "w", encoding="ascii") as file:
            json.dump({"text": typed.text, "said": said}, file)
            file.flush()
            os.fsync(file.fileno())
        Path(name).replace(path)
    except BaseException:
        with contextlib.suppress(OSError):
            Path(name).unlink()
        raise


def _read(path: Path) -> TypedRecipe:
    """What the file keeps; blank without one, or where it is no such file."""
    try:
        document = json.loads(first_bytes(path, _MOST_BYTES))
        text = harmless(str(document["text"]))
        said = {(str(line), str(guess)): str(value) for line, guess, value in document["said"]}
    except (OSError, ValueError, TypeError, KeyError, RecursionError):
        return TypedRecipe()
    return TypedRecipe(text, said)
